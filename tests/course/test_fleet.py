"""Data sheets: every value a number with a known unit, shown as a reader writes it."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from warmyard.course.fleet import check_sheets, shown_value, timed_by_first
from warmyard.course.model import Sheet, SheetField
from warmyard.course.sheet_fields import check_values
from warmyard.course.workspace import Workspace
from warmyard.machine.load import load_machine


def sheet(id: str, **values: str) -> Sheet:
    """Return a machine's sheet with these values."""
    return Sheet(id=id, name=id.title(), serial="1", supply="230 V", fuel="gas oil", values=values)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("4000 m3/h", "4000 m³/h"),
        ("4000m3/h", "4000 m³/h"),
        ("1.50 US_gal/h", "1.50 US gal/h"),
        ("20 degC", "20 °C"),
        ("3", "3"),
        ("gas oil", "gas oil"),
        ("230 V, 50 Hz", "230 V, 50 Hz"),
        ("5 parsec", "5 parsec"),
    ],
)
def test_a_value_is_shown_with_its_digits_and_its_unit(text: str, shown: str) -> None:
    """The digits stay as they are written; words and units of no table stay whole."""
    assert shown_value(text) == shown


@pytest.mark.parametrize("text", ["sixty", "12,5 L", "5 parsec", "1e999 L", "12 L and more", ""])
def test_a_value_that_is_no_number_with_a_known_unit_is_a_fault(text: str) -> None:
    """A word, a comma, an unknown unit, no finite number, two things at once, nothing."""
    (fault,) = check_values(sheet("hare", tank=text))
    assert f"tank of hare is {text!r}" in str(fault)


def test_sheets_are_looked_at_together() -> None:
    """A wrong value and a field that one machine lacks stand in one list."""
    sheets = {"hare": sheet("hare", tank="65 L", fan="sixty"), "stoat": sheet("stoat", tank="105 L")}
    assert [fault.what for fault in check_sheets(sheets)] == [
        "fan of hare is 'sixty', no number with a known unit",
        "the sheet of stoat lacks fan",
    ]


MASS = SheetField(unit="kg", low=10, high=3000)


@pytest.mark.parametrize(
    ("text", "what", "what_to_do"),
    [
        ("64 t", "64 t, that is 64000 kg, which cannot be", "10 to 3000 kg can be"),
        ("-64 kg", "-64 kg, which cannot be", "10 to 3000 kg can be"),
        ("64", "64, without its unit", "write mass: 64 kg"),
        ("64 L", "64 L, and this field is given in kg", "compare number and unit"),
        ("64 kgs", "'64 kgs', no number with a known unit", 'write it as "64 kg"'),
    ],
)
def test_a_value_that_its_field_cannot_have_is_a_fault(text: str, what: str, what_to_do: str) -> None:
    """Too large, below nothing, no unit, another quantity, no such unit: one fault, which says what would be right."""
    (fault,) = check_values(sheet("hare", mass=text), {"mass": MASS})
    assert fault.what == f"mass of hare is {what}"
    assert what_to_do in fault.what_to_do


@pytest.mark.parametrize("text", ["64 kg", "64000 g", "0.064 t", "10 kg", "3000 kg"])
def test_any_unit_of_the_quantity_will_do(text: str) -> None:
    """The ends of the range belong to it."""
    assert check_values(sheet("hare", mass=text), {"mass": MASS}) == []


def test_every_field_of_our_sheets_has_a_unit_and_a_range(whole_workspace: Workspace) -> None:
    """None is described that no sheet has, and none is left out."""
    written = {field for sheet in whole_workspace.sheets.values() for field in sheet.values}
    assert whole_workspace.sheet_fields.keys() == written


def test_what_a_machine_is_called_is_no_part_of_the_model(workspace_root: Path) -> None:
    """Renamed, the first sheet gives the very same model, so that no call is drawn again; other times another."""
    machine, faults = load_machine(workspace_root / "course" / "machine", workspace_root)
    assert not faults
    field = "purge-time"
    first = timed_by_first(machine, {"hare": sheet("hare", **{field: "12 s"})})
    renamed = msgspec.structs.replace(sheet("hare", **{field: "12 s"}), name="Otter 45")
    assert timed_by_first(machine, {"hare": renamed}) is first
    assert timed_by_first(machine, {"hare": sheet("hare", **{field: "31 s"})}) != first
