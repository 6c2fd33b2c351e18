"""What `warmyard check` proves about a machine: its laws, its simulated symptoms, and that faults can be told apart."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations

from warmyard.errors import Place, SourceError
from warmyard.machine.condition import read_chain
from warmyard.machine.facts import contradicts, seen_as
from warmyard.machine.model import Check, Invariant, Machine, Mode, SequenceState
from warmyard.machine.sequence import STEP_SECONDS, run_start, shown_symptoms


def check_invariants(machine: Machine) -> list[SourceError]:
    """Return what does not hold of the sequence: its laws, then states that nothing leads to.

    Starts are simulated only of a sequence whose own laws hold.
    """
    found: list[SourceError] = []
    for law in machine.invariants:
        found += _OF_STATES[law.kind](machine, law) if law.kind in _OF_STATES else ()
    found = found or list(_unreached(machine))
    simulated = () if found else (law for law in machine.invariants if law.kind == "needs-after")
    return found + [fault for law in simulated for fault in _needs_after(machine, law)]


def _unreached(machine: Machine) -> Iterator[SourceError]:
    reached = _reachable(machine, without=())
    for state in machine.states.values():
        if state.id not in reached:
            yield SourceError(state.place, f"no state leads to {state.id}", "write it under next or leaves of one")


def _broken(law: Invariant, place: Place, what: str) -> SourceError:
    return SourceError(place, f"{what}, against {law.id}", f"correct the state, for: {law.say}")


def _only_in(machine: Machine, law: Invariant) -> Iterator[SourceError]:
    for state in machine.states.values():
        if law.subject in state.drives and state.id not in law.of:
            yield _broken(law, state.place.within("drives"), f"{state.id} drives {law.subject}")


def _before(machine: Machine, law: Invariant) -> Iterator[SourceError]:
    ready = {s.id for s in machine.states.values() if law.subject in s.drives and not set(law.of) & set(s.drives)}
    for name in _reachable(machine, without=ready):
        state = machine.states[name]
        for output in set(law.of) & set(state.drives):
            yield _broken(law, state.place, f"{name} is reached with {output} and no {law.subject} before it")


def _never_skips(machine: Machine, law: Invariant) -> Iterator[SourceError]:
    """Yield the first way that leaves a state out: all others only go on from there."""
    for name, way in _reachable(machine, without={law.subject}).items():
        if name in law.of:
            yield _broken(law, way, f"{name} is reached without {law.subject}")
            return


def _left_only_by(machine: Machine, law: Invariant) -> Iterator[SourceError]:
    state = machine.states[law.subject]
    for path, chain, to in _ways_out(state):
        holds = {term.signal for term in read_chain(chain) if term.holds} if chain else set()
        if not holds >= set(law.of):
            what = f"{state.id} is left for {to} without {' and '.join(one for one in law.of if one not in holds)}"
            yield _broken(law, state.place.within(path), what)


def _veto(machine: Machine, law: Invariant) -> Iterator[SourceError]:
    for name in law.of:
        if name in machine.signals:
            signal = machine.signals[name]
            for at, text in enumerate(signal.when):
                if not any(term.signal == law.subject and term.holds for term in read_chain(text)):
                    place = signal.place.within(f"when.{at}")
                    yield _broken(law, place, f"{name} comes without {law.subject}")
        elif not _is_left_without(machine.states[name], law.subject):
            yield _broken(law, machine.states[name].place, f"{name} is not left when {law.subject} goes")


def _is_left_without(state: SequenceState, signal: str) -> bool:
    leaves = any(leave.when == f"not {signal}" for leave in state.leaves)
    return leaves or (signal in state.expects and state.on_fault is not None and state.seconds is not None)


def _needs_after(machine: Machine, law: Invariant) -> Iterator[SourceError]:
    cut, *states = law.of
    for name in states:
        found = _run_through(machine, name, law.subject)
        if found is None:
            yield _broken(law, law.place, f"no simulated start has {law.subject} in {name}")
            continue
        mode, at_seconds = found
        run = run_start(machine, mode, cut=cut, cut_at_seconds=at_seconds)
        if any(span.end > at_seconds + STEP_SECONDS for span in run.signals[law.subject]):
            yield _broken(law, law.place, f"{law.subject} goes on when {cut} is cut in {name}")


def _run_through(machine: Machine, state: str, subject: str) -> tuple[str | None, float] | None:
    """Return a run (its mode) and a moment in a state at which a signal holds."""
    for mode in (None, *machine.modes):
        run = run_start(machine, mode)
        for stay in (span for span in run.states if span.what == state):
            for span in run.signals[subject]:
                start, end = max(stay.start, span.start), min(stay.end, span.end)
                if end - start > 2 * STEP_SECONDS and (mode is None or subject not in machine.modes[mode].effect):
                    return mode, start + STEP_SECONDS
    return None


def _reachable(machine: Machine, *, without: Collection[str]) -> dict[str, Place]:
    """Return the states that some path from the first reaches without entering certain states, and the way in."""
    first = next(iter(machine.states.values()))
    open_ones, found = [(first.id, first.place)], dict[str, Place]()
    while open_ones:
        name, way = open_ones.pop()
        if name in without or name in found:
            continue
        found[name] = way
        state = machine.states[name]
        open_ones.extend((to, state.place.within(path)) for path, _, to in _ways_out(state))
    return found


def _ways_out(state: SequenceState) -> Iterator[tuple[str, str, str]]:
    """Yield each way out of a state: where it stands in it, the chain that must hold, and the state it leads to."""
    for path, to in (("next", state.next), ("on_fault", state.on_fault)):
        if to is not None:
            yield path, "", to
    for at, leave in enumerate(state.leaves):
        yield f"leaves.{at}", leave.when, leave.to


_OF_STATES = {
    "only-in": _only_in,
    "before": _before,
    "never-skips": _never_skips,
    "left-only-by": _left_only_by,
    "veto": _veto,
}
"""Laws that are proved of the states alone."""


def check_symptoms(machine: Machine) -> list[SourceError]:
    """Return one fault per mode whose simulated start shows other symptoms than it declares."""
    faults = []
    normal = shown_symptoms(machine, run_start(machine, None))
    for symptom in normal:
        place = machine.symptoms[symptom].place.within("trace")
        faults.append(SourceError(place, f"the normal start shows {symptom}", "correct its trace"))
    for mode in machine.modes.values():
        faults.extend(_check_shown(mode, shown_symptoms(machine, run_start(machine, mode.id))))
    return faults


def _check_shown(mode: Mode, shown: tuple[str, ...]) -> Iterator[SourceError]:
    declared = {*mode.strong, *mode.weak, *mode.seldom}
    undeclared = [symptom for symptom in shown if symptom not in declared]
    if not shown or len(undeclared) == len(shown):
        if not mode.exception:
            what = f"the simulated start of {mode.id} shows {', '.join(shown) or 'nothing'}, none of its symptoms"
            yield SourceError(mode.place.within("effect"), what, "correct its effect, or write the exception's reason")
    elif undeclared and not mode.exception:
        what = f"the simulated start of {mode.id} shows {', '.join(undeclared)} as well"
        yield SourceError(mode.place.within("effect"), what, "declare it as weak, or write the exception's reason")
    elif mode.exception and not undeclared:
        what = f"{mode.id} has an exception that it does not need"
        yield SourceError(mode.place.within("exception"), what, "remove the exception")


def check_facts(machine: Machine) -> list[SourceError]:
    """Return one fault per outcome that a mode would show against what its symptom says."""
    faults = []
    for check in (check for check in machine.checks.values() if check.says):
        for symptom in (symptom for symptom in machine.symptoms.values() if symptom.says):
            replaced = seen_as(machine, symptom, check)
            modes = machine.modes.values()
            shown = [
                m.shows.get(check.id, check.normal) for m in modes if symptom.id in (*m.strong, *m.weak, *m.seldom)
            ]
            for outcome in dict.fromkeys(replaced.get(one, one) for one in shown):
                if contradicts(machine.facts, symptom.says, check.says.get(outcome, ())):
                    what = f"{outcome} contradicts {symptom.id}"
                    what_to_do = f"name under instead what is seen under {symptom.id}, or correct what it says"
                    faults.append(SourceError(check.place.within(f"says.{outcome}"), what, what_to_do))
    return faults


def check_separable(machine: Machine) -> list[SourceError]:
    """Return one fault per pair of modes that no check keeps apart, per untrue group and per outcome nobody shows."""
    faults = []
    grouped = {pair for group in machine.groups for pair in combinations(sorted(group.modes), 2)}
    for one, other in combinations(machine.modes.values(), 2):
        splitting = any(splits(check, one, other) for check in machine.checks.values())
        if not splitting and tuple(sorted((one.id, other.id))) not in grouped:
            what = f"no check tells {other.id} from {one.id}"
            what_to_do = "write what differs under shows, or name both in a group with a shared remedy"
            faults.append(SourceError(other.place, what, what_to_do))
    faults.extend(_check_groups(machine))
    faults.extend(_check_outcomes(machine))
    return faults


def splits(check: Check, one: Mode, other: Mode) -> bool:
    """Return whether a check shows different things for two modes, both of them evidence."""
    shown = {mode.shows.get(check.id, check.normal) for mode in (one, other)}
    return not check.context_only and len(shown) == 2 and not shown & {*check.cannot, *check.not_allowed}


def _check_groups(machine: Machine) -> Iterator[SourceError]:
    for group in machine.groups:
        pairs = list(combinations((machine.modes[mode] for mode in group.modes), 2))
        for at, name in enumerate(group.split_by):
            if not any(splits(machine.checks[name], one, other) for one, other in pairs):
                place = group.place.within(f"split_by.{at}")
                yield SourceError(place, f"{name} splits nothing in {group.id}", "name a check that does")


def _check_outcomes(machine: Machine) -> Iterator[SourceError]:
    for check in machine.checks.values():
        shown = {mode.shows.get(check.id) for mode in machine.modes.values()} | {*check.instead.values()}
        for outcome in check.outcomes:
            if outcome not in shown and outcome != check.normal and outcome not in check.sets:
                place = check.place.within(f"outcomes.{outcome}")
                yield SourceError(place, f"no mode shows {outcome}", "write it under a mode's shows, or remove it")
        if check.level == 0:
            silent = {*check.outcomes} - {*check.answers, *check.cannot, *check.not_allowed}
            for outcome in sorted(silent):
                what = f"a customer is not told what {outcome} means"
                yield SourceError(check.place.within("answers"), what, "write say and end for it under answers")
