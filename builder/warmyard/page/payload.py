"""Prebuilt variants as a classic script for WY.items, and the words that the runtime says."""

from __future__ import annotations

import hashlib
import itertools
import re
from collections import Counter
from collections.abc import Iterable, Mapping

import msgspec

from warmyard.formula.typed import unit_table
from warmyard.item.kind import Helps
from warmyard.item.kind_table import kind_of
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import Variant
from warmyard.item.words import marking_words
from warmyard.page.javascript import HEAD, KIND_SCRIPTS, bare_json, inert, inert_json, script_of

RECORD_SCRIPTS = (
    "vendored/fsrs.js",
    "recall.js",
    "standing.js",
    "record_format.js",
    "record_merge.js",
    "record_store.js",
    "record.js",
)
"""What keeps a learner's record and says what comes back when, after wy.js."""
PRACTICE_SCRIPTS = (
    "wy.js",
    "bring_near.js",
    "number.js",
    "marking.js",
    *RECORD_SCRIPTS,
    *KIND_SCRIPTS,
    "keypad.js",
    "item_box.js",
    "hints.js",
    "practice.js",
    "assessment.js",
)
"""Runtime files of practice in the order in which a page loads them."""
SHARED_FROM = 120
"""A text at least this long that stands in more than one variant of an item is written once."""
DRAWING_FROM = 2000
"""A text at least this long is a drawing, which other items may show too: it stands apart even where it stands once."""
NAME_LETTERS = 12
_TEXT = re.compile(rb'"[^"\\]*(?:\\.[^"\\]*)*"')
"""A text as JSON writes it. It holds no bare quotation mark, so that it is found again as a whole and nothing else."""


class Packed(msgspec.Struct, frozen=True, array_like=True):
    """The variants of one item as a script takes them."""

    item: str
    rows: list[str]
    """A variant each, as JSON; {"$": NAME} stands for a text."""
    names: list[list[str]]
    """The texts that each row names."""
    texts: dict[str, str]
    """Name -> text, as JSON."""
    helps: str = ""
    """The hints that are the same in every draw, as JSON; empty where there are none."""


def practice_variants(item: Item, around: Surroundings) -> list[Variant]:
    """Return the variants that a page carries of an item, seeds from 1."""
    return [make_variant(item, seed, around) for seed in range(1, kind_of(item).variants + 1)]


def pack_variants(item: str, variants: Iterable[Variant], helps: Helps | None = None) -> Packed:
    """Return the variants of one item, its long texts apart, so that a page's script need only be put together."""
    rows = [bare_json(variant) for variant in variants]
    counts = Counter(text for row in rows for text in _TEXT.findall(row) if len(text) >= SHARED_FROM)
    apart = {text: _name(text) for text, count in counts.items() if count > 1 or len(text) >= DRAWING_FROM}
    written, names = [], []
    for row in rows:
        named = sorted((text for text in apart if text in row), key=row.index)
        for text in named:
            row = row.replace(text, f'{{"$":"{apart[text]}"}}'.encode())
        written.append(inert(row.decode()))
        names.append([apart[text] for text in named])
    said = inert(bare_json(helps).decode()) if helps else ""
    return Packed(item, written, names, {name: inert(text.decode()) for text, name in apart.items()}, said)


def helps_of(item: Item, around: Surroundings) -> Helps | None:
    """Return the hints of an item that are the same in every draw, or None where its kind has none."""
    helps = kind_of(item).helps
    return helps(item, around) if helps else None


def reading_script() -> str:
    """Return the script of what answers are read with and marks are said with, which every page with problems loads."""
    return script_of(units=unit_table(), markingWords=marking_words())


def payload_of(packed: Iterable[Packed]) -> str:
    """Return the script that gives the page variants; wy.js unpacks them as WY.items.

    A text that stands in several variants is written once, in `texts`, and {"$": NAME} stands for it.
    """
    texts: dict[str, str] = {}
    rows: dict[str, str] = {}
    helps: dict[str, str] = {}
    for one in packed:
        for name in itertools.chain.from_iterable(one.names):
            texts[name] = one.texts[name]
        rows[one.item] = f"[{','.join(one.rows)}]"
        if one.helps:
            helps[one.item] = one.helps
    return (
        f"{HEAD}WY.packs = WY.packs || [];\n"
        f"WY.packs.push({{texts: {{\n{_lines(texts)}\n}}, items: {{\n{_lines(rows)}\n}}, "
        f"helps: {{\n{_lines(helps)}\n}}}});\n"
    )


def _lines(values: Mapping[str, str]) -> str:
    return ",\n".join(f"{inert_json(name)}: {value}" for name, value in values.items())


def _name(text: bytes) -> str:
    return hashlib.sha256(text).hexdigest()[:NAME_LETTERS]
