"""What may be wrong, and which check to make next: exact Bayes over the machine's modes, minutes and safety counted."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from warmyard.errors import InputError
from warmyard.machine import ladder, reasoning
from warmyard.machine.model import Bar, Check, Machine, Mode, Precondition
from warmyard.machine.nearness import must_be_one_of

LEAST_SETTLED = 1e-9
DECIMALS_COMPARED = 9
DECIMALS_OF_WEIGHTS = 12


@dataclass(frozen=True, slots=True)
class Situation:
    """What is known when somebody asks: the symptom, what was seen (in order), contexts, place on the ladder, level."""

    symptom: str
    seen: Mapping[str, str] = field(default_factory=dict)
    contexts: tuple[str, ...] = ()
    standing: str | None = None
    """None means the first precondition of the model."""
    level: int = 3

    def with_seen(self, check: str, outcome: str, standing: str) -> Situation:
        """Return the situation after a check."""
        return replace(self, seen={**self.seen, check: outcome}, standing=standing)


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


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """A cause alone, or a cause with one that may be behind it."""

    cause: str
    behind: str = ""


@dataclass(frozen=True)
class Reasoner:
    """The machine and one symptom, with ladder and hypotheses worked out once."""

    machine: Machine
    symptom: str

    @cached_property
    def ladder(self) -> Mapping[str, Mapping[str, float]]:
        """Least minutes between preconditions."""
        return ladder.ladder_table(self.machine, self.symptom)

    @cached_property
    def shares(self) -> Mapping[Hypothesis, float]:
        """Each hypothesis with its share of its cause's weight."""
        found: dict[Hypothesis, float] = {}
        for mode in self.machine.modes.values():
            behind = self.machine.likelihoods.behind if mode.behind else 0.0
            found[Hypothesis(mode.id)] = 1 - behind
            total = math.fsum(self.machine.modes[other].weight for other in mode.behind)
            for other in mode.behind:
                found[Hypothesis(mode.id, other)] = behind * self.machine.modes[other].weight / total
        return found

    def first_standing(self) -> str:
        """Return the precondition with which every call begins."""
        return next(iter(self.machine.preconditions))

    def contexts(self, situation: Situation) -> frozenset[str]:
        """Return the contexts that were named, and those that context checks brought to light."""
        checks = self.machine.checks
        brought = {checks[check].sets.get(outcome, "") for check, outcome in situation.seen.items()}
        return frozenset({*situation.contexts, *brought} - {""})

    def expected(self, hypothesis: Hypothesis, check: Check) -> str:
        """Return the outcome that a check has under a hypothesis."""
        shown = self.machine.modes[hypothesis.cause].shows.get(check.id)
        if shown is None and hypothesis.behind:
            shown = self.machine.modes[hypothesis.behind].shows.get(check.id)
        return check.normal if shown is None else shown

    def shows(self, hypothesis: Hypothesis, check: Check) -> str | None:
        """Return the outcome as evidence; None when there is nothing to see, or it never is evidence."""
        outcome = self.expected(hypothesis, check)
        silent = check.context_only or outcome in self.states_of(check)
        return None if silent else outcome

    def states_of(self, check: Check) -> frozenset[str]:
        """Return the outcomes of a check that are the state of the machine and not evidence, for this symptom."""
        unseen = () if self.machine.symptoms[self.symptom].runs else check.while_running
        return frozenset({*check.cannot, *check.not_allowed, *unseen})

    def outlives(self, hypothesis: Hypothesis, check: Check, outcome: str) -> bool:
        """Return whether a hypothesis remains possible after an outcome.

        Outcomes that mean "cannot be done" or "not allowed" are the state of the machine, never evidence. Where a
        check could not be done and was done all the same, the mode shows nothing there: the normal outcome.
        """
        if check.context_only or outcome in check.cannot or outcome in check.not_allowed:
            return True
        possible = self.shown_by(hypothesis, check)
        if not possible:
            return outcome == check.normal
        if possible & set(check.not_allowed):
            return True
        return outcome in possible or (outcome == check.normal and bool(possible & self.states_of(check)))

    def shown_by(self, hypothesis: Hypothesis, check: Check) -> set[str]:
        """Return the unusual outcomes that the modes of a hypothesis show at a check."""
        modes = [self.machine.modes[mode] for mode in (hypothesis.cause, hypothesis.behind) if mode]
        return {mode.shows[check.id] for mode in modes if check.id in mode.shows}

    def weights(self, situation: Situation) -> dict[Hypothesis, float]:
        """Return every hypothesis that remains, with its share of the weight; empty when what was seen contradicts."""
        contexts = self.contexts(situation)
        prior = {
            hypothesis: share * self.weight_of(self.machine.modes[hypothesis.cause], situation.symptom, contexts)
            for hypothesis, share in self.shares.items()
        }
        seen = [(self.machine.checks[check], outcome) for check, outcome in situation.seen.items()]
        remain = reasoning.posterior(
            prior, lambda hypothesis: float(all(self.outlives(hypothesis, check, outcome) for check, outcome in seen))
        )
        return remain if all(self.explained(remain, check, outcome) for check, outcome in seen) else {}

    def explained(self, remain: Mapping[Hypothesis, float], check: Check, outcome: str) -> bool:
        """Return whether an unusual finding is what at least one remaining hypothesis shows."""
        is_state = outcome in check.cannot or outcome in check.not_allowed
        if check.context_only or is_state or outcome == check.normal:
            return True
        return any(outcome in self.shown_by(hypothesis, check) for hypothesis in remain)

    def weight_of(self, mode: Mode, symptom: str, contexts: frozenset[str]) -> float:
        """Return weight times contexts times how strongly the mode shows the symptom."""
        likelihoods = self.machine.likelihoods
        strength = likelihoods.other
        if symptom in mode.strong:
            strength = likelihoods.strong
        elif symptom in mode.weak:
            strength = likelihoods.weak
        return mode.weight * strength * math.prod(mode.contexts.get(context, 1.0) for context in sorted(contexts))

    def settles(self, weights: Mapping[Hypothesis, float], check: Check) -> float:
        """Return the weight that a check is expected to move onto the true cause, from 0 to 1.

        It counts the leading suspects and is not drawn away by a long tail of unlikely ones, as bits would be.
        """
        before = reasoning.certainty(reasoning.by_label(weights, lambda hypothesis: hypothesis.cause).values())
        after = reasoning.expected_after(
            weights,
            lambda hypothesis: self.shows(hypothesis, check),
            lambda hypothesis, outcome: self.outlives(hypothesis, check, str(outcome)),
            lambda hypothesis: hypothesis.cause,
            reasoning.certainty,
        )
        return max(0.0, after - before)

    def minutes(self, standing: str, check: Check) -> float | None:
        """Return the minutes of a check with its ladder moves, or None when it is out of reach."""
        down = self.ladder[standing].get(check.needs)
        then = self.ladder[check.needs].get(check.then) if check.then else 0.0
        return None if down is None or then is None else down + check.minutes + then

    def standing_after(self, standing: str, check: Check) -> str:
        """Return where somebody stands after a check."""
        reached = ladder.standing_after(self.machine, standing, check.needs)
        return ladder.standing_after(self.machine, reached, check.then) if check.then else reached

    def is_live(self, check: Check) -> bool:
        """Return whether a check starts the machine, or may."""
        named: list[Precondition] = [self.machine.preconditions[name] for name in (check.needs, check.then) if name]
        return any(precondition.live for precondition in named)

    def bars(self, situation: Situation) -> list[Bar]:
        """Return the bars that belong to a situation, whether they hold now or only after a start."""
        contexts = self.contexts(situation)
        return [
            bar for bar in self.machine.bars if situation.symptom in bar.symptoms or contexts.intersection(bar.contexts)
        ]

    def uncleared(self, bar: Bar, situation: Situation) -> tuple[str, ...]:
        """Return the checks that must still be seen normal before a start; empty when a start is allowed."""
        checks = self.machine.checks
        started, missing = not bar.after_start, list(bar.clear_by)
        for name, outcome in situation.seen.items():
            if name in missing and outcome == checks[name].normal:
                missing.remove(name)
                started = started and bool(missing)
            elif self.is_live(checks[name]) and outcome not in checks[name].cannot and bar.after_start:
                started, missing = True, list(bar.clear_by)
        return tuple(missing) if started else ()

    def may_be_next(self, situation: Situation) -> bool:
        """Return whether checks are offered at all; an emergency is dealt with first."""
        gate = self.machine.symptoms[situation.symptom].checks_from
        standing = situation.standing or self.first_standing()
        return gate is None or gate in ladder.included(self.machine, standing)


def check_situation(machine: Machine, situation: Situation) -> None:
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


def suspects(machine: Machine, situation: Situation) -> tuple[Suspect, ...]:
    """Return the suspects by falling weight; the weights sum to 1, and the list is empty for a contradiction."""
    check_situation(machine, situation)
    summed = reasoning.by_label(
        Reasoner(machine, situation.symptom).weights(situation), lambda hypothesis: hypothesis.cause
    )
    weights = [(_rounded(summed[mode], DECIMALS_OF_WEIGHTS), mode) for mode in machine.modes if mode in summed]
    ranked = sorted(weights, key=lambda entry: -entry[0])
    return tuple(Suspect(mode, weight, machine.modes[mode].name) for weight, mode in ranked)


def suspects_behind(machine: Machine, situation: Situation, cause: str) -> tuple[Suspect, ...]:
    """Return what may be behind a cause, by falling weight within that cause; the rest of 1 is the cause alone."""
    check_situation(machine, situation)
    must_be_one_of(cause, machine.modes, "mode")
    weights = {h: w for h, w in Reasoner(machine, situation.symptom).weights(situation).items() if h.cause == cause}
    total = math.fsum(weights.values())
    ranked = sorted(((w / total, h.behind) for h, w in weights.items() if h.behind), key=lambda entry: -entry[0])
    return tuple(Suspect(behind, weight, machine.modes[behind].name) for weight, behind in ranked)


def ladder_minutes(machine: Machine, symptom: str, start: str, to: str) -> float | None:
    """Return the least minutes from one precondition to another; 0 where it holds already, None out of reach."""
    must_be_one_of(symptom, machine.symptoms, "symptom")
    must_be_one_of(start, machine.preconditions, "precondition")
    must_be_one_of(to, machine.preconditions, "precondition")
    return ladder.ladder_table(machine, symptom)[start].get(to)


def next_check(machine: Machine, situation: Situation) -> NextCheck | None:
    """Return the check to make next, or None: the cause is found, nothing splits further, or an emergency comes first.

    A check that lifts a bar which comes first is next before any other; else the one that settles most per minute.
    """
    check_situation(machine, situation)
    reasoner = Reasoner(machine, situation.symptom)
    weights = reasoner.weights(situation)
    causes = reasoning.by_label(weights, lambda hypothesis: hypothesis.cause)
    if not weights or not reasoner.may_be_next(situation) or max(causes.values()) >= machine.likelihoods.settled:
        return None
    ranked = rank_checks(reasoner, situation, weights)
    return first_clearing(reasoner, situation, weights) or (ranked[0] if ranked else None)


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
    standing = situation.standing or reasoner.first_standing()
    found = [_rate(reasoner, situation, weights, standing, check) for check in reasoner.machine.checks.values()]
    return sorted((entry for entry in found if entry), key=lambda entry: (-entry.per_minute, entry.minutes))


def _rate(
    reasoner: Reasoner, situation: Situation, weights: Mapping[Hypothesis, float], standing: str, check: Check
) -> NextCheck | None:
    minutes = reasoner.minutes(standing, check)
    if check.id in situation.seen or check.context_only or check.level > situation.level or minutes is None:
        return None
    settles = reasoner.settles(weights, check)
    if settles <= LEAST_SETTLED:
        return None
    after = reasoner.standing_after(standing, check)
    extra = reasoner.ladder[after].get(standing, 0.0)
    barred: tuple[Bar, str] | None = None
    if reasoner.is_live(check):
        for bar in reasoner.bars(situation):
            missing = reasoner.uncleared(bar, situation)
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
