"""Symbols that a condition ties are drawn together: the same draws as by trying, and none that does not fit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from warmyard.errors import InputError
from warmyard.item.chance import Chance
from warmyard.item.draw import Drawn, DrawPlan, draw_values
from warmyard.item.kinds.numeric.draw import numeric_plan
from warmyard.item.kinds.numeric.plan import draw_numbers
from warmyard.item.kinds.numeric.schema import Link, Numeric
from warmyard.item.model import Answer, Draw, ItemSlip
from warmyard.item.surroundings import Surroundings
from warmyard.item.tied import MOST_ROWS, Tie, tie

MACHINES = ("Curlew", "Dunlin", "Heron")
PLAN = DrawPlan(
    (
        Drawn("a", "1", (1.0, 2.0, 3.0, 4.0)),
        Drawn("b", "1", (1.0, 2.0, 3.0)),
        Drawn("c", "1", (5.0, 6.0)),
        Drawn("k", "1", (2.0,)),
        Drawn("P", "kW", (10.0, 20.0, 30.0), of_machine=True),
        Drawn("V", "m3/h", (7.0, 5.0, 9.0), of_machine=True),
    ),
    MACHINES,
)


def rests_on(names: str, test: str) -> Tie:
    """Return a tie of symbols by a line of Python."""
    return Tie(frozenset(names), lambda values: bool(eval(test, {}, dict(values))))


def every_draw(plan: DrawPlan) -> list[tuple[str, dict[str, float]]]:
    """Return every draw that drawing each symbol by itself can give."""
    single = [one for one in plan.symbols if not one.of_machine]
    found = []
    for at, machine in enumerate(plan.machines):
        sheet = {one.symbol: one.values[at] for one in plan.symbols if one.of_machine}
        for values in product(*(one.values for one in single)):
            found.append((machine, {**dict(zip([one.symbol for one in single], values, strict=True)), **sheet}))
    return found


def as_key(machine: str, values: Mapping[str, float]) -> tuple[object, ...]:
    """Return a draw as something to count."""
    return (machine, *sorted(values.items()))


@given(
    ties=st.lists(
        st.sampled_from(
            [
                rests_on("ab", "a <= b"),
                rests_on("ab", "a + b > 3"),
                rests_on("bc", "b * 2 < c"),
                rests_on("aP", "a * 10 > P"),
                rests_on("PVk", "P > k * V"),
                rests_on("k", "k > 1"),
                rests_on("cV", "c != V"),
                rests_on("abcP", "a + b + c + P < 36"),
            ]
        ),
        max_size=4,
    )
)
def test_every_draw_that_fits_comes_and_no_other(ties: list[Tie]) -> None:
    """Whatever is tied, the draws are those that meet every tie: none is lost, none is new, none comes more often."""
    plan, left = tie(PLAN, ties)
    wanted = {as_key(*one) for one in every_draw(PLAN) if all(each.holds(one[1]) for each in ties)}
    # A chance that walks through all numbers once shows how often each draw comes.
    drawn = Counter(as_key(*draw_values(plan, Chance(seed))) for seed in range(4000))
    fitting = {key: count for key, count in drawn.items() if all(one.holds(dict(key[1:])) for one in left)}  # type: ignore[arg-type]
    assert fitting.keys() == wanted
    if wanted:
        assert max(fitting.values()) < 3 * sum(fitting.values()) / len(wanted) + 12


def test_what_is_tied_need_not_be_tried() -> None:
    """A density that fits one outside temperature in four is hit by every draw."""
    plan, left = tie(PLAN, [rests_on("ab", "a == b"), rests_on("PVk", "P > k * V")])
    assert not left
    for seed in range(200):
        machine, values = draw_values(plan, Chance(seed))
        assert values["a"] == values["b"]
        assert values["P"] > 2 * values["V"]
        assert values["P"] == dict(zip(MACHINES, (10.0, 20.0, 30.0), strict=True))[machine]


def test_what_always_holds_changes_no_draw() -> None:
    """A condition that rejects nothing leaves the draws of every seed as they were."""
    plan, left = tie(PLAN, [rests_on("ab", "a + b > 0"), rests_on("P", "P > 1")])
    assert not left
    assert all(draw_values(plan, Chance(seed)) == draw_values(PLAN, Chance(seed)) for seed in range(50))


def test_what_is_never_met_or_too_large_is_left_to_be_tried() -> None:
    """Nothing fits, or there is too much to go through: the condition stays, and drawing says what it says."""
    never = rests_on("ab", "a > 9")
    large = Drawn("L", "m", tuple(float(at) for at in range(MOST_ROWS)))
    wide = rests_on("La", "L > a")
    plan, left = tie(DrawPlan((*PLAN.symbols, large), MACHINES), [never, wide])
    assert left == [never, wide]
    assert plan.tied == ()


def test_numbers_without_an_answer_fit_nothing() -> None:
    """A condition that has no value for some numbers keeps them out, as it does when they are tried."""

    def holds(values: Mapping[str, float]) -> bool:
        if values["a"] == values["b"]:
            raise InputError("there is no value")
        return True

    plan, left = tie(PLAN, [Tie(frozenset("ab"), holds)])
    assert not left
    assert all(values["a"] != values["b"] for _, values in (draw_values(plan, Chance(seed)) for seed in range(100)))


def test_each_part_of_keep_is_asked_as_early_as_it_can_be(around: Surroundings) -> None:
    """Parts of drawn symbols are drawn by; those of a link come right after it; those of the answer last."""
    draws = {
        "q_r": Draw(low=2, high=6, step=0.5, unit="L/h"),
        "p": Draw(low=9, high=16, step=1, unit="bar"),
        "t": Draw(low=4, high=10, step=1, unit="h"),
        "q_min": Draw(among=(4.0,), unit="L/h"),
        "t_min": Draw(among=(5.0,), unit="h"),
    }
    keep = "q_r > q_min and (t > t_min or t > 2*t_min) and rate > q_r/2 and answer > rate*t_min"
    item = Numeric(
        id="fuel-for-a-day",
        skill="fuel",
        criticality=1,
        use="practice",
        demand="apply",
        ask="{q_r}, {p}, {t}: how much fuel?",
        draw=draws,
        keep=keep,
        chain=(Link(let="rate", formula="flow"), Link(let="fuel", formula="burnt", takes={"q": "rate"})),
        answer=Answer(unit="L", decimals=0, within="3 %"),
        slips=(ItemSlip(id="half-time", relation="rate*t/2", say="You took half the time.", link="fuel"),),
    )
    plan = numeric_plan(item, around)
    assert [len(stage) for stage in plan.keeps] == [0, 1, 0, 1]
    tries = [draw_numbers(plan, Chance(seed)) for seed in range(200)]
    served = [one for one in tries if not isinstance(one, str)]
    assert {one.values["q_r"] for one in served} == {4.5, 5.0, 5.5, 6.0}
    assert {one.values["t"] for one in served} == {6.0, 7.0, 8.0, 9.0, 10.0}
