"""Mixed practice and the mock paper: a light plan of what can be drawn, and the problems, a script each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from warmyard.course.fence_table import named_in
from warmyard.course.lesson import Lesson
from warmyard.course.lesson_level import level_of
from warmyard.course.steps import LessonStep, is_stepped, minutes_of_lesson, minutes_shown, steps_of
from warmyard.course.values import plain_text
from warmyard.course.workspace import Workspace
from warmyard.item.kind_table import kind_of, tag_of
from warmyard.item.model import Edition, Item
from warmyard.page.javascript import script_of
from warmyard.web.drawn import DrawBook
from warmyard.web.fill import FOLDER, fill

PLAN = f"{FOLDER}/data/practice-plan.js"
MIXED_SCRIPTS = ("choosing.js", "mixed.js")
RETRIEVAL_SCRIPTS = ("choosing.js", "retrieval.js")
MOCK_SCRIPTS = ("choosing.js", "mock_draft.js", "mock.js")
START_SCRIPTS = ("today.js",)


def practice_items(workspace: Workspace, edition: Edition) -> list[Item]:
    """Return the items that an edition may practise: never one of the examination."""
    return [item for item in workspace.items.values() if item.use == "practice" and edition in item.editions]


def packs(workspace: Workspace, edition: Edition, drawn: DrawBook) -> dict[str, bytes]:
    """Return the plan, and every problem that an edition may practise as a script of its own, by place in the site."""
    return {**drawn.scripts(practice_items(workspace, edition)), PLAN: plan_file(workspace, edition, drawn)}


def plan_file(workspace: Workspace, edition: Edition, drawn: DrawBook) -> bytes:
    """Return the plan's file, WY.plan: the same for every page of a site."""
    return drawn.once(PLAN, lambda: plan_script(workspace, edition))


def plan_script(workspace: Workspace, edition: Edition) -> str:
    """Return the script of WY.plan."""
    return script_of(plan=plan_of(workspace, edition))


def plan_of(workspace: Workspace, edition: Edition) -> dict[str, Any]:
    """Return the plan: which items there are, of which skill, and what a paper of the scheme asks."""
    items = practice_items(workspace, edition)
    own = {item.id for item in items}
    skills = {item.skill: workspace.skills[item.skill] for item in items}
    return {
        "items": [_item(item, workspace, own) for item in items],
        "skills": {name: skill.title for name, skill in skills.items()},
        "duties": {skill.duty: workspace.duties[skill.duty].title for skill in skills.values()},
        "lessons": [_lesson(lesson, skills, workspace) for lesson in _lessons(workspace.lessons.values(), edition)],
        "calls": workspace.machine.drawn_calls is not None,
        "papers": list(_papers(workspace)),
    }


def _item(item: Item, workspace: Workspace, own: set[str]) -> dict[str, Any]:
    return {
        "id": item.id,
        "skill": item.skill,
        "duty": workspace.skills[item.skill].duty,
        "demand": item.demand,
        "kind": tag_of(item),
        "sum": "sum" in kind_of(item).shows,
        "critical": item.critical,
        "audience": list(workspace.skills[item.skill].audience),
        "level": kind_of(item).level(item),
        "minutes": item.minutes,
        "enemies": [name for name in item.enemies if name in own],
    }


def _lessons(lessons: Iterable[Lesson], edition: Edition) -> list[Lesson]:
    return [page for page in lessons if page.edition == edition and page.front.kind == "lesson"]


def _lesson(lesson: Lesson, skills: Mapping[str, object], workspace: Workspace) -> dict[str, Any]:
    return {
        "id": lesson.id,
        "title": lesson.front.title,
        "url": lesson.url,
        "minutes": minutes_of_lesson(lesson, workspace.items),
        "level": level_of(lesson, workspace.skills, workspace.scheme.levels),
        "skills": [name for name in lesson.front.skills if name in skills],
        "steps": [_step(step, workspace, lesson.edition) for step in steps_of(lesson)],
        "items": [] if is_stepped(lesson) else sorted(named_in((block.node for block in lesson.blocks), "item")),
    }


def _step(step: LessonStep, workspace: Workspace, edition: Edition) -> dict[str, Any]:
    return {
        "id": step.id,
        "title": plain_text(workspace.shelf, step.title, edition),
        "idea": plain_text(workspace.shelf, step.idea, edition),
        "minutes": minutes_shown(step.minutes(workspace.items)),
        "items": list(step.items),
    }


def _papers(workspace: Workspace) -> Iterable[dict[str, Any]]:
    """Yield every paper of every level, with the parts that no page can try beside it."""
    for level in workspace.scheme.levels:
        for part in level.parts:
            if part.kind != "paper":
                continue
            yield {
                "id": f"mock-{level.level}-{part.id}",
                "level": level.level,
                "name": level.name,
                "audience": level.audience,
                "title": part.title,
                "minutes": part.minutes,
                "critical": part.critical_items,
                "cut": part.cut.percent if part.cut else 100,
                "provisional": bool(part.cut and part.cut.provisional),
                "others": [other.title for other in level.parts if other is not part],
                "cells": [
                    {"duty": row.duty, "demand": row.demand, "count": row.count, "kinds": list(row.kinds)}
                    for row in part.blueprint
                ],
            }


def retrieval_html(workspace: Workspace, lesson: Lesson) -> Markup:
    """Return the place at the head of a lesson for three questions from earlier ones, if any can be asked."""
    earlier: set[str] = set()
    for page in _lessons(workspace.lessons.values(), lesson.edition):
        if page.id == lesson.id:
            break
        earlier |= set(page.front.skills)
    if lesson.edition != "staff" or not any(item.skill in earlier for item in practice_items(workspace, "staff")):
        return Markup("")
    return fill("retrieval", lesson=lesson.id)


def mixed_html() -> Markup:
    """Return the frame that mixed.js fills, with words for a reader without scripts."""
    return fill("mixed")


def mock_html(workspace: Workspace) -> Markup:
    """Return the frame that mock.js fills, with what each level's papers ask."""
    return fill("mock", levels=workspace.scheme.levels, duties=workspace.duties)
