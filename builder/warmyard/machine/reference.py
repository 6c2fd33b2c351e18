"""Whether every name that a machine source uses is the id of something that is there."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from difflib import get_close_matches

from warmyard.errors import FollowingError, Place, SourceError
from warmyard.machine.condition import read_chain, read_trace
from warmyard.machine.facts import ANY, NOT
from warmyard.machine.model import Check, Machine, Mode, SequenceState, Symptom

_TRACE_OF_STATES = ("reached", "not-reached", "ended")


class _Names:
    """Looks names up and gathers the ones that are not there."""

    def __init__(self, machine: Machine) -> None:
        self.machine = machine
        self.faults: list[SourceError] = []

    def one(self, place: Place, path: str, name: str | None, among: Collection[str], kind: str) -> None:
        if name is not None and name not in among:
            near = get_close_matches(name, among, 3) or sorted(among)[:3]
            what_to_do = f"write one that is there ({', '.join(near)})" if near else f"add the {kind} first"
            what = f"there is no {kind} {name!r}"
            self.faults.append(FollowingError(place.within(path), what, what_to_do, ("machine", name)))

    def each(self, place: Place, path: str, names: Iterable[str], among: Collection[str], kind: str) -> None:
        for at, name in enumerate(names):
            self.one(place, f"{path}.{at}", name, among, kind)

    def chain(self, place: Place, path: str, text: str) -> None:
        def name_all() -> None:
            for term in read_chain(text):
                self.one(place, path, term.signal, self.machine.signals, "signal")

        self.guard(place, path, name_all)

    def trace(self, place: Place, path: str, text: str) -> None:
        def name_all() -> None:
            for link in read_trace(text):
                of_states = link.how in _TRACE_OF_STATES
                among: Collection[str] = self.machine.states if of_states else self.machine.signals
                self.one(place, path, link.what, among, "state" if of_states else "signal")
                self.one(place, path, link.state or None, self.machine.states, "state")

        self.guard(place, path, name_all)

    def facts(self, place: Place, path: str, said: Iterable[str]) -> None:
        known = (*self.machine.facts.order, *self.machine.facts.others)
        self.each(place, path, (text.removeprefix(NOT) for text in said), known, "fact")

    def not_negative(self, place: Place, path: str, seconds: float) -> None:
        if seconds < 0:
            what = f"{seconds:g} seconds is less than no time"
            self.faults.append(SourceError(place.within(path), what, "write 0 or more"))

    def guard(self, place: Place, path: str, read: Callable[[], None]) -> None:
        try:
            read()
        except ValueError as problem:
            self.faults.append(SourceError(place.within(path), str(problem), "correct the chain"))


def check_references(machine: Machine) -> list[SourceError]:
    """Return one fault per name that leads nowhere, and per number or outcome that cannot be."""
    names = _Names(machine)
    for state in machine.states.values():
        _check_state(names, state)
    for signal in machine.signals.values():
        for at, text in enumerate(signal.when):
            names.chain(signal.place, f"when.{at}", text)
        names.not_negative(signal.place, "after_seconds", signal.after_seconds)
        names.not_negative(signal.place, "off_after_seconds", signal.off_after_seconds)
    names.not_negative(machine.scenario.place, "until_seconds", machine.scenario.until_seconds)
    for at, event in enumerate(machine.scenario.events):
        names.not_negative(machine.scenario.place, f"events.{at}.at_seconds", event.at_seconds)
        names.one(machine.scenario.place, f"events.{at}", event.signal, machine.signals, "signal")
    for symptom in machine.symptoms.values():
        _check_symptom(names, symptom)
    for check in machine.checks.values():
        _check_check(names, check)
    for mode in machine.modes.values():
        _check_mode(names, mode)
    _check_ladder(names)
    _check_the_rest(names)
    return names.faults


def _check_state(names: _Names, state: SequenceState) -> None:
    machine = names.machine
    for at, text in enumerate(state.enter_when):
        names.chain(state.place, f"enter_when.{at}", text)
    for at, text in enumerate(state.expects):
        names.chain(state.place, f"expects.{at}", text)
    outputs = {signal.id for signal in machine.signals.values() if signal.kind == "output"}
    names.each(state.place, "drives", state.drives, outputs, "output")
    if state.seconds is not None:
        names.not_negative(state.place, "seconds", state.seconds)
    names.one(state.place, "next", state.next, machine.states, "state")
    names.one(state.place, "on_fault", state.on_fault, machine.states, "state")
    for at, leave in enumerate(state.leaves):
        names.chain(state.place, f"leaves.{at}.when", leave.when)
        names.one(state.place, f"leaves.{at}.to", leave.to, machine.states, "state")


def _check_symptom(names: _Names, symptom: Symptom) -> None:
    for at, text in enumerate(symptom.trace):
        names.trace(symptom.place, f"trace.{at}", text)
    names.facts(symptom.place, "says", symptom.says)
    names.one(symptom.place, "checks_from", symptom.checks_from, names.machine.preconditions, "precondition")


def _check_check(names: _Names, check: Check) -> None:
    machine, place = names.machine, check.place
    names.one(place, "needs", check.needs, machine.preconditions, "precondition")
    names.one(place, "then", check.then, machine.preconditions, "precondition")
    names.one(place, "normal", check.normal, check.outcomes, "outcome")
    names.each(place, "cannot", check.cannot, check.outcomes, "outcome")
    names.each(place, "not_allowed", check.not_allowed, check.outcomes, "outcome")
    names.each(place, "while_running", check.while_running, check.outcomes, "outcome")
    for outcome, context in check.sets.items():
        names.one(place, f"sets.{outcome}", outcome, check.outcomes, "outcome")
        names.one(place, f"sets.{outcome}", context, machine.contexts, "context")
    names.each(place, "danger", check.danger, check.outcomes, "outcome")
    for outcome, said in check.says.items():
        names.one(place, f"says.{outcome}", outcome, check.outcomes, "outcome")
        names.facts(place, f"says.{outcome}", said)
    for symptom, outcome in check.instead.items():
        names.one(place, f"instead.{symptom}", symptom, (*machine.symptoms, ANY), "symptom")
        names.one(place, f"instead.{symptom}", outcome, check.outcomes, "outcome")
    for outcome in check.answers:
        names.one(place, f"answers.{outcome}", outcome, check.outcomes, "outcome")
    if check.minutes <= 0:
        names.faults.append(SourceError(place.within("minutes"), "the check takes no time", "write its minutes"))


def _check_mode(names: _Names, mode: Mode) -> None:
    machine, place = names.machine, mode.place
    names.each(place, "strong", mode.strong, machine.symptoms, "symptom")
    names.each(place, "weak", mode.weak, machine.symptoms, "symptom")
    names.each(place, "seldom", mode.seldom, machine.symptoms, "symptom")
    names.each(place, "behind", mode.behind, machine.modes, "mode")
    names.one(place, "first_check", mode.first_check, machine.checks, "check")
    names.one(place, "from_state", mode.from_state, machine.states, "state")
    for context in mode.contexts:
        names.one(place, f"contexts.{context}", context, machine.contexts, "context")
    for signal in mode.effect:
        names.one(place, f"effect.{signal}", signal, machine.signals, "signal")
    for check, outcome in mode.shows.items():
        names.one(place, f"shows.{check}", check, machine.checks, "check")
        if check in machine.checks:
            names.one(place, f"shows.{check}", outcome, machine.checks[check].outcomes, "outcome")
    if mode.weight <= 0:
        names.faults.append(
            SourceError(place.within("weight"), "the weight is not above 0", "write 1 rare to 5 common")
        )
    for context, factor in mode.contexts.items():
        if factor <= 0:
            what_to_do = "write a factor above 0; rare is 0.05"
            names.faults.append(SourceError(place.within(f"contexts.{context}"), f"{context} rules it out", what_to_do))


def _check_ladder(names: _Names) -> None:
    machine = names.machine
    for precondition in machine.preconditions.values():
        names.each(precondition.place, "includes", precondition.includes, machine.preconditions, "precondition")
    for rung in machine.ladder:
        names.one(rung.place, "to", rung.to, machine.preconditions, "precondition")
        names.each(rung.place, "symptoms", rung.symptoms, machine.symptoms, "symptom")
        names.one(rung.place, "start", rung.start, machine.preconditions, "precondition")
        if rung.minutes < 0:
            names.faults.append(SourceError(rung.place.within("minutes"), "a rung gives time back", "write 0 or more"))


def _check_the_rest(names: _Names) -> None:
    machine = names.machine
    for invariant in machine.invariants:
        known = {*machine.states, *machine.signals}
        names.one(invariant.place, "subject", invariant.subject, known, "state or signal")
        names.each(invariant.place, "of", invariant.of, known, "state or signal")
    for bar in machine.bars:
        names.each(bar.place, "symptoms", bar.symptoms, machine.symptoms, "symptom")
        names.each(bar.place, "contexts", bar.contexts, machine.contexts, "context")
        names.each(bar.place, "clear_by", bar.clear_by, machine.checks, "check")
    for one in machine.sheet_contexts.values():
        names.each(one.place, "contexts", one.contexts, machine.contexts, "context")
    for group in machine.groups:
        names.each(group.place, "modes", group.modes, machine.modes, "mode")
        names.each(group.place, "split_by", group.split_by, machine.checks, "check")
    for case in machine.call_outs.values():
        names.one(case.place, "symptom", case.symptom, machine.symptoms, "symptom")
        names.one(case.place, "mode", case.mode, machine.modes, "mode")
        names.one(case.place, "behind", case.behind, machine.modes, "mode")
        names.each(case.place, "contexts", case.contexts, machine.contexts, "context")
        for check, outcome in case.seen.items():
            names.one(case.place, f"seen.{check}", check, machine.checks, "check")
            if check in machine.checks:
                names.one(case.place, f"seen.{check}", outcome, machine.checks[check].outcomes, "outcome")
