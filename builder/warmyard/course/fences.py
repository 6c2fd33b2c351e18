"""Fences and inlines of a page, found by line and turned into typed nodes."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator, Set
from dataclasses import dataclass
from typing import get_args

import msgspec

from warmyard.errors import Place, SourceError
from warmyard.sources import Reader, as_written, decode, parse_document


class Node(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What every fence shares: where it stands."""

    place: Place = Place()


class PictureNode(Node, frozen=True, kw_only=True, tag="wy-picture", tag_field="fence"):
    """A drawing with its named points."""

    picture: str
    say: str = ""


class WorkedNode(Node, frozen=True, kw_only=True, tag="wy-worked", tag_field="fence"):
    """A worked example: every step with numbers and units put in.

    An input is "10 bar", "sheet FIELD", "rule ID", "table ID LINE", or "result NAME" of an example before it.
    """

    formula: str
    called: str = ""
    """Name under which later lines take the result."""
    inputs: dict[str, str | int | float] = {}
    say: str = ""


class PracticeNode(Node, frozen=True, kw_only=True, tag="wy-practice", tag_field="fence"):
    """Problems with new numbers each time."""

    title: str
    items: tuple[str, ...]


class AssessmentNode(Node, frozen=True, kw_only=True, tag="wy-assessment", tag_field="fence"):
    """The scored set at the end of a lesson."""

    title: str
    items: tuple[str, ...]


class CalculatorNode(Node, frozen=True, kw_only=True, tag="wy-calculator", tag_field="fence"):
    """A formula to fill in; `start` gives the first numbers, as in a worked example."""

    formula: str
    start: dict[str, str | int | float] = {}
    say: str = ""


class ServiceDueNode(Node, frozen=True, kw_only=True, tag="wy-service-due", tag_field="fence"):
    """When a service is due; `start` gives the first numbers: interval_h, interval_months, per_day."""

    start: dict[str, str | int | float] = {}
    say: str = ""


class ProcedureNode(Node, frozen=True, kw_only=True, tag="wy-procedure", tag_field="fence"):
    """A procedure with its reasons."""

    procedure: str


class ChartNode(Node, frozen=True, kw_only=True, tag="wy-chart", tag_field="fence"):
    """The start sequence drawn from the machine model (one failure with `mode`), or a chart of course/charts.yaml."""

    chart: str
    mode: str | None = None


class FieldAsked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A field of the machine's sheet, and where the reader finds it."""

    field: str
    say: str


class YourMachineNode(Node, frozen=True, kw_only=True, tag="wy-your-machine", tag_field="fence"):
    """Find the value on your machine."""

    values: tuple[FieldAsked, ...]


class CautionNode(Node, frozen=True, kw_only=True, tag="wy-caution", tag_field="fence"):
    """A caution."""

    say: str


class ScriptNode(Node, frozen=True, kw_only=True, tag="wy-script", tag_field="fence"):
    """What to look at before calling, and the words to read out."""

    symptom: str


class CardNode(Node, frozen=True, kw_only=True, tag="wy-card", tag_field="fence"):
    """A card to print and hang on the heater."""

    title: str
    lines: tuple[str, ...]


FenceNode = (
    PictureNode
    | WorkedNode
    | PracticeNode
    | AssessmentNode
    | CalculatorNode
    | ServiceDueNode
    | ProcedureNode
    | ChartNode
    | YourMachineNode
    | CautionNode
    | ScriptNode
    | CardNode
)
KINDS: dict[str, type[Node]] = {str(kind.__struct_config__.tag): kind for kind in get_args(FenceNode)}


@dataclass(frozen=True, slots=True)
class Block:
    """A typed fence and the lines of the file that it takes up, its marks included."""

    node: Node
    first_line: int
    last_line: int


@dataclass(frozen=True, slots=True)
class Inline:
    """A value named in running text: `[[KIND NAME more]]`."""

    kind: str
    name: str
    shown: str
    """Text to show instead, for a term."""
    inputs: tuple[tuple[str, str], ...]
    """Inputs of a formula, as typed."""
    text: str
    """The whole inline as it stands in the source."""
    place: Place


_OPEN = re.compile(r"(?P<mark>`{3,}|~{3,})[ \t]*(?P<kind>[\w-]*)")


@dataclass(frozen=True, slots=True)
class _Fence:
    kind: str
    first: int
    last: int
    body: str


def _fences(body: str) -> Iterator[_Fence]:
    """Yield every fence, ours and ordinary ones; `last` is -1 when it is never closed. Lines count from 0."""
    lines = body.split("\n")
    at = 0
    while at < len(lines):
        match = _OPEN.match(lines[at])
        if match is None:
            at += 1
            continue
        mark = match.group("mark")
        close = next((n for n in range(at + 1, len(lines)) if _closes(lines[n], mark)), -1)
        yield _Fence(match.group("kind"), at, close, "\n".join(lines[at + 1 : close if close > 0 else None]))
        at = close + 1 if close > 0 else len(lines)


def _closes(line: str, mark: str) -> bool:
    bare = line.rstrip()
    return len(bare) >= len(mark) and set(bare) == {mark[0]}


_INDENTED = re.compile(r"[ \t>*+-]+(`{3,}|~{3,})[ \t]*wy-")


def find_blocks(
    body: str, file: str, body_line: int, faults: list[SourceError], read: Reader = as_written
) -> list[Block]:
    """Return our fences as typed blocks; each that cannot be read adds its fault. `read` brings an older format up."""
    blocks = []
    for at, line_text in enumerate(body.split("\n")):
        if _INDENTED.match(line_text):
            what_to_do = "begin it at the left edge, outside lists and quotes"
            faults.append(SourceError(Place(file, body_line + at), "an indented fence is shown as text", what_to_do))
    for fence in _fences(body):
        if not fence.kind.startswith("wy"):
            continue
        line = body_line + fence.first
        node = _node(fence, file, line, faults, read)
        if node is not None:
            blocks.append(Block(node, line, body_line + fence.last))
    return blocks


def _node(fence: _Fence, file: str, line: int, faults: list[SourceError], read: Reader) -> Node | None:
    place = Place(file, line)
    if fence.kind not in KINDS:
        what_to_do = f"the fences are {', '.join(KINDS)}"
        faults.append(SourceError(place, f"there is no fence {fence.kind}", what_to_do))
        return None
    if fence.last < 0:
        faults.append(SourceError(place, f"the fence {fence.kind} is never closed", "close it with ```"))
        return None
    try:
        document = parse_document(fence.body, file, line + 1)
    except SourceError as fault:
        faults.append(fault)
        return None
    node: Node | None = decode(document, KINDS[fence.kind], faults, read=read, fence=fence.kind)
    return node


_INLINE = re.compile(r"\[\[([^\[\]\n]*)\]\]")
INLINE_KINDS = ("rule", "sheet", "table", "result", "work", "company", "term", "source")


def find_inlines(
    text: str, file: str, first_line: int, faults: list[SourceError], leave_out: Set[int] = frozenset()
) -> list[Inline]:
    """Return every inline of a text outside fences; `leave_out` names lines (from 0) that are not text."""
    skipped = set(leave_out)
    for fence in _fences(text):
        skipped.update(range(fence.first, (fence.last if fence.last > 0 else fence.first) + 1))
    found = []
    for at, line in enumerate(text.split("\n")):
        if at in skipped:
            continue
        for match in _INLINE.finditer(line):
            inline = read_inline(match.group(1), Place(file, first_line + at), faults)
            if inline is not None:
                found.append(inline)
    return found


def read_inline(inner: str, place: Place, faults: list[SourceError]) -> Inline | None:
    """Return what stands between [[ and ]] as a typed inline, or None and a fault."""
    kind, _, rest = inner.strip().partition(" ")
    if kind not in INLINE_KINDS or not rest.strip():
        what_to_do = (
            "write [[rule ID]], [[sheet FIELD]], [[table ID LINE]], [[work FORMULA a=1]], [[company FIELD]], "
            "[[term ID]] or [[source ID]]"
        )
        faults.append(SourceError(place, f"[[{inner}]] is not an inline", what_to_do))
        return None
    name, _, shown = rest.partition("|") if kind == "term" else (rest, "", "")
    inputs: tuple[tuple[str, str], ...] = ()
    if kind == "work":
        words = _words(rest, place, faults)
        if words is None:
            return None
        name, inputs = words
    return Inline(kind, name.strip(), shown.strip(), inputs, f"[[{inner}]]", place)


def _words(rest: str, place: Place, faults: list[SourceError]) -> tuple[str, tuple[tuple[str, str], ...]] | None:
    """Return the formula and its inputs, from `FORMULA a=1 b="2 bar"`."""
    try:
        name, *pairs = shlex.split(rest)
    except ValueError:
        faults.append(SourceError(place, f"[[work {rest}]] has an open quote", 'write b="2 bar"'))
        return None
    inputs = []
    for pair in pairs:
        symbol, equals, value = pair.partition("=")
        if not equals or not symbol or not value:
            faults.append(SourceError(place, f"{pair!r} is not symbol=value", 'write a=1 or b="2 bar"'))
            return None
        inputs.append((symbol, value))
    return name, tuple(inputs)
