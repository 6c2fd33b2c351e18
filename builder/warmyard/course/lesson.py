"""A lesson or page: front matter, outcomes, and its body with inlines and fences found and typed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Literal, TypeVar, get_args

import msgspec

from warmyard.course.fence_table import NODES
from warmyard.course.grammar import Block, Inline, Node, find_blocks, find_inlines
from warmyard.errors import Place, SourceError
from warmyard.formats.lessons import LESSONS, bring_up_fence, bring_up_front, fences_in
from warmyard.formats.sources import version_named
from warmyard.item.model import Edition
from warmyard.sources import Document, decode, parse_document, read_text, relative_name

_NUMBERED = re.compile(r"([0-9]+)-")
EDITIONS: tuple[Edition, ...] = get_args(Edition)
LessonKind = Literal["lesson", "page", "emergency", "card", "aid"]


class Outcome(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the reader can do afterwards, and the items that ask it."""

    text: str
    items: tuple[str, ...] = ()


NodeWanted = TypeVar("NodeWanted", bound=Node)


class Front(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The front matter of a page."""

    id: str
    title: str
    kind: LessonKind
    minutes: int = 0
    skills: tuple[str, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    editions: tuple[Edition, ...] = ("staff",)
    description: str = ""
    place: Place = Place()


@dataclass(frozen=True, slots=True)
class Lesson:
    """One page of an edition: its front matter, and its body with the lines counted in the file."""

    front: Front
    edition: Edition
    file: str
    """Path below the edition's folder, with forward slashes."""
    body: str
    body_line: int
    blocks: tuple[Block, ...]
    inlines: tuple[Inline, ...]
    format: int = LESSONS.version
    """The format that the file names."""

    @property
    def id(self) -> str:
        """Return the id that the page's front matter gives."""
        return self.front.id

    @property
    def place(self) -> Place:
        """Return where the page's front matter stands."""
        return self.front.place

    def nodes(self, wanted: type[NodeWanted]) -> list[NodeWanted]:
        """Return what stands in the page's fences of one kind, in their order."""
        return [block.node for block in self.blocks if isinstance(block.node, wanted)]

    @property
    def url(self) -> str:
        """Return the address of the page inside its edition."""
        return self.file.removesuffix(".md") + ".html"


_FRONT = re.compile(r"\A---[ \t]*\n(.*?\n)---[ \t]*(?:\n|\Z)", re.DOTALL)


def load_pages(folder: Path, root: Path, faults: list[SourceError]) -> Mapping[str, Lesson]:
    """Return the pages of all editions by id; each edition has a folder of its own."""
    found: dict[str, Lesson] = {}
    for edition in EDITIONS:
        for lesson in load_lessons(folder / edition, edition, root, faults):
            if lesson.id in found:
                place, other = lesson.place.within("id"), found[lesson.id].place
                what_to_do = f"rename one; the other stands in {other.file}"
                faults.append(SourceError(place, f"the page {lesson.id} stands twice", what_to_do))
            found.setdefault(lesson.id, lesson)
    return found


def load_lessons(folder: Path, edition: Edition, root: Path, faults: list[SourceError]) -> list[Lesson]:
    """Return every Markdown page of an edition's folder, in the order of file names."""
    found = []
    paths = sorted(folder.rglob("*.md"), key=_order)
    faults += _gaps(paths, root)
    for path in paths:
        try:
            text = read_text(path, root)
        except SourceError as fault:
            faults.append(fault)
            continue
        lesson = parse_lesson(text, relative_name(path, root), edition, path.relative_to(folder).as_posix(), faults)
        if lesson is not None:
            found.append(lesson)
    return found


def number_of(file: str) -> str:
    """Return the number that a page's file begins with, "13" of 13-fuel-filter.md, or nothing."""
    found = _NUMBERED.match(file)
    return found.group(1) if found else ""


def _gaps(paths: Sequence[Path], root: Path) -> Iterator[SourceError]:
    """Yield a fault for each number that the files of a folder leave out: its page is lost."""
    numbered = {number: path for path in paths if (number := number_of(path.name))}
    for number, path in numbered.items():
        before = f"{int(number) - 1:0{len(number)}}"
        if int(number) > 1 and before not in numbered:
            what = f"there is no page {before} before it"
            place = Place(relative_name(path, root), 1)
            yield SourceError(place, what, f"write {before}-....md, or number the files anew", loses=f"L{before}")


def _order(path: Path) -> tuple[str, bool, str]:
    """Put the start page of a folder first."""
    return (path.parent.as_posix(), path.name != "index.md", path.name)


def parse_lesson(text: str, file: str, edition: Edition, below: str, faults: list[SourceError]) -> Lesson | None:
    """Return the page, or None and the faults of its front matter; faults of fences and inlines do not hide it."""
    document, match = front_matter(text, file, faults), _FRONT.match(text)
    version = None if document is None else version_named(LESSONS, document, faults)
    if document is None or version is None or match is None:
        return None
    front = decode(document, Front, faults, read=partial(bring_up_front, version))
    if front is None:
        return None
    body = text[match.end() :]
    body_line = text[: match.end()].count("\n") + 1
    read = partial(bring_up_fence, version, document.value)
    blocks = find_blocks(body, file, body_line, faults, NODES, read, _newer_fences(version))
    inlines = find_inlines(body, file, body_line, faults, _lines_of(blocks, body_line))
    return Lesson(front, edition, below, body, body_line, tuple(blocks), tuple(inlines), version)


@cache
def _newer_fences(version: int) -> Mapping[str, tuple[str, str]]:
    """Return fence -> why a page of some version may not hold it, and what to do."""
    found = {}
    for name in NODES.keys() - fences_in(version):
        first = next((one for one in LESSONS.shapes if name in fences_in(one)), 0)
        what = f"this page is of format {version}, and pages hold {name} from format {first} on"
        what_to_do = f"write `format: {first}` in its front matter"
        if not first:
            what, what_to_do = f"no format of pages holds {name}", "add it in builder/warmyard/formats/lessons.py"
        found[name] = (what, what_to_do)
    return found


def front_matter(text: str, file: str, faults: list[SourceError]) -> Document | None:
    """Return what stands between the --- lines at the head of a page, or None and a fault."""
    match = _FRONT.match(text)
    if match is None:
        what_to_do = "begin it with --- lines that hold id, title and kind"
        faults.append(SourceError(Place(file, 1), "the page has no front matter", what_to_do, loses=None))
        return None
    try:
        return parse_document(match.group(1), file, 2)
    except SourceError as fault:
        faults.append(fault)
        return None


def _lines_of(blocks: Sequence[Block], body_line: int) -> set[int]:
    """Return the lines of the body (from 0) that fences take up."""
    return {line - body_line for block in blocks for line in range(block.first_line, block.last_line + 1)}
