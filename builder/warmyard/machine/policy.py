"""Whole ways through a diagnosis: the greedy one, and the best one by exact search where the case is small enough."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from warmyard.machine import reasoning
from warmyard.machine.diagnosis import check_situation, first_clearing, rank_checks
from warmyard.machine.evidence import Hypothesis, Reasoner, Situation
from warmyard.machine.model import Check, Machine

LEAST_WEIGHT = 0.03
MOST_CAUSES = 12
MOST_STATES = 60_000


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
    """A policy for the causes that weigh enough, the share of the weight they cover, and whether it is the best."""

    policy: Policy
    covers: float
    exact: bool


def likely(machine: Machine, situation: Situation, least_weight: float = LEAST_WEIGHT) -> dict[Hypothesis, float]:
    """Return the causes, each alone, that weigh at least so much in a situation; their weights sum to 1."""
    check_situation(machine, situation)
    weights = Reasoner(machine, situation.symptom).weights(situation)
    summed = reasoning.by_label(weights, lambda hypothesis: hypothesis.cause)
    kept = {Hypothesis(str(cause)): weight for cause, weight in summed.items() if weight >= least_weight}
    return reasoning.posterior(kept, lambda _: 1.0)


def greedy_policy(machine: Machine, situation: Situation, least_weight: float = LEAST_WEIGHT) -> Plan:
    """Return the way that the next best check leads, for the causes that weigh enough."""
    weights = likely(machine, situation, least_weight)
    policy = _greedy(Reasoner(machine, situation.symptom), situation, weights)
    return Plan(policy, _covered(machine, situation, weights), exact=False)


def best_policy(
    machine: Machine, situation: Situation, *, least_weight: float = LEAST_WEIGHT, most_causes: int = MOST_CAUSES
) -> Plan:
    """Return the way with the least expected minutes by exact search, or the greedy one where the case is too large."""
    weights = likely(machine, situation, least_weight)
    covered = _covered(machine, situation, weights)
    if len(weights) <= most_causes:
        search = _Search(Reasoner(machine, situation.symptom), weights)
        try:
            return Plan(search.solve(situation, frozenset(weights)), covered, exact=True)
        except _TooLargeError:
            pass
    return replace(greedy_policy(machine, situation, least_weight), exact=False)


def _covered(machine: Machine, situation: Situation, weights: Mapping[Hypothesis, float]) -> float:
    summed = reasoning.by_label(Reasoner(machine, situation.symptom).weights(situation), lambda h: h.cause)
    return math.fsum(weight for cause, weight in summed.items() if Hypothesis(str(cause)) in weights)


def _greedy(reasoner: Reasoner, situation: Situation, weights: Mapping[Hypothesis, float]) -> Policy:
    step = None
    if reasoner.may_be_next(situation) and not _is_settled(reasoner, weights):
        ranked = rank_checks(reasoner, situation, weights)
        step = first_clearing(reasoner, situation, weights) or (ranked[0] if ranked else None)
    if step is None:
        return _leaf(weights)
    check = reasoner.machine.checks[step.check]
    branches = {
        outcome: _greedy(reasoner, after, left)
        for outcome, (after, left, _) in _after(reasoner, situation, weights, check).items()
    }
    return _node(reasoner, situation, weights, check, branches)


def _leaf(weights: Mapping[Hypothesis, float]) -> Policy:
    return Policy(tuple(one.cause for one in sorted(weights, key=lambda one: -weights[one])), 0.0)


def _is_settled(reasoner: Reasoner, weights: Mapping[Hypothesis, float]) -> bool:
    return len(weights) < 2 or max(weights.values()) >= reasoner.machine.likelihoods.settled


def _after(
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


def _node(
    reasoner: Reasoner,
    situation: Situation,
    weights: Mapping[Hypothesis, float],
    check: Check,
    branches: Mapping[str, Policy],
) -> Policy:
    minutes = reasoner.minutes(situation.standing or reasoner.first_standing(), check) or 0.0
    after = _after(reasoner, situation, weights, check)
    later = math.fsum(after[outcome][2] * branch.expected_minutes for outcome, branch in branches.items())
    return Policy(_leaf(weights).causes, minutes + later, check.id, minutes, branches)


class _TooLargeError(Exception):
    """The case has more states than an exact search should visit."""


class _Search:
    """Exact search over causes left, place on the ladder, and what bars need to know."""

    def __init__(self, reasoner: Reasoner, weights: Mapping[Hypothesis, float]) -> None:
        self.reasoner, self.weights = reasoner, weights
        self.solved: dict[object, Policy] = {}
        clearing = {name for bar in reasoner.machine.bars for name in bar.clear_by}
        self.remembered = {
            check.id for check in reasoner.machine.checks.values() if check.id in clearing or reasoner.is_live(check)
        }

    def solve(self, situation: Situation, left: frozenset[Hypothesis]) -> Policy:
        key = (left, situation.standing, self.memory(situation, left))
        if key not in self.solved:
            if len(self.solved) >= MOST_STATES:
                raise _TooLargeError
            self.solved[key] = self.best(situation, left)
        return self.solved[key]

    def memory(self, situation: Situation, left: frozenset[Hypothesis]) -> object:
        """Return what of the past still matters: checks that bars ask for, and checks that told nothing yet."""
        bars = tuple((bar.id, self.reasoner.uncleared(bar, situation)) for bar in self.reasoner.bars(situation))
        checks = self.reasoner.machine.checks
        used = frozenset(name for name in situation.seen if name in self.remembered or self.tells(checks[name], left))
        return bars, used

    def tells(self, check: Check, left: frozenset[Hypothesis]) -> bool:
        return len({self.reasoner.expected(hypothesis, check) for hypothesis in left}) > 1

    def best(self, situation: Situation, left: frozenset[Hypothesis]) -> Policy:
        weights = reasoning.posterior({h: self.weights[h] for h in self.weights if h in left}, lambda _: 1.0)
        reasoner = self.reasoner
        if _is_settled(reasoner, weights) or not reasoner.may_be_next(situation):
            return _leaf(weights)
        forced = first_clearing(reasoner, situation, weights)
        ranked = [forced] if forced else rank_checks(reasoner, situation, weights)
        found: Policy | None = None
        for name in dict.fromkeys(step.check for step in ranked):
            check = reasoner.machine.checks[name]
            least = reasoner.minutes(situation.standing or reasoner.first_standing(), check) or 0.0
            if found is not None and least >= found.expected_minutes:
                continue
            branches = {
                outcome: self.solve(after, frozenset(kept))
                for outcome, (after, kept, _) in _after(reasoner, situation, weights, check).items()
            }
            node = _node(reasoner, situation, weights, check, branches)
            if found is None or node.expected_minutes < found.expected_minutes - 1e-9:
                found = node
        return found or _leaf(weights)
