"""The start page of the staff: one sum, what to do now, and the lessons of each level as short rows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from markupsafe import Markup

from warmyard.course.lesson import Lesson
from warmyard.course.lesson_level import level_of
from warmyard.course.steps import minutes_of_lesson
from warmyard.markup import element
from warmyard.web.assets import scripts_of
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill
from warmyard.web.packs import PLAN, START_SCRIPTS, plan_file

_FIRST_PART = re.compile(r'(?=<h2 id=")')
"""Where the first heading of the page's own text begins; the title of a set of problems has no id."""


def start_page(writer: Writer, html: str, lessons: Sequence[Lesson], ways: Iterable[tuple[str, str]]) -> str:
    """Return the start page with the course before its first part; title, url of each way stand under it."""
    writer.scripts[PLAN] = plan_file(writer.workspace, writer.edition, writer.drawn)
    writer.scripts |= scripts_of(START_SCRIPTS)
    workspace = writer.workspace
    names = {level.level: level.name for level in workspace.scheme.levels}
    groups: dict[int, list[Lesson]] = {}
    for lesson in lessons:
        groups.setdefault(level_of(lesson, workspace.skills, workspace.scheme.levels), []).append(lesson)
    numbers = {lesson.id: number for number, lesson in enumerate(lessons, 1)}
    minutes = {lesson.id: minutes_of_lesson(lesson, workspace.items) for lesson in lessons}
    course = fill(
        "course",
        groups=[
            {
                "level": level,
                "name": names.get(level, ""),
                "lessons": groups[level],
                "minutes": sum(minutes[lesson.id] for lesson in groups[level]),
            }
            for level in sorted(groups)
        ],
        numbers=numbers,
        minutes=minutes,
        ways=list(ways),
    )
    first, *rest = _FIRST_PART.split(html, maxsplit=1)
    return f"{element('div', Markup(first), class_='wy-first')}{course}{''.join(rest)}"
