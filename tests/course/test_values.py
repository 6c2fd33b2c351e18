"""What an inline stands for: a line of a table is shown with its unit, its source, and how it is known."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.course.grammar import Inline
from warmyard.course.shelf import Shelf
from warmyard.course.values import input_text, meaning
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.formula.quantity import read_quantity

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def course(whole_workspace: Workspace) -> Shelf:
    """Give what the texts of this checkout may take."""
    return whole_workspace.shelf


def table(name: str) -> Inline:
    """Return the inline of a line of a table."""
    return Inline("table", name, "", (), f"[[table {name}]]", Place("page.md", 7))


def test_a_line_of_a_table_has_its_unit_and_its_own_mark(course: Shelf) -> None:
    """The line's own mark goes before the table's, and the unit stands with the figure."""
    low, wall = meaning(course, table("single-skin-u low")), meaning(course, table("single-skin-u wall"))
    assert (low.text, low.known) == ("4.4 W/(m²·K)", "read")
    assert (wall.text, wall.known, wall.source) == ("5.9 W/(m²·K)", "confirmed", "iso-6946")


def test_the_wall_of_a_single_skin_is_that_of_its_two_air_films(course: Shelf) -> None:
    """ISO 6946: 0.13 inside and 0.04 outside for a wall, 0.10 and 0.04 for a roof."""
    for name, inside in (("wall", 0.13), ("roof", 0.10)):
        text = input_text(course, f"table single-skin-u {name}", Place("page.md", 1))
        assert read_quantity(text, "W/m2K") == pytest.approx(1 / (inside + 0.04), abs=0.05)


def test_a_figure_of_a_table_can_be_put_into_a_formula(course: Shelf) -> None:
    """What a table gives is read back in the unit of the symbol."""
    text = input_text(course, "table cord-volt-drop 2.5", Place("page.md", 1))
    assert read_quantity(text, "mV/A/m") == 19


@pytest.mark.parametrize("name", ["single-skin-u door", "single-skin low", "cord-volt-drop"])
def test_a_line_that_is_not_there_is_named_with_the_nearest(course: Shelf, name: str) -> None:
    """A table or a line that does not exist is a fault with file and line."""
    with pytest.raises(SourceError, match=r"page\.md:7: .* names nothing"):
        meaning(course, table(name))
