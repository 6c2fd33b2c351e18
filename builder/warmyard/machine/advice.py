"""The answer to "what may be wrong": suspects, the next check, and the sentences to say, safety first."""

from __future__ import annotations

from dataclasses import dataclass

from warmyard.machine.diagnosis import (
    NextCheck,
    Situation,
    Suspect,
    next_check,
    suspects,
    suspects_behind,
    trial_order,
)
from warmyard.machine.evidence import reasoner_of
from warmyard.machine.model import Machine
from warmyard.words import say

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
        checks = machine.checks
        unusual = [check for check, outcome in situation.seen.items() if outcome != checks[check].normal]
        return [
            say({}, "advice.contradiction" if len(unusual) > 1 else "advice.unexplained"),
            say({}, "advice.look-again"),
        ]
    if step is not None:
        return [*_say_opening(machine, situation), *_say_step(machine, step)]
    if found[0].weight >= machine.likelihoods.settled:
        cause = machine.modes[found[0].id]
        if cause.first_check and not reasoner_of(machine, situation.symptom).has_shown(cause, situation):
            return [say({}, "advice.left-over", name=found[0].name), say({}, "advice.hand-over")]
        return _say_cause(machine, situation, found[0])
    gate = machine.symptoms[situation.symptom].checks_from
    if gate is not None and not reasoner_of(machine, situation.symptom).may_be_next(situation):
        return [say({}, "advice.emergency", means=machine.preconditions[gate].means)]
    together = _say_together(machine, situation, found)
    if together:
        return together
    order = "; ".join(one.name for one in trial_order(machine, situation)[:SHOWN_IN_ORDER])
    return [
        say({}, "advice.no-more", count=len(found)),
        say({}, "advice.in-order", names=order),
        say({}, "advice.hand-over"),
    ]


def _say_together(machine: Machine, situation: Situation, found: tuple[Suspect, ...]) -> list[str]:
    """Return what serves all that is left, where the causes are known to be hard to keep apart and may be touched."""
    left = {one.id for one in found}
    for group in machine.groups:
        if left <= set(group.modes) and all(machine.modes[mode].level <= situation.level for mode in left):
            safety = dict.fromkeys(machine.modes[one.id].safety for one in found)
            names = "; ".join(one.name for one in found)
            return [say({}, "advice.together", names=names), group.why, *filter(None, safety), group.shared_remedy]
    return []


def _say_opening(machine: Machine, situation: Situation) -> list[str]:
    return [
        say({}, "advice.first", ask=check.ask)
        for check in machine.checks.values()
        if check.opens and check.id not in situation.seen and not situation.contexts and not situation.seen
    ]


def _say_step(machine: Machine, step: NextCheck) -> list[str]:
    check = machine.checks[step.check]
    why = [bar.say for bar in machine.bars if bar.id == step.clears]
    how = say({}, "advice.next", minutes=f"{step.minutes:g}", ask=check.ask)
    then = [say({}, "advice.then", means=machine.preconditions[check.then].means)] if check.then else []
    before = say({}, "advice.before", means=machine.preconditions[check.needs].means)
    return [*why, how, before, *then]


def _say_cause(machine: Machine, situation: Situation, cause: Suspect) -> list[str]:
    mode = machine.modes[cause.id]
    said = [f"{cause.name}.", mode.safety, mode.remedy, say({}, "advice.fit", fit=mode.fit_to_return)]
    behind = suspects_behind(machine, situation, cause.id)
    if behind:
        said.append(say({}, "advice.behind", names="; ".join(one.name for one in behind[:SHOWN_IN_ORDER])))
    return said
