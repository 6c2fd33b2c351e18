"""What the evidence makes impossible, what is only left over, and what a circumstance makes likely."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import pytest

from warmyard.machine.advice import advise
from warmyard.machine.diagnosis import Reasoner, Situation, next_check, suspects
from warmyard.machine.facts import contradicts
from warmyard.machine.model import Machine, Mode
from warmyard.machine.sequence import run_mode, run_start, shown_symptoms


def weights_of(machine: Machine, situation: Situation) -> dict[str, float]:
    """Return the suspects' weights by id."""
    return {one.id: one.weight for one in suspects(machine, situation)}


@pytest.mark.parametrize(
    ("symptom", "impossible"),
    [
        ("lockout-in-purge", ("tank-empty", "supply-dead", "thermostat-misplaced", "filter-blocked")),
        ("will-not-stop", ("supply-dead", "tank-empty", "limit-tripped", "control-in-lockout")),
        ("smoky", ("supply-dead", "tank-empty", "motor-seized")),
        ("fumes-inside", ("tank-empty", "mode-selector-off", "duct-kinked")),
    ],
)
def test_what_cannot_show_a_symptom_is_no_suspect(machine: Machine, symptom: str, impossible: tuple[str, ...]) -> None:
    """A heater that burns has its supply and its fuel: the trace has a veto, not a small weight."""
    assert not set(impossible) & set(weights_of(machine, Situation(symptom)))


def test_whenever_a_fault_sets_in_what_its_start_shows_is_declared(machine: Machine) -> None:
    """A mode that bites in any state of a start shows no symptom that it leaves out: what is left out is impossible."""
    states = list(dict.fromkeys(span.what for span in run_start(machine, None).states))[1:]
    for mode in machine.modes.values():
        for state in states:
            shown = shown_symptoms(machine, run_mode(machine, replace_mode(mode, state)))
            assert set(shown) <= {*mode.strong, *mode.weak, *mode.seldom}, (mode.id, state)


def replace_mode(mode: Mode, state: str | None) -> Mode:
    """Return a mode that bites from another state on."""
    return msgspec.structs.replace(mode, from_state=state)


def test_a_flame_that_was_measured_denies_what_lets_none_come(machine: Machine) -> None:
    """A rise that was read needs a flame: of a heater that was said to lose it, what lets none hold is denied."""
    after = weights_of(machine, Situation("flame-lost", {"measure-the-rise": "rise-as-plate"}))
    assert not {"tank-empty", "sensor-not-home", "filter-blocked"} & set(after)
    comes_and_goes = weights_of(machine, Situation("erratic-cycling", {"measure-the-rise": "rise-as-plate"}))
    assert comes_and_goes["supply-sags"] > 0


def test_what_is_left_over_is_looked_at_before_it_is_named(machine: Machine) -> None:
    """A cause by exclusion is a guess: its own look comes next, and above one's level it is handed over as a guess."""
    mode = machine.modes["heater-too-small"]
    checks = [check for check in machine.checks.values() if check.id not in mode.shows and not check.context_only]
    reasoner = Reasoner(machine, "weak-heat")
    left = Situation("weak-heat", {check.id: reasoner.under_symptom(check, check.normal) for check in checks})
    assert [one.id for one in suspects(machine, left)] == [mode.id]
    assert getattr(next_check(machine, left), "check", "") == mode.first_check == "rework-the-heat-load"
    too_high = advise(machine, replace(left, level=1))
    assert too_high.next is None
    assert "A guess is no finding" in too_high.say
    shown = advise(machine, left.with_seen("rework-the-heat-load", "load-exceeds-output", "by-phone"))
    assert mode.remedy in shown.say


def test_a_start_shows_what_was_reported(machine: Machine) -> None:
    """A seal that lets air in lights and fades; where no flame was reported its start shows none, and it stays."""
    seen = {"time-one-start": "spark-no-flame-lockout"}
    assert "air-at-bowl-seal" in weights_of(machine, Situation("spark-no-flame", seen))
    assert "air-at-bowl-seal" not in weights_of(machine, Situation("flame-lost", seen))


def test_no_finding_contradicts_its_symptom(machine: Machine) -> None:
    """Whatever is wrong: what a check shows under a symptom never denies what was reported."""
    for symptom in machine.symptoms.values():
        reasoner = Reasoner(machine, symptom.id)
        for hypothesis in reasoner.shares:
            for check in machine.checks.values():
                said = check.says.get(reasoner.expected(hypothesis, check), ())
                assert not contradicts(machine.facts, symptom.says, said), (symptom.id, hypothesis, check.id)


@pytest.mark.parametrize(
    ("symptom", "context", "first", "least"),
    [
        ("spark-no-flame", "cold-night", "tank-empty", 0.20),
        ("spark-no-flame", "colder-than-plugging", "fuel-waxed", 0.50),
        ("spark-no-flame", "first-start-after-a-stop", "fuel-tap-shut", 0.25),
        ("flame-lost", "filter-changed", "air-at-bowl-seal", 0.45),
        ("late-light-up", "fuel-unknown", "fuel-wrong", 0.40),
        ("fuel-drip", "tank-above", "bowl-weeps", 0.25),
    ],
)
def test_a_circumstance_leads(machine: Machine, symptom: str, context: str, first: str, least: float) -> None:
    """Frost alone empties tanks; only below its plugging temperature is fuel waxed first; a stop shuts the tap."""
    found = suspects(machine, Situation(symptom, contexts=(context,)))
    assert found[0].id == first
    assert found[0].weight > least


def test_a_tank_above_the_pump_lets_no_air_in(machine: Machine) -> None:
    """Where fuel stands above the joint it weeps, where the tank lies below it draws air: the sheet says which."""
    above, below = (
        weights_of(machine, Situation("flame-lost", contexts=(line,))) for line in ("tank-above", "tank-below")
    )
    assert above["air-at-bowl-seal"] < below["air-at-bowl-seal"] / 5
    above, below = (
        weights_of(machine, Situation("fuel-drip", contexts=(line,))) for line in ("tank-above", "tank-below")
    )
    assert above["bowl-weeps"] > 5 * below["bowl-weeps"]
