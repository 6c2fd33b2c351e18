"""Numbers are drawn so that slips lie apart, are carried along a chain, and never sit on the edge of a verdict."""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise
from typing import Any

import msgspec
import pytest

from warmyard.errors import SourceError
from warmyard.item.check import check_items, own_answer
from warmyard.item.draw import DrawRefused
from warmyard.item.kinds.numeric.schema import Link, Numeric
from warmyard.item.marking import mark
from warmyard.item.model import Answer, Draw, ItemSlip
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import NumberKey, Variant

FLOW = Numeric(
    id="flow-at-pressure",
    skill="fuel",
    criticality=1,
    use="practice",
    demand="apply",
    ask="A nozzle of {q_r} runs at {p}. What flows?",
    formula="flow",
    draw={"q_r": Draw(low=2, high=6, step=0.5, unit="L/h"), "p": Draw(low=8, high=16, step=1, unit="bar")},
    answer=Answer(unit="L/h", decimals=2, within="2 %"),
    slips=(ItemSlip(id="upside-down", relation="q_r*sqrt(p_r/p)", say="You turned the ratio round."),),
)
CHAIN = Numeric(
    id="fuel-for-a-day",
    skill="fuel",
    criticality=1,
    use="practice",
    demand="apply",
    ask="{q_r}, {p}, {t}: how much fuel?",
    draw={
        "q_r": Draw(low=2, high=6, step=0.5, unit="L/h"),
        "p": Draw(low=9, high=16, step=1, unit="bar"),
        "t": Draw(low=4, high=10, step=1, unit="h"),
    },
    chain=(Link(let="rate", formula="flow"), Link(let="fuel", formula="burnt", takes={"q": "rate"})),
    answer=Answer(unit="L", decimals=0, within="3 %"),
    slips=(
        ItemSlip(id="half-time", relation="rate*t/2", say="You took half the time.", link="fuel"),
        ItemSlip(id="ten-hours", relation="q_r*t*3", say="You took three days."),
    ),
)


def with_changes(item: Numeric, **changes: Any) -> Numeric:
    """Return the item with other fields."""
    return msgspec.structs.replace(item, **changes)


def number_key(variant: Variant) -> NumberKey:
    """Return the key of a numeric variant."""
    assert isinstance(variant.key, NumberKey)
    return variant.key


def test_one_seed_gives_one_variant_in_all_its_parts(around: Surroundings, formulas: Any) -> None:
    """The same item and seed give equal variants from fresh surroundings; another seed gives other numbers."""
    other = Surroundings(register=formulas)
    assert make_variant(FLOW, 7, around) == make_variant(FLOW, 7, other)
    assert len({make_variant(FLOW, seed, around).question.ask for seed in range(20)}) > 10


def test_the_answer_is_the_formula_s_and_the_numbers_stand_in_the_question(around: Surroundings) -> None:
    """The key's value is q_r*sqrt(p/7) of the very numbers that the question prints."""
    for seed in range(30):
        variant = make_variant(FLOW, seed, around)
        given = {one.id: float(one.text.split()[0]) for one in variant.question.given}
        assert number_key(variant).value == pytest.approx(given["q_r"] * math.sqrt(given["p"] / 7))
        assert all(one.text in variant.question.ask for one in variant.question.given)


def test_slips_of_formula_and_item_lie_apart_and_are_named(around: Surroundings) -> None:
    """Answer and slips lie more than twice the tolerance from one another, and each slip's answer is marked as it."""
    for seed in range(50):
        variant = make_variant(FLOW, seed, around)
        key = number_key(variant)
        assert {slip.id for slip in key.slips} - {"without-q_r"} == {"no-root", "upside-down"}
        typed = [slip.value for slip in key.slips if slip.id != "without-q_r"]
        assert all(b - a > 2 * key.tolerance for a, b in pairwise(sorted([key.value, *typed])))
        for slip in key.slips:
            found = mark(variant, {"text": f"{slip.value:.6f}"})
            assert (found.right, found.slip) == (False, slip.id)


def test_a_draw_whose_slip_always_meets_the_answer_is_refused(around: Surroundings) -> None:
    """A pressure that is always the rated one makes every slip right; the sentence names the two that meet."""
    with pytest.raises(DrawRefused, match=r"the slip .* lie too near each other"):
        make_variant(with_changes(FLOW, draw={**FLOW.draw, "p": Draw(among=(7.0,), unit="bar")}), 1, around)


def test_whole_numbers_need_only_differ(around: Surroundings) -> None:
    """Ten heaters with a slip of nine is a good draw, though it lies within any share of tolerance."""
    item = Numeric(
        id="count",
        skill="size",
        criticality=2,
        use="practice",
        demand="apply",
        ask="{P} and {P_1}: how many?",
        formula="heaters",
        draw={"P": Draw(low=100, high=900, step=10, unit="kW"), "P_1": Draw(sheet="output")},
        answer=Answer(unit="1", decimals=0, within="0"),
    )
    for seed in range(40):
        variant = make_variant(item, seed, around)
        key = number_key(variant)
        assert key.value == int(key.value)
        assert key.value not in [slip.value for slip in key.slips]
        assert mark(variant, {"text": str(int(key.value))}).right
        assert mark(variant, {"text": str(int(key.value) - 1)}).slip == "round-down"
    assert check_items([item], around) == []


def test_a_slip_early_in_a_chain_is_carried_and_only_it_is_charged(around: Surroundings) -> None:
    """Leaving out the root in the first link gives the rest of the chain on the wrong value, and half the marks."""
    variant = make_variant(CHAIN, 3, around)
    key = number_key(variant)
    given = {one.id: float(one.text.split()[0]) for one in variant.question.given}
    carried = given["q_r"] * (given["p"] / 7) * given["t"]
    slip = next(one for one in key.slips if one.id == "rate.no-root")
    assert slip.value == pytest.approx(carried)
    assert slip.link == "rate"
    found = mark(variant, {"text": f"{carried:.0f} L"})
    assert (found.share, found.slip) == (0.5, "rate.no-root")
    assert mark(variant, {"text": f"{next(s.value for s in key.slips if s.id == 'ten-hours'):.1f}"}).share == 0
    assert key.links.keys() == {"rate", "fuel"}
    assert len([step for step in key.steps if step.startswith("<b>")]) == 2


def test_the_machine_is_drawn_once_for_all_its_fields(around: Surroundings) -> None:
    """Two symbols from sheets come from the same machine, and the question can name it."""
    item = with_changes(
        FLOW,
        ask="{machine}: {q_r} at {p}",
        draw={"q_r": Draw(low=2, high=6, step=0.5, unit="L/h"), "p": Draw(sheet="pressure")},
    )
    asked = {make_variant(item, seed, around).question.ask for seed in range(30)}
    assert all(("Hare 30" in ask) == ("10 bar" in ask) and ("Stoat 60" in ask) == ("14 bar" in ask) for ask in asked)
    assert {ask[:4] for ask in asked} == {"Hare", "Stoa"}


def test_a_verdict_is_asked_and_never_on_its_edge(around: Surroundings) -> None:
    """The right verdict follows from the answer, and no answer lies within the tolerance of the limit."""
    item = with_changes(
        CHAIN,
        slips=(*CHAIN.slips,),
        draw={**CHAIN.draw, "limit": Draw(among=(40.0,), unit="L")},
        verdicts={"enough": "answer <= limit", "short": "answer > limit"},
        verdict_texts={"enough": "{limit} lasts", "short": "{limit} does not last"},
        verdict_why={"enough": "More is burnt than is there."},
    )
    seen = set()
    for seed in range(40):
        variant = make_variant(item, seed, around)
        key = number_key(variant)
        seen.add(key.verdict)
        assert key.verdict == ("enough" if key.value <= 40 else "short")
        assert abs(key.value - 40) > key.tolerance * 0.999
        wrong = {"enough": "short", "short": "enough"}[key.verdict]
        assert mark(variant, {"text": key.shown, "verdict": wrong}).share == 0.5
        assert mark(variant, own_answer(variant)).right
    assert seen == {"enough", "short"}
    assert [option.text for option in variant.question.options] == ["40 L lasts", "40 L does not last"]


def test_keep_bounds_the_draw_and_a_rule_gives_its_number(around: Surroundings) -> None:
    """Only draws that meet `keep` come, and a symbol with a rule has the country's value."""
    item = with_changes(CHAIN, keep="answer > q_r", draw={**CHAIN.draw, "t": Draw(rule="longest-run")})
    with pytest.raises(SourceError, match="it compares m3 with m3/s"):
        make_variant(item, 1, around)
    item = with_changes(item, keep="q_r > p_min", draw={**item.draw, "p_min": Draw(among=(4.0,), unit="L/h")})
    for seed in range(20):
        given = {one.id: one.text for one in make_variant(item, seed, around).question.given}
        assert float(given["q_r"].split()[0]) > 4
        assert given["t"] == "8 h"


def test_worked_steps_hold_the_numbers_and_end_in_the_answer(around: Surroundings) -> None:
    """The steps are MathML with the drawn numbers in it, and the last line is the answer as a person writes it."""
    variant = make_variant(FLOW, 5, around)
    key = number_key(variant)
    steps = "".join(key.steps)
    assert "<math" in steps
    assert all(f"<mn>{one.text.split()[0]}</mn>" in steps for one in variant.question.given)
    assert key.steps[-1] == f"= <b>{key.shown.split()[0]}\u00a0L/h</b>"
    assert variant.sense == "More pressure, more flow."


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"formula": "nothing"}, "there is no formula nothing"),
        ({"draw": {"p": FLOW.draw["p"]}}, "flow needs q_r, nothing gives it"),
        ({"draw": {**FLOW.draw, "p": Draw(low=1, high=2, step=1, unit="L")}}, "p for p: L cannot be turned into bar"),
        ({"answer": Answer(unit="bar", decimals=1)}, "L/h cannot be turned into bar"),
        ({"answer": Answer(unit="L/h", decimals=1, within="nearly")}, "is no tolerance"),
        (
            {"draw": {**FLOW.draw, "p": Draw(low=2, high=1, step=1, unit="bar")}},
            "runs from low 2 up to high 1",
        ),
        ({"draw": {**FLOW.draw, "p": Draw(sheet="colour")}}, "has no number in colour"),
        ({"draw": {**FLOW.draw, "p": Draw(rule="none")}}, "no rule none is a number"),
        ({"slips": (ItemSlip(id="unit", relation="q_r*p", say="x"),)}, "the relation gives"),
        ({"slips": (ItemSlip(id="no-root", relation="q_r", say="x"),)}, "the slip no-root stands twice"),
        ({"slips": (ItemSlip(id="x", relation="q_r", say="x", link="far"),)}, "there is no link far"),
        ({"ask": "{colour}?"}, "{colour} is not drawn"),
        ({"verdicts": {"only": "p > 1 "}}, "the verdict only has no text"),
        ({"chain": (Link(let="a", formula="flow"),)}, "needs a formula or a chain"),
    ],
)
def test_an_unsound_item_is_a_fault_at_its_line(around: Surroundings, changes: dict[str, Any], what: str) -> None:
    """Each fault of an item is a SourceError that says what is wrong; nothing is raised past the check."""
    faults = check_items([with_changes(FLOW, **changes)], around)
    assert faults
    assert what in " / ".join(fault.what for fault in faults)


VERDICTS = {
    "draw": {**FLOW.draw, "limit": Draw(among=(5.0,), unit="L/h")},
    "verdict_texts": {"enough": "up to {limit}", "much": "more than {limit}"},
}


def test_each_verdict_is_right_in_about_as_many_draws(around: Surroundings) -> None:
    """A verdict is chosen before its numbers, so that nobody has half a mark by always naming the commoner one."""
    item = with_changes(FLOW, verdicts={"enough": "answer <= limit", "much": "answer > limit"}, **VERDICTS)
    found = Counter(number_key(make_variant(item, seed, around)).verdict for seed in range(200))
    assert set(found) == {"enough", "much"}
    assert min(found.values()) > 60, found
    assert check_items([item], around) == []


def test_a_verdict_that_no_draw_makes_right_is_a_fault(around: Surroundings) -> None:
    """A verdict that is the same whatever is drawn asks nothing, and its fault says which one never comes."""
    item = with_changes(FLOW, verdicts={"enough": "answer >= 0*limit", "much": "answer < 0*limit"}, **VERDICTS)
    (fault,) = check_items([item], around)
    assert "the verdict much is right in none of 46 draws" in fault.what
