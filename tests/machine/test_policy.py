"""Whole ways through a diagnosis of the course's machine, and how far the greedy choice is from the best."""

from __future__ import annotations

import pytest
from exact_search import best_policy

from warmyard.machine.diagnosis import Situation
from warmyard.machine.model import Machine
from warmyard.machine.policy import Policy, greedy_policy

LIKELY = 0.05
GAPS = {
    "flame-lost": 0.35,
    "late-light-up": 0.13,
    "spark-no-flame": 0.12,
    "erratic-cycling": 0.15,
    "no-start-on-demand": 0.04,
    "lockout-in-purge": 0.37,
}
"""How far greedy may be from the best, where it is more than 2 %: it puts off the start that spends the reset."""


def steps(policy: Policy) -> set[str]:
    """Return every check of a policy."""
    found = {policy.check} if policy.check else set()
    return found.union(*(steps(branch) for branch in policy.branches.values())) if policy.branches else found


def test_greedy_stays_near_the_best(machine: Machine) -> None:
    """For every symptom the greedy way takes at most its stated share more minutes than the exact best."""
    for symptom in machine.symptoms:
        best, is_exact = best_policy(machine, Situation(symptom), least_weight=LIKELY)
        greedy = greedy_policy(machine, Situation(symptom), LIKELY)
        assert is_exact, symptom
        assert best.policy.expected_minutes <= greedy.policy.expected_minutes + 1e-9
        assert greedy.policy.expected_minutes <= best.policy.expected_minutes * (1 + GAPS.get(symptom, 0.02)) + 1e-9


def test_a_policy_covers_most_of_the_weight(machine: Machine) -> None:
    """The likely causes that a policy keeps apart carry the weight that it says."""
    plan, _ = best_policy(machine, Situation("spark-no-flame"))
    assert plan.covers == pytest.approx(0.89, abs=0.01)
    assert len(plan.policy.causes) == 10


def test_a_large_case_is_left_to_greed(machine: Machine) -> None:
    """With every mode in play the exact search steps back and says so."""
    plan, is_exact = best_policy(machine, Situation("spark-no-flame"), least_weight=0.0)
    assert not is_exact
    assert plan.covers == pytest.approx(1)


def test_no_policy_starts_after_a_bang_before_the_look(machine: Machine) -> None:
    """After a thump both ways begin with the chamber."""
    situation = Situation("late-light-up")
    for plan in (best_policy(machine, situation, least_weight=LIKELY)[0], greedy_policy(machine, situation)):
        assert plan.policy.check == "look-for-fuel-in-the-chamber"


def test_an_emergency_has_no_policy(machine: Machine) -> None:
    """Fumes inside lead to no way of checks from the telephone."""
    assert steps(greedy_policy(machine, Situation("fumes-inside")).policy) == set()
