"""The demo: each person for another reason, some wrong answers, two observers, so that figures show something."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date

from demo_records import Demo

from warmyard.certify.demo.cast import CANDIDATES, NAMES
from warmyard.certify.exam.blueprint import expected_share
from warmyard.certify.ledger.bodies import Observation, Sitting
from warmyard.certify.rules.clearance import board
from warmyard.course.workspace import Workspace

WHY_NOT = {
    "bram": "expired on", "cleo": "suspended on", "dane": "nobody has observed it yet",
    "edda": "the decider, Ines Harrowgate, trained this person", "finn": "withdrawn on",
    "greta": "surveillance was due on", "hugo": "the cut is", "isla": "a critical item missed",
    "jory": "no answer is recorded", "karin": "prerequisite missing", "lorne": "is not handed in",
    "nadia": "reported stolen", "petra": "the certificate begins on",
    "wilf": "the decider, Ines Harrowgate, declared an interest",
}  # fmt: skip
"""Who may not go out alone for anything, and what the sentence on the board says."""


def test_each_is_cleared_or_not_for_another_reason(whole_demo: Demo) -> None:
    """Twenty people: no two of them stand where they stand for the same reason."""
    _, state = whole_demo.open()
    answers = board(state, whole_demo.made.date(), named=NAMES)
    said = {person: [each for each in answers if each.person == person] for person, _, _ in CANDIDATES}
    whole = {person for person, mine in said.items() if all(each.may_go_alone for each in mine)}
    some = {person for person, mine in said.items() if any(each.may_go_alone for each in mine)} - whole
    assert (whole, some) == ({"sten"}, {"asta", "mirel", "otis", "tarn", "ulla"})
    reasons = {person: said[person][0].reason for person in said if person not in whole | some}
    assert {person: word for person, word in WHY_NOT.items() if word in reasons[person]} == WHY_NOT
    assert len(set(reasons.values())) == len(reasons) == len(WHY_NOT)
    assert "(5 of 8)" in said["mirel"][-1].reason


def test_who_was_not_passed_was_not_passed_for_another_reason(whole_demo: Demo) -> None:
    """One is below the cut without a critical miss, one reached the cut with a critical miss; all others passed."""
    _, state = whole_demo.open()
    failed = {fact.entry.person: fact.body for fact in state.sittings.values() if not fact.body.passed}
    assert set(failed) == {"hugo", "isla"}
    assert failed["hugo"].right * 100 < float(failed["hugo"].cut_percent) * failed["hugo"].of
    assert not failed["hugo"].critical_missed
    assert failed["isla"].right * 100 >= float(failed["isla"].cut_percent) * failed["isla"].of
    assert len(failed["isla"].critical_missed) == 1
    assert sum(fact.body.right < fact.body.of for fact in state.sittings.values()) >= 8


def test_a_renewal_rests_on_what_the_scheme_asks_again(whole_demo: Demo, whole_workspace: Workspace) -> None:
    """Two papers and two stations renewed the certificate, not the whole examination; it runs three years on."""
    _, state = whole_demo.open()
    first, second = (grant for grant in state.grants.values() if grant.entry.person == "ulla")
    fresh = [state.by_number[number].body for number in second.body.evidence if number > first.entry.number]
    level = whole_workspace.scheme.levels[0]
    assert level.renews_with is not None
    assert {body.part for body in fresh if isinstance(body, Sitting)} == set(level.renews_with.parts)
    assert {body.station for body in fresh if isinstance(body, Observation)} == set(level.renews_with.stations)
    assert (date.fromisoformat(second.body.until) - whole_demo.made.date()).days > 1000


def test_papers_of_a_part_are_parallel_and_spread_over_the_bank(whole_demo: Demo, whole_workspace: Workspace) -> None:
    """Any two papers of a part lie within one percent, and no item stands in every one of a knowledge paper."""
    _, state = whole_demo.open()
    shares: dict[tuple[int, str], list[float]] = defaultdict(list)
    given: dict[tuple[int, str], Counter[str]] = defaultdict(Counter)
    for paper in state.papers.values():
        kind = (paper.body.level, paper.body.part)
        shares[kind].append(expected_share([whole_workspace.items[name] for name in paper.body.items]))
        given[kind].update(paper.body.items)
    assert {kind for kind, found in shares.items() if max(found) - min(found) > 1 + 1e-9} == set()
    assert max(given[2, "knowledge"].values()) < len(shares[2, "knowledge"])


def test_two_observers_saw_the_same_performances(demo: Demo) -> None:
    """Two candidates were seen by two people, who agree on one point that was not passed and differ on another."""
    _, state = demo.open()
    differ = {}
    for person in ("asta", "cleo"):
        first, second = (fact.body for fact in state.of(person, Observation))
        assert (first.role, second.role, first.passed, second.passed) == ("first", "second", True, True)
        assert first.observers != second.observers
        differ[person] = [point for point in first.points if first.points[point] != second.points[point]]
    assert differ == {"asta": [], "cleo": ["rise-measured"]}
