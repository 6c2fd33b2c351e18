"""Charts of the register: a formula swept over one symbol, drawn as SVG at build time."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from warmyard.course.charts import Points, points_of
from warmyard.course.model import Chart
from warmyard.errors import InputError
from warmyard.formula.model import Formula, Symbol
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.markup import element, empty_element, joined

WIDTH, HEIGHT = 640.0, 430.0
LEFT, RIGHT, TOP, FOOT = 74.0, 24.0, 72.0, 64.0
MOST_LINES = 4
DASHES = ("", "10 5", "3 4", "12 4 3 4")
"""Lines are told apart by their dashes too, for print and for eyes that see no colour."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a chart: its name and its points in the units of the axes; None is a refused point."""

    name: str
    points: Points


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis from low to high with its marks."""

    low: float
    high: float
    marks: tuple[float, ...]

    def share(self, value: float) -> float:
        """Return where a value lies between the ends, 0 to 1."""
        return (value - self.low) / (self.high - self.low)


def curves(
    chart: Chart, formula: Formula, fixed: Mapping[str, float], ceiling: float | None = None
) -> tuple[Curve, ...]:
    """Return every line of a chart, its ceiling last; raise InputError when not one point of a line is accepted."""
    drawn = _lines(chart, formula, fixed)
    if chart.ceiling is None or ceiling is None:
        return drawn
    level = ((chart.across.low, ceiling), (chart.across.high, ceiling))
    return (*drawn[: MOST_LINES - 1], Curve(chart.ceiling.label, level))


def _lines(chart: Chart, formula: Formula, fixed: Mapping[str, float]) -> tuple[Curve, ...]:
    if chart.lines is None:
        return (Curve("", _points(chart, formula, fixed)),)
    symbol = symbol_of(formula, chart.lines.symbol)
    return tuple(
        Curve(
            chart.lines.label.replace("{value}", f"{_shown(value)} {show_unit(symbol.unit)}".strip()),
            _points(chart, formula, {**fixed, symbol.symbol: value}),
        )
        for value in chart.lines.values[:MOST_LINES]
    )


def _points(chart: Chart, formula: Formula, inputs: Mapping[str, float]) -> Points:
    try:
        return points_of(chart, formula, inputs)
    except InputError as refused:
        raise InputError(f"the chart {chart.id} has no point to draw: {refused}") from None


def symbol_of(formula: Formula, symbol: str) -> Symbol:
    """Return a symbol of a formula; raise InputError when it has none of that name."""
    for need in formula.needs:
        if need.symbol == symbol:
            return need
    raise InputError(f"{formula.id} has no symbol {symbol}")


def sketch_chart(chart: Chart, formula: Formula, fixed: Mapping[str, float], ceiling: float | None = None) -> Markup:
    """Return a chart as SVG with title, axes, units and text alternative; readable at 390 px, in print, in the dark."""
    drawn = curves(chart, formula, fixed, ceiling)
    values = [up for curve in drawn for _, up in curve.points if up is not None]
    foot, side = axis(chart.across.low, chart.across.high, 6), axis(min(0.0, *values), max(values), 5, snug=False)
    across = symbol_of(formula, chart.across.symbol)
    return element(
        "svg",
        element("title", chart.title, id=f"{chart.id}-title"),
        element("desc", chart.describes, id=f"{chart.id}-desc"),
        *_grid(foot, side),
        *(_line(curve, at, foot, side) for at, curve in enumerate(drawn)),
        _legend(drawn),
        _label(chart.across.label, across.unit, LEFT + _inner_width() / 2, HEIGHT - 12, "middle"),
        _label(chart.up, formula.gives.unit, 8, 22, "start"),
        class_="wy-chart",
        viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}",
        role="img",
        aria_labelledby=f"{chart.id}-title {chart.id}-desc",
    )


def axis(low: float, high: float, wanted: int, *, snug: bool = True) -> Axis:
    """Return an axis with about `wanted` steps of 1, 2 or 5 times a power of ten; not snug: it ends on marks."""
    if high <= low:
        high = low + (abs(low) or 1.0)
    rough = (high - low) / wanted
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(size * power for size in (1.0, 2.0, 5.0, 10.0) if size * power >= rough * 0.999)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    if not snug:
        first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
        low, high = first * step, last * step
    return Axis(low, high, tuple(round(at * step, 12) for at in range(first, last + 1)))


def _shown(value: float) -> str:
    return plain_number(value).replace("-", "\u2212")


def _inner_width() -> float:
    return WIDTH - LEFT - RIGHT


def _spot(foot: Axis, side: Axis, across: float, up: float) -> tuple[float, float]:
    return (
        LEFT + foot.share(across) * _inner_width(),
        HEIGHT - FOOT - side.share(up) * (HEIGHT - TOP - FOOT),
    )


def _grid(foot: Axis, side: Axis) -> Iterator[Markup]:
    for mark in foot.marks:
        x, y = _spot(foot, side, mark, side.low)
        yield _path("wy-grid", f"M{x:.1f} {y:.1f}V{TOP:g}")
        yield _text(_shown(mark), x, y + 24, "middle")
    for mark in side.marks:
        x, y = _spot(foot, side, foot.low, mark)
        yield _path("wy-grid", f"M{x:.1f} {y:.1f}H{WIDTH - RIGHT:g}")
        yield _text(_shown(mark), x - 8, y + 5, "end")
    x, y = _spot(foot, side, foot.low, side.low)
    yield _path("wy-axis", f"M{x:.1f} {TOP:g}V{y:.1f}H{WIDTH - RIGHT:g}")


def _path(kind: str, strokes: str, dashes: str = "") -> Markup:
    return empty_element("path", class_=kind, stroke_dasharray=dashes or None, d=strokes)


def _text(words: str, x: float, y: float, anchor: str, kind: str = "wy-mark") -> Markup:
    return element("text", words, class_=kind, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor)


def _line(curve: Curve, at: int, foot: Axis, side: Axis) -> Markup:
    return _path(f"wy-curve wy-curve-{at + 1}", "".join(_strokes(curve, foot, side)), DASHES[at])


def _strokes(curve: Curve, foot: Axis, side: Axis) -> Iterator[str]:
    pen_down = False
    for across, up in curve.points:
        if up is None:
            pen_down = False
            continue
        x, y = _spot(foot, side, across, up)
        yield f"{'L' if pen_down else 'M'}{x:.1f} {y:.1f}"
        pen_down = True


def _legend(drawn: Sequence[Curve]) -> Markup:
    if len(drawn) < 2:
        return Markup("")
    parts = []
    room = (WIDTH - 16) / len(drawn)
    for at, curve in enumerate(drawn):
        x = 8 + room * at
        parts.append(_path(f"wy-curve wy-curve-{at + 1}", f"M{x:.1f} 45h26", DASHES[at]))
        parts.append(element("text", curve.name, class_="wy-mark", x=f"{x + 32:.1f}", y=51))
    return joined(parts)


def _label(text: str, unit: str, x: float, y: float, anchor: str) -> Markup:
    return _text(f"{text}, {show_unit(unit)}" if show_unit(unit) else text, x, y, anchor, "wy-axis-label")
