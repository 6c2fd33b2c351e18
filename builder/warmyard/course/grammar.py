"""Fences and inlines of a page, found by line and turned into typed nodes."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass

import msgspec

from warmyard.errors import Place, SourceError
from warmyard.fields import nearest, offer
from warmyard.sources import Reader, as_written, decode, parse_document


class Node(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What every fence shares: where it stands."""

    place: Place = Place()


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


ALIKE = 0.9
"""From here on a word after ``` is taken for the name of one of our fences."""
_OPENS_OURS = re.compile(r"(`{3,}|~{3,})[ \t]*wy-")


@dataclass(frozen=True, slots=True)
class _Fence:
    kind: str
    first: int
    last: int
    body: str
    mark: str = "```"
    """What opens it, and closes it again."""


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
        if match.group("kind").startswith("wy") and any(_OPENS_OURS.match(line) for line in lines[at + 1 : close]):
            close = -1  # another of ours begins before it, so its own end is missing
        yield _Fence(match.group("kind"), at, close, "\n".join(lines[at + 1 : close if close > 0 else None]), mark)
        others = (n for n in range(at + 1, len(lines)) if _OPENS_OURS.match(lines[n]))
        at = close + 1 if close > 0 else next(others, len(lines))


def _closes(line: str, mark: str) -> bool:
    bare = line.rstrip()
    return len(bare) >= len(mark) and set(bare) == {mark[0]}


_INDENTED = re.compile(r"[ \t>*+-]+(`{3,}|~{3,})[ \t]*wy-")


def find_blocks(
    body: str,
    file: str,
    body_line: int,
    faults: list[SourceError],
    nodes: Mapping[str, type[Node]],
    read: Reader = as_written,
    barred: Mapping[str, tuple[str, str]] | None = None,
) -> list[Block]:
    """Return our fences as typed blocks; each that cannot be read adds its fault.

    `nodes` says what stands in each kind of fence; `read` brings an older format up. `barred` says of each fence that
    this page may not hold why, and what to do.
    """
    blocks = []
    for at, line_text in enumerate(body.split("\n")):
        if _INDENTED.match(line_text):
            what_to_do = "begin it at the left edge, outside lists and quotes"
            faults.append(SourceError(Place(file, body_line + at), "an indented fence is shown as text", what_to_do))
    for fence in _fences(body):
        line = body_line + fence.first
        if not fence.kind.startswith("wy"):
            faults += _lost_name(fence, Place(file, line), nodes)
            continue
        if fence.kind in (barred or {}):
            faults.append(SourceError(Place(file, line), *(barred or {})[fence.kind], loses=fence.body))
            continue
        node = _node(fence, file, line, faults, nodes, read)
        if node is not None:
            blocks.append(Block(node, line, body_line + fence.last))
    return blocks


def _lost_name(fence: _Fence, place: Place, nodes: Mapping[str, type[Node]]) -> Iterator[SourceError]:
    """Yield a fault for an ordinary fence that has the name of one of ours: a reader would see its source."""
    near = nearest(f"wy-{fence.kind}", nodes, ALIKE) if fence.kind else ""
    if near:
        what = f"the fence {fence.kind} is shown as code"
        yield SourceError(place, what, f"write {near}", loses=fence.body)


def _node(
    fence: _Fence, file: str, line: int, faults: list[SourceError], nodes: Mapping[str, type[Node]], read: Reader
) -> Node | None:
    place = Place(file, line)
    if fence.kind not in nodes:
        faults.append(SourceError(place, f"there is no fence {fence.kind}", offer(fence.kind, nodes)))
        return None
    if fence.last < 0:
        faults.append(SourceError(place, f"the fence {fence.kind} is never closed", f"close it with {fence.mark}"))
        return None
    try:
        document = parse_document(fence.body, file, line + 1)
    except SourceError as fault:
        faults.append(fault)
        return None
    node: Node | None = decode(document, nodes[fence.kind], faults, read=read, fence=fence.kind)
    return node


HEADING = re.compile(r"#{1,6}\s")
"""How a line begins that is a heading."""
INLINE = re.compile(r"\[\[([^\[\]\n]*)\]\]")
_HALF = re.compile(r"\[\[|\]\]")
_CODE = re.compile(r"`[^`\n]*`")
LONGEST_SHOWN = 30
"""As many letters of half an inline as a fault shows."""
INLINE_KINDS = ("rule", "sheet", "table", "result", "work", "company", "term", "source", "stop")
_KIND = "|".join(INLINE_KINDS)
_OTHERWISE = re.compile(
    rf"(?<!\[)\[((?:{_KIND}) [^\[\]\n]+)\](?![\](])|\{{+ *((?:{_KIND}) [^{{}}\n]+)\}}+|"
    rf"\(\( *((?:{_KIND}) [^()\n]+)\)\)"
)
"""What was meant for an inline and is shown as it stands: one bracket each side, or other brackets."""
_MAY_HOLD = re.compile(rf"\[\[|\]\]|[\[{{(] *(?:{_KIND}) ")
SHOWN = ("term", "stop")
"""Inlines that may show words of the page, after a |."""


def lines_outside(text: str) -> Iterator[tuple[int, str]]:
    """Yield every line of a text outside fences, with its number from 0."""
    skipped: set[int] = set()
    for fence in _fences(text):
        skipped.update(range(fence.first, (fence.last if fence.last > 0 else fence.first) + 1))
    yield from ((at, line) for at, line in enumerate(text.split("\n")) if at not in skipped)


def find_inlines(
    text: str, file: str, first_line: int, faults: list[SourceError], leave_out: Set[int] = frozenset()
) -> list[Inline]:
    """Return every inline of a text outside fences; `leave_out` names lines (from 0) that are not text."""
    found = []
    for at, line in lines_outside(text):
        if at in leave_out:
            continue
        for match in INLINE.finditer(line):
            inline = read_inline(match.group(1), Place(file, first_line + at), faults)
            if inline is not None:
                found.append(inline)
        faults += _half_inlines(line, Place(file, first_line + at))
    return found


def may_hold_inlines(text: str) -> bool:
    """Say whether it is worth looking for inlines in a text, whole ones and what was meant for one."""
    return _MAY_HOLD.search(text) is not None


def _half_inlines(line: str, place: Place) -> Iterator[SourceError]:
    """Yield a fault for an inline that is never closed, for brackets that close none, and for one in other brackets."""
    if not may_hold_inlines(line):
        return
    rest = INLINE.sub(lambda found: " " * len(found.group(0)), _CODE.sub("", line))
    for match in _OTHERWISE.finditer(rest):
        inner = next(filter(None, match.groups())).strip()
        yield SourceError(
            place, f"{match.group(0)} is shown as it stands", f"write [[{inner}]], two brackets each side"
        )
    for match in _HALF.finditer(rest):
        shown = rest[match.start() : match.start() + LONGEST_SHOWN].rstrip()
        if match.group(0) == "[[":
            yield SourceError(place, f"the inline {shown} is never closed", "end it with ]] in the same line")
        else:
            yield SourceError(place, "]] closes no inline", "begin it with [[ in the same line, or take ]] out")


def read_inline(inner: str, place: Place, faults: list[SourceError]) -> Inline | None:
    """Return what stands between [[ and ]] as a typed inline, or None and a fault."""
    kind, _, rest = inner.strip().partition(" ")
    if kind not in INLINE_KINDS or not rest.strip():
        what_to_do = (
            "write [[rule ID]], [[sheet FIELD]], [[table ID LINE]], [[result NAME]], [[work FORMULA a=1]], "
            "[[company FIELD]], [[term ID]], [[stop ID]] or [[source ID]]"
        )
        faults.append(SourceError(place, f"[[{inner}]] is not an inline", what_to_do))
        return None
    name, _, shown = rest.partition("|") if kind in SHOWN else (rest, "", "")
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
