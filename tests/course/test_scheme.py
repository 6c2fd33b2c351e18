"""The scheme: refused part by part when incomplete, and its cells filled as a paper would fill them."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from warmyard.course.scheme import apart, check_scheme, fit_for, unfilled
from warmyard.course.scheme_model import Level, Part, RenewsWith, Scheme
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.item.kinds.choice.schema import Choice, Option
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.model import Item

replace = msgspec.structs.replace
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


@pytest.fixture(scope="module")
def workspace() -> Workspace:
    """Give the small yard, loaded once."""
    return read_workspace(SMALL_YARD)


def says(workspace: Workspace, scheme: Scheme) -> str:
    """Return all faults of a scheme in one text."""
    found = check_scheme(scheme, workspace.skills, workspace.stations, workspace.items)
    return "\n".join(str(fault) for fault in found)


def with_level(scheme: Scheme, **changes: object) -> Scheme:
    """Return the scheme with its only level changed."""
    return replace(scheme, levels=(replace(scheme.levels[0], **changes),))


def with_part(scheme: Scheme, at: int, **changes: object) -> Scheme:
    """Return the scheme with one part of its level changed."""
    parts = list(scheme.levels[0].parts)
    parts[at] = replace(parts[at], **changes)
    return with_level(scheme, parts=tuple(parts))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"claim": " "}, "has no claim"),
        ({"job_analysis": ""}, "has no job analysis"),
        ({"job_analysis_on": "last year"}, "is not a date"),
        ({"conduct": ()}, "has no conduct"),
        ({"activities": ()}, "has no activities"),
        ({"reasons": ()}, "no reason code for grant"),
        ({"conflict_months": 0}, "conflict months: 0 is out of bounds"),
        ({"notice_days": 10**9}, "notice days: 1000000000 is out of bounds"),
        ({"id": "My <Scheme>"}, "is no id in the scheme"),
        ({"version": "1" * 41}, "a version of 41 characters"),
    ],
)
def test_a_scheme_without_a_part_is_refused(workspace: Workspace, changes: dict[str, object], words: str) -> None:
    """Every part that a scheme must have is named when it is missing."""
    assert words in says(workspace, replace(workspace.scheme, **changes))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"prerequisites": ()}, "has no prerequisites"),
        ({"scope": ""}, "says nothing about scope"),
        ({"valid_months": 0}, "valid months: 0 is out of bounds"),
        ({"activities": ("fly",)}, "there is no activity fly"),
        ({"renewal": " "}, "says nothing about renewal"),
    ],
)
def test_a_level_without_a_part_is_refused(workspace: Workspace, changes: dict[str, object], words: str) -> None:
    """Every part that a level must have is named when it is missing."""
    assert words in says(workspace, with_level(workspace.scheme, **changes))


@pytest.mark.parametrize(
    ("id_", "count", "words"),
    [
        ("level-2", 1, "level 2 rests on level-2, which is no lower level"),
        ("level-9", 1, "level 2 rests on level-9, which is no lower level"),
        ("surveillance", 1, "would count for both"),
        ("hours under sight", 1, "is no id in prerequisites of level 2"),
        ("hours", 0, "count: 0 is out of bounds"),
        ("hours", -40, "count: -40 is out of bounds"),
    ],
)
def test_a_prerequisite_that_asks_for_nothing_is_refused(
    workspace: Workspace, id_: str, count: int, words: str
) -> None:
    """A prerequisite that nobody can have, or that everybody has, is named."""
    wanted = replace(workspace.scheme.levels[0].prerequisites[0], id=id_, count=count)
    assert words in says(workspace, with_level(workspace.scheme, prerequisites=(wanted,)))


def test_what_stands_twice_in_a_level_is_refused(workspace: Workspace) -> None:
    """Prerequisites, parts and stations stand once, or one piece of evidence would do for two."""
    level = workspace.scheme.levels[0]
    twice = with_level(workspace.scheme, prerequisites=level.prerequisites * 2, parts=level.parts * 2)
    for words in ("in prerequisites of level 2", "in parts of level 2", "in stations of level 2"):
        assert f"stands twice {words}" in says(workspace, twice)


def test_a_part_without_an_adopted_cut_is_refused(workspace: Workspace) -> None:
    """No cut, or a cut that nobody adopted, is a fault of its part."""
    assert "no adopted cut" in says(workspace, with_part(workspace.scheme, 0, cut=None))
    cut = workspace.scheme.levels[0].parts[0].cut
    assert cut is not None
    assert "nobody who adopted" in says(workspace, with_part(workspace.scheme, 0, cut=replace(cut, adopted_by="")))


def test_a_level_needs_a_paper_and_stations(workspace: Workspace) -> None:
    """Knowledge alone certifies nobody."""
    only_paper: tuple[Part, ...] = workspace.scheme.levels[0].parts[:1]
    assert "no part of kind stations" in says(workspace, with_level(workspace.scheme, parts=only_paper))


def test_a_cell_that_the_bank_cannot_fill_is_named(workspace: Workspace) -> None:
    """The fault names duty, demand, the count wanted and the count there."""
    level: Level = workspace.scheme.levels[0]
    rows = (replace(level.parts[0].blueprint[0], count=3), *level.parts[0].blueprint[1:])
    found = says(workspace, with_part(workspace.scheme, 0, blueprint=rows))
    assert "cell fuel/apply of paper-2 wants 3 exam items, the bank can fill 2" in found


def test_more_critical_items_than_the_cells_hold_are_refused(workspace: Workspace) -> None:
    """A paper cannot ask for critical items that its cells have not got."""
    assert "wants 2 critical items" in says(workspace, with_part(workspace.scheme, 0, critical_items=2))


def item(id_: str, *enemies: str) -> Choice:
    """Return an exam item of which only id and enemies matter."""
    options = (Option(id="a", text="a", why="a", right=True),)
    return Choice(
        id=id_, skill="s", criticality=1, use="exam", demand="recall", ask="?", options=options, enemies=enemies
    )


def test_enemies_never_count_together() -> None:
    """Of two enemies one counts, whichever of them names the other."""
    assert apart([item("a"), item("b", "a"), item("c")]) == ["a", "c"]


@settings(max_examples=80, deadline=None)
@given(st.lists(st.sets(st.sampled_from("abcde")), max_size=6))
def test_cells_are_filled_as_far_as_any_way_fills_them(slots: list[set[str]]) -> None:
    """The slots left empty are as few as the best of all assignments leaves."""

    def best(at: int, used: frozenset[str]) -> int:
        if at == len(slots):
            return 0
        taken = [1 + best(at + 1, used | {name}) for name in slots[at] - used]
        return max([best(at + 1, used), *taken])

    assert len(slots) - len(unfilled(slots)) == best(0, frozenset())


def rated(workspace: Workspace, percent: int | None) -> dict[str, Item]:
    """Return the items, each with the same expected share, or none with one."""
    return {name: replace(item, expected_percent=percent) for name, item in workspace.items.items()}


@pytest.mark.parametrize(
    ("percent", "words"), [(None, "have no expected share"), (50, "reach 50.0 to 50.0 %"), (70, "")]
)
def test_parallel_papers_want_rated_items_and_a_cut_in_reach(
    workspace: Workspace, percent: int | None, words: str
) -> None:
    """A scheme whose papers are to be parallel is refused when items are unrated or nobody can be drawn to the cut."""
    scheme = replace(workspace.scheme, parallel_percent=1)
    found = check_scheme(scheme, workspace.skills, workspace.stations, rated(workspace, percent))
    assert [str(fault) for fault in found if words and words in str(fault)] if words else not found


def test_a_station_is_marked_with_the_cut_of_its_part(workspace: Workspace) -> None:
    """Two cuts for one station are refused: an observer would follow the other one."""
    part = workspace.scheme.levels[0].parts[1]
    assert part.cut is not None
    assert "is marked with 85 %" in says(workspace, with_part(workspace.scheme, 1, cut=replace(part.cut, percent=90)))


def test_a_level_is_asked_no_fault_that_it_may_not_look_into(workspace: Workspace) -> None:
    """Items for a higher level are left out; everything else stays."""
    level = workspace.scheme.levels[0]
    cases = {name for name, item in workspace.items.items() if isinstance(item, FaultCase)}
    low = {name: replace(item, level=3) if name in cases else item for name, item in workspace.items.items()}
    assert cases
    assert set(fit_for(level, low)) == set(low) - cases
    assert set(fit_for(replace(level, level=3), low)) == set(low)


def test_papers_ask_only_the_level_s_readers(workspace: Workspace) -> None:
    """A skill that new hires are not taught is in no paper of theirs, and the cell that wants it stays short."""
    assert "the bank can fill" in says(workspace, with_level(workspace.scheme, audience="new-hire"))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"parts": ()}, "a renewal without parts"),
        ({"stations": ()}, "a renewal without stations"),
        ({"parts": ("oral",)}, "a renewal with oral, which is not there; level 2 has paper-2"),
        ({"stations": ("juggling",)}, "a renewal with juggling, which is not there; level 2 has filter-change"),
        ({"months_after": -1}, "months after: -1 is out of bounds"),
        ({}, ""),
    ],
)
def test_a_renewal_asks_for_what_the_level_has(workspace: Workspace, changes: dict[str, object], words: str) -> None:
    """Parts and stations of a renewal are named from those of the level, at least one of each."""
    wanted = RenewsWith(parts=("paper-2",), stations=("filter-change",), months_after=6)
    said = says(workspace, with_level(workspace.scheme, renews_with=replace(wanted, **changes)))
    assert words in said if words else not said
