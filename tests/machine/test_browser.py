"""The browser's suspects and next check equal Python's: shared cases and drawn states; bench_diagnosis draws more."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import quickjs
from drawn_states import Ask, browser, verify_equal, verify_equal_on_drawn_states

from warmyard.machine.browser import browser_model
from warmyard.machine.diagnosis import Reasoner, Situation, ladder_minutes, next_check, suspects
from warmyard.machine.model import Machine

STATES = 100
SEED = 20261004


@pytest.fixture(scope="module")
def ask(machine: Machine, workspace_root: Path) -> Ask:
    """Give the page's answers on the course's machine."""
    return browser(machine, workspace_root)


def test_the_browser_agrees_on_drawn_states(machine: Machine, ask: Ask) -> None:
    """Suspects, weights, next check, minutes and bars are the same on drawn states."""
    verify_equal_on_drawn_states(machine, ask, STATES, SEED)


def test_the_browser_agrees_on_the_shared_cases(machine: Machine, ask: Ask, workspace_root: Path) -> None:
    """The shared case file says in words what both languages must answer."""
    cases = json.loads((workspace_root / "tests/contract/diagnosis.json").read_text("utf-8"))
    for case in cases["cases"]:
        state = {"seen": {}, "contexts": [], "standing": None, "level": 3, **case["state"]}
        situation = Situation(
            state["symptom"], state["seen"], tuple(state["contexts"]), state["standing"], state["level"]
        )
        step, found = next_check(machine, situation), ask("next", state)
        assert (step.check if step else None) == case["next"], case["why"]
        assert (found["check"] if found else None) == case["next"], case["why"]
        first = suspects(machine, situation)
        assert (first[0].id if first else None) == case["first"], case["why"]
        verify_equal(machine, ask, situation, Reasoner(machine, situation.symptom))


def test_the_browser_agrees_on_the_ladder(machine: Machine, workspace_root: Path) -> None:
    """Minutes between any two preconditions are the same, for a symptom with its own rungs and for one without."""
    context = quickjs.Context()
    context.eval((workspace_root / "builder/warmyard/page/runtime/diagnosis.js").read_text("utf-8"))
    context.eval("var MODEL = " + json.dumps(browser_model(machine)))
    ladder = context.eval("(function (s, a, b) { return WY.diagnosis.ladderMinutes(MODEL, s, a, b); })")
    for symptom in ("spark-no-flame", "overheat-trip"):
        for start in machine.preconditions:
            for to in machine.preconditions:
                assert ladder(symptom, start, to) == ladder_minutes(machine, symptom, start, to)


def test_the_browser_runs_the_toy(toy: Machine, workspace_root: Path) -> None:
    """Another machine needs no other script."""
    toy_ask = browser(toy, workspace_root)
    for situation in (Situation("no-water"), Situation("no-water", {"look-into-the-butt": "water"}, ("storm",))):
        verify_equal(toy, toy_ask, situation, Reasoner(toy, situation.symptom))
