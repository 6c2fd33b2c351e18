"""Instruments as original SVG, drawn at a value; the text alternative tells where the pointer stands, not the value."""

from __future__ import annotations

import math
from collections.abc import Iterator
from html import escape

from warmyard.formula.units import convert, plain_number, show_unit
from warmyard.item.instrument import Instrument, Scale
from warmyard.item.words import say

INK = "var(--wy-ink, #1b1f24)"
PAPER = "var(--wy-paper, #ffffff)"
SOFT = "var(--wy-soft, #e7ebef)"
ACCENT = "var(--wy-accent, #0b5cad)"
BAD = "var(--wy-bad, #b3261e)"
START_DEGREES, SWEEP_DEGREES = 135.0, 270.0
CENTRE, RADIUS = 130.0, 122.0


def draw_instrument(instrument: Instrument, value: float, unit: str) -> str:
    """Return the instrument as inline SVG; value is in `unit`, one of the instrument's scales."""
    scale = scale_in(instrument, unit)
    on_main = value if scale is instrument.scale else convert(value, unit, instrument.scale.unit)
    alternative = f"{instrument.describes} {_position(instrument, scale, value)}"
    if instrument.look == "manometer":
        return _framed(150, 312, alternative, "".join(_manometer(instrument.scale, on_main)))
    return _framed(260, 260, alternative, "".join(_dial(instrument, on_main)))


def scale_in(instrument: Instrument, unit: str) -> Scale:
    """Return the scale that shows a unit."""
    if instrument.second is not None and instrument.second.unit == unit:
        return instrument.second
    return instrument.scale


def _framed(width: int, height: int, alternative: str, body: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" class="wy-instrument" role="img" '
        f'aria-label="{escape(" ".join(alternative.split()))}" font-family="sans-serif">{body}</svg>'
    )


def _position(instrument: Instrument, scale: Scale, value: float) -> str:
    """Say where the pointer or the levels stand between figures; the reader still has to work the value out."""
    of_limb = instrument.look == "manometer"
    shown = abs(value) / 2 if of_limb else value
    start = 0.0 if of_limb else scale.low
    figure = start + math.floor((shown - start) / scale.figures + 1e-9) * scale.figures
    divisions = round((shown - figure) / scale.division, 1)
    word = "reading.levels" if of_limb else "reading.pointer"
    between = plain_number(scale.figures / scale.division)
    parts = {"figure": plain_number(figure), "divisions": plain_number(divisions), "between": between}
    side = say({}, "reading.left_low" if value >= 0 else "reading.left_high") if of_limb else ""
    return say({}, word, unit=show_unit(scale.unit), side=side, **parts)


def _at(degrees: float, radius: float) -> tuple[str, str]:
    angle = math.radians(degrees)
    return f"{CENTRE + radius * math.cos(angle):.2f}", f"{CENTRE + radius * math.sin(angle):.2f}"


def _degrees(scale: Scale, value: float) -> float:
    return START_DEGREES + SWEEP_DEGREES * (value - scale.low) / (scale.high - scale.low)


def _ticks(scale: Scale) -> Iterator[tuple[float, bool]]:
    count = round((scale.high - scale.low) / scale.division)
    every = round(scale.figures / scale.division)
    first = round(scale.low / scale.division)
    for at in range(count + 1):
        yield round(scale.low + at * scale.division, 9), (first + at) % every == 0


def _stroke(inner: float, outer: float, degrees: float) -> str:
    (x1, y1), (x2, y2) = _at(degrees, inner), _at(degrees, outer)
    return f"M{x1} {y1}L{x2} {y2}"


def _ink(path: str, colour: str, width: float) -> str:
    """Return many strokes as one path: half the bytes of as many lines."""
    return f'<path d="{path}" stroke="{colour}" stroke-width="{width}" fill="none"/>' if path else ""


def _text(x: str, y: str, size: float, colour: str, text: str, weight: str = "normal") -> str:
    return (
        f'<text x="{x}" y="{y}" font-size="{size}" font-weight="{weight}" fill="{colour}" text-anchor="middle" '
        f'dominant-baseline="central">{escape(text)}</text>'
    )


def _dial(instrument: Instrument, value: float) -> Iterator[str]:
    thermometer = instrument.look == "dial-thermometer"
    centre = f'cx="{CENTRE}" cy="{CENTRE}"'
    yield f'<circle {centre} r="{RADIUS}" fill="{SOFT}" stroke="{INK}" stroke-width="3"/>'
    yield f'<circle {centre} r="{RADIUS - 9}" fill="{PAPER}" stroke="{INK}" stroke-width="1"/>'
    yield from _scale_marks(instrument.scale, outer=RADIUS - 14, colour=INK, size=15)
    yield _text(str(CENTRE), f"{CENTRE + 46:.0f}", 17, INK, show_unit(instrument.scale.unit), "bold")
    if instrument.second is not None:
        yield from _second_marks(instrument.scale, instrument.second)
        yield _text(str(CENTRE), f"{CENTRE + 66:.0f}", 13, ACCENT, show_unit(instrument.second.unit), "bold")
    if thermometer:
        yield f'<rect x="{CENTRE - 9}" y="{CENTRE + 78}" width="18" height="30" fill="{SOFT}" stroke="{INK}"/>'
    yield from _pointer(_degrees(instrument.scale, value))


def _scale_marks(scale: Scale, *, outer: float, colour: str, size: float) -> Iterator[str]:
    marks = [(_degrees(scale, value), value, figure) for value, figure in _ticks(scale)]
    yield _ink("".join(_stroke(outer - 8, outer, degrees) for degrees, _, figure in marks if not figure), colour, 1.2)
    yield _ink("".join(_stroke(outer - 14, outer, degrees) for degrees, _, figure in marks if figure), colour, 2.2)
    for degrees, value, figure in marks:
        if figure:
            yield _figure(degrees, outer - 17, size, colour, value)


def _figure(degrees: float, outer: float, size: float, colour: str, value: float) -> str:
    """Return a figure that ends at the outer radius, however wide it is written."""
    text = plain_number(value).replace("-", "−")
    angle = math.radians(degrees)
    half = abs(math.cos(angle)) * 0.29 * size * len(text) + abs(math.sin(angle)) * 0.42 * size
    return _text(*_at(degrees, outer - half), size, colour, text)


def _second_marks(main: Scale, second: Scale) -> Iterator[str]:
    """Draw the inner scale where its values lie on the main one: both are read by one pointer."""
    radius = 66.0
    marks = []
    for value, figure in _ticks(second):
        at_main = convert(value, second.unit, main.unit)
        if main.low - 1e-9 <= at_main <= main.high + 1e-9:
            marks.append((_degrees(main, at_main), value, figure))
    yield _ink("".join(_stroke(radius - 4, radius, at) for at, _, figure in marks if not figure), ACCENT, 1)
    yield _ink("".join(_stroke(radius - 8, radius, at) for at, _, figure in marks if figure), ACCENT, 1.6)
    for degrees, value, figure in marks:
        if figure:
            yield _figure(degrees, radius - 10, 10.5, ACCENT, value)


def _pointer(degrees: float) -> Iterator[str]:
    (tip_x, tip_y), (tail_x, tail_y) = _at(degrees, RADIUS - 24), _at(degrees + 180, 24)
    (left_x, left_y), (right_x, right_y) = _at(degrees + 90, 4), _at(degrees - 90, 4)
    yield (
        f'<path d="M{tip_x} {tip_y}L{left_x} {left_y}L{tail_x} {tail_y}L{right_x} {right_y}Z" fill="{BAD}" '
        f'stroke="{BAD}" stroke-width="1" stroke-linejoin="round"/>'
    )
    yield f'<circle cx="{CENTRE}" cy="{CENTRE}" r="8" fill="{INK}"/>'


LEFT, RIGHT, MIDDLE, ZERO, REACH, BORE = 40.0, 110.0, 75.0, 130.0, 105.0, 16.0
"""Manometer: middle of each limb, of the scale, height of zero, half the scale's height, width of the bore."""


def _manometer(scale: Scale, value: float) -> Iterator[str]:
    """Draw a U-tube: pressure on the left limb lowers it by half the value and lifts the right one by as much."""
    half = max(abs(scale.low), abs(scale.high)) / 2
    shift = value / 2 / half * REACH
    left, right = ZERO + shift, ZERO - shift
    bottom = ZERO + REACH + 18
    yield f'<rect x="8" y="6" width="134" height="300" rx="10" fill="{PAPER}" stroke="{INK}" stroke-width="2"/>'
    bend = (RIGHT - LEFT) / 2
    yield (
        f'<path d="M{LEFT} {left:.2f}V{bottom}A{bend} {bend * 0.6:.1f} 0 0 0 {RIGHT} {bottom}V{right:.2f}" fill="none" '
        f'stroke="{ACCENT}" stroke-width="{BORE - 4}" stroke-opacity="0.75"/>'
    )
    for way in (-1, 1):
        outer, inner = bend + way * BORE / 2, (bend + way * BORE / 2) * 0.6
        x1, x2 = MIDDLE - outer, MIDDLE + outer
        yield (
            f'<path d="M{x1} 14V{bottom}A{outer} {inner + (2 if way > 0 else 0):.1f} 0 0 0 {x2} {bottom}V14" '
            f'fill="none" stroke="{INK}" stroke-width="1.6"/>'
        )
    for x, y in ((LEFT, left), (RIGHT, right)):
        yield f'<line x1="{x - 6}" y1="{y:.2f}" x2="{x + 6}" y2="{y:.2f}" stroke="{INK}" stroke-width="2"/>'
    yield from _limb_scale(scale, half)
    yield _text(str(MIDDLE), "293", 12, INK, show_unit(scale.unit), "bold")


def _limb_scale(scale: Scale, half: float) -> Iterator[str]:
    count, every = round(half / scale.division), round(scale.figures / scale.division)
    strokes: dict[bool, str] = {False: "", True: ""}
    for at in range(-count, count + 1):
        y = ZERO - at * scale.division / half * REACH
        figure = at % every == 0
        for x, way in ((LEFT + BORE / 2 + 1, 1), (RIGHT - BORE / 2 - 1, -1)):
            strokes[figure] += f"M{x} {y:.2f}h{way * (9 if figure else 5)}"
        if figure:
            yield _text(str(MIDDLE), f"{y:.2f}", 11, INK, plain_number(abs(at) * scale.division))
    yield _ink(strokes[False], INK, 0.8)
    yield _ink(strokes[True], INK, 1.4)
