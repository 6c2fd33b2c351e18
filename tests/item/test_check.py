"""Faults of items are found where they stand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from warmyard.errors import SourceError
from warmyard.item.check import check_items
from warmyard.item.kind_table import ITEM
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.kept import Book
from warmyard.sources import decode_list, parse_document

SOUND = """
- kind: choice
  id: first-thing
  skill: s
  criticality: 3
  use: exam
  demand: judge
  ask: What comes first?
  options:
    - {id: a, text: People go out, why: They breathe it., right: true}
    - {id: b, text: I look at the meter, why: Later.}
    - {id: c, text: I call the office, why: Later still.}
- kind: fault-case
  id: no-flame
  skill: s
  criticality: 2
  use: practice
  demand: judge
  ask: Find out why.
  symptom: spark-no-flame
  mode: tank-empty
  starts_at: by-phone
- kind: picture-point
  id: see-fuel
  skill: s
  criticality: 1
  use: practice
  demand: recall
  ask: Where do you see the fuel?
  picture: filter
  right: [bowl]
"""


def read(text: str) -> list[Item]:
    """Return items from YAML as quizbank files hold them."""
    faults: list[SourceError] = []
    items: list[Any] = list(decode_list(parse_document(text, "quizbank/x.yaml"), ITEM, faults))
    assert not faults, faults
    return items


def test_sound_items_have_no_fault(around: Surroundings) -> None:
    """Three items of different kinds pass, each drawn fifty times or once where nothing is drawn."""
    assert check_items(read(SOUND), around) == []


OF_THE_FLEET = """
- kind: numeric
  id: heaters-for-a-tent
  skill: s
  criticality: 1
  use: practice
  demand: apply
  ask: "{P} and {machine} of {P_1}: how many?"
  formula: heaters
  draw:
    P: {low: 100, high: 190, step: 10, unit: kW}
    P_1: {sheet: output}
  answer: {unit: "1", decimals: 0, within: "0"}
"""


def test_a_machine_may_be_renamed_without_a_new_proof(around: Surroundings) -> None:
    """What a machine is called makes no draw sound or unsound; what it gives may."""
    items, book = read(OF_THE_FLEET), Book()
    proved: list[str] = []
    keep = book.put
    book.put = lambda key, made: (proved.append(key), keep(key, made))[1]  # type: ignore[method-assign]

    def proves_anew(field: str, text: str) -> bool:
        before = len(proved)
        machine, values = next(iter(around.sheet_values.items()))
        sheets = {**around.sheet_values, machine: {**values, field: text}}
        assert check_items(items, replace(around, sheet_values=sheets, prepared={}), book=book) == []
        return len(proved) > before

    assert proves_anew("name", "Hare 45")
    assert not proves_anew("name", "Otter 45")
    assert proves_anew("output", "41 kW")


@pytest.mark.parametrize(
    ("old", "new", "line", "what"),
    [
        (", right: true", "", 9, "0 options are right"),
        (
            "{id: b, text: I look at the meter, why: Later.}",
            "{id: b, text: I look at the meter, why: ''}",
            11,
            "no why",
        ),
        ("id: c, text", "id: b, text", 9, "2 options of their own"),
        ("text: People go out", f"text: {'People go out and stay out ' * 3}", 10, "gives itself away by its length"),
        ("  ask: What comes first?", "  enemies: [ghost]\n  ask: What comes first?", 8, "the enemy ghost is no item"),
        ("symptom: spark-no-flame", "symptom: no-spark", 20, "there is no symptom no-spark"),
        ("mode: tank-empty", "mode: tank-full", 21, "there is no failure mode tank-full"),
        ("starts_at: by-phone", "starts_at: asleep", 22, "there is no precondition asleep"),
        ("right: [bowl]", "right: [cup]", 31, "there is no point in filter: cup"),
        ("picture: filter", "picture: tank", 30, "there is no picture tank"),
        ("right: [bowl]", "right: [bowl, head]", 31, "right and offered points do not fit"),
    ],
)
def test_a_fault_stands_at_its_line(around: Surroundings, old: str, new: str, line: int, what: str) -> None:
    """A fault put into one line is reported with that file and line, in words."""
    assert old in SOUND
    faults = check_items(read(SOUND.replace(old, new, 1)), around)
    assert [(fault.place.file, fault.place.line) for fault in faults if what in fault.what] == [
        ("quizbank/x.yaml", line)
    ]


def test_a_label_that_names_the_asked_part_is_a_fault(around: Surroundings) -> None:
    """A text in the drawing that names the right part, without the class that leaves it out, is found."""
    from dataclasses import replace

    facts = around.pictures["filter"]
    told = replace(facts, svg=facts.svg.replace(' class="wy-label"', ""))
    faults = check_items(read(SOUND), replace(around, pictures={"filter": told}))
    assert ["the drawing writes Bowl beside the part that is asked" in fault.what for fault in faults] == [True]


def test_an_emergency_is_never_a_puzzle(around: Surroundings) -> None:
    """A fault case on a symptom with an emergency procedure is refused."""
    machine = around.machine
    assert machine is not None
    urgent = [symptom.id for symptom in machine.symptoms.values() if symptom.emergency]
    assert urgent
    faults = check_items(read(SOUND.replace("spark-no-flame", urgent[0])), around)
    assert "is an emergency, never a puzzle" in " ".join(fault.what for fault in faults)
