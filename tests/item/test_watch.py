"""What was made of an item is given again until something that it took has changed, and is made anew then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
import pytest

from warmyard.course.workspace import Workspace, read_workspace
from warmyard.formula.register import Register
from warmyard.item.kind_table import KINDS, tag_of
from warmyard.item.model import Draw, Item
from warmyard.item.surroundings import NAME, Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.watch import Watcher
from warmyard.kept import Book
from warmyard.words import speaking

SMALL_YARD = Path(__file__).parents[1] / "small_yard"
SEEDS = range(4)


@pytest.fixture(scope="module")
def yard() -> Workspace:
    """Return the small yard, read."""
    return read_workspace(SMALL_YARD)


def draw(item: Item, around: Surroundings) -> bytes:
    """Return some draws of an item."""
    return msgspec.msgpack.encode([make_variant(item, seed, around) for seed in SEEDS])


def drawn_anew(item: Item, around: Surroundings, book: Book) -> bool:
    """Say whether an item has to be drawn in these surroundings; what is given must be what drawing it gives."""
    asked = []

    def make(item: Item, around: Surroundings) -> bytes:
        asked.append(item.id)
        return draw(item, around)

    assert Watcher(around, book).made("drawn", item, make) == draw(item, replace(around, prepared={}))
    return bool(asked)


def varied(thing: Any, **fields: Any) -> Any:
    """Return an object with other values of some fields."""
    return msgspec.structs.replace(thing, **fields) if isinstance(thing, msgspec.Struct) else replace(thing, **fields)


def changed(values: Mapping[str, Any], name: str, value: Any) -> Mapping[str, Any]:
    """Return a mapping with one value changed."""
    return {**values, name: value}


def test_each_kind_is_drawn_once(yard: Workspace) -> None:
    """Nothing changed: nothing is drawn again, of any kind."""
    book = Book()
    one_of_each = {tag_of(item): item for item in yard.items.values()}
    assert set(one_of_each) == set(KINDS)
    for item in one_of_each.values():
        assert drawn_anew(item, yard.surroundings, book)
        assert not drawn_anew(item, yard.surroundings, book)


def test_whatever_changes_a_draw_has_it_drawn_anew(yard: Workspace) -> None:
    """One thing after another around the items is changed: each draw that is kept is what drawing gives there."""
    around = yard.surroundings
    worlds = [around, *worlds_beside(yard)]
    assert len(worlds) > 8
    differs = 0
    for item in yard.items.values():
        for world in worlds[1:]:
            book = Book()
            drawn_anew(item, around, book)
            drawn_anew(item, world, book)
            differs += draw(item, replace(world, prepared={})) != draw(item, replace(around, prepared={}))
    assert differs >= len(KINDS) - 1


def worlds_beside(yard: Workspace) -> list[Surroundings]:
    """Return surroundings that differ in one thing each, from the formulas to the machine."""
    around = yard.surroundings
    found = []
    for name, formula in around.register.formulas.items():
        slips = tuple(varied(slip, say=f"{slip.say} Or so.") for slip in formula.slips)
        other = varied(formula, title=f"{formula.title} too", slips=slips)
        found.append(replace(around, register=Register(changed(around.register.formulas, name, other)), prepared={}))
    for name, values in around.sheet_values.items():
        other_sheet = {field: text.replace("1", "2") for field, text in values.items()}
        found.append(replace(around, sheet_values=changed(around.sheet_values, name, other_sheet), prepared={}))
    for name, (value, unit, source) in around.rule_values.items():
        rules = changed(around.rule_values, name, (value * 2, unit, source))
        found.append(replace(around, rule_values=rules, prepared={}))
    for name, facts in around.pictures.items():
        points = {point: f"{text}, the other" for point, text in facts.points.items()}
        found.append(
            replace(around, pictures=changed(around.pictures, name, replace(facts, points=points)), prepared={})
        )
    for name, order in around.orders.items():
        steps = {step: f"{text} Again." for step, text in order.steps.items()}
        found.append(replace(around, orders=changed(around.orders, name, replace(order, steps=steps)), prepared={}))
    for name, instrument in around.instruments.items():
        other_how = varied(instrument, how="Look straight at it.")
        found.append(replace(around, instruments=changed(around.instruments, name, other_how), prepared={}))
    assert around.machine is not None
    modes = {id: varied(mode, name=f"{mode.name}, again") for id, mode in around.machine.modes.items()}
    found.append(replace(around, machine=varied(around.machine, modes=modes), prepared={}))
    return found


def test_a_thing_that_was_not_taken_changes_nothing(yard: Workspace) -> None:
    """A rule that no draw names may change: nothing is drawn again."""
    around = yard.surroundings
    book = Book()
    for item in yard.items.values():
        drawn_anew(item, around, book)
    other = replace(around, rule_values=changed(around.rule_values, "a-new-rule", (1.0, "m", "x")), prepared={})
    assert not any(drawn_anew(item, other, book) for item in yard.items.values())


def of_the_tank(yard: Workspace) -> Item:
    """Return an item whose volume is that of a machine's tank."""
    return msgspec.structs.replace(yard.items["q-bund"], draw={"V_1": Draw(sheet="tank")})


def test_a_field_that_was_not_taken_changes_nothing(yard: Workspace) -> None:
    """Of a sheet a draw takes fields: others may change or come; one that it draws, the name and the fleet may not."""
    around = yard.surroundings
    item = of_the_tank(yard)
    machine, values = next(iter(around.sheet_values.items()))
    book = Book()
    drawn_anew(item, around, book)

    def with_field(field: str, text: str) -> Surroundings:
        return replace(around, sheet_values=changed(around.sheet_values, machine, {**values, field: text}), prepared={})

    others = values.keys() - {"tank", NAME}
    assert others
    assert not any(drawn_anew(item, with_field(field, "7 kg"), book) for field in {*others, "a-new-field"})
    assert drawn_anew(item, with_field("tank", "95 L"), book)
    assert drawn_anew(item, with_field(NAME, "Otter 45"), book)
    fleet = {**around.sheet_values, "another": values}
    assert drawn_anew(item, replace(around, sheet_values=fleet, prepared={}), book)


def test_a_sheet_that_is_gone_through_or_missed_is_taken(yard: Workspace) -> None:
    """Whoever looks at all fields of a sheet rests on each, and whoever missed a sheet is made anew when it comes."""
    around, book = yard.surroundings, Book()
    item = next(iter(yard.items.values()))
    machine, values = next(iter(around.sheet_values.items()))

    def fields(item: Item, around: Surroundings) -> bytes:
        return msgspec.msgpack.encode([dict(around.sheet_values[machine]), len(around.sheet_values.get("new", {}))])

    for world in (
        around.sheet_values,
        changed(around.sheet_values, machine, {**values, "a-new-field": "7 kg"}),
        changed(around.sheet_values, "new", values),
    ):
        other = replace(around, sheet_values=world, prepared={})
        assert Watcher(other, book).kept("fields", item) is None
        assert Watcher(other, book).made("fields", item, fields) == fields(item, other)


def test_other_words_have_everything_made_anew(yard: Workspace) -> None:
    """What is drawn speaks the words of its workspace."""
    item = next(iter(yard.items.values()))
    book = Book()
    drawn_anew(item, yard.surroundings, book)
    with speaking({**yard.words, "marking.choose": "Choose first."}):
        assert drawn_anew(item, yard.surroundings, book)


def test_another_item_is_drawn_anew(yard: Workspace) -> None:
    """The item itself counts, its place does not."""
    book = Book()
    for item in yard.items.values():
        drawn_anew(item, yard.surroundings, book)
        assert drawn_anew(msgspec.structs.replace(item, ask=f"{item.ask} Now?"), yard.surroundings, book)
        moved = msgspec.structs.replace(item, place=replace(item.place, line=item.place.line + 1))
        drawn_anew(item, yard.surroundings, book)
        assert not drawn_anew(moved, yard.surroundings, book)


def test_what_gives_nothing_is_not_kept(yard: Workspace) -> None:
    """A check that found a fault gives nothing, and is made again."""
    item, book = next(iter(yard.items.values())), Book()
    watcher = Watcher(yard.surroundings, book)
    assert watcher.made("sound", item, lambda item, around: None) is None
    assert watcher.made("sound", item, lambda item, around: b"") == b""
    assert watcher.kept("sound", item) == b""
