"""The start with the times of one machine's data sheet: purge, safety time and run-on."""

from __future__ import annotations

import math
from collections.abc import Mapping

import msgspec

from warmyard.machine.model import Machine, Rung, SequenceState, Signal


def time_fields(machine: Machine) -> tuple[str, ...]:
    """Return the fields of a data sheet that give the start its times, each once."""
    named = [state.seconds_field for state in machine.states.values()]
    named += [field for signal in machine.signals.values() for field in (signal.after_field, signal.off_after_field)]
    named += [rung.minutes_field for rung in machine.ladder]
    return tuple(dict.fromkeys(filter(None, named)))


def timed(machine: Machine, seconds: Mapping[str, float]) -> Machine:
    """Return the machine with the seconds that a sheet gives by field; what it lacks stays as set for the demo.

    The demonstration start grows by as much as its times do, so that its end is still seen.
    """
    states = {id: _timed_state(state, seconds) for id, state in machine.states.items()}
    signals = {id: _timed_signal(signal, seconds) for id, signal in machine.signals.items()}
    grown = sum((states[id].seconds or 0) - (old.seconds or 0) for id, old in machine.states.items())
    grown += sum(
        new.after_seconds - old.after_seconds + new.off_after_seconds - old.off_after_seconds
        for new, old in zip(signals.values(), machine.signals.values(), strict=True)
    )
    scenario = msgspec.structs.replace(machine.scenario, until_seconds=machine.scenario.until_seconds + max(0.0, grown))
    ladder = tuple(_timed_rung(rung, seconds) for rung in machine.ladder)
    return msgspec.structs.replace(machine, states=states, signals=signals, scenario=scenario, ladder=ladder)


def _timed_rung(rung: Rung, seconds: Mapping[str, float]) -> Rung:
    found = seconds.get(rung.minutes_field)
    return rung if found is None else msgspec.structs.replace(rung, minutes=float(math.ceil(found / 60)))


def _timed_state(state: SequenceState, seconds: Mapping[str, float]) -> SequenceState:
    return msgspec.structs.replace(state, seconds=seconds.get(state.seconds_field, state.seconds))


def _timed_signal(signal: Signal, seconds: Mapping[str, float]) -> Signal:
    return msgspec.structs.replace(
        signal,
        after_seconds=seconds.get(signal.after_field, signal.after_seconds),
        off_after_seconds=seconds.get(signal.off_after_field, signal.off_after_seconds),
    )
