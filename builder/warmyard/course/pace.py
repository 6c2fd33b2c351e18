"""How much a reader is shown and how long it takes: rates of reading and doing, declared once in pace.yaml."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import msgspec
import yaml

from warmyard.course.fence_table import fence_of
from warmyard.course.grammar import INLINE, Block
from warmyard.item.kind_table import tag_of
from warmyard.item.model import Item

RATES = Path(__file__).with_name("pace.yaml")
_LISTED = re.compile(r"\s*(?:[-*+|]|\d+[.)]|#{3,6})\s")
_WORD = re.compile(r"\S*\w\S*")


class Range(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How many steps a lesson has."""

    fewest: int
    most: int


class Near(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How far declared minutes may lie from the reckoned ones: the larger of both holds."""

    minutes: float
    percent: float


class Pace(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The rates by which a lesson is measured."""

    steps: Range
    words_in_step: int
    words_between_tasks: int
    words_a_minute: float
    as_words: Mapping[str, int]
    words_of_line: int
    seconds: Mapping[str, float]
    """By kind of problem and by fence."""
    seconds_of_other: float
    near: Near


@cache
def pace() -> Pace:
    """Return the rates."""
    return msgspec.convert(yaml.safe_load(RATES.read_text(encoding="utf-8")), Pace)


def words_in(line: str) -> int:
    """Return the words of a line of text, with the room that a line of a list or a table takes; an inline is one."""
    if not line.strip():
        return 0
    bare = INLINE.sub(lambda found: found[1].rpartition("|")[2] if "|" in found[1] else "x", line)
    return len(_WORD.findall(bare)) + (pace().words_of_line if _LISTED.match(line) else 0)


def words_of(block: Block) -> int:
    """Return the words that a fence is shown as; what the reader fills in is no reading."""
    node = block.node
    if fence_of(node).filled_in or fence_of(node).begins(node):
        return 0
    return pace().as_words.get(_name(block), 0) + words_in(getattr(node, "say", "") or "")


def seconds_of_item(item: Item) -> float:
    """Return how long a problem takes, by its kind."""
    return pace().seconds.get(tag_of(item), pace().seconds_of_other)


def seconds_of(block: Block, items: Mapping[str, Item]) -> float:
    """Return how long a fence takes that the reader fills in; an item that is not there takes none."""
    fence = fence_of(block.node)
    asked = [items[named.name] for named in fence.names(block.node) if named.what == "item" and named.name in items]
    own = pace().seconds.get(_name(block), 0) * fence.things(block.node)
    return own + sum(map(seconds_of_item, asked))


def minutes_of(words: int, seconds: float) -> float:
    """Return how long it takes to read so many words and then to do what takes so many seconds."""
    return words / pace().words_a_minute + seconds / 60


def _name(block: Block) -> str:
    return str(block.node.__struct_config__.tag)
