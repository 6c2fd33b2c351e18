"""What may be wrong, and which check to make next: exact Bayes over the machine's modes, minutes and safety counted."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from warmyard.errors import InputError
from warmyard.machine import ladder, reasoning
from warmyard.machine.evidence import Hypothesis, Reasoner, Situation, certainty_now, reasoner_of
from warmyard.machine.model import Bar, Check, Machine, Mode
from warmyard.machine.nearness import must_be_one_of

LEAST_SETTLED = 1e-9
DECIMALS_COMPARED = 9
DECIMALS_OF_WEIGHTS = 12

__all__ = [
    "NextCheck",
    "Reasoner",
    "Situation",
    "Suspect",
    "first_clearing",
    "ladder_minutes",
    "next_check",
    "rank_checks",
    "suspects",
    "suspects_behind",
    "trial_order",
    "verify_situation",
]


@dataclass(frozen=True, slots=True)
class Suspect:
    """A mode that what was seen leaves possible, with its share of the weight."""

    id: str
    weight: float
    name: str


@dataclass(frozen=True, slots=True)
class NextCheck:
    """The check to make next, its minutes from where you stand, and what it would tell."""

    check: str
    minutes: float
    precondition: str
    settles: float
    """Weight that it is expected to move onto the true cause, 0 to 1."""
    per_minute: float
    """The same per minute, with the way back from a start counted."""
    clears: str = ""
    """Id of the bar that this check is made to lift, where that is its reason."""


def verify_situation(machine: Machine, situation: Situation) -> None:
    """Raise InputError in one sentence for the first id of a situation that the model does not know."""
    must_be_one_of(situation.symptom, machine.symptoms, "symptom")
    for check, outcome in situation.seen.items():
        must_be_one_of(check, machine.checks, "check")
        must_be_one_of(outcome, machine.checks[check].outcomes, f"outcome of {check}")
    for context in situation.contexts:
        must_be_one_of(context, machine.contexts, "context")
    if situation.standing is not None:
        must_be_one_of(situation.standing, machine.preconditions, "precondition")
    if isinstance(situation.level, bool) or situation.level < 0:
        raise InputError("a level is a whole number from 0, the customer, upward")


def suspects(machine: Machine, situation: Situation, reasoner: Reasoner | None = None) -> tuple[Suspect, ...]:
    """Return the suspects by falling weight; the weights sum to 1, and the list is empty for a contradiction."""
    verify_situation(machine, situation)
    reasoner = reasoner or reasoner_of(machine, situation.symptom)
    summed = reasoning.by_label(reasoner.weights(situation), lambda hypothesis: hypothesis.cause)
    weights = [(_rounded(summed[mode], DECIMALS_OF_WEIGHTS), mode) for mode in machine.modes if mode in summed]
    ranked = sorted(weights, key=lambda entry: -entry[0])
    return tuple(Suspect(mode, weight, machine.modes[mode].name) for weight, mode in ranked)


def suspects_behind(machine: Machine, situation: Situation, cause: str) -> tuple[Suspect, ...]:
    """Return what may be behind a cause, by falling weight within that cause; the rest of 1 is the cause alone."""
    verify_situation(machine, situation)
    must_be_one_of(cause, machine.modes, "mode")
    weights = {h: w for h, w in reasoner_of(machine, situation.symptom).weights(situation).items() if h.cause == cause}
    total = math.fsum(weights.values())
    ranked = sorted(((w / total, h.behind) for h, w in weights.items() if h.behind), key=lambda entry: -entry[0])
    return tuple(Suspect(behind, weight, machine.modes[behind].name) for weight, behind in ranked)


def trial_order(machine: Machine, situation: Situation) -> tuple[Suspect, ...]:
    """Return the suspects in the order of trying their remedies: weight over the minutes of the look at each.

    For single faults no other order has less expected minutes. A mode without a first check is tried last.
    """
    found = suspects(machine, situation)
    reasoner = reasoner_of(machine, situation.symptom)
    standing = situation.standing or reasoner.first_standing()
    named = [(one, machine.checks.get(machine.modes[one.id].first_check or "")) for one in found]
    minutes = [(reasoner.minutes(standing, check) if check else None) or math.inf for _, check in named]
    order = reasoning.repair_order([one.weight for one in found], minutes)
    return tuple(found[at] for at in order)


def ladder_minutes(machine: Machine, symptom: str, start: str, to: str) -> float | None:
    """Return the least minutes from one precondition to another; 0 where it holds already, None out of reach."""
    must_be_one_of(symptom, machine.symptoms, "symptom")
    must_be_one_of(start, machine.preconditions, "precondition")
    must_be_one_of(to, machine.preconditions, "precondition")
    return ladder.ladder_table(machine, symptom)[start].get(to)


def next_check(machine: Machine, situation: Situation, reasoner: Reasoner | None = None) -> NextCheck | None:
    """Return the check to make next, or None: the cause is found, nothing splits further, or an emergency comes first.

    A check that lifts a bar which comes first is next before any other; else the one that settles most per minute.
    A caller that asks often hands in the reasoner of the symptom, so that its tables are made once.
    """
    if reasoner is None:
        return _next_check(reasoner_of(machine, situation.symptom), situation)
    asked = situation.asked()
    if asked not in reasoner.advised:
        reasoner.advised[asked] = _next_check(reasoner, situation)
    known: NextCheck | None = reasoner.advised[asked]
    return known


def _next_check(reasoner: Reasoner, situation: Situation) -> NextCheck | None:
    machine = reasoner.machine
    verify_situation(machine, situation)
    weights = reasoner.weights(situation)
    causes = reasoning.by_label(weights, lambda hypothesis: hypothesis.cause)
    if not weights or not reasoner.may_be_next(situation):
        return None
    cause = max(causes, key=causes.__getitem__)
    if causes[cause] >= machine.likelihoods.settled:
        return _confirming(reasoner, situation, weights, machine.modes[str(cause)])
    ranked = rank_checks(reasoner, situation, weights)
    return first_clearing(reasoner, situation, weights) or (ranked[0] if ranked else None)


def _confirming(
    reasoner: Reasoner, situation: Situation, weights: Mapping[Hypothesis, float], cause: Mode
) -> NextCheck | None:
    """Return the look at a cause that is left over and that nothing has shown yet: a guess is no finding."""
    check = reasoner.machine.checks.get(cause.first_check or "")
    if check is None or reasoner.has_shown(cause, situation):
        return None
    return _rate(reasoner, situation, weights, certainty_now(weights), check, least=-1.0)


def first_clearing(reasoner: Reasoner, situation: Situation, weights: Mapping[Hypothesis, float]) -> NextCheck | None:
    """Return the check that has to be made before any other, or None."""
    standing = situation.standing or reasoner.first_standing()
    for bar in reasoner.bars(situation):
        for name in reasoner.uncleared(bar, situation) if bar.first else ():
            check = reasoner.machine.checks[name]
            way = reasoner.minutes(standing, check)
            if name not in situation.seen and check.level <= situation.level and way is not None:
                settles = reasoner.settles(weights, check)
                rate = _rounded(settles / way, DECIMALS_COMPARED)
                return NextCheck(name, way, check.needs, settles, rate, clears=bar.id)
    return None


def rank_checks(reasoner: Reasoner, situation: Situation, weights: Mapping[Hypothesis, float]) -> list[NextCheck]:
    """Return every check that tells something and may be made, best first.

    Besides its own minutes, a check that starts the machine is charged with the way back to where you stand, or with
    the look that a spent start makes necessary, whichever is longer.
    """
    if not reasoner.may_be_next(situation):
        return []
    now = certainty_now(weights)
    found = [_rate(reasoner, situation, weights, now, check) for check in reasoner.machine.checks.values()]
    return sorted((entry for entry in found if entry), key=lambda entry: (-entry.per_minute, entry.minutes))


def _rate(
    reasoner: Reasoner,
    situation: Situation,
    weights: Mapping[Hypothesis, float],
    now: float,
    check: Check,
    least: float = LEAST_SETTLED,
) -> NextCheck | None:
    standing = situation.standing or reasoner.first_standing()
    minutes = reasoner.minutes(standing, check)
    if check.id in situation.seen or check.context_only or check.level > situation.level or minutes is None:
        return None
    settles = max(0.0, reasoner.certainty_after(weights, check) - now)
    if settles <= least:
        return None
    after = reasoner.standing_after(standing, check)
    extra = reasoner.ladder[after].get(standing, 0.0)
    barred: tuple[Bar, str] | None = None
    if reasoner.is_live(check):
        for bar in reasoner.bars(situation):
            missing = reasoner.uncleared(bar, situation)
            if missing or bar.after_start:
                extra = max(extra, _detour(reasoner, after, bar))
            if missing and barred is None:
                barred = (bar, missing[0])
    rate = _rounded(settles / (minutes + extra), DECIMALS_COMPARED)
    if barred is None:
        return NextCheck(check.id, minutes, check.needs, settles, rate)
    clearing = reasoner.machine.checks[barred[1]]
    way = reasoner.minutes(standing, clearing)
    if clearing.id in situation.seen or clearing.level > situation.level or way is None:
        return None
    return NextCheck(clearing.id, way, clearing.needs, settles, rate, clears=barred[0].id)


def _detour(reasoner: Reasoner, after: str, bar: Bar) -> float:
    """Minutes until a start is allowed again after one was spent: down, the clearing checks, and up again."""
    minutes, standing = 0.0, after
    for name in bar.clear_by:
        check = reasoner.machine.checks[name]
        minutes += reasoner.ladder[standing].get(check.needs, 0.0) + check.minutes
        standing = reasoner.standing_after(standing, check)
    return minutes + reasoner.ladder[standing].get(after, 0.0)


def _rounded(value: float, decimals: int) -> float:
    scale = 10.0**decimals
    return math.floor(value * scale + 0.5) / scale
