"""The demo: each person for another reason, some wrong answers, two observers, so that figures show something."""

from __future__ import annotations

from typing import TYPE_CHECKING

from warmyard.certify.bodies import Observation
from warmyard.certify.clearance import board

if TYPE_CHECKING:
    from conftest import Demo


def test_each_is_cleared_or_not_for_another_reason(demo: Demo) -> None:
    """One goes out alone; the others are expired, suspended, short of a station, or wait for another decider."""
    _, state = demo.open()
    said = {each.person: each.reason or "goes" for each in board(state, demo.made.date(), activity="fuel-and-start")}
    found = [
        next(word for word in ("goes", "expired", "suspended", "station", "decider") if word in said[person])
        for person in ("asta", "bram", "cleo", "dane", "edda")
    ]
    assert found == ["goes", "expired", "suspended", "station", "decider"]
    assert len(said) == 5


def test_some_answers_are_wrong_and_every_sitting_is_passed(demo: Demo) -> None:
    """At least two sittings miss a question, none a critical one."""
    _, state = demo.open()
    sittings = [fact.body for fact in state.sittings.values()]
    assert sum(body.right < body.of for body in sittings) >= 2
    assert all(body.passed and not body.critical_missed for body in sittings)


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
