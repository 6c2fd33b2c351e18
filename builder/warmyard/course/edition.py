"""Editions: what a staff or a customer page may hold, so that nothing reaches the wrong reader."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from warmyard.course.fence_table import fence_of
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
    faults: list[SourceError] = []
    edition = lesson.edition
    if edition not in lesson.front.editions:
        what = f"a page in the {edition} folder that is not of the edition {edition}"
        faults.append(
            SourceError(lesson.place.within("editions"), what, f"write editions: [{edition}] or move the file")
        )
    for block in lesson.blocks:
        for named in fence_of(block.node).names(block.node):
            place = block.node.place.within(named.path)
            if named.what == "procedure" and named.name in procedures:
                faults += _check_procedure(place, procedures[named.name], edition)
            if named.what == "item" and named.name in items:
                faults += _check_item(place, items[named.name], edition)
    return faults


def _check_procedure(place: Place, procedure: Procedure, edition: Edition) -> Iterator[SourceError]:
    if edition not in procedure.editions:
        what_to_do = f"add {edition} to its editions if this reader may do it"
        yield SourceError(place, f"the procedure {procedure.id} is not for the {edition} edition", what_to_do)


def _check_item(place: Place, item: Item, edition: Edition) -> Iterator[SourceError]:
    if item.use == "exam":
        what = f"the exam item {item.id} stands on a page"
        yield FollowingError(place, what, "name a practice item", ("item", item.id))
    if edition not in item.editions:
        what_to_do = f"add {edition} to its editions or name another"
        yield SourceError(place, f"the item {item.id} is not for the {edition} edition", what_to_do)
