"""No text that is written for staff reaches the customer's edition, whatever page, sheet or search entry it is."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

import msgspec
import pytest

from warmyard.course.workspace import Workspace
from warmyard.web.build import build_edition

MARK = "qzstaff"
"""A word that stands in every text for staff, and in nothing else."""
Thing = TypeVar("Thing", bound=msgspec.Struct)


def marked(thing: Thing, *fields: str) -> Thing:
    """Return a thing whose texts in these fields hold the mark."""
    return msgspec.structs.replace(thing, **{field: _marked(getattr(thing, field)) for field in fields})


def _marked(value: Any) -> Any:
    if isinstance(value, str):
        return f"{value} {MARK}" if value else value
    if isinstance(value, Mapping):
        return {name: _marked(inner) for name, inner in value.items()}
    if isinstance(value, msgspec.Struct):
        return msgspec.structs.replace(value, **{name: _marked(getattr(value, name)) for name in ("first", "ends")})
    return value


def for_staff_alone(workspace: Workspace) -> Workspace:
    """Return the workspace with the mark in every text that customers must not read."""
    machine = workspace.machine
    checks = {
        name: marked(check, "name", *(() if check.level == 0 and not check.customer else ("ask",)))
        for name, check in machine.checks.items()
    }
    for name, check in checks.items():
        own = {outcome: answer for outcome, answer in check.answers.items() if not answer.sees}
        outcomes = {key: text if key in own else _marked(text) for key, text in check.outcomes.items()}
        checks[name] = msgspec.structs.replace(check, outcomes=outcomes)
    machine = msgspec.structs.replace(
        machine,
        checks=checks,
        symptoms={name: marked(symptom, "name", "caution") for name, symptom in machine.symptoms.items()},
        modes={
            name: marked(mode, "name", "remedy", "fit_to_return", "safety", "parts")
            for name, mode in machine.modes.items()
        },
        preconditions={name: marked(one, "name", "means") for name, one in machine.preconditions.items()},
        bars=tuple(marked(bar, "say") for bar in machine.bars),
    )
    stops = msgspec.structs.replace(
        workspace.stops, rules=tuple(marked(rule, "title", "when", "staff") for rule in workspace.stops.rules)
    )
    lessons = {
        name: replace(lesson, body=f"{lesson.body}\n\n{MARK}\n", front=marked(lesson.front, "title", "description"))
        if lesson.edition == "staff"
        else lesson
        for name, lesson in workspace.lessons.items()
    }
    procedures = {
        name: procedure if "customer" in procedure.editions else marked(procedure, "title", "caution")
        for name, procedure in workspace.procedures.items()
    }
    return replace(
        workspace,
        machine=machine,
        stops=stops,
        shelf=replace(workspace.shelf, stop_rules={rule.id: rule for rule in stops.rules}),
        lessons=lessons,
        procedures=procedures,
        items={
            name: item if "customer" in item.editions else marked(item, "ask", "sense")
            for name, item in workspace.items.items()
        },
        skills={name: marked(skill, "title") for name, skill in workspace.skills.items()},
        stations={name: marked(station, "title", "setting") for name, station in workspace.stations.items()},
    )


@pytest.fixture(scope="module")
def built_with_marks(whole_workspace: Workspace, tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Path]:
    """Give both editions of a course in which every text for staff holds the mark."""
    folder = tmp_path_factory.mktemp("marked")
    marked_course = for_staff_alone(whole_workspace)
    build_edition(marked_course, "customer", folder / "customer")
    return {"customer": folder / "customer"}


def test_no_file_of_the_customers_edition_holds_a_text_for_staff(built_with_marks: Mapping[str, Path]) -> None:
    """Pages, attributes, search entries, scripts, the pocket file and the cards: the mark is in none of them."""
    folder = built_with_marks["customer"]
    files = [path for path in folder.rglob("*") if path.suffix in {".html", ".js", ".json", ".xml", ".svg", ".txt"}]
    assert len(files) > 20
    holding = {}
    for path in files:
        text = path.read_text(encoding="utf-8")
        if MARK in text:
            holding[path.relative_to(folder).as_posix()] = re.findall(rf".{{0,60}}{MARK}", text)[:2]
    assert holding == {}


def test_the_customers_words_of_a_rule_do_reach_them(built_with_marks: Mapping[str, Path]) -> None:
    """So the first test looks where the rules are told: a page that cites one tells the customer's first act."""
    page = (built_with_marks["customer"] / "10-night-wind-snow.html").read_text(encoding="utf-8")
    assert "Get everybody out of the tent." in page
    assert 'data-wy-stop="flue-covered"' in page
