"""One canonical form for everything that is signed (RFC 8785), and one strict reader for everything that comes back.

The only file that imports rfc8785. Signed JSON holds objects, lists, text, whole numbers and yes or no:
a decimal is written as text, an absent value is left out.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any, NoReturn

import msgspec
import rfc8785

from warmyard.errors import InputError, VerificationError

LARGEST_JSON_BYTES = 4_000_000
DEEPEST_JSON = 32
LARGEST_WHOLE = 2**53 - 1


def canonical_bytes(value: Any) -> bytes:
    """Return the RFC 8785 bytes of a plain value; raise InputError for a float, a null or an endless number."""
    try:
        problem = plain_problem(value)
        if problem:
            raise InputError(f"this cannot be signed: {problem}")
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError):
        raise InputError("this cannot be signed: it holds text that is not Unicode") from None


def is_canonical(raw: bytes, value: Any) -> bool:
    """Say whether bytes are the canonical form of the value that was read from them."""
    # msgspec writes the same bytes as RFC 8785 for plain values (a test says so), in a tenth of the time;
    # only keys beyond the basic plane sort otherwise, and then the slow way decides.
    return msgspec.json.encode(value, order="sorted") == raw or canonical_bytes(msgspec.to_builtins(value)) == raw


def plain_problem(value: Any, depth: int = 0) -> str:
    """Return what keeps a value from being signed, or nothing."""
    kind = type(value)
    if kind is str or kind is bool:
        return ""
    if kind is int:
        return "" if -LARGEST_WHOLE <= value <= LARGEST_WHOLE else "a whole number beyond 2^53"
    if depth > DEEPEST_JSON:
        return f"nested deeper than {DEEPEST_JSON} levels"
    if kind is dict:
        for key, inner in value.items():
            problem = plain_problem(inner, depth + 1) if type(key) is str else "a key that is not text"
            if problem:
                return problem
        return ""
    if kind is list or kind is tuple:
        return next(filter(None, (plain_problem(inner, depth + 1) for inner in value)), "")
    return "an empty value" if value is None else f"a {kind.__name__}"


def read_json(raw: bytes, step: str, *, largest_bytes: int = LARGEST_JSON_BYTES) -> dict[str, Any]:
    """Return the object that JSON bytes hold; raise VerificationError, naming the step, for anything not plain.

    Refused: too many bytes, not UTF-8, nested too deep, a key twice, a decimal or endless number, null, half a
    character, anything but an object at the top.
    """

    def refuse(what: str) -> NoReturn:
        raise VerificationError(step, what)

    if len(raw) > largest_bytes:
        refuse(f"{len(raw)} bytes are too many; {largest_bytes} are allowed")
    if depth_of(raw) > DEEPEST_JSON:
        refuse(f"nested deeper than {DEEPEST_JSON} levels")
    value = _parsed(raw, refuse)
    if not isinstance(value, dict):
        refuse("not a JSON object")
    problem = plain_problem(value)
    if problem:
        refuse(f"it holds {problem}")
    # The bytes were UTF-8, so half a character can only have come from an escape: the others need no second writing.
    if b"\\u" in raw:
        try:
            rfc8785.dumps(value)
        except (rfc8785.CanonicalizationError, UnicodeEncodeError):
            refuse("it holds text that is not Unicode")
    return value


def _parsed(raw: bytes, refuse: Callable[[str], NoReturn]) -> Any:
    def no_key_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(pairs)
        if len(made) != len(pairs):
            refuse("a key stands twice")
        return made

    def whole(text: str) -> int:
        if len(text) > 17 or abs(int(text)) > LARGEST_WHOLE or text == "-0":
            refuse("a number is too large")
        return int(text)

    try:
        return json.loads(
            raw.decode("utf-8"),
            object_pairs_hook=no_key_twice,
            parse_int=whole,
            parse_float=lambda text: refuse("a number is not whole; decimals are written as text"),
            parse_constant=lambda text: refuse(f"{text} is not a number"),
        )
    except UnicodeDecodeError:
        refuse("not UTF-8 text")
    except (ValueError, RecursionError):
        refuse("not JSON")


_QUOTED = re.compile(rb'"(?:[^"\\]|\\.)*"?', re.DOTALL)
_BRACKET = re.compile(rb"[\[\]{}]")


def depth_of(raw: bytes) -> int:
    """Return how deep brackets nest outside quoted text, without building anything."""
    depth = deepest = 0
    for bracket in _BRACKET.finditer(_QUOTED.sub(b"", raw)):
        depth += 1 if bracket.group() in b"{[" else -1
        deepest = max(deepest, depth)
    return deepest
