"""Run the demonstration start, as it should be or with one failure forced, second by second."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from warmyard.errors import InputError
from warmyard.machine.condition import SignalTerm, TraceLink, any_holds, read_chain, read_trace
from warmyard.machine.memory import OfLastMachine
from warmyard.machine.model import Machine, Mode, SequenceState, Signal

STEP_SECONDS = 1.0
MOST_SETTLING_ROUNDS = 60


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time from `start` to `end`, in seconds from the beginning of the run."""

    what: str
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Run:
    """One simulated start: the states one after the other, and when each signal held."""

    mode: str | None
    until_seconds: float
    states: tuple[Span, ...]
    signals: Mapping[str, tuple[Span, ...]]

    def reached(self, state: str) -> bool:
        """Return whether the run was ever in a state."""
        return any(span.what == state for span in self.states)

    def ever(self, signal: str, state: str = "") -> bool:
        """Return whether a signal held at any time, or at any time within a state."""
        spans = self.signals[signal]
        if not state:
            return bool(spans)
        inside = [span for span in self.states if span.what == state]
        return any(span.start < other.end and other.start < span.end for span in spans for other in inside)

    @property
    def ended(self) -> str:
        """The state at the end of the run."""
        return self.states[-1].what


@dataclass(slots=True)
class _Moment:
    """What holds now, and since when."""

    state: str
    now: float = 0.0
    entered: float = 0.0
    bitten: bool = False
    value: dict[str, bool] = field(default_factory=dict)
    wanted_since: dict[str, float | None] = field(default_factory=dict)
    gone_since: dict[str, float | None] = field(default_factory=dict)
    given: dict[str, bool] = field(default_factory=dict)


class _Simulation:
    def __init__(self, machine: Machine, mode: Mode | None, events: Mapping[float, dict[str, bool]]) -> None:
        self.machine, self.mode, self.events = machine, mode, events
        self.chains = {signal.id: [read_chain(text) for text in signal.when] for signal in machine.signals.values()}
        first = next(iter(machine.states))
        self.moment = _Moment(first)
        for signal in machine.signals.values():
            self.moment.given[signal.id] = signal.starts if signal.kind == "given" else False
            self.moment.value[signal.id] = self.moment.given[signal.id]
        self.effect = dict(mode.effect) if mode else {}

    def run(self, until_seconds: float) -> Run:
        states: list[list[object]] = []
        open_since: dict[str, float] = {}
        spans: dict[str, list[Span]] = {signal: [] for signal in self.machine.signals}
        last, tick, before = round(until_seconds / STEP_SECONDS), 0, -STEP_SECONDS
        while tick <= last:
            self.moment.now = tick * STEP_SECONDS
            self.moment.given.update(self.due(before, self.moment.now))
            changed = self.settle()
            moved = self.move()
            if moved:
                self.settle()
            if not states or states[-1][0] != self.moment.state:
                states.append([self.moment.state, self.moment.now])
            self.note(open_since, spans)
            before, tick = self.moment.now, tick + 1 if moved or changed else max(tick + 1, self.next_tick(last))
        for signal, start in open_since.items():
            spans[signal].append(Span(signal, start, until_seconds))
        ends = [*[float(str(start)) for _, start in states[1:]], until_seconds]
        named = tuple(
            Span(str(state), float(str(start)), end) for (state, start), end in zip(states, ends, strict=True)
        )
        kept = {signal: tuple(found) for signal, found in spans.items()}
        return Run(self.mode.id if self.mode else None, until_seconds, named, kept)

    def due(self, before: float, now: float) -> dict[str, bool]:
        """Return the changes of the scenario since the step before."""
        found: dict[str, bool] = {}
        for at_seconds in sorted(self.events):
            if before < at_seconds <= now:
                found.update(self.events[at_seconds])
        return found

    def next_tick(self, last: int) -> int:
        """Return the step at which something can change by time alone; nothing does in between."""
        moment, now = self.moment, self.moment.now
        due = [at_seconds for at_seconds in self.events if at_seconds > now]
        seconds = self.machine.states[moment.state].seconds
        if seconds is not None:
            due.append(moment.entered + seconds)
        for id, start in moment.wanted_since.items():
            if start is not None and not moment.value[id]:
                due.append(start + self.machine.signals[id].after_seconds)
        for id, start in moment.gone_since.items():
            if start is not None and moment.value[id]:
                due.append(start + self.machine.signals[id].off_after_seconds)
        return min((math.ceil(one / STEP_SECONDS) for one in due if one > now), default=last + 1)

    def note(self, open_since: dict[str, float], spans: dict[str, list[Span]]) -> None:
        for signal, holds in self.moment.value.items():
            if holds and signal not in open_since:
                open_since[signal] = self.moment.now
            elif not holds and signal in open_since:
                spans[signal].append(Span(signal, open_since.pop(signal), self.moment.now))

    def settle(self) -> bool:
        """Let every signal follow from the others until nothing changes any more; return whether anything did."""
        self.moment.bitten = (
            self.moment.bitten or self.mode is None or self.mode.from_state in (None, self.moment.state)
        )
        value, effect = self.moment.value, self.effect if self.moment.bitten else {}
        for rounds in range(MOST_SETTLING_ROUNDS):
            changed = False
            for signal in self.machine.signals.values():
                now = effect[signal.id] if signal.id in effect else self.value_of(signal)
                if now is not value[signal.id]:
                    value[signal.id], changed = now, True
            if not changed:
                return rounds > 0
        raise InputError(f"the signals never settle in state {self.moment.state!r}; look for a loop in `when`")

    def value_of(self, signal: Signal) -> bool:
        if signal.kind == "given":
            return self.moment.given[signal.id]
        if signal.kind == "output":
            return signal.id in self.machine.states[self.moment.state].drives
        return self.delayed(signal, any_holds(self.chains[signal.id], self.moment.value))

    def delayed(self, signal: Signal, wanted: bool) -> bool:
        moment, held = self.moment, self.moment.value[signal.id]
        if held and signal.stays:
            return True
        moment.wanted_since[signal.id] = _since(moment.wanted_since.get(signal.id), wanted, moment.now)
        moment.gone_since[signal.id] = _since(moment.gone_since.get(signal.id), not wanted, moment.now)
        if wanted:
            start = moment.wanted_since[signal.id]
            return held or (start is not None and moment.now - start >= signal.after_seconds)
        start = moment.gone_since[signal.id]
        return held and start is not None and moment.now - start < signal.off_after_seconds

    def holds(self, chain: tuple[SignalTerm, ...]) -> bool:
        return any_holds((chain,), self.moment.value)

    def all_hold(self, texts: tuple[str, ...]) -> bool:
        return all(self.holds(read_chain(text)) for text in texts)

    def move(self) -> bool:
        """Leave the state if it is time to; return whether it was left."""
        state = self.machine.states[self.moment.state]
        target = self.target_of(state)
        if target is None:
            return False
        self.moment.state, self.moment.entered = target, self.moment.now
        return True

    def target_of(self, state: SequenceState) -> str | None:
        for leave in state.leaves:
            if self.holds(read_chain(leave.when)):
                return leave.to
        is_time = state.seconds is None or self.moment.now - self.moment.entered >= state.seconds
        may_go_on = state.next is not None and (is_time or state.early) and self.all_hold(state.expects)
        if may_go_on and state.next and self.all_hold(self.machine.states[state.next].enter_when):
            return state.next
        return state.on_fault if is_time and state.seconds is not None else None


def _since(start: float | None, holds: bool, now: float) -> float | None:
    return (now if start is None else start) if holds else None


def run_start(machine: Machine, mode_id: str | None, *, cut: str | None = None, cut_at_seconds: float = 0) -> Run:
    """Return the demonstration start as it should be (None) or with one mode forced; raise InputError for no such mode.

    `cut` takes one given signal away at a time, which proves what a power cut does.
    """
    if mode_id is not None and mode_id not in machine.modes:
        raise InputError(f"there is no failure mode {mode_id!r}; see course/machine/modes-*.yaml")
    return run_mode(machine, machine.modes[mode_id] if mode_id is not None else None, cut, cut_at_seconds)


def run_mode(machine: Machine, mode: Mode | None, cut: str | None = None, cut_at_seconds: float = 0) -> Run:
    """Return the demonstration start with a mode forced that need not be one of the machine's own."""
    # Modes that force the same from the same state on start alike.
    forced = (tuple(sorted(mode.effect.items())), mode.from_state) if mode else None
    asked = (forced, cut, cut_at_seconds)
    run = _runs.answer(machine, asked, lambda: _run(machine, mode, cut, cut_at_seconds))
    return replace(run, mode=mode.id if mode else None)


def _run(machine: Machine, mode: Mode | None, cut: str | None, cut_at_seconds: float) -> Run:
    events: dict[float, dict[str, bool]] = {}
    for event in machine.scenario.events:
        events.setdefault(event.at_seconds, {})[event.signal] = event.to
    if cut is not None:
        events.setdefault(cut_at_seconds, {})[cut] = False
    return _Simulation(machine, mode, events).run(machine.scenario.until_seconds)


_runs: OfLastMachine[Run] = OfLastMachine()


def last_good_step(machine: Machine, run: Run) -> str:
    """Return the last state of a run that went over into the next one as the normal start does."""
    normal = [span.what for span in run_start(machine, None).states]
    names = [span.what for span in run.states]
    same = 0
    while same < min(len(normal), len(names)) and normal[same] == names[same]:
        same += 1
    return names[same - 1] if same == len(normal) else names[max(0, same - 2)]


def first_difference(normal: Run, run: Run, signals: Sequence[str]) -> float | None:
    """Return the second at which a run first differs from another in its states or in certain signals, or None."""
    moments = []
    for one, other in ((normal.states, run.states), *((normal.signals[s], run.signals[s]) for s in signals)):
        for at in range(max(len(one), len(other))):
            mine, theirs = one[at] if at < len(one) else None, other[at] if at < len(other) else None
            if mine != theirs:
                moments.append(_parting(mine, theirs))
                break
    return min(moments, default=None)


def _parting(one: Span | None, other: Span | None) -> float:
    if one is None or other is None:
        found = one or other
        return found.start if found else 0.0
    if one.start != other.start or one.what != other.what:
        return min(one.start, other.start)
    return min(one.end, other.end)


def shown_symptoms(machine: Machine, run: Run) -> tuple[str, ...]:
    """Return the symptoms that a run shows, in the order of the model."""
    found = []
    for symptom in machine.symptoms.values():
        chains = [read_trace(text) for text in symptom.trace]
        if any(all(_found(run, link) for link in chain) for chain in chains):
            found.append(symptom.id)
    return tuple(found)


def _found(run: Run, link: TraceLink) -> bool:
    if link.how == "ended":
        return run.ended == link.what
    if link.how in ("reached", "not-reached"):
        return run.reached(link.what) == (link.how == "reached")
    return run.ever(link.what, link.state) == (link.how == "ever")
