"""The live models store what the newest frozen shape reads: a name changed in the code alone is red, and says how."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from outline import outline

from warmyard.course.fence_table import FENCE_NODE
from warmyard.course.lesson import Front
from warmyard.course.scheme_model import Scheme
from warmyard.formats.items import ITEMS
from warmyard.formats.lessons import LESSONS
from warmyard.formats.register import Format
from warmyard.formats.schemes import SCHEMES
from warmyard.item.kind_table import ITEM

GIVEN = frozenset({"place", "format"})
"""What no author writes into a part: where it stands, and the name that its whole carries."""
LIVE = [
    ("items", ITEMS, ("properties", "items", "items"), ITEM),
    ("front matter", LESSONS, ("properties", "front"), Front),
    ("fences", LESSONS, ("properties", "fences", "items"), FENCE_NODE),
    ("scheme", SCHEMES, (), Scheme),
]


def fault_of(name: str, frozen: Any, live: Any) -> str:
    """Return in a sentence what to do when the live model stores otherwise than the newest shape."""
    if frozen == live:
        return ""
    return (
        f"the live model of {name} stores otherwise than the newest shape in warmyard/formats. If a name changed in "
        'the code alone, keep the stored one: `msgspec.field(name="STORED")`. If the stored thing changed, write the '
        f"next version and its upgrade. {first_difference(frozen, live)}"
    )


def in_any_order(outlined: Any) -> Any:
    """Return an outline whose alternatives stand in one order: which kind of item comes first means nothing."""
    if isinstance(outlined, dict):
        found = {key: in_any_order(inner) for key, inner in outlined.items()}
        return {**found, "anyOf": sorted(found["anyOf"], key=repr)} if "anyOf" in found else found
    return [in_any_order(inner) for inner in outlined] if isinstance(outlined, list) else outlined


def first_difference(one: Any, other: Any, path: str = "") -> str:
    """Return where two outlines part."""
    if isinstance(one, dict) and isinstance(other, dict):
        for key in sorted({*one, *other}):
            if one.get(key) != other.get(key):
                return first_difference(one.get(key), other.get(key), f"{path}/{key}")
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for at, (mine, theirs) in enumerate(zip(one, other, strict=True)):
            if mine != theirs:
                return first_difference(mine, theirs, f"{path}/{at}")
    return f"At {path}: frozen {one}, live {other}"


@pytest.mark.parametrize(("name", "format_", "at", "live"), LIVE, ids=[row[0] for row in LIVE])
def test_the_live_model_stores_what_the_newest_shape_reads(
    name: str, format_: Format, at: tuple[str, ...], live: Any
) -> None:
    """Names as stored, types, limits and what stands where nothing is written are the same."""
    frozen = in_any_order(outline(format_.shapes[format_.version], GIVEN))
    for key in at:
        frozen = frozen[key]
    assert fault_of(name, frozen, in_any_order(outline(live, GIVEN))) == ""


class _Slip(msgspec.Struct):
    name: str
    days: int = 14


class _Renamed(msgspec.Struct):
    title: str
    days: int = 14


class _Kept(msgspec.Struct):
    title: str = msgspec.field(name="name")
    days: int = 14


class _Otherwise(msgspec.Struct):
    name: str
    days: int = 15


def test_a_careless_rename_says_what_to_do() -> None:
    """A name of its own and another default are seen; a name that keeps the stored one is none of both."""
    assert fault_of("slip", outline(_Slip), outline(_Kept)) == ""
    assert 'msgspec.field(name="STORED")' in fault_of("slip", outline(_Slip), outline(_Renamed))
    assert fault_of("slip", outline(_Slip), outline(_Otherwise)).endswith("frozen 14, live 15")
