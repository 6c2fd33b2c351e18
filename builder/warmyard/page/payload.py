"""Prebuilt variants as a classic script for WY.items, and the words that the runtime says."""

from __future__ import annotations

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
"""A text at least this long that stands in more than one variant is written once."""


def practice_variants(item: Item, around: Surroundings) -> list[Variant]:
    """Return the variants that a page carries of an item, seeds from 1."""
    return [make_variant(item, seed, around) for seed in range(1, kind_of(item).variants + 1)]


def item_payload(variants: Iterable[Variant]) -> str:
    """Return the script that gives the page variants, questions with their keys; wy.js unpacks them as WY.items.

    A text that stands in several variants is written once, in `texts`, and {"$": 3} stands for the fourth of them.
    """
    by_item: dict[str, list[object]] = {}
    for variant in variants:
        by_item.setdefault(variant.question.item, []).append(msgspec.to_builtins(variant))
    texts = _shared_texts(by_item)
    place = {text: at for at, text in enumerate(texts)}
    rows = ",\n".join(f"{inert_json(id)}: {inert_json(_with_shared(found, place))}" for id, found in by_item.items())
    return (
        f"{script_of(markingWords=marking_words())}WY.packs = WY.packs || [];\n"
        f"WY.packs.push({{texts: {inert_json(texts)}, items: {{\n{rows}\n}}}});\n"
    )


def _shared_texts(value: object) -> list[str]:
    """Return the long texts that stand more than once, in the order found."""
    counts: dict[str, int] = {}
    _count(value, counts)
    return [text for text, count in counts.items() if count > 1]


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


def _with_shared(value: object, place: Mapping[str, int]) -> object:
    if isinstance(value, str):
        return {"$": place[value]} if value in place else value
    if isinstance(value, dict):
        return {key: _with_shared(inner, place) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_with_shared(inner, place) for inner in value]
    return value
