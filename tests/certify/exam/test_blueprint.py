"""Drawing the items of a paper: exact counts, exact critical items, enemies apart, whatever the bank looks like."""

from __future__ import annotations

from collections import Counter
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from warmyard.certify.exam.blueprint import are_enemies, draw_part, expected_share
from warmyard.course.model import Skill
from warmyard.course.scheme_model import BlueprintRow, Cut, Part
from warmyard.errors import InputError
from warmyard.item.chance import chance_for
from warmyard.item.kinds.choice.schema import Choice, Option
from warmyard.item.kinds.picture_point.schema import PicturePoint
from warmyard.item.model import Item

DUTIES = ("flue", "fuel", "start")
SKILLS = {
    f"{duty}-skill": Skill(id=f"{duty}-skill", task="T1", duty=duty, title=duty, criticality=2, audience=("customer",))
    for duty in DUTIES
}
OPTIONS = (Option(id="a", text="a", why="a", right=True), Option(id="b", text="b", why="b"))


def choice(name: str, duty: str, demand: Any = "apply", *, critical: bool = False, enemies: Any = ()) -> Item:
    """Return a small exam item."""
    return Choice(
        id=name, skill=f"{duty}-skill", criticality=2, use="exam", demand=demand, ask="?", critical=critical,
        enemies=enemies, options=OPTIONS,
    )  # fmt: skip


def part(rows: tuple[BlueprintRow, ...], critical: int) -> Part:
    """Return a paper part with a blueprint."""
    return Part(id="knowledge", title="Paper", kind="paper", minutes=30, blueprint=rows, critical_items=critical)


ROWS = (
    BlueprintRow(duty="flue", demand="apply", count=3),
    BlueprintRow(duty="fuel", demand="apply", count=2),
    BlueprintRow(duty="start", demand="judge", count=1),
)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**52), spare=st.integers(0, 4), critical=st.integers(1, 4))
def test_every_draw_has_the_counts_of_the_blueprint(seed: int, spare: int, critical: int) -> None:
    """Counts by duty and demand, and the number of critical items, are exact in every draw."""
    items: dict[str, Item] = {}
    for duty, demand, have in (("flue", "apply", 4), ("fuel", "apply", 3), ("start", "judge", 2)):
        for at in range(have + spare):
            for is_critical in (False, True):
                name = f"{duty}-{at}-{is_critical}"
                items[name] = choice(name, duty, demand, critical=is_critical)
    drawn = draw_part(part(ROWS, critical), SKILLS, items, chance_for(1, seed))
    cells = Counter((SKILLS[item.skill].duty, item.demand) for item in drawn)
    assert cells == {("flue", "apply"): 3, ("fuel", "apply"): 2, ("start", "judge"): 1}
    assert sum(item.critical for item in drawn) == critical
    assert len({item.id for item in drawn}) == len(drawn)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**52))
def test_enemies_never_stand_together(seed: int) -> None:
    """Where every item has an enemy, a draw still never holds both, whichever of them names the other."""
    items = {f"f{at}": choice(f"f{at}", "flue", enemies=(f"f{at ^ 1}",) if at % 2 else ()) for at in range(8)}
    drawn = draw_part(part(ROWS[:1], 0), SKILLS, items, chance_for(1, seed))
    assert len(drawn) == 3
    assert not any(are_enemies(one, other) for one in drawn for other in drawn if one is not other)


def test_the_same_seed_draws_the_same_items_and_other_seeds_others() -> None:
    """Drawing depends on the seed and on nothing else."""
    items = {f"f{at}": choice(f"f{at}", "flue") for at in range(20)}
    wanted = part(ROWS[:1], 0)
    draws = [[item.id for item in draw_part(wanted, SKILLS, items, chance_for(1, seed))] for seed in (5, 5, 6)]
    assert draws[0] == draws[1]
    assert draws[0] != draws[2]


def test_a_cell_for_one_kind_is_not_eaten_by_a_cell_for_any() -> None:
    """A row that wants a picture gets the only one, though another row might have taken it."""
    items: dict[str, Item] = {f"f{at}": choice(f"f{at}", "flue") for at in range(3)}
    items["picture"] = PicturePoint(
        id="picture", skill="flue-skill", criticality=2, use="exam", demand="apply", ask="?", picture="p", right=("a",)
    )
    rows = (
        BlueprintRow(duty="flue", demand="apply", count=3),
        BlueprintRow(duty="flue", demand="apply", count=1, kinds=("picture-point",)),
    )
    for seed in range(20):
        drawn = draw_part(part(rows, 0), SKILLS, items, chance_for(1, seed))
        assert {item.id for item in drawn} == {"f0", "f1", "f2", "picture"}


@pytest.mark.parametrize(("critical", "enemies"), [(2, ()), (0, ("f0", "f1", "f2", "f3"))])
def test_a_bank_that_cannot_fill_the_blueprint_is_refused(critical: int, enemies: tuple[str, ...]) -> None:
    """Too few critical items, or only enemies: one sentence, never a short paper."""
    items = {f"f{at}": choice(f"f{at}", "flue", enemies=enemies) for at in range(4)}
    with pytest.raises(InputError, match="cannot fill the blueprint"):
        draw_part(part(ROWS[:1], critical), SKILLS, items, chance_for(1, 1))


CUT = Cut(percent=70, method="judged", judges=5, standard_error=2, set_on="2026-01-10", adopted_by="The owner")


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**52), shares=st.lists(st.integers(40, 100), min_size=36, max_size=36))
def test_any_two_papers_are_parallel_and_still_by_the_blueprint(seed: int, shares: list[int]) -> None:
    """Whatever the items are rated, papers lie at the cut; counts, critical items and enemies stay as they must."""
    items: dict[str, Item] = {}
    for at, share in enumerate(shares):
        duty, demand = (("flue", "apply"), ("fuel", "apply"), ("start", "judge"))[at % 3]
        enemies = (f"i{at - 3}",) if at % 2 and at >= 3 else ()
        made = choice(f"i{at}", duty, demand, critical=at % 4 == 0, enemies=enemies)
        items[made.id] = msgspec.structs.replace(made, expected_percent=share)
    wanted = msgspec.structs.replace(part(ROWS, 2), cut=CUT)
    try:
        drawn = [draw_part(wanted, SKILLS, items, chance_for(1, seed + at), parallel_percent=1) for at in range(2)]
    except InputError:
        # Items that are all too hard or too easy cannot give such a paper; `check` says so before anybody draws.
        return
    assert abs(expected_share(drawn[0]) - expected_share(drawn[1])) <= 1 + 1e-9
    for paper in drawn:
        assert abs(expected_share(paper) - 70) <= 0.5 + 1e-9
        assert Counter(SKILLS[item.skill].duty for item in paper) == {"flue": 3, "fuel": 2, "start": 1}
        assert sum(item.critical for item in paper) == 2
        assert len({item.id for item in paper}) == 6
        assert not any(are_enemies(one, other) for one in paper for other in paper if one is not other)


def test_items_that_are_all_too_hard_give_no_parallel_paper() -> None:
    """Where no paper reaches the cut the draw is refused, and says what to do."""
    items = {f"f{at}": msgspec.structs.replace(choice(f"f{at}", "flue"), expected_percent=40) for at in range(8)}
    wanted = msgspec.structs.replace(part(ROWS[:1], 0), cut=CUT)
    with pytest.raises(InputError, match="cannot fill the blueprint"):
        draw_part(wanted, SKILLS, items, chance_for(1, 1), parallel_percent=1)
    assert len(draw_part(wanted, SKILLS, items, chance_for(1, 1))) == 3
