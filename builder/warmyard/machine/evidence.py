"""What the evidence leaves possible, for one symptom: hypotheses, what each would show, weights, bars, minutes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Set
from dataclasses import dataclass, field, replace
from functools import cached_property
from operator import itemgetter
from typing import Any, NamedTuple

from warmyard.machine import ladder, reasoning
from warmyard.machine.facts import seen_as
from warmyard.machine.memory import OfLastMachine
from warmyard.machine.model import Bar, Check, Machine, Mode, Precondition


@dataclass(frozen=True, slots=True)
class Situation:
    """What is known when somebody asks: the symptom, what was seen (in order), contexts, place on the ladder, level."""

    symptom: str
    seen: Mapping[str, str] = field(default_factory=dict)
    contexts: tuple[str, ...] = ()
    standing: str | None = None
    """None means the first precondition of the model."""
    level: int = 3

    def asked(self) -> Asked:
        """Return what tells this situation from others, to keep an answer by."""
        return self.symptom, tuple(self.seen.items()), self.contexts, self.standing, self.level

    def with_seen(self, check: str, outcome: str, standing: str) -> Situation:
        """Return the situation after a check."""
        return replace(self, seen={**self.seen, check: outcome}, standing=standing)


class Hypothesis(NamedTuple):
    """A cause alone, or a cause with one that may be behind it.

    A tuple, because weights are kept by it: Python looks a tuple up far faster than an object with fields.
    """

    cause: str
    behind: str = ""


Asked = tuple[str, tuple[tuple[str, str], ...], tuple[str, ...], str | None, int]


def certainty_now(weights: Mapping[Hypothesis, float]) -> float:
    """Return the weight that stands on the true cause on average."""
    return reasoning.certainty(reasoning.by_label(weights, CAUSE).values())


def _outlives(possible: Set[str], unseen: Set[str], plain: str, check: Check, outcome: str) -> bool:
    """Say whether what shows `possible` at a check remains possible after an outcome; `plain` is the reported one.

    Outcomes that mean "cannot be done" or "not allowed" are the state of the machine, never evidence.
    """
    if check.context_only or outcome in check.cannot or outcome in check.not_allowed:
        return True
    if not possible or (possible == {plain} and plain not in check.cannot):
        return outcome in (check.normal, plain)
    if not possible.isdisjoint(check.not_allowed):
        return True
    return outcome in possible or (outcome == check.normal and not possible.isdisjoint(unseen))


CAUSE = itemgetter(0)
"""Gives the cause of a hypothesis, without a call of ours."""


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
        """Each hypothesis that can show the symptom, with its share of its cause's weight."""
        found: dict[Hypothesis, float] = {}
        for mode in self.machine.modes.values():
            if not self.strength(mode):
                continue
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

    @cached_property
    def replaced(self) -> Mapping[str, Mapping[str, str]]:
        """What is seen, check by check, in the place of an outcome that would contradict the symptom."""
        symptom = self.machine.symptoms[self.symptom]
        return {check.id: seen_as(self.machine, symptom, check) for check in self.machine.checks.values()}

    def under_symptom(self, check: Check, outcome: str) -> str:
        """Return what is seen where a mode would show an outcome, the symptom being what it is."""
        return self.replaced[check.id].get(outcome, outcome)

    def expected(self, hypothesis: Hypothesis, check: Check) -> str:
        """Return the outcome that a check has under a hypothesis."""
        shown = self.machine.modes[hypothesis.cause].shows.get(check.id)
        if shown is None and hypothesis.behind:
            shown = self.machine.modes[hypothesis.behind].shows.get(check.id)
        return self.under_symptom(check, check.normal if shown is None else shown)

    def shows(self, hypothesis: Hypothesis, check: Check) -> str | None:
        """Return the outcome as evidence; None when there is nothing to see, or it never is evidence."""
        outcome = self.expected(hypothesis, check)
        silent = check.context_only or outcome in self.states_of(check)
        return None if silent else outcome

    def states_of(self, check: Check) -> frozenset[str]:
        """Return the outcomes of a check that are the state of the machine and not evidence, for this symptom."""
        unseen = () if self.machine.symptoms[self.symptom].runs else check.while_running
        return frozenset({*check.cannot, *check.not_allowed, *unseen})

    @cached_property
    def alike(self) -> Mapping[str, Mapping[Hypothesis, Hypothesis]]:
        """Each hypothesis with the first that shows the same, check by check: few show something of their own."""
        return {check.id: self._alike(check) for check in self.machine.checks.values()}

    def _alike(self, check: Check) -> Mapping[Hypothesis, Hypothesis]:
        modes, found = self.machine.modes, {}
        first: dict[tuple[str | None, str | None], Hypothesis] = {}
        for hypothesis in self.shares:
            own = modes[hypothesis.cause].shows.get(check.id)
            behind = modes[hypothesis.behind].shows.get(check.id) if hypothesis.behind else None
            found[hypothesis] = first.setdefault((own, behind), hypothesis)
        return found

    @cached_property
    def showing(self) -> Mapping[str, Mapping[Hypothesis, str | None]]:
        """What each hypothesis shows, check by check."""
        found = {}
        for check in self.machine.checks.values():
            alike = self.alike[check.id]
            shown = {first: self.shows(first, check) for first in {*alike.values()}}
            found[check.id] = {hypothesis: shown[first] for hypothesis, first in alike.items()}
        return found

    @cached_property
    def keeping(self) -> Mapping[str, Mapping[str, Mapping[Hypothesis, None]]]:
        """The hypotheses that outlive each outcome, check by check, in the order of the model."""
        return {check.id: self._kept_by(check) for check in self.machine.checks.values()}

    def _kept_by(self, check: Check) -> Mapping[str, Mapping[Hypothesis, None]]:
        alike = self.alike[check.id]
        possible = {first: self.shown_by(first, check) for first in {*alike.values()}}
        unseen, plain = self.unseen(check), self.under_symptom(check, check.normal)
        found = {}
        for seen in check.outcomes:
            outlives = {first: _outlives(shown, unseen, plain, check, seen) for first, shown in possible.items()}
            found[seen] = dict.fromkeys(hypothesis for hypothesis, first in alike.items() if outlives[first])
        return found

    def unseen(self, check: Check) -> frozenset[str]:
        """Return the outcomes in whose place the normal one may be seen, though the fault is there.

        While the machine stands nobody sees what only a running one shows. Where it runs, a fault comes and goes: what
        could not be measured then can be measured now. Elsewhere what was measured on a flame, or on a motor that
        turned, denies whatever keeps them from coming.
        """
        runs = self.machine.symptoms[self.symptom].runs
        return frozenset(check.cannot if runs else check.while_running)

    def shown_by(self, hypothesis: Hypothesis, check: Check) -> set[str]:
        """Return the unusual outcomes that the modes of a hypothesis show at a check."""
        modes = [self.machine.modes[mode] for mode in (hypothesis.cause, hypothesis.behind) if mode]
        shown = [mode.shows[check.id] for mode in modes if check.id in mode.shows] or [check.normal]
        found = {self.under_symptom(check, outcome) for outcome in shown}
        return found if found != {check.normal} else set()

    @cached_property
    def advised(self) -> dict[Asked, Any]:
        """The check to make next, for the situations asked about so far."""
        return {}

    @cached_property
    def weighed(self) -> dict[Asked, dict[Hypothesis, float]]:
        """The weights of the situations asked about so far; who asks next about one asks about it several times."""
        return {}

    def weights(self, situation: Situation) -> Mapping[Hypothesis, float]:
        """Return every hypothesis that remains, with its share of the weight; empty when what was seen contradicts."""
        asked = situation.asked()
        if asked not in self.weighed:
            self.weighed[asked] = self._weigh(situation)
        return self.weighed[asked]

    def _weigh(self, situation: Situation) -> dict[Hypothesis, float]:
        contexts = self.contexts(situation)
        prior = {
            hypothesis: share * self.weight_of(self.machine.modes[hypothesis.cause], contexts)
            for hypothesis, share in self.shares.items()
        }
        seen = [(self.machine.checks[check], outcome) for check, outcome in situation.seen.items()]
        for check, outcome in seen:
            prior = {
                hypothesis: prior[hypothesis] for hypothesis in self.keeping[check.id][outcome] if hypothesis in prior
            }
        remain = reasoning.posterior(prior, lambda _: 1.0)
        return remain if all(self.explained(remain, check, outcome) for check, outcome in seen) else {}

    def explained(self, remain: Mapping[Hypothesis, float], check: Check, outcome: str) -> bool:
        """Return whether an unusual finding is what at least one remaining hypothesis shows."""
        is_state = outcome in check.cannot or outcome in check.not_allowed
        if check.context_only or is_state or outcome == check.normal:
            return True
        return any(outcome in self.shown_by(hypothesis, check) for hypothesis in remain)

    def may_be_seen(self, weights: Mapping[Hypothesis, float], check: Check, outcome: str) -> bool:
        """Return whether a check can show an outcome under what is left, or says nothing about it."""
        remain = {one: weights[one] for one in self.keeping[check.id][outcome] if one in weights}
        return bool(remain) and self.explained(remain, check, outcome)

    def has_shown(self, cause: Mode, situation: Situation) -> bool:
        """Return whether something unusual was seen that the cause shows."""
        seen = ((self.machine.checks[name], outcome) for name, outcome in situation.seen.items())
        return any(
            self.under_symptom(check, cause.shows.get(check.id, check.normal)) == outcome
            and outcome not in (check.normal, self.under_symptom(check, check.normal))
            and not check.context_only
            and outcome not in self.states_of(check)
            for check, outcome in seen
        )

    def strength(self, mode: Mode) -> float:
        """Return how strongly a mode shows the symptom, 0 to 1; 0 where it cannot show it at all."""
        likelihoods = self.machine.likelihoods
        declared = ((mode.strong, likelihoods.strong), (mode.weak, likelihoods.weak), (mode.seldom, likelihoods.other))
        return next((strength for symptoms, strength in declared if self.symptom in symptoms), 0.0)

    def weight_of(self, mode: Mode, contexts: frozenset[str]) -> float:
        """Return weight times contexts times how strongly the mode shows the symptom."""
        factors = (mode.contexts.get(context, 1.0) for context in sorted(contexts))
        return mode.weight * self.strength(mode) * math.prod(factors)

    def settles(self, weights: Mapping[Hypothesis, float], check: Check) -> float:
        """Return the weight that a check is expected to move onto the true cause, from 0 to 1.

        It counts the leading suspects and is not drawn away by a long tail of unlikely ones, as bits would be.
        """
        return max(0.0, self.certainty_after(weights, check) - certainty_now(weights))

    def certainty_after(self, weights: Mapping[Hypothesis, float], check: Check) -> float:
        """Return the weight on the true cause that is to be expected after a check."""
        return reasoning.expected_after(
            weights,
            self.showing[check.id].__getitem__,
            self.keeping[check.id].__getitem__,
            CAUSE,
            reasoning.certainty,
        )

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
        """Return the checks that must still be seen normal before a start; empty when a start is allowed.

        What only a running machine shows bars no start: nothing is wrong there with the part that was looked at.
        """
        checks = self.machine.checks
        started, missing = not bar.after_start, list(bar.clear_by)
        for name, outcome in situation.seen.items():
            if name in missing and outcome in (checks[name].normal, *checks[name].while_running):
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


def reasoner_of(machine: Machine, symptom: str) -> Reasoner:
    """Return the reasoner of a symptom, with the tables that were made for it before."""
    return _reasoners.answer(machine, symptom, lambda: Reasoner(machine, symptom))


_reasoners: OfLastMachine[Reasoner] = OfLastMachine()
