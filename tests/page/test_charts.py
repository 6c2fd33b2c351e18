"""Charts of the register: marks at round numbers, no line where the formula refuses, names and units on the axes."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from warmyard.course.charts import ceiling_of
from warmyard.course.model import Across, Chart, Lines
from warmyard.course.values import quantities
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError
from warmyard.formula.model import Formula
from warmyard.formula.register import load_register
from warmyard.page.charts import axis, curves, sketch_chart

ROOT = Path(__file__).resolve().parents[2]
CHART = Chart(
    id="minutes-to-alarm",
    title="Minutes until a level of carbon monoxide",
    formula="time-to-co",
    across=Across(symbol="x", low=10, high=300, label="Level"),
    up="Time",
    lines=Lines(symbol="n", values=(0.5, 1.0), label="{value} changes"),
    describes="With more fresh air the level is reached later, or never.",
)
FIXED = {"G": 0.05, "V": 600.0}


@pytest.fixture(scope="module")
def time_to_co() -> Formula:
    """Give a formula of the register that refuses part of its range."""
    return load_register(ROOT / "course" / "formulas", ROOT, {}, only="time-to-co")[0].formulas["time-to-co"]


def test_a_line_stops_where_the_formula_refuses(time_to_co: Formula) -> None:
    """With one air change an hour the level settles at 83 ppm, so the second line has no point above it."""
    _, airy = curves(CHART, time_to_co, FIXED)
    reached = [level for level, minutes in airy.points if minutes is not None]
    assert max(reached) < 0.05 / (1.0 * 600) * 1e6
    assert len(reached) < len(airy.points)


def test_a_chart_without_a_point_is_refused(time_to_co: Formula) -> None:
    """A chart of nothing is refused with the formula's own words."""
    with pytest.raises(InputError, match="no point to draw"):
        curves(CHART, time_to_co, {"G": 1e-9, "V": 600.0})


def test_the_drawing_names_its_axes_and_its_lines(time_to_co: Formula) -> None:
    """Title, text alternative, both axes with units, and one name per line stand in the drawing."""
    svg = BeautifulSoup(sketch_chart(CHART, time_to_co, FIXED), "html.parser").svg
    assert svg is not None
    words = [text.get_text() for text in svg.find_all("text")]
    assert "Level, ppm" in words
    assert "Time, min" in words
    assert {"0.5 /h changes", "1 /h changes"} <= set(words)
    assert svg.desc is not None
    assert svg.desc.get_text() == CHART.describes


def test_every_point_lies_inside_the_drawing(time_to_co: Formula) -> None:
    """No point of a line is outside the frame."""
    svg = sketch_chart(CHART, time_to_co, FIXED)
    for stroke in re.findall(r'wy-curve-\d"(?: stroke-dasharray="[^"]*")? d="([^"h]*)"', svg):
        for x, y in re.findall(r"[ML]([\d.]+) ([\d.]+)", stroke):
            assert 74 <= float(x) <= 616
            assert 72 <= float(y) <= 366


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6), st.integers(3, 8))
def test_marks_are_round_and_inside(low: float, width: float, wanted: int) -> None:
    """The marks of any axis lie inside it, evenly, at steps of 1, 2 or 5 times a power of ten."""
    made = axis(low, low + width, wanted, snug=False)
    assert made.low <= low + 1e-6 * width
    assert made.high >= low + width - 1e-6 * width
    step = made.marks[1] - made.marks[0]
    lead = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert any(math.isclose(lead, size, rel_tol=1e-3) for size in (1, 2, 5, 10))


def test_every_chart_of_the_course_can_be_drawn(whole_workspace: Workspace) -> None:
    """Each chart in course/charts.yaml has a point on every line."""
    assert len(whole_workspace.charts) >= 6
    for chart in whole_workspace.charts.values():
        formula = whole_workspace.register.formulas[chart.formula]
        fixed = quantities(whole_workspace.shelf, formula, chart.fixed, chart.place)
        lines = len(chart.lines.values) if chart.lines else 1
        assert len(curves(chart, formula, fixed)) == lines


def test_no_curve_of_the_lesson_passes_its_ceiling(whole_workspace: Workspace) -> None:
    """The warm air is drawn as a level line over the whole chart, and every tent stays below it."""
    chart, shelf = whole_workspace.charts["temperature-against-heaters"], whole_workspace.shelf
    formula = whole_workspace.register.formulas[chart.formula]
    fixed = quantities(shelf, formula, chart.fixed, chart.place)
    *tents, warm_air = curves(chart, formula, fixed, ceiling_of(chart, shelf))
    levels = {up for _, up in warm_air.points}
    assert len(tents) == 3
    assert len(levels) == 1
    assert all(up is not None and up < min(level or 0 for level in levels) for tent in tents for _, up in tent.points)
    soup = BeautifulSoup(sketch_chart(chart, formula, fixed, ceiling_of(chart, shelf)), "html.parser")
    assert warm_air.name in soup.get_text()
    assert curves(chart, formula, fixed) == tuple(tents)
