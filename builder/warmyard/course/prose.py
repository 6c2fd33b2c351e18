"""What a page says line by line, and what none may hold: code that runs, and typed numbers that others own."""

from __future__ import annotations

import html
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from warmyard.course.grammar import Inline, find_inlines, lines_outside
from warmyard.course.lesson import Lesson
from warmyard.course.rules import rule_values
from warmyard.course.shelf import Shelf
from warmyard.course.values import meaning
from warmyard.errors import FollowingError, Place, SourceError, SourceKind
from warmyard.formula.quantity import split_quantity
from warmyard.formula.units import PLAIN, find_unit, to_si

RUNS = "script|style|iframe|object|embed|applet|link|meta|base|form|frame|frameset|portal"
_ELEMENT = re.compile(rf"<\s*({RUNS})\b", re.IGNORECASE)
_HANDLER = re.compile(r"(?:<[a-z][^<>]*?|\{:?[^{}]*?)[\s\"'/](on[a-z]+|style|srcdoc|formaction)\s*=", re.IGNORECASE)
_ADDRESS = re.compile(r"\b(javascript|vbscript)\s*:(?=\S)|\b(data):[a-z]+/", re.IGNORECASE)
_HIDDEN = re.compile(r"[\x00-\x1f\x7f\u200b-\u200f\u2060\ufeff]")
_QUANTITY = re.compile(r"(?<![\w.,+−-])(\d+(?:[.,]\d+)?)[ \u00a0\u202f]?(%|°?[A-Za-zΩµ][\w°²³/·]*)")
_INLINE = re.compile(r"\[\[[^\[\]\n]*\]\]")
OWNERS = ("rule", "sheet")
"""Inlines whose values nobody types beside them."""
SHARES = ("%", PLAIN, "")


def text_lines(lesson: Lesson) -> Iterator[tuple[Place, str]]:
    """Yield every line of a page outside fences with its place, then what the fences say."""
    for at, line in lines_outside(lesson.body):
        yield Place(lesson.place.file, lesson.body_line + at), line
    for block in lesson.blocks:
        place = block.node.place
        yield place.within("say"), getattr(block.node, "say", "") or ""
        for at, line in enumerate(getattr(block.node, "lines", ())):
            yield place.within(f"lines.{at}"), line


def check_markup(lesson: Lesson) -> Iterator[SourceError]:
    """Yield a fault for raw HTML in a page that can run, style or load something."""
    outside = dict(lines_outside(lesson.body))
    lines = [outside.get(at, "") for at in range(lesson.body.count("\n") + 1)]
    whole = "\n".join(lines)
    found = []
    for pattern, shown in ((_ELEMENT, "<{}>"), (_HANDLER, "{}=")):
        for match in pattern.finditer(whole):
            found.append((whole.count("\n", 0, match.start(1)), shown.format(match.group(1).lower())))
    for at, line in enumerate(lines):
        if address := _ADDRESS.search(_HIDDEN.sub("", html.unescape(line))):
            found.append((at, f"{(address.group(1) or address.group(2)).lower()}:"))
    for at, shown in dict(sorted(found, reverse=True)).items():
        what_to_do = "write Markdown or one of our fences, a page has no code and no style of its own"
        yield SourceError(Place(lesson.place.file, lesson.body_line + at), f"the page holds {shown}", what_to_do)


def check_typed_numbers(lesson: Lesson, shelf: Shelf) -> Iterator[SourceError]:
    """Yield a fault for every number with its unit that a rule owns, or a sheet whose field the page names elsewhere.

    A sheet has fifty numbers and many machines: one that no line of the page names may be like another by chance.
    """
    lines = list(text_lines(lesson))
    owned = {**_of_rules(shelf), **dict(_owned(lines, shelf))}
    for place, line in lines if owned else ():
        for match in _QUANTITY.finditer(_INLINE.sub(" ", line)):
            owner = owned.get(_in_si(match.group(1).replace(",", "."), match.group(2)))
            if owner is not None:
                what = f"{match.group(0)} is typed, and {owner.kind} {owner.name} says it"
                what_to_do = f"write {owner.text} in its stead, or in words where it only happens to be the same"
                # What another country's rules say, standing in for a file that cannot be read, is no fault of a page.
                kind: SourceKind = "rule" if owner.kind == "rule" else "sheet"
                yield FollowingError(place, what, what_to_do, (kind, owner.name))


def _of_rules(shelf: Shelf) -> dict[tuple[float, str] | None, Inline]:
    """Return the value of each rule with the inline that would name it; shares are of too many things to tell."""
    return {
        _in_si(f"{value:f}", unit): Inline("rule", name, "", (), f"[[rule {name}]]", Place())
        for name, (value, unit, _) in rule_values(shelf.rules).items()
        if unit not in SHARES
    }


def _owned(lines: Iterable[tuple[Place, str]], shelf: Shelf) -> Iterator[tuple[tuple[float, str] | None, Inline]]:
    """Yield the values of the rules and sheets that a page names, with the inline that names them."""
    faults: list[SourceError] = []
    for place, line in lines:
        for inline in find_inlines(line, place.file, place.line, faults):
            if inline.kind not in OWNERS:
                continue
            try:
                parted = split_quantity(meaning(shelf, replace(inline, place=place)).text)
            except SourceError:
                continue
            value = None if parted is None else _in_si(*parted)
            if value is not None:
                yield value, inline


def _in_si(number: str, unit: str) -> tuple[float, str] | None:
    """Return a number with a unit as its SI value and quantity, or None where the word beside it is no unit."""
    known = find_unit(unit) if unit else None
    if known is None:
        return None
    return round(to_si(float(number), unit), 12), known.quantity
