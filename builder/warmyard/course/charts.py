"""Whether the charts of course/charts.yaml can be drawn: their formula, its symbols, and a point on every line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from warmyard.course.model import Chart
from warmyard.course.references import missing
from warmyard.course.shelf import Shelf
from warmyard.course.values import quantities
from warmyard.errors import InputError, SourceError
from warmyard.fields import offer
from warmyard.formula.model import Formula
from warmyard.formula.register import compute

SAMPLES = 81
Points = tuple[tuple[float, float | None], ...]
"""What lies across and what the formula gives there; None is a refused point."""


def check_charts(charts: Mapping[str, Chart], shelf: Shelf) -> list[SourceError]:
    """Return a fault for every chart that could not be drawn, at its line."""
    return [fault for chart in charts.values() for fault in _check(chart, shelf)]


def _check(chart: Chart, shelf: Shelf) -> Iterator[SourceError]:
    formula = shelf.register.formulas.get(chart.formula)
    if formula is None:
        yield from missing(chart.place.within("formula"), "formula", chart.formula, shelf.register.formulas)
        return
    unknown = list(_unknown_symbols(chart, formula))
    yield from unknown
    if chart.across.low >= chart.across.high:
        what = f"the chart {chart.id} runs from {chart.across.low:g} to {chart.across.high:g}"
        yield SourceError(chart.place.within("across.low"), what, "write the lower end first")
    elif not unknown:
        yield from _check_points(chart, formula, shelf)
    try:
        ceiling_of(chart, shelf)
    except SourceError as fault:
        yield fault


def _unknown_symbols(chart: Chart, formula: Formula) -> Iterator[SourceError]:
    symbols = [symbol.symbol for symbol in formula.needs]
    named = [("across.symbol", chart.across.symbol)]
    if chart.lines is not None:
        named.append(("lines.symbol", chart.lines.symbol))
    for path, symbol in named:
        if symbol not in symbols:
            what = f"the formula {formula.id} takes no {symbol}"
            yield SourceError(chart.place.within(path), what, offer(symbol, symbols))


def _check_points(chart: Chart, formula: Formula, shelf: Shelf) -> Iterator[SourceError]:
    place = chart.place.within("fixed") if chart.fixed else chart.place
    try:
        fixed = quantities(shelf, formula, chart.fixed, place)
    except SourceError as fault:
        yield fault
        return
    lines = [{chart.lines.symbol: value} for value in chart.lines.values] if chart.lines is not None else [{}]
    for line in lines:
        try:
            points_of(chart, formula, {**fixed, **line})
        except InputError as problem:
            what = f"a line of the chart {chart.id} has no point: {problem}".replace(";", ",")
            yield SourceError(place, what, "give what is missing under fixed, or move the ends of across")
            return


def ceiling_of(chart: Chart, shelf: Shelf) -> float | None:
    """Return the chart's ceiling in the unit of the upright axis, None without one; raise SourceError at its line."""
    if chart.ceiling is None:
        return None
    place = chart.place.within("ceiling.formula")
    formula = shelf.register.formulas.get(chart.ceiling.formula)
    drawn = shelf.register.formulas.get(chart.formula)
    if formula is None:
        raise next(iter(missing(place, "formula", chart.ceiling.formula, shelf.register.formulas)))
    if drawn is not None and drawn.gives.unit != formula.gives.unit:
        what = f"the ceiling of {chart.id} is in {formula.gives.unit}, its lines in {drawn.gives.unit}"
        raise SourceError(place, what, "name a formula that gives the same")
    try:
        return compute(formula, quantities(shelf, formula, chart.ceiling.fixed, chart.place.within("ceiling.fixed")))
    except InputError as problem:
        what = f"the ceiling of the chart {chart.id} has no value: {problem}".replace(";", ",")
        raise SourceError(place, what, "give what is missing under its fixed") from None


def points_of(chart: Chart, formula: Formula, inputs: Mapping[str, float]) -> Points:
    """Return the points of a line, in the units of the axes; raise the last InputError when not one is accepted."""
    step = (chart.across.high - chart.across.low) / (SAMPLES - 1)
    points: list[tuple[float, float | None]] = []
    refused: InputError | None = None
    for at in range(SAMPLES):
        across = chart.across.low + step * at
        try:
            points.append((across, compute(formula, {**inputs, chart.across.symbol: across})))
        except InputError as problem:
            points.append((across, None))
            refused = problem
    if refused is not None and all(up is None for _, up in points):
        raise refused
    return tuple(points)
