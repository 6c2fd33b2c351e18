"""Whether what an exam asks is taught: each formula of an exam item is worked through on a page that is a lesson."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from warmyard.course.fence_table import named_in
from warmyard.course.lesson import Lesson
from warmyard.errors import SourceError
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item


def formulas_shown(lessons: Iterable[Lesson]) -> set[str]:
    """Return the formulas that lessons work through or let the reader fill in; an aid alone teaches nobody."""
    shown: set[str] = set()
    for lesson in lessons:
        if lesson.front.kind != "lesson":
            continue
        shown |= named_in((block.node for block in lesson.blocks), "formula")
        shown.update(inline.name for inline in lesson.inlines if inline.kind == "work")
    return shown


def check_taught(items: Iterable[Item], lessons: Iterable[Lesson]) -> Iterator[SourceError]:
    """Yield each exam item that asks for a formula which no lesson shows."""
    shown = formulas_shown(lessons)
    for item in items:
        if item.use != "exam":
            continue
        for name in sorted(set(kind_of(item).formulas(item)) - shown):
            what = f"{item.id}: the formula {name} is examined, and no lesson shows it"
            what_to_do = "work it through in a lesson, wy-worked or wy-calculator, or take the item out of the exam"
            yield SourceError(item.place, what, what_to_do)
