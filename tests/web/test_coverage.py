"""The page of coverage says of every task what belongs to it, and of every gap that it is one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
from bs4 import BeautifulSoup

from warmyard.course.workspace import Workspace, read_workspace
from warmyard.web.coverage import covered

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
FILTER = "change-the-filter"


def test_every_task_of_the_job_analysis_stands_there_once(whole_workspace: Workspace) -> None:
    """100 tasks in 12 duties, each with lesson, practice and exam, assessed in the way that suits it: no gap."""
    rows = covered(whole_workspace)
    assert len({row.skill.task for row in rows}) == len(rows) == 100
    assert len(whole_workspace.duties) == 12
    assert [row.skill.task for row in rows if not (row.lessons and row.practice)] == []
    assert [row.skill.task for row in rows if not row.skill.best] == []
    assert {row.skill.task: row.gaps for row in rows if row.gaps} == {}


def test_the_counts_are_those_of_the_bank(whole_workspace: Workspace) -> None:
    """Every item of the bank is counted once, with its task, its use and its kind."""
    rows = covered(whole_workspace)
    assert sum(sum(row.practice.values()) + sum(row.exam.values()) for row in rows) == len(whole_workspace.items)
    assert sum(len(row.procedures) for row in rows) == len(whole_workspace.procedures)
    assert {one.id for row in rows for one in row.stations} == set(whole_workspace.stations)


def without_lessons(yard: Workspace) -> Workspace:
    """Take the skill out of every lesson."""
    pages = {
        name: replace(page, front=msgspec.structs.replace(page.front, skills=())) for name, page in yard.lessons.items()
    }
    return replace(yard, lessons=pages)


def without_items(use: str) -> Callable[[Workspace], Workspace]:
    """Take every item of a use out."""
    return lambda yard: replace(yard, items={name: one for name, one in yard.items.items() if one.use != use})


def best_by(way: str) -> Callable[[Workspace], Workspace]:
    """Say that the filter change is best assessed in one way."""

    def change(yard: Workspace) -> Workspace:
        skill = msgspec.structs.replace(yard.skills[FILTER], best=(way,))
        kinds = ("numeric", "reading", "fault-case")
        items = {name: one for name, one in yard.items.items() if one.__struct_config__.tag not in kinds}
        return replace(yard, skills={**yard.skills, FILTER: skill}, items=items, stations={})

    return change


@pytest.mark.parametrize(
    ("change", "gap"),
    [
        (without_lessons, "no lesson teaches it"),
        (without_items("practice"), "no practice problem"),
        (without_items("exam"), "no exam problem"),
        (without_items("practice"), "can kill, and asked fewer than 4 times"),
        (best_by("sum"), "best by sum, and there is none"),
        (best_by("case"), "best by case, and there is none"),
        (best_by("observed"), "best by observed, and there is none"),
    ],
)
def test_what_is_missing_is_named(change: Callable[[Workspace], Workspace], gap: str) -> None:
    """Each thing that may be missing is a gap of its task, in words."""
    (row,) = (row for row in covered(change(read_workspace(SMALL_YARD))) if row.skill.id == FILTER)
    assert gap in row.gaps


def test_the_page_lists_tasks_by_duty_and_counts_the_gaps(built: Path) -> None:
    """One row a task under its duty; the tasks with a gap stand in a list at the head, each leading to its row."""
    page = BeautifulSoup((built / "staff" / "coverage.html").read_text(encoding="utf-8"), "html.parser")
    yard = read_workspace(SMALL_YARD)
    rows = covered(yard)
    assert [row["id"] for row in page.select(".wy-coverage tbody tr")] == [f"task-{row.skill.id}" for row in rows]
    assert [head["id"] for head in page.select("h2[id^=duty-]")] == [f"duty-{name}" for name in yard.duties]
    listed = [link["href"] for link in page.select(".wy-coverage__gaps a")]
    assert listed == [f"#task-{row.skill.id}" for row in rows if row.gaps]
