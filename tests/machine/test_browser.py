"""The browser's suspects and next check equal Python's: shared cases, and 1,000 drawn states."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import quickjs

from warmyard.machine.browser import browser_model
from warmyard.machine.diagnosis import Reasoner, Situation, ladder_minutes, next_check, suspects
from warmyard.machine.model import Machine

STATES = 1000
SEED = 20261004
Ask = Callable[[str, dict[str, Any]], Any]


def browser(machine: Machine, root: Path) -> Ask:
    """Return a function that asks the page's own script, run without any page."""
    context = quickjs.Context()
    context.eval((root / "builder/warmyard/page/runtime/diagnosis.js").read_text("utf-8"))
    context.eval("var MODEL = " + json.dumps(browser_model(machine)))
    call = context.eval(
        "(function (name, text) { return JSON.stringify(WY.diagnosis[name](MODEL, JSON.parse(text))); })"
    )
    return lambda name, state: json.loads(call(name, json.dumps(state)))


@pytest.fixture(scope="module")
def ask(machine: Machine, workspace_root: Path) -> Ask:
    """Give the page's answers on the course's machine."""
    return browser(machine, workspace_root)


def state_of(situation: Situation) -> dict[str, Any]:
    """Return a situation as the page holds it."""
    return {
        "symptom": situation.symptom,
        "seen": dict(situation.seen),
        "contexts": list(situation.contexts),
        "standing": situation.standing,
        "level": situation.level,
    }


def assert_equal(machine: Machine, ask: Ask, situation: Situation, reasoner: Reasoner) -> None:
    """Assert that both languages give the same suspects and the same next check."""
    mine, theirs = suspects(machine, situation, reasoner), ask("suspects", state_of(situation))
    assert [one.id for one in mine] == [one["id"] for one in theirs], situation
    for one, other in zip(mine, theirs, strict=True):
        assert one.weight == pytest.approx(other["weight"], rel=1e-9, abs=1e-12)
    step, found = next_check(machine, situation, reasoner), ask("next", state_of(situation))
    if step is None or found is None:
        assert step is found is None, situation
        return
    assert (step.check, step.precondition, step.clears) == (found["check"], found["precondition"], found["clears"])
    assert step.minutes == pytest.approx(found["minutes"], rel=1e-12)
    assert step.settles == pytest.approx(found["settles"], rel=1e-9, abs=1e-12)


def draw(machine: Machine, chance: random.Random) -> Situation:
    """Return a drawn state: mostly what one hidden fault shows, at times nonsense, anywhere on the ladder."""
    hidden = chance.choice(list(machine.modes.values()))
    seen = {}
    for check in chance.sample(list(machine.checks.values()), chance.choice((0, 0, 1, 2, 3, 4))):
        honest = hidden.shows.get(check.id, check.normal)
        seen[check.id] = honest if chance.random() < 0.9 else chance.choice(list(check.outcomes))
    contexts = tuple(chance.sample(list(machine.contexts), chance.choice((0, 0, 1, 2))))
    standing = chance.choice([None, *machine.preconditions])
    return Situation(chance.choice(list(machine.symptoms)), seen, contexts, standing, chance.choice((0, 1, 2, 3, 3)))


def test_the_browser_agrees_on_1000_drawn_states(machine: Machine, ask: Ask) -> None:
    """Suspects, weights, next check, minutes and bars are the same on 1,000 drawn states."""
    chance = random.Random(SEED)
    reasoners = {symptom: Reasoner(machine, symptom) for symptom in machine.symptoms}
    for _ in range(STATES):
        situation = draw(machine, chance)
        assert_equal(machine, ask, situation, reasoners[situation.symptom])


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
        assert_equal(machine, ask, situation, Reasoner(machine, situation.symptom))


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
        assert_equal(toy, toy_ask, situation, Reasoner(toy, situation.symptom))
