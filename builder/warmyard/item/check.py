"""Whether items are sound: drawn many times, their own answers marked right, their slips apart and named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from warmyard.errors import InputError, SourceError
from warmyard.item.faults import fault_of
from warmyard.item.kind import SEEDS
from warmyard.item.kind_table import kind_of, marking_of
from warmyard.item.marking import mark
from warmyard.item.model import Item
from warmyard.item.surroundings import NAME, Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import Variant
from warmyard.item.watch import Watcher
from warmyard.kept import Book

SOUND = "sound"
SEEDS_WRITTEN_OUT = 4
"""Draws that are made with all their text where a kind can try its numbers alone."""


def check_items(
    items: Iterable[Item], around: Surroundings, others: Iterable[str] = (), book: Book | None = None
) -> list[SourceError]:
    """Return every fault of the items, each with file and line; enemies must be among the items or the others.

    Items that a book calls sound are not drawn again; those found sound are written into it.
    """
    every = list(items)
    known = {item.id for item in every}.union(others)
    found = {item.id: [*_check_common(item, known), *kind_of(item).check(item, around)] for item in every}
    drawn = [item for item in every if not found[item.id] or kind_of(item).drawn_when_faulty]
    sound = sound_draws(drawn, Watcher(_nameless(around), Book() if book is None else book))
    for item in drawn:
        if item.id not in sound:
            found[item.id] += check_draws(item, around)
    return [fault for of_item in found.values() for fault in of_item]


def sound_draws(items: Iterable[Item], watcher: Watcher) -> set[str]:
    """Return the ids of the items whose draws show no fault; what nobody drew before is shared among the cores."""
    every = list(items)
    new = [item for item in every if watcher.kept(SOUND, item) is None]
    watcher.book.fill([partial(watcher.made, SOUND, item, _sound) for item in new])
    unsound = {item.id for item in new if watcher.kept(SOUND, item) is None}
    return {item.id for item in every} - unsound


def _nameless(around: Surroundings) -> Surroundings:
    """Return surroundings whose machines go by their ids: what one is called makes no draw sound or unsound."""
    sheets = {
        machine: {field: text for field, text in values.items() if field != NAME}
        for machine, values in around.sheet_values.items()
    }
    return replace(around, sheet_values=sheets, prepared={})


def _sound(item: Item, around: Surroundings) -> bytes | None:
    return None if check_draws(item, around) else b""


def own_answer(variant: Variant) -> dict[str, Any]:
    """Return the response that a variant's own key calls right."""
    right: dict[str, Any] = marking_of(variant.key).right(variant.question, variant.key)
    return right


def check_draws(item: Item, around: Surroundings, seeds: int = SEEDS) -> list[SourceError]:
    """Return the first fault that drawing the item with many seeds shows, or an empty list."""
    kind = kind_of(item)
    seen: set[str] = set()
    verdicts: Counter[str] = Counter()
    for seed in range(min(seeds, kind.seeds)):
        try:
            if kind.try_numbers is not None and seed >= SEEDS_WRITTEN_OUT:
                tried = kind.try_numbers(item, seed, around)
                seen.update(tried.slips)
                verdicts[tried.verdict] += 1
                if tried.mixed_up:
                    what_to_do = "part the slips or correct the tolerance"
                    return [fault_of(item, "slips", f"seed {seed}: {tried.mixed_up}", what_to_do)]
                continue
            variant = make_variant(item, seed, around)
        except SourceError as fault:
            return [fault if item.id in fault.what else _of_item(item, fault)]
        except InputError as problem:
            what_to_do = "widen the draw, change keep, or part the slips"
            return [fault_of(item, "draw", f"seed {seed}: {problem}", what_to_do)]
        if unsound := _check_variant(item, variant, seed):
            return [unsound]
        seen.update(marking_of(variant.key).wrong(variant.question, variant.key))
    return list(kind.check_seen(item, seen, verdicts))


def _of_item(item: Item, fault: SourceError) -> SourceError:
    return SourceError(fault.place, f"{item.id}: {fault.what}", fault.what_to_do, loses=fault.loses)


def _check_variant(item: Item, variant: Variant, seed: int) -> SourceError | None:
    """Return a fault when a variant's own answer is marked wrong, or one of its slips as something else."""
    found = mark(variant, own_answer(variant))
    if not found.right or found.share != 1.0:
        what = f"seed {seed}: its own answer is marked wrong ({found.reason})"
        return fault_of(item, "answer", what, "correct the answer, its decimals or its tolerance")
    if mixed_up := marking_of(variant.key).mixed_up(variant.question, variant.key):
        return fault_of(item, "slips", f"seed {seed}: {mixed_up}", "part the slips or narrow the tolerance")
    return None


def _check_common(item: Item, known: set[str]) -> Iterator[SourceError]:
    for at, enemy in enumerate(item.enemies):
        if enemy not in known:
            yield fault_of(item, f"enemies.{at}", f"the enemy {enemy} is no item", "correct the id or take it out")
    if not item.ask.strip():
        yield fault_of(item, "ask", "it asks nothing", "write the question")
    if item.expected_percent is not None and not 0 <= item.expected_percent <= 100:
        what = f"{item.expected_percent} % of just-able candidates are expected to answer right"
        yield fault_of(item, "expected_percent", what, "write a whole number from 0 to 100")
    if item.minutes <= 0:
        yield fault_of(item, "minutes", "it takes no time", "write the minutes it takes")
