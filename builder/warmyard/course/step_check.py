"""Whether a lesson can be gone through step by step: something to do in each, none too long, its minutes true."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from warmyard.course.fence import Named
from warmyard.course.fence_table import fence_of
from warmyard.course.grammar import Block
from warmyard.course.lesson import Lesson
from warmyard.course.pace import pace
from warmyard.course.steps import (
    LessonStep,
    Stretch,
    is_stepped,
    parts_of,
    reckoned_minutes,
    steps_of,
    weight,
)
from warmyard.errors import Place, SourceError
from warmyard.item.model import Item

_OPENS = re.compile(r"^(?:`{3,}|~{3,})[ \t]*wy", re.MULTILINE)
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def check_steps(lesson: Lesson, items: Mapping[str, Item]) -> list[SourceError]:
    """Return the faults of a lesson that is cut into steps; one that lost a fence is not looked at.

    Where the cut itself is at fault nothing more is told: what follows from it would be told by many lines.
    """
    if not is_stepped(lesson) or len(_OPENS.findall(lesson.body)) != len(lesson.blocks):
        return []
    steps = steps_of(lesson)
    for check in (_faults_of_cut(lesson), _faults_of_steps(lesson, steps)):
        found = list(check)
        if found:
            return found
    known = all(named.name in items for block in lesson.blocks for named in _items_named(block))
    return [*_faults_of_items(lesson, steps, items), *_faults_of_minutes(lesson, steps, items)] if known else []


def _faults_of_cut(lesson: Lesson) -> Iterator[SourceError]:
    """Yield the faults of where parts begin."""
    scene, *parts = parts_of(lesson)
    seen: dict[str, int] = {}
    past_steps = False
    for part in parts:
        head = part[0].part
        if head is None or head.level != part[0].level:
            what = f"the part {part[0].title!r} begins no step"
            yield SourceError(part[0].place, what, "write wy-step or wy-reference right under its heading")
            continue
        if head.what == "step":
            yield from _faults_of_place(part[0], head.id, past_steps, seen)
        past_steps = head.what == "reference"
    yield from _lost_heads(lesson, parts)
    if not any(isinstance(one, str) for _, one in scene[0].shown) and parts:
        what_to_do = "begin with what happens to somebody, before the first ##"
        yield SourceError(Place(lesson.place.file, lesson.body_line), "the lesson has no scene", what_to_do)


def _lost_heads(lesson: Lesson, parts: Sequence[Sequence[Stretch]]) -> Iterator[SourceError]:
    """Yield each fence that begins a part and does not stand right under a heading of its level."""
    heads = {stretch.node_place.line: stretch.level for part in parts for stretch in part if stretch.part}
    told = {part[0].node_place.line for part in parts}
    for block in lesson.blocks:
        begins, line = fence_of(block.node).begins(block.node), block.node.place.line
        if begins is not None and heads.get(line) != begins.level and line not in told:
            what = f"a fence that begins a part stands under no heading of level {begins.level}"
            yield SourceError(block.node.place, what, f"put it right under a heading with {'#' * begins.level}")


def _faults_of_place(head: Stretch, id_: str, past_steps: bool, seen: dict[str, int]) -> Iterator[SourceError]:
    """Yield what is wrong with the id of a step and with where it stands."""
    place = head.node_place.within("id")
    if not _ID.fullmatch(id_):
        yield SourceError(place, f"{id_!r} is no id of a step", "write small letters, digits and single hyphens")
    if id_ in seen:
        yield SourceError(place, f"the step {id_} stands twice, first in line {seen[id_]}", "give it an id of its own")
    seen.setdefault(id_, place.line)
    if past_steps:
        yield SourceError(head.place, f"the step {id_} stands after reference", "put reference after the last step")


def _faults_of_steps(lesson: Lesson, steps: Sequence[LessonStep]) -> Iterator[SourceError]:
    """Yield the faults of steps that are too many, too long or empty of anything to do."""
    rates, whole = pace(), True
    if not rates.steps.fewest <= len(steps) <= rates.steps.most:
        what = f"the lesson has {len(steps)} steps"
        what_to_do = f"cut it into {rates.steps.fewest} to {rates.steps.most}, each with one idea and something to do"
        yield SourceError(lesson.place, what, what_to_do)
    for step in steps:
        words, has_task = step.words, any(map(_is_task, step.open))
        whole = whole and has_task and words <= rates.words_in_step
        if not has_task:
            what_to_do = "add practice, a calculator or values to find on the machine, not in a fold"
            yield SourceError(step.place, f"the step {step.id} holds nothing to do", what_to_do)
        elif words > rates.words_in_step:
            what = f"the step {step.id} shows {words} words, drawings counted in, and {rates.words_in_step} fit"
            yield SourceError(step.place, what, "cut it in two, or fold what not everybody needs with wy-folded")
    if steps and whole:
        yield from _too_far(steps)
        if not any(fence_of(block.node).scored for block in steps[-1].blocks):
            what = f"the last step {steps[-1].id} holds no scored set"
            yield SourceError(steps[-1].place, what, "end the lesson with wy-assessment")


def _too_far(steps: Sequence[LessonStep]) -> Iterator[SourceError]:
    """Yield each thing to do that comes too many words after the one before."""
    most, words = pace().words_between_tasks, 0
    for step in steps:
        for one in step.open:
            if not _is_task(one):
                words += weight(one)
                continue
            if words > most and isinstance(one, Block):
                what = f"{words} words stand between this and the thing to do before it, and {most} are the most"
                yield SourceError(one.node.place, what, "put a problem between them, or shorten")
            words = 0


def _faults_of_items(lesson: Lesson, steps: Sequence[LessonStep], items: Mapping[str, Item]) -> Iterator[SourceError]:
    """Yield each problem of the lesson that stands in none of its steps."""
    asked = {name for step in steps for name in step.items}
    what_to_do = "put it into the practice of the step that it belongs to"
    for at, outcome in enumerate(lesson.front.outcomes):
        for number, name in enumerate(outcome.items):
            if name in items and name not in asked:
                place = lesson.place.within(f"outcomes.{at}.items.{number}")
                yield SourceError(place, f"the problem {name} stands in no step", what_to_do)
    for block in lesson.blocks:
        for named in _items_named(block):
            if named.name not in asked:
                place = block.node.place.within(named.path)
                yield SourceError(place, f"the problem {named.name} stands in no step", what_to_do)


def _faults_of_minutes(lesson: Lesson, steps: Sequence[LessonStep], items: Mapping[str, Item]) -> Iterator[SourceError]:
    """Yield a fault for declared minutes that are not near those reckoned from words and problems."""
    near, reckoned = pace().near, reckoned_minutes(steps, items)
    if abs(lesson.front.minutes - reckoned) > max(near.minutes, reckoned * near.percent / 100):
        what = f"the lesson declares {lesson.front.minutes} minutes, and its words and problems take {reckoned:.0f}"
        yield SourceError(lesson.place.within("minutes"), what, f"write minutes: {reckoned:.0f}")


def _is_task(shown: str | Block) -> bool:
    return isinstance(shown, Block) and fence_of(shown.node).filled_in


def _items_named(block: Block) -> list[Named]:
    return [named for named in fence_of(block.node).names(block.node) if named.what == "item"]
