"""A machine that is no heater runs unchanged: the builder knows no fact about heaters."""

from __future__ import annotations

from warmyard.machine.advice import advise
from warmyard.machine.diagnosis import Situation, next_check, suspects
from warmyard.machine.load import check_machine
from warmyard.machine.model import Machine
from warmyard.machine.policy import greedy_policy
from warmyard.machine.sequence import run_start, shown_symptoms
from warmyard.page.call_script import telephone_script
from warmyard.page.sequence_chart import describe, sketch_sequence
from warmyard.page.van_tree import van_tree_html


def test_the_toy_holds_its_laws(toy: Machine) -> None:
    """Load, laws, simulated symptoms and separability: no fault."""
    assert [str(fault) for fault in check_machine(toy)] == []


def test_the_toy_runs(toy: Machine) -> None:
    """The normal start pumps, and an empty butt ends in a dry stop."""
    assert [span.what for span in run_start(toy, None).states] == ["idle", "priming", "pumping", "idle"]
    run = run_start(toy, "butt-empty")
    assert run.ended == "dry-stop"
    assert shown_symptoms(toy, run) == ("no-water",)


def test_the_toy_is_diagnosed(toy: Machine) -> None:
    """Look into the butt first; what was seen leads to the hose."""
    situation = Situation("no-water")
    assert suspects(toy, situation)[0].id == "butt-empty"
    step = next_check(toy, situation)
    assert step is not None
    assert (step.check, step.minutes) == ("look-into-the-butt", 4)
    seen = {"look-into-the-butt": "water", "try-a-lamp": "lights"}
    found = advise(toy, Situation("no-water", seen))
    assert [one.id for one in found.suspects] == ["hose-kinked"]
    assert "Straighten it." in found.say
    assert greedy_policy(toy, situation).policy.check == "look-into-the-butt"


def test_the_toy_is_drawn_and_scripted(toy: Machine) -> None:
    """Chart, telephone script and tree come from its own words."""
    assert "Water comes." in describe(toy, None)
    assert sketch_sequence(toy, "mains-off").startswith("<svg")
    looks = telephone_script(toy, "no-water").looks
    assert [(look.check, look.do) for look in looks] == [("look-into-the-butt", "Is there water in the butt?")]
    assert "Have it restored." in van_tree_html(toy, "no-water")
