"""The answer to "what may be wrong": suspects, the next check, and the sentences to say, safety first."""

from __future__ import annotations

from dataclasses import dataclass

from warmyard.machine.diagnosis import (
    NextCheck,
    Reasoner,
    Situation,
    Suspect,
    next_check,
    suspects,
    suspects_behind,
    trial_order,
)
from warmyard.machine.model import Machine

SHOWN_IN_ORDER = 4


@dataclass(frozen=True, slots=True)
class Advice:
    """Suspects by falling weight, the next check or None, and what to say."""

    suspects: tuple[Suspect, ...]
    next: NextCheck | None
    say: str


def advise(machine: Machine, situation: Situation) -> Advice:
    """Return suspects, next check and sentence for a situation; raise InputError for an id that is not there."""
    found = suspects(machine, situation)
    step = next_check(machine, situation)
    sentences = [machine.symptoms[situation.symptom].caution or "", *_say(machine, situation, found, step)]
    return Advice(found, step, " ".join(sentence for sentence in sentences if sentence))


def _say(machine: Machine, situation: Situation, found: tuple[Suspect, ...], step: NextCheck | None) -> list[str]:
    if not found:
        return [
            "What was seen contradicts itself: no single fault shows all of it.",
            "Look again at the finding that you trust least, or hand over to a second technician.",
        ]
    if step is not None:
        return [*_say_opening(machine, situation), *_say_step(machine, step)]
    if found[0].weight >= machine.likelihoods.settled:
        return _say_cause(machine, situation, found[0])
    gate = machine.symptoms[situation.symptom].checks_from
    if gate is not None and not Reasoner(machine, situation.symptom).may_be_next(situation):
        return [f"This is an emergency, not a puzzle. Checks come only afterwards: {machine.preconditions[gate].means}"]
    together = _say_together(machine, situation, found)
    if together:
        return together
    order = "; ".join(one.name for one in trial_order(machine, situation)[:SHOWN_IN_ORDER])
    return [
        f"No check that is allowed from here splits these {len(found)} any further.",
        f"Likeliest for the minutes they take, in this order: {order}.",
        "Hand over to somebody of a higher level, with what was seen.",
    ]


def _say_together(machine: Machine, situation: Situation, found: tuple[Suspect, ...]) -> list[str]:
    """Return what serves all that is left, where the causes are known to be hard to keep apart and may be touched."""
    left = {one.id for one in found}
    for group in machine.groups:
        if left <= set(group.modes) and all(machine.modes[mode].level <= situation.level for mode in left):
            safety = dict.fromkeys(machine.modes[one.id].safety for one in found)
            names = "; ".join(one.name for one in found)
            return [f"Hard to tell apart: {names}.", group.why, *filter(None, safety), group.shared_remedy]
    return []


def _say_opening(machine: Machine, situation: Situation) -> list[str]:
    return [
        f"First of all: {check.ask}"
        for check in machine.checks.values()
        if check.opens and check.id not in situation.seen and not situation.contexts and not situation.seen
    ]


def _say_step(machine: Machine, step: NextCheck) -> list[str]:
    check = machine.checks[step.check]
    why = [bar.say for bar in machine.bars if bar.id == step.clears]
    how = f"Next, {step.minutes:g} min with the way there: {check.ask}"
    then = [f"For its running part: {machine.preconditions[check.then].means}"] if check.then else []
    return [*why, how, f"Before you do: {machine.preconditions[check.needs].means}", *then]


def _say_cause(machine: Machine, situation: Situation, cause: Suspect) -> list[str]:
    mode = machine.modes[cause.id]
    said = [f"{cause.name}.", mode.safety, mode.remedy, f"Fit to return: {mode.fit_to_return}"]
    behind = suspects_behind(machine, situation, cause.id)
    if behind:
        said.append(f"Look for the cause behind it too: {'; '.join(one.name for one in behind[:4])}.")
    return said
