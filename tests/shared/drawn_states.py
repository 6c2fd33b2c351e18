"""The page's diagnosis against Python's, on states that are drawn: for tests and benchmarks."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import quickjs

from warmyard.machine.browser import browser_model
from warmyard.machine.diagnosis import Reasoner, Situation, next_check, suspects
from warmyard.machine.model import Machine

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


def state_of(situation: Situation) -> dict[str, Any]:
    """Return a situation as the page holds it."""
    return {
        "symptom": situation.symptom,
        "seen": dict(situation.seen),
        "contexts": list(situation.contexts),
        "standing": situation.standing,
        "level": situation.level,
    }


def verify_equal(machine: Machine, ask: Ask, situation: Situation, reasoner: Reasoner) -> None:
    """Raise AssertionError unless both languages give the same suspects and the same next check."""
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


def verify_equal_on_drawn_states(machine: Machine, ask: Ask, states: int, seed: int) -> None:
    """Raise AssertionError unless both languages agree on so many states, drawn from a seed."""
    chance = random.Random(seed)
    reasoners = {symptom: Reasoner(machine, symptom) for symptom in machine.symptoms}
    for _ in range(states):
        situation = draw(machine, chance)
        verify_equal(machine, ask, situation, reasoners[situation.symptom])
