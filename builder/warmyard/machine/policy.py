"""Whole ways through a diagnosis, each step the next best check."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from warmyard.machine import reasoning
from warmyard.machine.diagnosis import first_clearing, rank_checks, verify_situation
from warmyard.machine.evidence import Hypothesis, Reasoner, Situation, reasoner_of
from warmyard.machine.model import Check, Machine

LEAST_WEIGHT = 0.04


@dataclass(frozen=True, slots=True)
class Policy:
    """A check with its minutes and what to do after each outcome; at a leaf `check` is empty and `causes` remain."""

    causes: tuple[str, ...]
    expected_minutes: float
    check: str = ""
    minutes: float = 0.0
    branches: Mapping[str, Policy] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Plan:
    """A policy for the causes that weigh enough, and the share of the weight that they cover."""

    policy: Policy
    covers: float


def likely(machine: Machine, situation: Situation, least_weight: float = LEAST_WEIGHT) -> dict[Hypothesis, float]:
    """Return the causes, each alone, that weigh at least so much in a situation; their weights sum to 1."""
    verify_situation(machine, situation)
    weights = reasoner_of(machine, situation.symptom).weights(situation)
    summed = reasoning.by_label(weights, lambda hypothesis: hypothesis.cause)
    kept = {Hypothesis(str(cause)): weight for cause, weight in summed.items() if weight >= least_weight}
    return reasoning.posterior(kept, lambda _: 1.0)


def greedy_policy(machine: Machine, situation: Situation, least_weight: float = LEAST_WEIGHT) -> Plan:
    """Return the way that the next best check leads, for the causes that weigh enough."""
    weights = likely(machine, situation, least_weight)
    policy = _greedy(reasoner_of(machine, situation.symptom), situation, weights)
    return Plan(policy, covered(machine, situation, weights))


def covered(machine: Machine, situation: Situation, weights: Mapping[Hypothesis, float]) -> float:
    """Return the share of the weight in a situation that these causes carry."""
    summed = reasoning.by_label(reasoner_of(machine, situation.symptom).weights(situation), lambda h: h.cause)
    return math.fsum(weight for cause, weight in summed.items() if Hypothesis(str(cause)) in weights)


def _greedy(reasoner: Reasoner, situation: Situation, weights: Mapping[Hypothesis, float]) -> Policy:
    step = None
    if reasoner.may_be_next(situation) and not is_settled(reasoner, weights):
        ranked = rank_checks(reasoner, situation, weights)
        step = first_clearing(reasoner, situation, weights) or (ranked[0] if ranked else None)
    if step is None:
        return leaf(weights)
    check = reasoner.machine.checks[step.check]
    branches = {
        outcome: _greedy(reasoner, after, left)
        for outcome, (after, left, _) in after_each_outcome(reasoner, situation, weights, check).items()
    }
    return step_of(reasoner, situation, weights, check, branches)


def leaf(weights: Mapping[Hypothesis, float]) -> Policy:
    """Return the end of a way: the causes that are left, the likeliest first."""
    return Policy(tuple(one.cause for one in sorted(weights, key=lambda one: -weights[one])), 0.0)


def is_settled(reasoner: Reasoner, weights: Mapping[Hypothesis, float]) -> bool:
    """Say whether one cause is left, or weighs enough to count as found."""
    return len(weights) < 2 or max(weights.values()) >= reasoner.machine.likelihoods.settled


def after_each_outcome(
    reasoner: Reasoner, situation: Situation, weights: Mapping[Hypothesis, float], check: Check
) -> dict[str, tuple[Situation, dict[Hypothesis, float], float]]:
    """Return per outcome the situation after it, the causes left with their weights, and the outcome's chance."""
    standing = reasoner.standing_after(situation.standing or reasoner.first_standing(), check)
    chances: dict[str, float] = {}
    for hypothesis, weight in weights.items():
        outcome = reasoner.expected(hypothesis, check)
        chances[outcome] = chances.get(outcome, 0.0) + weight
    found = {}
    for outcome, chance in chances.items():
        kept = weights if outcome in reasoner.states_of(check) else reasoner.keeping[check.id][outcome]
        left = reasoning.posterior({one: weights[one] for one in kept if one in weights}, lambda _: 1.0)
        found[outcome] = (situation.with_seen(check.id, outcome, standing), left, chance)
    return found


def step_of(
    reasoner: Reasoner,
    situation: Situation,
    weights: Mapping[Hypothesis, float],
    check: Check,
    branches: Mapping[str, Policy],
) -> Policy:
    """Return a check with what follows each of its outcomes, and the minutes to be expected of it all."""
    minutes = reasoner.minutes(situation.standing or reasoner.first_standing(), check) or 0.0
    after = after_each_outcome(reasoner, situation, weights, check)
    later = math.fsum(after[outcome][2] * branch.expected_minutes for outcome, branch in branches.items())
    return Policy(leaf(weights).causes, minutes + later, check.id, minutes, branches)
