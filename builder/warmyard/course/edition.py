"""Editions: what a staff or a customer page may hold, so that nothing reaches the wrong reader."""

from __future__ import annotations

from collections.abc import Mapping

from warmyard.course.fences import AssessmentNode, PracticeNode, ProcedureNode
from warmyard.course.lesson import EDITIONS, Lesson
from warmyard.course.model import Procedure
from warmyard.errors import FollowingError, Place, SourceError
from warmyard.item.model import Edition, Item

FIRST_PAGE = "index.md"


def pages_of(lessons: Mapping[str, Lesson], edition: Edition) -> list[Lesson]:
    """Return the pages of an edition in their order."""
    return [lesson for lesson in lessons.values() if lesson.edition == edition]


def check_first_pages(lessons: Mapping[str, Lesson]) -> list[SourceError]:
    """Return a fault for an edition without a start page."""
    faults: list[SourceError] = []
    for edition in EDITIONS:
        if not any(lesson.file == FIRST_PAGE for lesson in pages_of(lessons, edition)):
            place = Place(f"course/lessons/{edition}/{FIRST_PAGE}", 1)
            what = f"the {edition} edition has no start page"
            faults.append(FollowingError(place, what, "write it", ("page", f"{edition}/{FIRST_PAGE}")))
    return faults


def check_edition(lesson: Lesson, items: Mapping[str, Item], procedures: Mapping[str, Procedure]) -> list[SourceError]:
    """Return a fault for everything on a page that its reader may not have: exam items, another edition's things."""
    faults = []
    edition = lesson.edition
    if edition not in lesson.front.editions:
        what = f"a page in the {edition} folder that is not of the edition {edition}"
        faults.append(
            SourceError(lesson.place.within("editions"), what, f"write editions: [{edition}] or move the file")
        )
    for block in lesson.blocks:
        node = block.node
        if isinstance(node, ProcedureNode) and node.procedure in procedures:
            procedure = procedures[node.procedure]
            if edition not in procedure.editions:
                what = f"the procedure {procedure.id} is not for the {edition} edition"
                what_to_do = f"add {edition} to its editions if this reader may do it"
                faults.append(SourceError(node.place.within("procedure"), what, what_to_do))
        if not isinstance(node, PracticeNode | AssessmentNode):
            continue
        for at, name in enumerate(node.items):
            item = items.get(name)
            if item is None:
                continue
            place = node.place.within(f"items.{at}")
            if item.use == "exam":
                faults.append(SourceError(place, f"the exam item {name} stands on a page", "name a practice item"))
            if edition not in item.editions:
                what_to_do = f"add {edition} to its editions or name another"
                faults.append(SourceError(place, f"the item {name} is not for the {edition} edition", what_to_do))
    return faults
