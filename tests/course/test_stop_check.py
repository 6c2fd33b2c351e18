"""What contradicts a stop rule, tells a customer a technician's work, or speaks of safety without an id."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

import msgspec
import pytest
import yaml

from warmyard.course.lesson import Lesson, parse_lesson
from warmyard.course.stop_check import check_passage
from warmyard.course.stop_hearing import Listener
from warmyard.course.stop_passages import item_passages, lesson_passages, passage_of
from warmyard.course.stop_sources import check_key, check_stops, governing
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.item.kinds.choice.schema import Choice
from warmyard.item.model import Edition

PLANTS: dict[str, list[Any]] = yaml.safe_load(Path(__file__).with_name("stop_plants.yaml").read_text(encoding="utf-8"))
UNSEEN: dict[str, list[dict[str, Any]]] = yaml.safe_load(
    Path(__file__).with_name("stop_unseen.yaml").read_text(encoding="utf-8")
)
ALONE: list[tuple[Edition, str]] = [
    *(("customer", text) for text in PLANTS["customer"]),
    *(("staff", text) for text in PLANTS["staff"]),
]
LINE = 9
"""Where the text of a page stands that these tests make."""


@pytest.fixture(scope="module")
def listener(whole_workspace: Workspace) -> Listener:
    """Give what hears the real course's stop rules."""
    return Listener(whole_workspace.stops)


def page(text: str, reader: Edition) -> Lesson:
    """Return a page whose only paragraph is a text."""
    head = f"---\nid: p\ntitle: P\nkind: page\neditions: [{reader}]\n---\n## Words\n\n"
    lesson = parse_lesson(f"{head}{text}\n", "p.md", reader, "p.md", [])
    assert lesson
    return lesson


def heard(listener: Listener, text: str, reader: Edition) -> list[SourceError]:
    """Return what is found in a page of one text."""
    return [fault for passage in lesson_passages(page(text, reader)) for fault in check_passage(listener, passage)]


def test_the_course_contradicts_none_of_its_rules(whole_workspace: Workspace) -> None:
    """No page, key, order, answer or rule of our own is at fault."""
    assert [str(fault) for fault in check_stops(whole_workspace)] == []


@pytest.mark.parametrize(("reader", "text"), ALONE)
def test_a_contradiction_without_an_id_is_found_at_its_line(listener: Listener, reader: Edition, text: str) -> None:
    """In whatever words: what it says is against a rule, or its safety words cite none."""
    found = heard(listener, text, reader)
    assert found
    assert {(fault.place.file, fault.place.line) for fault in found} == {("p.md", LINE)}


@pytest.mark.parametrize("plant", PLANTS["cited"], ids=[plant["text"] for plant in PLANTS["cited"]])
def test_an_id_hides_no_contradiction(listener: Listener, plant: dict[str, Any]) -> None:
    """A text that cites the rule and says the opposite names rule and words."""
    fault = heard(listener, plant["text"], plant["reader"])[0]
    assert "contradicts the stop rule" in fault.what or "tells a customer to" in fault.what


@pytest.mark.parametrize("plant", PLANTS["sound"], ids=[plant["text"] for plant in PLANTS["sound"]])
def test_what_agrees_with_the_rules_is_no_fault(listener: Listener, plant: dict[str, Any]) -> None:
    """Forbidden acts that are forbidden, conditions that are met, situations that are not there."""
    assert heard(listener, plant["text"], plant["reader"]) == []


def under(listener: Listener, case: dict[str, Any]) -> list[SourceError]:
    """Return what is found in a text that stands under a heading, a question or a title."""
    cites = case["kind"] not in ("why", "step")
    passage = passage_of([(case["text"], Place("p.md", LINE))], case["reader"], about=[case["about"]], must_cite=cites)
    return list(check_passage(listener, passage))


@pytest.mark.parametrize("case", UNSEEN["against"], ids=[case["text"] for case in UNSEEN["against"]])
def test_everyday_words_near_a_danger_are_held_against_its_rule(listener: Listener, case: dict[str, Any]) -> None:
    """Nobody listed these sentences: an act in everyday words, a danger that they or what is over them names."""
    assert {fault.place.line for fault in under(listener, case)} == {LINE}


@pytest.mark.parametrize("case", UNSEEN["harmless"], ids=[case["text"] for case in UNSEEN["harmless"]])
def test_everyday_words_far_from_a_danger_are_free(listener: Listener, case: dict[str, Any]) -> None:
    """The same verbs where nothing stops anybody, or where they forbid."""
    assert under(listener, case) == []


def test_a_ban_for_good_is_not_told_for_a_while(listener: Listener) -> None:
    """What customers never do is not forbidden with an end that they see themselves."""
    (fault,) = heard(listener, "Never open the heater while it runs.", "customer")
    assert "only for a while" in fault.what
    assert heard(listener, "Never open the heater.", "customer") == []


def test_only_a_rule_that_frees_an_act_lets_customers_do_it(listener: Listener) -> None:
    """To start the heater they need the rule of starting; another id that stands there does not do."""
    assert heard(listener, "[[stop before-a-start|Turn it on]] and stand back.", "customer") == []
    for text in ("Turn it on and stand back.", "[[stop refuelling|Filled]]? Turn it on and stand back."):
        (fault,) = heard(listener, text, "customer")
        assert "tells a customer to start it" in fault.what
        assert "[[stop before-a-start]]" in fault.what_to_do


@pytest.mark.parametrize("reader", ["customer", "staff"])
def test_a_danger_is_not_played_down(listener: Listener, reader: Edition) -> None:
    """Near a danger the words count, a denial of them does not, and without a danger they are free."""
    (fault,) = heard(listener, "[[stop fuel-out|A whiff]] is nothing to worry about.", reader)
    assert "make light of it" in fault.what or "carry on" in fault.what
    assert heard(listener, "Nobody calls [[stop fuel-out|a whiff]] nothing to worry about.", reader) == []
    assert heard(listener, "A scratch on the paint is nothing to worry about.", reader) == []


def test_a_fault_names_line_words_and_rule(listener: Listener) -> None:
    """The second line of a paragraph, the words that are wrong, and what the rule says."""
    text = "[[stop moved-heater|It was moved?]]\nTurn it on again and stand back."
    (fault,) = heard(listener, text, "customer")
    assert fault.place.line == LINE + 1
    assert "“Turn it on”" in fault.what
    assert "moved-heater" in fault.what
    assert "Get everybody out of the tent" in fault.what_to_do


def test_a_heading_says_what_a_list_is_about(listener: Listener) -> None:
    """An act in a list needs no situation of its own to be against the rule of its heading."""
    head = "---\nid: p\ntitle: P\nkind: page\neditions: [customer]\n---\n## Snow on the flue\n\n"
    lesson = parse_lesson(f"{head}1. Look.\n2. Start it again.\n", "p.md", "customer", "p.md", [])
    assert lesson
    found = [fault for passage in lesson_passages(lesson) for fault in check_passage(listener, passage)]
    assert [fault.place.line for fault in found] == [10]


def test_customers_hear_no_words_of_the_trade(listener: Listener) -> None:
    """A chamber, a lockout and diverter inlets are not theirs."""
    found = heard(listener, "Fuel may be in the chamber.", "customer")
    assert [fault.what for fault in found] == ["“chamber” is a word of the trade in a text for customers"]


def test_a_key_that_is_turned_round_is_found(whole_workspace: Workspace, listener: Listener) -> None:
    """Of all keys that rules govern, made wrong in each possible way, five of six are found by their words alone."""
    tried = found = 0
    for item in whole_workspace.items.values():
        rules = governing(whole_workspace, "items", item.id)
        if not rules or not isinstance(item, Choice):
            continue
        for at, option in enumerate(item.options):
            if option.right:
                continue
            options = tuple(msgspec.structs.replace(one, right=number == at) for number, one in enumerate(item.options))
            turned = msgspec.structs.replace(item, options=options)
            govern = partial(governing, whole_workspace)
            faults = [fault for passage in item_passages(turned, govern) for fault in check_passage(listener, passage)]
            faults += [fault for rule in rules for fault in check_key(listener, turned, listener.rules[rule])]
            tried += 1
            found += bool(faults)
    assert tried > 90
    assert found >= 0.85 * tried
