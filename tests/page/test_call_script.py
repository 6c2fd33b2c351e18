"""Telephone scripts: safety first, nothing a customer may not do, words that the command understands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, PdfMargins

from warmyard.cli.suspects import read_seen
from warmyard.course.values import plain_text
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError
from warmyard.machine.diagnosis import Situation, suspects
from warmyard.machine.evidence import Reasoner
from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine
from warmyard.page.call_script import telephone_script
from warmyard.page.face import face_css
from warmyard.page.van_tree import van_tree_html


@pytest.fixture(scope="module")
def machine(workspace_root: Path) -> Machine:
    """Give the machine of the course."""
    found, faults = load_machine(workspace_root / "course" / "machine", workspace_root)
    assert found is not None, faults
    return found


def test_safety_questions_come_first(machine: Machine) -> None:
    """Every script asks about people before anything about the machine, and a yes ends the questions."""
    for symptom in machine.symptoms:
        script = telephone_script(machine, symptom)
        assert script.questions[0].id == "anybody-unwell"
        assert {question.end for question in script.questions} <= {"emergency", "stop-using"}


def test_an_emergency_has_no_looks(machine: Machine) -> None:
    """Fumes and a tingle: people, then the procedure; no look at the heater is asked of a caller."""
    for symptom in ("fumes-inside", "tingle-from-casing"):
        assert telephone_script(machine, symptom).looks == ()


def test_after_a_bang_or_a_leak_nothing_is_tried(machine: Machine) -> None:
    """Where a start is barred at once, a customer is asked to leave the heater off."""
    for symptom in ("late-light-up", "fuel-drip"):
        assert telephone_script(machine, symptom).looks == ()


def test_only_level_0_is_asked(machine: Machine) -> None:
    """Every look is a check of level 0, touches no cover, and is not a start where a start is barred."""
    for symptom in machine.symptoms:
        reasoner = Reasoner(machine, symptom)
        for look in telephone_script(machine, symptom).looks:
            check = machine.checks[look.check]
            assert check.level == 0
            assert not (reasoner.bars(Situation(symptom)) and reasoner.is_live(check))


def test_every_answer_ends_somewhere(machine: Machine) -> None:
    """Each answer says what it means, and ends in fixed, a visit, stop using, or the next question."""
    for symptom in machine.symptoms:
        for look in telephone_script(machine, symptom).looks:
            assert len(look.replies) > 1
            for reply in look.replies:
                assert reply.say
                assert reply.end in ("fixed", "visit", "stop-using", "go-on")


@pytest.mark.parametrize(
    ("check", "outcome"),
    [
        ("ask-what-changed", "machine-moved-or-retaken"),
        ("see-the-supply", "supply-off"),
        ("look-at-the-air-intake", "intake-obstructed"),
        ("walk-the-duct", "kinked-compressed-or-too-long"),
        ("walk-the-duct", "outlet-blocked"),
    ],
)
def test_a_moved_hot_unwatched_or_just_cleared_heater_stays_off(
    whole_workspace: Workspace, check: str, outcome: str
) -> None:
    """Nothing of this is mended by a customer: the heater is left off, and the customer calls."""
    answer = whole_workspace.machine.checks[check].answers[outcome]
    assert "eave it off and call us" in plain_text(whole_workspace.shelf, answer.say, "customer")
    assert answer.end in ("stop-using", "visit")


def test_the_likeliest_look_comes_first(machine: Machine) -> None:
    """After the opening question the look that finds most per minute comes first."""
    looks = [look.check for look in telephone_script(machine, "overheat-trip").looks]
    assert looks == ["ask-what-changed", "look-at-the-air-intake", "walk-the-duct"]


def test_the_words_to_read_out_are_understood(machine: Machine) -> None:
    """Every answer's small word, with its look, is what --saw takes, and the suspects answer."""
    for symptom in machine.symptoms:
        for look in telephone_script(machine, symptom).looks:
            for reply in look.replies:
                seen = read_seen([f"{look.check}={reply.outcome}"])
                assert suspects(machine, Situation(symptom, seen))


def test_no_such_symptom(machine: Machine) -> None:
    """A script for no symptom that exists names the near ones."""
    with pytest.raises(InputError, match="near ones are spark-no-flame"):
        telephone_script(machine, "spark-no-flames")


def test_the_tree_begins_with_the_next_check(machine: Machine) -> None:
    """The van's page begins with what `warmyard suspects` would say, ends in remedies, and leaves emergencies out."""
    html = van_tree_html(machine, "spark-no-flame")
    asked = re.findall(r"<strong>([^<]*)</strong> \(", html)
    assert asked[:2] == [machine.checks[name].name for name in ("dip-the-tank", "look-in-filter-bowl")]
    assert machine.modes["tank-empty"].remedy in html
    assert "<ul" not in van_tree_html(machine, "fumes-inside")


@pytest.mark.browser
def test_each_tree_prints_on_one_page(machine: Machine, module_page: Page, workspace_root: Path) -> None:
    """The tree of every symptom fits one sheet of A4, and does not scroll sideways at 390 px."""
    css = face_css() + (workspace_root / "builder/warmyard/page/runtime/machine.css").read_text("utf-8")
    module_page.set_viewport_size({"width": 390, "height": 844})
    margin: PdfMargins = {"top": "12mm", "bottom": "12mm", "left": "12mm", "right": "12mm"}
    for symptom in machine.symptoms.values():
        body = van_tree_html(machine, symptom.id)
        module_page.set_content(f"<style>body{{font-family:sans-serif}}{css}</style><h2>{symptom.name}</h2>{body}")
        assert module_page.evaluate("document.documentElement.scrollWidth <= innerWidth"), symptom.id
        assert module_page.pdf(format="A4", margin=margin).count(b"/Type /Page\n") == 1, symptom.id
