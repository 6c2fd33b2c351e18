"""No formula is examined that no lesson shows; an aid alone teaches nobody."""

from __future__ import annotations

from dataclasses import replace

from warmyard.course.taught import check_taught, formulas_shown
from warmyard.course.workspace import Workspace


def test_each_formula_of_an_exam_item_stands_in_a_lesson(whole_workspace: Workspace) -> None:
    """The course teaches all that it examines."""
    assert list(check_taught(whole_workspace.items.values(), whole_workspace.lessons.values())) == []


def test_a_formula_that_only_a_lost_lesson_showed_is_a_fault_at_its_item(whole_workspace: Workspace) -> None:
    """Without the lesson on power its sums are examined and taught nowhere, and the item's line is named."""
    shown = {name: formulas_shown([lesson]) for name, lesson in whole_workspace.lessons.items()}
    teacher = next(name for name, formulas in shown.items() if "longest-lead" in formulas)
    others = [lesson for name, lesson in whole_workspace.lessons.items() if name != teacher]
    whats = {fault.place: fault.what for fault in check_taught(whole_workspace.items.values(), others)}
    item = whole_workspace.items["exam-longest-lead"]
    assert whats[item.place] == "exam-longest-lead: the formula longest-lead is examined, and no lesson shows it"


def test_an_aid_teaches_nothing(whole_workspace: Workspace) -> None:
    """What a page lets the reader fill in counts when it is a lesson, and not when it is an aid."""
    lesson = next(lesson for lesson in whole_workspace.lessons.values() if formulas_shown([lesson]))
    front = lesson.front
    aid = replace(lesson, front=type(front)(id=front.id, title=front.title, kind="aid", editions=front.editions))
    assert formulas_shown([aid]) == set()
