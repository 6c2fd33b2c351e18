"""Keys, orders, answers and names that stop rules govern, each broken once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
import pytest

from warmyard.course.stop_rule import StopRule
from warmyard.course.stop_rules import check_stop_rules, load_stop_rules
from warmyard.course.stop_sources import check_stops
from warmyard.course.workspace import Workspace
from warmyard.errors import SourceError

Changed = Callable[[Workspace], Workspace]


def with_check(check: str, outcome: str, **changed: Any) -> Changed:
    """Return what gives one answer to a customer another say or end."""

    def change(workspace: Workspace) -> Workspace:
        known = workspace.machine.checks[check]
        answers = {**known.answers, outcome: msgspec.structs.replace(known.answers[outcome], **changed)}
        checks = {**workspace.machine.checks, check: msgspec.structs.replace(known, answers=answers)}
        return replace(workspace, machine=msgspec.structs.replace(workspace.machine, checks=checks))

    return change


def without_pair(procedure: str, first: str, then: str) -> Changed:
    """Return what takes one constraint out of a procedure."""

    def change(workspace: Workspace) -> Workspace:
        known = workspace.procedures[procedure]
        before = tuple(pair for pair in known.before if (pair.first, pair.then) != (first, then))
        return replace(
            workspace, procedures={**workspace.procedures, procedure: msgspec.structs.replace(known, before=before)}
        )

    return change


def with_question(name: str, if_yes: str) -> Changed:
    """Return what gives a safety question other words."""

    def change(workspace: Workspace) -> Workspace:
        questions = tuple(
            msgspec.structs.replace(one, if_yes=if_yes) if one.id == name else one
            for one in workspace.machine.questions
        )
        return replace(workspace, machine=msgspec.structs.replace(workspace.machine, questions=questions))

    return change


def with_symptom(name: str, **changed: Any) -> Changed:
    """Return what gives a symptom other words."""

    def change(workspace: Workspace) -> Workspace:
        symptoms = {**workspace.machine.symptoms}
        symptoms[name] = msgspec.structs.replace(symptoms[name], **changed)
        return replace(workspace, machine=msgspec.structs.replace(workspace.machine, symptoms=symptoms))

    return change


def found(workspace: Workspace, change: Changed) -> list[SourceError]:
    """Return the faults of the changed course."""
    return check_stops(change(workspace))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (with_check("see-the-supply", "supply-off", end="fixed"), "ends in fixed"),
        (with_check("ask-what-changed", "machine-moved-or-retaken", end="go-on"), "ends in go-on"),
        (with_check("walk-the-duct", "outlet-blocked", say="Clear it, then start it again."), "overheat"),
        (with_check("see-the-supply", "device-out", say="Push it back up."), "tripped-device"),
        (with_check("read-the-fuel-gauge", "gauge-shows-fuel", sees="Fuel drips from the tank."), "fuel-out"),
        (without_pair("carbon-monoxide-alarm", "people-out", "cut-from-outside"), "may come before people-out"),
        (with_question("bang-or-thump", "Press reset and stand back."), "bang"),
        (with_question("was-moved", "Put it back where it stood, then start it."), "moved-heater"),
        (with_symptom("overheat-trip", customer="Let it cool, then start it."), "overheat"),
        (with_symptom("trips-protection", caution="Push the device back twice at most, then call."), "tripped-device"),
    ],
)
def test_what_a_rule_governs_cannot_say_the_opposite(whole_workspace: Workspace, change: Changed, says: str) -> None:
    """Answers, ends, orders, questions and cautions: one change, found."""
    faults = found(whole_workspace, change)
    assert any(says in fault.what for fault in faults), [str(fault) for fault in faults]


def test_every_governed_answer_ends_in_a_stop(whole_workspace: Workspace) -> None:
    """Whichever of them is called fixed, it is a fault."""
    rules = [rule for rule in whole_workspace.stops.rules if rule.restart_level]
    governed = [name for rule in rules for name in rule.governs.outcomes]
    changed = whole_workspace
    for name in governed:
        check, _, outcome = name.partition(".")
        changed = with_check(check, outcome, end="fixed")(changed)
    named = [fault.what.split(" ")[0] for fault in check_stops(changed) if "ends in fixed" in fault.what]
    assert set(governed) <= set(named)


def says(workspace: Workspace, what: str, **changed: Any) -> bool:
    """Say whether a fault says something of the course with another first rule."""
    first, *others = workspace.stops.rules
    rule: StopRule = msgspec.structs.replace(first, **changed)
    other = replace(workspace, stops=msgspec.structs.replace(workspace.stops, rules=(rule, *others)))
    return any(what in fault.what for fault in check_stops(other))


def test_a_name_that_a_rule_gives_is_there(whole_workspace: Workspace) -> None:
    """Items, sources and steps that are not there are faults of the rule."""
    governs = msgspec.structs.replace(whole_workspace.stops.rules[0].governs, items=("no-such-item",))
    assert says(whole_workspace, "there is no item no-such-item", governs=governs)
    assert says(whole_workspace, "there is no source x", sources=("x",))
    governs = msgspec.structs.replace(governs, items=(), procedures={"carbon-monoxide-alarm": "no-step"})
    assert says(whole_workspace, "has no step no-step", governs=governs)


def test_a_rule_against_itself_is_a_fault(whole_workspace: Workspace) -> None:
    """What a rule tells a customer is held against the rules like every other text."""
    customer = msgspec.structs.replace(whole_workspace.stops.rules[0].customer, first="Open the windows, stay inside.")
    assert says(whole_workspace, "contradicts", customer=customer)


def test_rules_are_read_with_their_lines(tmp_path: Path) -> None:
    """A phrase that is none, an act that is not there: the line of each."""
    file = tmp_path / "stop_rules.yaml"
    told = "{first: Stop., ends: Never., never: [start]}"
    file.write_text(
        "groups: []\nacts:\n  - id: go\n    name: go\n    phrases:\n      - press(\n    freed_by: [two]\nrules:\n"
        f"  - id: one\n    title: One\n    when: Now.\n    customer: {told}\n    staff: {told}\n"
        "    restart_level: 0\n    sources: []\n    speaks: [bang]\n",
        encoding="utf-8",
    )
    faults: list[SourceError] = []
    stops = load_stop_rules(file, tmp_path, faults)
    assert faults == []
    assert [(fault.place.line, fault.what) for fault in check_stop_rules(stops)] == [
        (6, "'press(' is no phrase"),
        (7, "there is no stop rule two"),
        (12, "there is no act start"),
        (13, "there is no act start"),
    ]


def test_a_course_without_rules_has_none(tmp_path: Path) -> None:
    """The file may be missing."""
    assert load_stop_rules(tmp_path / "stop_rules.yaml", tmp_path, []).rules == ()
