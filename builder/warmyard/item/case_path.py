"""The best way through a fault case: check by check as the machine model would, with the reason at each step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from warmyard.item.words import say
from warmyard.machine.diagnosis import Reasoner, Situation, next_check, suspects
from warmyard.machine.model import Machine

MOST_STEPS = 60
MOVE = "to:"
SURE = 0.999


@dataclass(frozen=True, slots=True)
class Path:
    """Steps in order (check ids, and "to:PRECONDITION" moves), minutes with all moves, one reason per step."""

    steps: tuple[str, ...]
    minutes: float
    reasons: tuple[str, ...]


class _Way:
    """A way through a case while it is walked."""

    def __init__(self, machine: Machine, situation: Situation, outcomes: Mapping[str, str]) -> None:
        self.machine, self.situation, self.outcomes = machine, situation, outcomes
        self.reasoner = Reasoner(machine, situation.symptom)
        self.steps: list[str] = []
        self.reasons: list[str] = []
        self.minutes = 0.0

    def take(self, name: str, reason: str = "") -> None:
        """Make a check, moving down the ladder first where that is needed."""
        check = self.machine.checks[name]
        standing = self.situation.standing or self.reasoner.first_standing()
        move = self.reasoner.ladder[standing].get(check.needs, 0.0)
        if move > 0:
            self.steps.append(f"{MOVE}{check.needs}")
            needed = self.machine.preconditions[check.needs]
            self.reasons.append(say({}, "case.moves", name=needed.name, minutes=f"{move:g}"))
        before = len(suspects(self.machine, self.situation))
        self.minutes += self.reasoner.minutes(standing, check) or 0.0
        after = self.reasoner.standing_after(standing, check)
        self.situation = self.situation.with_seen(name, self.outcomes[name], after)
        left = len(suspects(self.machine, self.situation))
        self.steps.append(name)
        self.reasons.append(reason or say({}, "case.narrows", before=str(before), after=str(left)))


def best_path(machine: Machine, situation: Situation, outcomes: Mapping[str, str], mode: str) -> Path:
    """Return the way that the next best check leads, each check showing what it shows in the case."""
    way = _Way(machine, situation, outcomes)
    for check in machine.checks.values():
        if check.opens and check.level <= situation.level:
            way.take(check.id, say({}, "case.opens"))
    while len(way.steps) < MOST_STEPS:
        left = suspects(machine, way.situation)
        step = (
            None if not left or (left[0].id == mode and left[0].weight >= SURE) else next_check(machine, way.situation)
        )
        if step is None:
            break
        cleared = next((bar.say for bar in machine.bars if bar.id == step.clears), "")
        way.take(step.check, cleared)
    return Path(tuple(way.steps), way.minutes, tuple(way.reasons))
