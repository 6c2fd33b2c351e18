"""Choice, ordering, picture point and reading: mixed by seed, nothing of the key in what is shown."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import msgspec
import pytest

from warmyard.item.check import check_items, own_answer
from warmyard.item.instrument_drawing import sketch_instrument
from warmyard.item.kinds.choice.schema import Choice, Option
from warmyard.item.kinds.ordering.draw import order_key
from warmyard.item.kinds.ordering.marking import broken_pairs
from warmyard.item.kinds.ordering.schema import Ordering
from warmyard.item.kinds.picture_point.schema import PicturePoint
from warmyard.item.kinds.reading.schema import Reading
from warmyard.item.marking import mark
from warmyard.item.model import Answer, Draw, ItemSlip
from warmyard.item.surroundings import OrderFacts, Surroundings
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import NumberKey, OrderKey, PointKey

COMMON: dict[str, Any] = {"skill": "s", "criticality": 1, "use": "practice", "demand": "recall"}
CHOICE = Choice(
    id="stop",
    ask="An alarm sounds. What first?",
    options=(
        Option(id="out", text="Everybody goes out", why="people come first", right=True),
        Option(id="door", text="I open a door", why="people stay in it"),
        Option(id="heater", text="I look for the switch", why="the gas harms meanwhile"),
    ),
    **COMMON,
)
ORDER = Ordering(id="alarm-order", ask="Put it in order.", procedure="alarm", **COMMON)
POINT = PicturePoint(id="see-fuel", ask="Where do you see fuel?", picture="filter", right=("bowl",), **COMMON)
GAUGE = Reading(
    id="read-gauge",
    ask="Read it.",
    instrument="gauge",
    draw={"p": Draw(low=8, high=16, step=0.5, unit="bar")},
    value="p",
    answer=Answer(unit="bar", decimals=1, within="0.25"),
    slips=(ItemSlip(id="half", relation="reading/2", say="You took a division for half of what it is."),),
    **COMMON,
)


def test_options_are_mixed_and_reasons_stay_in_the_key(around: Surroundings) -> None:
    """Seeds give different orders of the same options, and no reason is in the question."""
    variants = [make_variant(CHOICE, seed, around) for seed in range(30)]
    orders = {tuple(option.id for option in variant.question.options) for variant in variants}
    assert len(orders) == 6
    assert "people come first" not in msgspec.json.encode(variants[0].question).decode()
    assert mark(variants[0], {"chosen": ["door"]}).reason == "People stay in it."


def test_an_order_never_starts_out_right(around: Surroundings) -> None:
    """Handing the steps back as they are shown breaks at least one rule, whatever the seed."""
    for seed in range(40):
        variant = make_variant(ORDER, seed, around)
        assert not mark(variant, {"order": [step.id for step in variant.question.options]}).right


def test_every_order_that_breaks_no_rule_is_right_and_no_other() -> None:
    """Of the 24 orders of four steps with two rules, exactly the six that keep both are marked right."""
    from itertools import permutations

    facts = OrderFacts(
        id="o",
        title="",
        steps={one: one for one in "abcd"},
        before=(("a", "b", "x"), ("c", "d", "y")),
        reference=tuple("abcd"),
    )
    key = order_key(facts, tuple("abcd"))
    kept = [order for order in permutations("abcd") if not broken_pairs(key, order)]
    assert len(kept) == 6
    assert all(order.index("a") < order.index("b") and order.index("c") < order.index("d") for order in kept)


def test_a_rule_through_a_hidden_step_still_holds(around: Surroundings) -> None:
    """With the middle step left out, the first still comes before the last, for both reasons."""
    variant = make_variant(msgspec.structs.replace(ORDER, steps=("out", "call", "wait")), 1, around)
    key = variant.key
    assert isinstance(key, OrderKey)
    assert key.before == (("out", "call"), ("call", "wait"))
    assert key.fails == (("call", "out"),)
    assert key.reasons["out<call"] == "They breathe it meanwhile."
    found = mark(variant, {"order": ["call", "out", "wait"]})
    assert (found.critical_fail, found.share) == (True, 0.0)
    assert "“Send everybody out”" in found.reason


def test_nothing_in_a_numbered_drawing_names_the_parts(around: Surroundings) -> None:
    """Ids, titles and labels that name a part are gone; numbers change with the seed; references still lead on."""
    numbers = set()
    for seed in range(12):
        variant = make_variant(POINT, seed, around)
        assert isinstance(variant.key, PointKey)
        numbers.add(variant.key.right)
        drawing = variant.question.drawing
        assert not re.search("bowl|head|screw", drawing, re.IGNORECASE)
        tree = ElementTree.fromstring(drawing)
        assert {part.get("data-point") for part in tree.iter()} - {None} == {"p1", "p2", "p3"}
        ids = [part.get("id") for part in tree.iter() if part.get("id")]
        fill = next(part.get("fill", "") for part in tree.iter() if part.get("fill"))
        assert fill.removeprefix("url(#").removesuffix(")") in ids
    assert len(numbers) > 1
    assert [option.text for option in variant.question.options if option.text] == ["on the very top"]
    assert isinstance(variant.key, PointKey)
    wrong = next(one for one, name in variant.key.names.items() if name == "Head")
    assert mark(variant, {"point": wrong}).reason == "This is: Head. Holds the bowl."


def test_two_drawings_on_one_page_share_no_id(around: Surroundings) -> None:
    """Ids of two seeds are different, so that a gradient of one never paints the other."""
    ids = [set(re.findall(r'id="([^"]+)"', make_variant(POINT, seed, around).question.drawing)) for seed in (1, 2)]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_a_reading_is_drawn_where_it_stands_and_not_told(around: Surroundings) -> None:
    """The text alternative never holds the value, the key does; half the value is named as its slip."""
    for seed in range(30):
        variant = make_variant(GAUGE, seed, around)
        key = variant.key
        assert isinstance(key, NumberKey)
        drawing = variant.question.drawing
        label = re.search('aria-label="([^"]*)"', drawing)
        assert label
        assert key.shown not in label.group(1)
        assert "small divisions past the figure" in label.group(1)
        assert mark(variant, {"text": key.shown}).right
        assert mark(variant, {"text": f"{key.value / 2} bar"}).slip == "half"
    assert check_items([GAUGE], around) == []


@pytest.mark.parametrize(("value", "unit"), [(0.0, "bar"), (25.0, "bar"), (145.0, "psi")])
def test_the_pointer_of_a_dial_stands_at_its_value(around: Surroundings, value: float, unit: str) -> None:
    """The tip lies at 135 degrees for the lowest value and 270 further for the highest; psi on the bar scale."""
    from math import atan2, degrees

    drawing = sketch_instrument(around.instruments["gauge"], value, unit)
    tip = re.search(r'd="M([\d.]+) ([\d.]+)L[^"]*Z" fill="var\(--wy-bad', drawing)
    assert tip
    found = degrees(atan2(float(tip.group(2)) - 130, float(tip.group(1)) - 130)) % 360
    bar = value if unit == "bar" else value * 0.0689475729  # 1 psi in bar, NIST SP 811
    assert found == pytest.approx((135 + 270 * bar / 25) % 360, abs=0.05)


def test_the_levels_of_a_u_tube_stand_half_the_reading_from_zero(around: Surroundings) -> None:
    """At 40 mm the left level lies 20 mm below and the right one 20 mm above zero on a scale of 105 px for 40 mm."""
    drawing = sketch_instrument(around.instruments["tube"], 40, "mmH2O")
    levels = [float(y) for y in re.findall(r'<line x1="[\d.]+" y1="([\d.]+)"', drawing)]
    assert levels == [pytest.approx(130 + 52.5), pytest.approx(130 - 52.5)]


@pytest.mark.parametrize("item", [CHOICE, ORDER, POINT, GAUGE], ids=lambda item: item.id)
def test_own_answers_are_right_and_variants_repeat(item: Any, around: Surroundings) -> None:
    """Every kind gives the same variant twice for a seed, and its own answer is marked fully right."""
    for seed in (0, 1, 2**63, -5):
        variant = make_variant(item, seed, around)
        assert variant == make_variant(item, seed, around)
        assert mark(variant, own_answer(variant)).share == 1.0
