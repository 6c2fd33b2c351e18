"""Charts that cannot be drawn are faults of course/charts.yaml, before anything is built."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.course.charts import check_charts
from warmyard.course.model import Chart
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.sources import decode_list, parse_document

ROOT = Path(__file__).resolve().parents[2]
CHART = """charts:
  - id: loss
    title: Loss
    formula: flue-loss
    across: {symbol: O2, low: 2, high: 13, label: Oxygen}
    up: Loss
    lines: {symbol: t_f, values: [180, 220], label: "{value}"}
    fixed: {t_a: 10 degC}
    describes: It rises.
"""
CEILING = CHART.replace(
    "    describes",
    "    ceiling: {formula: combustion-efficiency, fixed: {q_A: 4 %}, label: at most}\n    describes",
)


@pytest.fixture(scope="module")
def real() -> Workspace:
    """Return the real course, read."""
    return read_workspace(ROOT)


def faults(text: str, workspace: Workspace) -> list[str]:
    """Return what is said of the charts of a text."""
    unread: list[object] = []
    charts = list(decode_list(parse_document(text, "course/charts.yaml"), Chart, unread, "charts"))  # type: ignore[arg-type]
    assert not unread
    return [str(fault) for fault in check_charts({chart.id: chart for chart in charts}, workspace.shelf)]


def test_the_real_charts_can_be_drawn(real: Workspace) -> None:
    """And so can the one that the mistakes below are made in."""
    assert check_charts(real.charts, real.shelf) == []
    assert faults(CHART, real) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("flue-loss", "flu-loss", "course/charts.yaml:4: there is no formula flu-loss; did you mean flue-loss?"),
        ("symbol: O2", "symbol: O3", "course/charts.yaml:5: the formula flue-loss takes no O3; did you mean O2?"),
        ("symbol: t_f", "symbol: t_g", "course/charts.yaml:7: the formula flue-loss takes no t_g"),
        ("low: 2, high: 13", "low: 13, high: 2", "course/charts.yaml:5: the chart loss runs from 13 to 2"),
        ("    fixed: {t_a: 10 degC}\n", "", "course/charts.yaml:2: a line of the chart loss has no point: t_a"),
        ("t_a: 10 degC", "t_a: 10 bar", "course/charts.yaml:8: t_a: “10 bar” is a pressure"),
        ("t_a: 10 degC", "t_a: rule no-such-rule", "course/charts.yaml:8: rule no-such-rule names nothing"),
        ("values: [180, 220]", "values: [180, -900]", "course/charts.yaml:8: a line of the chart loss has no point"),
    ],
)
def test_a_chart_that_cannot_be_drawn_is_one_fault(real: Workspace, old: str, new: str, says: str) -> None:
    """Formula, symbols, ends and fixed inputs: each at its line."""
    found = faults(CHART.replace(old, new), real)
    assert len(found) == 1
    assert found[0].startswith(says)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (
            "combustion-efficiency",
            "combustion-efficiencies",
            "there is no formula combustion-efficiencies",
        ),
        ("fixed: {q_A: 4 %}", "fixed: {}", "the ceiling of the chart loss has no value"),
        ("formula: combustion-efficiency", "formula: noise-at-distance", "the ceiling of loss is in"),
        ("q_A: 4 %", "q_A: 4 bar", "q_A: “4 bar” is a pressure"),
    ],
)
def test_a_ceiling_that_cannot_be_drawn_is_one_fault(real: Workspace, old: str, new: str, says: str) -> None:
    """Its formula, unit and inputs are looked at as the chart's own are, at its own line."""
    assert faults(CEILING, real) == []
    found = faults(CEILING.replace(old, new), real)
    assert len(found) == 1
    assert found[0].startswith("course/charts.yaml:9: ")
    assert says in found[0]
