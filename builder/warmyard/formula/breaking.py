"""A printed formula that is wider than a telephone, in parts between which a line may break.

A browser breaks no line inside MathML. So a wide formula is a row of small ones; a fraction, a root or a power that
is too wide itself is written on one line, with a stroke and brackets.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator

from markupsafe import Markup

from warmyard.formula.expression import Binary, Call, Minus, Node
from warmyard.formula.notation import ROUNDS, Leaf, bracketed_side, mathml, round_word
from warmyard.markup import element, joined

MOST_SIGNS = 20
"""Widest part, in signs: what a telephone of 320 px has room for in a frame inside a page."""
SIGNS_OF_A_HOLE = 8
"""Signs of a number with its unit that is put in later."""
SMALL = 0.75
"""Size of raised and lowered signs."""
_HOLE = re.compile(r"\{[^{}]*\}")
_SIGN = {"+": "+", "-": "−", "/": "/"}
_CALLED = {"sqrt": "√", "exp": "exp", "ln": "ln", "log10": "lg", "min": "min", "max": "max"}


def parts_of_line(node: Node, leaf: Leaf, times: str) -> list[Markup]:
    """Return MathML parts that stand one after the other; one part where the whole is narrow enough."""
    return _joined_short(list(_parts(node, leaf, times)))


def signs_in(body: str) -> float:
    """Return about how many signs wide a part is; of a fraction the wider half counts."""
    number = element("mn", "x" * SIGNS_OF_A_HOLE)
    return _width(ElementTree.fromstring(element("mrow", Markup(_HOLE.sub(number, body)))))


def _width(one: ElementTree.Element) -> float:
    inside = [_width(child) for child in one]
    if one.tag == "mfrac":
        return max(inside) + 0.5
    if one.tag in ("msub", "msup"):
        return inside[0] + SMALL * inside[1]
    own = len((one.text or "").strip())
    return own + sum(inside) + {"mo": 1.0, "msqrt": 1.5, "mspace": 0.5}.get(one.tag, 0.0)


def _parts(node: Node, leaf: Leaf, times: str) -> Iterator[Markup]:
    whole = mathml(node, leaf, times)
    if signs_in(whole) <= MOST_SIGNS:
        yield whole
        return
    match node:
        case Binary(sign="**", left=left, right=right):
            yield from _fenced(_parts(left, leaf, times), mathml(right, leaf, times))
        case Binary(sign=sign, left=left, right=right):
            yield from _side(node, left, leaf, times, right=False)
            second = list(_side(node, right, leaf, times, right=True))
            yield joined((element("mo", times if sign == "*" else _SIGN[sign]), second[0]))
            yield from second[1:]
        case Minus(of=of):
            first, *rest = _parts(of, leaf, times)
            yield joined((element("mo", "−"), first))
            yield from rest
        case Call(function=function, arguments=arguments):
            yield element("mi", f"{round_word(function)} " if function in ROUNDS else _CALLED.get(function, function))
            yield from _fenced(_with_commas([list(_parts(one, leaf, times)) for one in arguments]))
        case _:
            yield whole


def _side(parent: Binary, child: Node, leaf: Leaf, times: str, *, right: bool) -> Iterator[Markup]:
    inner = _parts(child, leaf, times)
    under = parent.sign == "/" and isinstance(child, Binary) and (right or child.sign in "+-")
    if under or bracketed_side(parent, child, right):
        yield from _fenced(inner)
    else:
        yield from inner


def _fenced(inner: Iterator[Markup], power: Markup | None = None) -> Iterator[Markup]:
    """Yield parts in brackets; the bracket that closes may carry a power."""
    parts = list(inner)
    close = element("mo", ")")
    parts[0] = joined((element("mo", "("), parts[0]))
    parts[-1] = joined((parts[-1], element("msup", close, power) if power else close))
    yield from parts


def _with_commas(groups: list[list[Markup]]) -> Iterator[Markup]:
    for at, group in enumerate(groups):
        last = at == len(groups) - 1
        yield from group[:-1]
        yield group[-1] if last else joined((group[-1], element("mo", ",")))


def _joined_short(parts: list[Markup]) -> list[Markup]:
    """Return the parts with short neighbours in one."""
    made: list[Markup] = []
    for part in parts:
        if made and signs_in(made[-1] + part) <= MOST_SIGNS:
            made[-1] = joined((made[-1], part))
        else:
            made.append(part)
    return made
