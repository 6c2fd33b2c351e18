"""The bank of the course: large enough, and nothing but knowledge tells the right option from the others."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from warmyard.course.workspace import Workspace
from warmyard.formula.quantity import split_quantity
from warmyard.formula.units import convert
from warmyard.item.kinds.choice.schema import Choice
from warmyard.item.kinds.numeric.schema import Link, Numeric
from warmyard.item.model import Item
from warmyard.item.variant import make_variant

LEAST_ITEMS, LEAST_EXAM_ITEMS, LEAST_WAYS = 400, 160, 4
SEEDS = range(24)
POINTS_APART = 0.03
"""How far the share of a position may lie from an even one."""
BY_LENGTH = 0.30
LUMPED = re.compile(r"\b(all|none|both|neither) of (the above|these|those)\b|\bthe above\b", re.I)
TURNED = re.compile(r"^(which|what|who|where|when|how)\b[^,:;]*\b(not|cannot|except|never)\b", re.I)
SHOUTED = re.compile(r"\b(NOT|EXCEPT|NEVER|FALSE|WRONG)\b")


@pytest.fixture(scope="module")
def bank(whole_workspace: Workspace) -> Workspace:
    """Give the course with its whole bank."""
    return whole_workspace


def choices(bank: Workspace) -> list[Choice]:
    """Return the choice items with one right option."""
    return [item for item in bank.items.values() if isinstance(item, Choice) and not item.several]


def last_sentence(item: Item) -> str:
    """Return what an item asks, without the story before it."""
    return re.split(r"(?<=[.?!\"])\s+", item.ask.strip())[-1]


def test_there_are_enough(bank: Workspace) -> None:
    """At least 400 items, of which at least 160 are for exams."""
    assert len(bank.items) >= LEAST_ITEMS
    assert sum(item.use == "exam" for item in bank.items.values()) >= LEAST_EXAM_ITEMS


def test_what_can_kill_is_asked_in_four_ways(bank: Workspace) -> None:
    """Every skill of the highest criticality has at least four items of its own."""
    asked = Counter(item.skill for item in bank.items.values())
    few = {skill.id: asked[skill.id] for skill in bank.skills.values() if skill.criticality == 3}
    assert {skill: count for skill, count in few.items() if count < LEAST_WAYS} == {}
    assert len(few) > 20


@pytest.mark.parametrize("use", ["practice", "exam"])
def test_length_gives_nothing_away(bank: Workspace, use: str) -> None:
    """Neither the longest nor the shortest option is the right one in 30 % of the items or more."""
    longest = shortest = count = 0
    for item in choices(bank):
        if item.use == use:
            lengths = [(len(bank.surroundings.inline(option.text)), option.right) for option in item.options]
            count += 1
            longest += [right for length, right in lengths if length == max(lengths)[0]] == [True]
            shortest += [right for length, right in lengths if length == min(lengths)[0]] == [True]
    assert count > 80
    assert longest / count < BY_LENGTH
    assert shortest / count < BY_LENGTH


@pytest.mark.parametrize("options", [3, 4])
def test_place_gives_nothing_away(bank: Workspace, options: int) -> None:
    """Over many seeds the right option stands in each place about equally often."""
    places: Counter[int] = Counter()
    for item in choices(bank):
        if len(item.options) == options:
            right = next(option.id for option in item.options if option.right)
            for seed in SEEDS if options == 4 else range(3000):
                shown = make_variant(item, seed, bank.surroundings).question.options
                places[[option.id for option in shown].index(right)] += 1
    total = sum(places.values())
    assert total > 350
    assert set(places) == set(range(options))
    assert all(abs(count / total - 1 / options) < POINTS_APART for count in places.values()), places


def test_no_option_stands_for_the_others(bank: Workspace) -> None:
    """No "all of the above", no "none of these": after mixing there is no above."""
    lumped = [
        (item.id, option.text)
        for item in bank.items.values()
        if isinstance(item, Choice)
        for option in item.options
        if LUMPED.search(option.text)
    ]
    assert lumped == []


def test_no_question_is_turned_round(bank: Workspace) -> None:
    """No "which of these is NOT": what is asked is never a denial that can be overread."""
    turned = [item.id for item in bank.items.values() if TURNED.search(last_sentence(item)) or SHOUTED.search(item.ask)]
    assert turned == []


def test_the_words_that_give_a_trick_away_are_found() -> None:
    """The patterns of this file find what they are for, and leave honest questions alone."""
    assert TURNED.search("Which of these fires do you not fight?")
    assert TURNED.search("What must a barrier never do?")
    assert not TURNED.search("Which alarm stands too hot, and will not live long?")
    assert LUMPED.search("All of the above")
    assert LUMPED.search("none of these")
    assert not LUMPED.search("All of it, 100 %")


OTHER_THAN_A_MACHINE_S = {"svc-height", "exam-far-outlet-cooler"}
"""Items whose number is no machine's: a height reckoned as a gap is, and the air of one branch of a duct."""


def test_what_a_sheet_holds_is_drawn_near_the_machines_of_the_fleet(bank: Workspace) -> None:
    """A symbol that a data sheet may fill is drawn from half of the smallest machine to twice the largest."""
    fleet: dict[str, list[tuple[float, str]]] = {}
    for fields in bank.surroundings.sheet_values.values():
        for field, text in fields.items():
            if found := split_quantity(text):
                fleet.setdefault(field, []).append((float(found[0]), found[1] or "1"))
    far, looked_at = [], 0
    for item in bank.items.values():
        if not isinstance(item, Numeric) or item.id in OTHER_THAN_A_MACHINE_S:
            continue
        links = item.chain or (Link(let="", formula=item.formula or ""),)
        for link in links:
            for need in bank.register.formulas[link.formula].needs:
                draw = item.draw.get(link.takes.get(need.symbol, need.symbol))
                if need.sheet is None or draw is None or draw.sheet or draw.rule:
                    continue
                own = [convert(value, unit, draw.unit or need.unit) for value, unit in fleet[need.sheet]]
                drawn = draw.among or (draw.low or 0, draw.high or 0)
                looked_at += 1
                if min(drawn) < min(own) / 2 or max(drawn) > max(own) * 2:
                    far.append((item.id, need.symbol, need.sheet))
    assert looked_at > 50
    assert far == []
