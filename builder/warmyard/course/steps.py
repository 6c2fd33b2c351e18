"""The steps of a lesson: where each begins, what it asks, how much it shows, how long it takes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from warmyard.course.fence import Beginning
from warmyard.course.fence_table import fence_of
from warmyard.course.grammar import Block, lines_outside
from warmyard.course.lesson import Lesson
from warmyard.course.pace import minutes_of, seconds_of, words_in, words_of
from warmyard.errors import Place
from warmyard.item.model import Item

STEPPED = 4
"""From this format on a lesson is cut into steps."""
_HEAD = re.compile(r"(#{2,3})\s+(.*?)\s*#*\s*\Z")


@dataclass(frozen=True, slots=True)
class Stretch:
    """A heading of level 2 or 3, and what stands under it up to the next such heading."""

    level: int
    title: str
    place: Place
    part: Beginning | None
    """What the fence right under the heading makes of it."""
    node_place: Place
    shown: tuple[tuple[int, str | Block], ...]
    """Its lines and fences by the line of the body on which they stand."""

    @property
    def blocks(self) -> tuple[Block, ...]:
        """The fences, the one that begins it among them."""
        return tuple(one for _, one in self.shown if isinstance(one, Block))


@dataclass(frozen=True, slots=True)
class LessonStep:
    """A step of a lesson: a heading of level 2 and all under it; the first one takes the scene too."""

    id: str
    title: str
    """As it stands in the source, with its inlines."""
    idea: str
    number: int
    place: Place
    """Where its heading stands."""
    stretches: tuple[Stretch, ...]

    @property
    def blocks(self) -> tuple[Block, ...]:
        """All fences of the step, folded ones too."""
        return tuple(block for stretch in self.stretches for block in stretch.blocks)

    @property
    def items(self) -> tuple[str, ...]:
        """The problems that it asks, each once."""
        named = (fence_of(block.node).names(block.node) for block in self.blocks)
        return tuple(dict.fromkeys(one.name for names in named for one in names if one.what == "item"))

    @property
    def open(self) -> tuple[str | Block, ...]:
        """The lines and fences that are not folded, in the order of the page."""
        stretches = (stretch for stretch in self.stretches if not is_folded(stretch))
        return tuple(one for stretch in stretches for _, one in stretch.shown)

    @property
    def words(self) -> int:
        """The words that it shows unfolded, drawings and tables counted by their rates."""
        return sum(weight(one) for one in self.open)

    def minutes(self, items: Mapping[str, Item]) -> float:
        """Return how long it takes, what is folded not counted."""
        return minutes_of(self.words, sum(seconds_of(block, items) for block in self.blocks))


def weight(shown: str | Block) -> int:
    """Return the words of a line or a fence."""
    return words_of(shown) if isinstance(shown, Block) else words_in(shown)


def is_folded(stretch: Stretch) -> bool:
    """Say whether a stretch is folded on the screen."""
    return stretch.part is not None and stretch.part.what == "folded"


def is_stepped(lesson: Lesson) -> bool:
    """Say whether a page is a lesson that is cut into steps."""
    return lesson.front.kind == "lesson" and lesson.format >= STEPPED


def steps_of(lesson: Lesson) -> tuple[LessonStep, ...]:
    """Return the steps of a lesson in their order; none of a lesson of an older format."""
    if not is_stepped(lesson):
        return ()
    scene, *parts = parts_of(lesson)
    found: list[LessonStep] = []
    for part in parts:
        head = part[0]
        if head.part is None or head.part.what != "step":
            continue
        stretches = part if found else (*scene, *part)
        number = len(found) + 1
        found.append(LessonStep(head.part.id, head.title, head.part.say, number, head.place, stretches))
    return tuple(found)


def parts_of(lesson: Lesson) -> list[tuple[Stretch, ...]]:
    """Return the scene, then each heading of level 2 with the headings of level 3 under it."""
    found: list[tuple[Stretch, ...]] = []
    for stretch in _stretches(lesson):
        if stretch.level < 3 or not found:
            found.append((stretch,))
        else:
            found[-1] = (*found[-1], stretch)
    return found


def _stretches(lesson: Lesson) -> Iterator[Stretch]:
    """Yield the scene, at level 1, and everything under a heading of level 2 or 3."""
    shown: list[tuple[int, str | Block]] = [(block.first_line - lesson.body_line, block) for block in lesson.blocks]
    shown += [(at, line) for at, line in lines_outside(lesson.body) if line.strip()]
    shown.sort(key=lambda one: one[0])
    heads = [at for at, one in enumerate(shown) if isinstance(one[1], str) and _HEAD.match(one[1])]
    yield _stretch(
        lesson, 1, lesson.front.title, [one for one in shown[: heads[0] if heads else None] if not _is_title(one)]
    )
    for at, end in pairwise([*heads, len(shown)]):
        match = _HEAD.match(str(shown[at][1]))
        if match is not None:
            yield _stretch(lesson, len(match[1]), match[2], shown[at + 1 : end], shown[at][0])


def _is_title(shown: tuple[int, str | Block]) -> bool:
    return isinstance(shown[1], str) and shown[1].startswith("# ")


def _stretch(lesson: Lesson, level: int, title: str, shown: Sequence[tuple[int, str | Block]], at: int = 0) -> Stretch:
    place = Place(lesson.place.file, lesson.body_line + at)
    first = shown[0][1] if shown else None
    part = fence_of(first.node).begins(first.node) if isinstance(first, Block) else None
    node_place = first.node.place if isinstance(first, Block) else place
    return Stretch(level, title, place, part, node_place, tuple(shown))


def reckoned_minutes(steps: Sequence[LessonStep], items: Mapping[str, Item]) -> float:
    """Return how long the steps of a lesson take together."""
    return sum(step.minutes(items) for step in steps)


def minutes_of_lesson(lesson: Lesson, items: Mapping[str, Item]) -> int:
    """Return how long a lesson takes as every page says it: its steps together; of one without steps what it says."""
    steps = steps_of(lesson)
    return sum(minutes_shown(step.minutes(items)) for step in steps) if steps else lesson.front.minutes


def minutes_shown(minutes: float) -> int:
    """Return minutes as a reader is told them: whole, at least one."""
    return max(1, round(minutes))
