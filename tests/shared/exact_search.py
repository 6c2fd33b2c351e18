"""The best way through a small case by exact search: the measure of the greedy way that the course takes."""

from __future__ import annotations

from collections.abc import Mapping

from warmyard.machine import reasoning
from warmyard.machine.diagnosis import first_clearing, rank_checks
from warmyard.machine.evidence import Hypothesis, Reasoner, Situation
from warmyard.machine.model import Check, Machine
from warmyard.machine.policy import (
    LEAST_WEIGHT,
    Plan,
    Policy,
    after_each_outcome,
    covered,
    greedy_policy,
    is_settled,
    leaf,
    likely,
    step_of,
)

MOST_CAUSES = 12
MOST_STATES = 60_000


def best_policy(
    machine: Machine, situation: Situation, *, least_weight: float = LEAST_WEIGHT, most_causes: int = MOST_CAUSES
) -> tuple[Plan, bool]:
    """Return the way with the least expected minutes and True; the greedy one and False where the case is too large."""
    weights = likely(machine, situation, least_weight)
    if len(weights) <= most_causes:
        search = _Search(Reasoner(machine, situation.symptom), weights)
        try:
            return Plan(search.solve(situation, frozenset(weights)), covered(machine, situation, weights)), True
        except _TooLargeError:
            pass
    return greedy_policy(machine, situation, least_weight), False


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
        if is_settled(reasoner, weights) or not reasoner.may_be_next(situation):
            return leaf(weights)
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
                for outcome, (after, kept, _) in after_each_outcome(reasoner, situation, weights, check).items()
            }
            node = step_of(reasoner, situation, weights, check, branches)
            if found is None or node.expected_minutes < found.expected_minutes - 1e-9:
                found = node
        return found or leaf(weights)
