"""The best way through a fault case: check by check as the machine model would, with the reason at each step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from warmyard.item.words import bare
from warmyard.machine.diagnosis import NextCheck, Reasoner, Situation, next_check, rank_checks, suspects
from warmyard.words import say

MOST_STEPS = 60
MOVE = "to:"


@dataclass(frozen=True, slots=True)
class Path:
    """Steps in order (check ids, and "to:PRECONDITION" moves), minutes with all moves, one reason per step."""

    steps: tuple[str, ...]
    minutes: float
    reasons: tuple[str, ...]


class _Way:
    """A way through a case while it is walked."""

    def __init__(self, reasoner: Reasoner, situation: Situation, outcomes: Mapping[str, str]) -> None:
        self.machine, self.reasoner = reasoner.machine, reasoner
        self.situation, self.outcomes = situation, outcomes
        self.steps: list[str] = []
        self.reasons: list[str] = []
        self.minutes = 0.0
        self.left = suspects(self.machine, situation, reasoner)

    def take(self, name: str, reason: str = "") -> None:
        """Make a check, moving down the ladder first where that is needed."""
        check = self.machine.checks[name]
        standing = self.situation.standing or self.reasoner.first_standing()
        move = self.reasoner.ladder[standing].get(check.needs, 0.0)
        if move > 0:
            self.steps.append(f"{MOVE}{check.needs}")
            needed = self.machine.preconditions[check.needs]
            self.reasons.append(say({}, "case.moves", name=needed.name, minutes=f"{move:g}"))
        if self.outcomes[name] in check.cannot:
            # what cannot be done takes no more than the way to it
            self.minutes += move
            after = check.needs if move > 0 else standing
        else:
            self.minutes += self.reasoner.minutes(standing, check) or 0.0
            after = self.reasoner.standing_after(standing, check)
        self.situation = self.situation.with_seen(name, self.outcomes[name], after)
        self.left = suspects(self.machine, self.situation, self.reasoner)
        self.steps.append(name)
        self.reasons.append(reason or self._leading())

    def _leading(self) -> str:
        if not self.left:
            return ""
        percent = f"{self.left[0].weight * 100:.0f}"
        return say({}, "case.narrows", name=bare(self.left[0].name), percent=percent)

    def next_step(self, mode: str) -> NextCheck | None:
        """Return the next best check; where the model is settled on another mode, the best that still tells."""
        step = next_check(self.machine, self.situation, self.reasoner)
        if step is not None or not self.left or self.left[0].id == mode:
            return step
        ranked = rank_checks(self.reasoner, self.situation, self.reasoner.weights(self.situation))
        return ranked[0] if ranked else None


def best_path(reasoner: Reasoner, situation: Situation, outcomes: Mapping[str, str], mode: str) -> Path:
    """Return the way that the next best check leads, each check showing what it shows in the case."""
    machine = reasoner.machine
    way = _Way(reasoner, situation, outcomes)
    for check in machine.checks.values():
        if check.opens and check.level <= situation.level:
            way.take(check.id, say({}, "case.opens"))
    while len(way.steps) < MOST_STEPS:
        step = way.next_step(mode)
        if step is None:
            break
        way.take(step.check, next((bar.say for bar in machine.bars if bar.id == step.clears), ""))
    return Path(tuple(way.steps), way.minutes, tuple(way.reasons))
