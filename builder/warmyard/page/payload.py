"""Prebuilt variants as a classic script for WY.items, and the words that the runtime says."""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Iterable, Mapping

import msgspec

from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import Variant
from warmyard.item.words import marking_words
from warmyard.page.javascript import KIND_SCRIPTS, inert_json, script_of

PRACTICE_SCRIPTS = (
    "wy.js",
    "number.js",
    "marking.js",
    "due.js",
    "record_format.js",
    "record.js",
    *KIND_SCRIPTS,
    "practice.js",
    "assessment.js",
)
"""Runtime files of practice in the order in which a page loads them."""
SHARED_FROM = 120
"""A text at least this long that stands in more than one variant of an item is written once."""
DRAWING_FROM = 2000
"""A text at least this long is a drawing, which other items may show too: it stands apart even where it stands once."""
NAME_LETTERS = 12


class Packed(msgspec.Struct, frozen=True, array_like=True):
    """The variants of one item as a script takes them."""

    item: str
    rows: list[str]
    """A variant each, as JSON; {"$": NAME} stands for a text."""
    names: list[list[str]]
    """The texts that each row names."""
    texts: dict[str, str]
    """Name -> text, as JSON."""


def practice_variants(item: Item, around: Surroundings) -> list[Variant]:
    """Return the variants that a page carries of an item, seeds from 1."""
    return [make_variant(item, seed, around) for seed in range(1, kind_of(item).variants + 1)]


def pack_variants(item: str, variants: Iterable[Variant]) -> Packed:
    """Return the variants of one item, its long texts apart, so that a page's script need only be put together."""
    plain = [msgspec.to_builtins(variant) for variant in variants]
    counts: dict[str, int] = {}
    _count(plain, counts)
    apart = {text: _name(text) for text, count in counts.items() if count > 1 or len(text) >= DRAWING_FROM}
    rows, names = [], []
    for variant in plain:
        named: dict[str, None] = {}
        rows.append(inert_json(_with_names(variant, apart, named)))
        names.append(list(named))
    return Packed(item, rows, names, {name: inert_json(text) for text, name in apart.items()})


def payload_of(packed: Iterable[Packed], most: int | None = None) -> str:
    """Return the script that gives the page variants, at most so many of an item; wy.js unpacks them as WY.items.

    A text that stands in several variants is written once, in `texts`, and {"$": NAME} stands for it.
    """
    texts: dict[str, str] = {}
    rows: dict[str, str] = {}
    for one in packed:
        for name in itertools.chain.from_iterable(one.names[:most]):
            texts[name] = one.texts[name]
        rows[one.item] = f"[{','.join(one.rows[:most])}]"
    return (
        f"{script_of(markingWords=marking_words())}WY.packs = WY.packs || [];\n"
        f"WY.packs.push({{texts: {{\n{_lines(texts)}\n}}, items: {{\n{_lines(rows)}\n}}}});\n"
    )


def _lines(values: Mapping[str, str]) -> str:
    return ",\n".join(f"{inert_json(name)}: {value}" for name, value in values.items())


def _name(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:NAME_LETTERS]


def _count(value: object, counts: dict[str, int]) -> None:
    if isinstance(value, str):
        if len(value) >= SHARED_FROM:
            counts[value] = counts.get(value, 0) + 1
    elif isinstance(value, dict):
        for inner in value.values():
            _count(inner, counts)
    elif isinstance(value, list | tuple):
        for inner in value:
            _count(inner, counts)


def _with_names(value: object, apart: Mapping[str, str], named: dict[str, None]) -> object:
    """Return a value with names in the place of the texts that stand apart; `named` takes up which."""
    if isinstance(value, str):
        name = apart.get(value)
        if name is None:
            return value
        named[name] = None
        return {"$": name}
    if isinstance(value, dict):
        return {key: _with_names(inner, apart, named) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_with_names(inner, apart, named) for inner in value]
    return value
