"""The times of a data sheet in the start: purge, safety time, run-on."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from warmyard.machine.model import Machine
from warmyard.machine.sequence import Run, run_start, shown_symptoms
from warmyard.machine.timing import time_fields, timed

FIELDS = ("purge-time", "safety-time", "run-on-time")


@dataclass(frozen=True)
class Times:
    """Seconds of one sheet."""

    purge: float
    safety: float
    run_on: float

    def of(self, machine: Machine) -> Machine:
        """Return the machine with these times."""
        return timed(machine, dict(zip(FIELDS, (self.purge, self.safety, self.run_on), strict=True)))


SHEETS = (Times(12, 5, 120), Times(20, 5, 240), Times(17, 4, 165), Times(25, 10, 90))


def test_the_start_asks_the_sheet_for_three_times(machine: Machine) -> None:
    """Purge, safety time and run-on stand on every sheet; nothing else of the start does."""
    assert set(time_fields(machine)) == set(FIELDS)


@pytest.mark.parametrize("times", SHEETS)
def test_purge_and_run_on_last_as_the_sheet_says(machine: Machine, times: Times) -> None:
    """In the normal start the purge lasts as the sheet says, and so does the fan after the flame; nobody would call."""
    mine = times.of(machine)
    run = run_start(mine, None)
    (purge,) = [span for span in run.states if span.what == "purge"]
    assert purge.end - purge.start == times.purge
    (flame,) = run.signals["flame"]
    assert run.signals["main-fan-turns"][-1].end - flame.end == times.run_on
    assert run.ended == "waiting"
    assert shown_symptoms(mine, run) == ()


@pytest.mark.parametrize("times", SHEETS)
def test_no_fuel_flows_longer_than_the_safety_time_without_a_flame_seen(machine: Machine, times: Times) -> None:
    """Whatever the fault: while a flame is to be lit, the valve is never open longer than the safety time unseen."""
    mine = times.of(machine)
    longest = max(unseen_seconds(run_start(mine, mode)) for mode in machine.modes)
    assert longest == times.safety


def unseen_seconds(run: Run) -> float:
    """Return the longest time that the fuel valve was driven without a flame signal."""
    driven = [span for span in run.states if span.what in ("fuel-opens", "proving")]
    if not driven:
        return 0.0
    seen = [span.start for span in run.signals["flame-signal"] if span.end > driven[0].start]
    return min([driven[-1].end, *seen]) - driven[0].start


@pytest.mark.parametrize("times", SHEETS)
def test_every_fault_shows_its_symptoms_with_any_times(machine: Machine, times: Times) -> None:
    """The laws of the symptoms hold for every sheet, not only for the times of the demo."""
    mine = times.of(machine)
    for mode in machine.modes.values():
        shown = shown_symptoms(mine, run_start(mine, mode.id))
        assert set(shown) <= {*mode.strong, *mode.weak, *mode.seldom}
        assert shown == shown_symptoms(machine, run_start(machine, mode.id))
