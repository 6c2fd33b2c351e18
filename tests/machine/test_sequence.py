"""The simulated start: the normal one, one fault at a time, and what a caller would report."""

from __future__ import annotations

import pytest

from warmyard.errors import InputError
from warmyard.machine.model import Machine
from warmyard.machine.sequence import first_difference, last_good_step, run_start, shown_symptoms


def test_the_normal_start_goes_through_in_order(machine: Machine) -> None:
    """Waiting, demand, purge, ignition, fuel, proving, run, cool-down, waiting; and nobody would call."""
    run = run_start(machine, None)
    assert [span.what for span in run.states] == [
        "waiting", "demand", "purge", "ignition", "fuel-opens", "proving", "run", "cool-down", "waiting",
    ]  # fmt: skip
    assert shown_symptoms(machine, run) == ()
    assert not run.ever("lockout-lamp")


def test_spans_are_whole_and_in_order(machine: Machine) -> None:
    """The states of every run fill its time without gap or overlap, and every signal's spans lie inside it."""
    for mode in (None, *machine.modes):
        run = run_start(machine, mode)
        assert run.states[0].start == 0
        assert run.states[-1].end == run.until_seconds
        assert all(one.end == other.start for one, other in zip(run.states, run.states[1:], strict=False))
        for spans in run.signals.values():
            assert all(0 <= span.start < span.end <= run.until_seconds for span in spans)


def test_fuel_never_flows_outside_its_states(machine: Machine) -> None:
    """In every simulated start, whatever the fault, the fuel valve is open only while a flame is to come or there."""
    for mode in (None, *machine.modes):
        run = run_start(machine, mode)
        for state in ("waiting", "demand", "purge", "ignition", "overheat", "cool-down", "lockout"):
            assert not run.ever("fuel-valve-open", state), (mode, state)


@pytest.mark.parametrize(
    ("mode", "symptom", "good"),
    [
        ("tank-empty", "spark-no-flame", "ignition"),
        ("valve-coil-open", "spark-no-flame", "ignition"),
        ("nozzle-blocked", "spark-no-flame", "ignition"),
        ("filter-blocked", "flame-lost", "fuel-opens"),
        ("air-at-bowl-seal", "flame-lost", "fuel-opens"),
        ("thermostat-misplaced", "no-start-on-demand", "waiting"),
        ("supply-dead", "dead", "waiting"),
        ("intake-obstructed", "overheat-trip", "proving"),
        ("thermostat-stuck-closed", "will-not-stop", "proving"),
    ],
)
def test_a_fault_shows_its_symptom_and_the_last_good_step(machine: Machine, mode: str, symptom: str, good: str) -> None:
    """Each fault stops the start where its trade says, and the step before is the last that worked."""
    run = run_start(machine, mode)
    assert symptom in shown_symptoms(machine, run)
    assert last_good_step(machine, run) == good


def test_the_first_difference_is_found(machine: Machine) -> None:
    """With an empty tank the chart parts from the normal one when the flame should come."""
    normal, run = run_start(machine, None), run_start(machine, "tank-empty")
    assert first_difference(normal, normal, ["flame-signal"]) is None
    assert first_difference(normal, run, ["flame-signal"]) == 22


def test_a_power_cut_takes_the_run_on_away(machine: Machine) -> None:
    """Cut in the middle of the run, the main fan stands, though the exchanger is hot."""
    run = run_start(machine, None, cut="supply", cut_at_seconds=50)
    assert run.signals["main-fan-turns"][-1].end <= 51
    assert run.signals["exchanger-hot"][-1].end > 55


def test_no_such_mode_is_one_sentence(machine: Machine) -> None:
    """A mode that is not there is refused in words."""
    with pytest.raises(InputError, match="there is no failure mode 'gremlin'"):
        run_start(machine, "gremlin")
