"""Instruments as original SVG, drawn at a value; the text alternative tells where the pointer stands, not the value."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from types import MappingProxyType

from markupsafe import Markup

from warmyard.formula.quantity import plain_number
from warmyard.formula.units import convert, show_unit
from warmyard.item.dipstick import sketch_dipstick
from warmyard.item.display import sketch_clamp_meter, sketch_strip
from warmyard.item.drawing_parts import (
    ACCENT,
    BAD,
    INK,
    PAPER,
    SOFT,
    box,
    disc,
    framed,
    ink,
    on_main,
    scale_in,
    shape,
    text,
    ticks,
)
from warmyard.item.gauge_card import sketch_feeler_gauge, sketch_smoke_card
from warmyard.item.instrument import Instrument, Scale
from warmyard.item.sound_meter import sketch_sound_meter
from warmyard.item.standing import SWITCH, tell_standing
from warmyard.markup import empty_element

START_DEGREES, SWEEP_DEGREES = 135.0, 270.0
CENTRE, RADIUS = 130.0, 122.0


def sketch_instrument(
    instrument: Instrument, value: float, unit: str, also: Mapping[str, float] = MappingProxyType({})
) -> Markup:
    """Return the instrument as inline SVG; value is in `unit`, `also` holds a strip's lines or the switch."""
    shown = on_main(instrument, value, scale_in(instrument, unit))
    match instrument.look:
        case "manometer":
            width, height, parts = 150, 312, _manometer(instrument.scale, shown)
        case "analyser-strip":
            width, height, parts = sketch_strip(instrument.lines, also)
        case "clamp-meter":
            width, height, parts = sketch_clamp_meter(instrument, value, also[SWITCH])
        case "smoke-card":
            width, height, parts = sketch_smoke_card(instrument.scale, value)
        case "feeler-gauge":
            width, height, parts = sketch_feeler_gauge(instrument.scale, value)
        case "dipstick":
            width, height, parts = sketch_dipstick(instrument, shown)
        case "sound-meter":
            width, height, parts = sketch_sound_meter(instrument, value, also[SWITCH])
        case _:
            width, height, parts = 260, 260, _dial(instrument, shown)
    alternative = f"{instrument.describes} {tell_standing(instrument, value, unit, also)}"
    return framed(width, height, alternative, parts)


def _at(degrees: float, radius: float) -> tuple[str, str]:
    angle = math.radians(degrees)
    return f"{CENTRE + radius * math.cos(angle):.2f}", f"{CENTRE + radius * math.sin(angle):.2f}"


def _degrees(scale: Scale, value: float) -> float:
    return START_DEGREES + SWEEP_DEGREES * (value - scale.low) / (scale.high - scale.low)


def _stroke(inner: float, outer: float, degrees: float) -> str:
    (x1, y1), (x2, y2) = _at(degrees, inner), _at(degrees, outer)
    return f"M{x1} {y1}L{x2} {y2}"


def _dial(instrument: Instrument, value: float) -> Iterator[Markup]:
    thermometer = instrument.look == "dial-thermometer"
    yield disc(CENTRE, CENTRE, RADIUS, fill=SOFT, stroke=INK, stroke_width=3)
    yield disc(CENTRE, CENTRE, RADIUS - 9, fill=PAPER, stroke=INK, stroke_width=1)
    yield from _scale_marks(instrument.scale, outer=RADIUS - 14, colour=INK, size=15)
    yield text(str(CENTRE), f"{CENTRE + 46:.0f}", 17, INK, show_unit(instrument.scale.unit), "bold")
    if instrument.second is not None:
        yield from _second_marks(instrument.scale, instrument.second)
        yield text(str(CENTRE), f"{CENTRE + 66:.0f}", 13, ACCENT, show_unit(instrument.second.unit), "bold")
    if thermometer:
        yield empty_element("rect", x=CENTRE - 9, y=CENTRE + 78, width=18, height=30, fill=SOFT, stroke=INK)
    yield from _pointer(_degrees(instrument.scale, value))


def _scale_marks(scale: Scale, *, outer: float, colour: str, size: float) -> Iterator[Markup]:
    marks = [(_degrees(scale, value), value, figure) for value, figure in ticks(scale)]
    yield ink("".join(_stroke(outer - 8, outer, degrees) for degrees, _, figure in marks if not figure), colour, 1.2)
    yield ink("".join(_stroke(outer - 14, outer, degrees) for degrees, _, figure in marks if figure), colour, 2.2)
    for degrees, value, figure in marks:
        if figure:
            yield _figure(degrees, outer - 17, size, colour, value)


def _figure(degrees: float, outer: float, size: float, colour: str, value: float) -> Markup:
    """Return a figure that ends at the outer radius, however wide it is written."""
    words = plain_number(value).replace("-", "−")
    angle = math.radians(degrees)
    half = abs(math.cos(angle)) * 0.29 * size * len(words) + abs(math.sin(angle)) * 0.42 * size
    return text(*_at(degrees, outer - half), size, colour, words)


def _second_marks(main: Scale, second: Scale) -> Iterator[Markup]:
    """Draw the inner scale where its values lie on the main one: both are read by one pointer."""
    radius = 66.0
    marks = []
    for value, figure in ticks(second):
        at_main = convert(value, second.unit, main.unit)
        if main.low - 1e-9 <= at_main <= main.high + 1e-9:
            marks.append((_degrees(main, at_main), value, figure))
    yield ink("".join(_stroke(radius - 4, radius, at) for at, _, figure in marks if not figure), ACCENT, 1)
    yield ink("".join(_stroke(radius - 8, radius, at) for at, _, figure in marks if figure), ACCENT, 1.6)
    for degrees, value, figure in marks:
        if figure:
            yield _figure(degrees, radius - 10, 10.5, ACCENT, value)


def _pointer(degrees: float) -> Iterator[Markup]:
    (tip_x, tip_y), (tail_x, tail_y) = _at(degrees, RADIUS - 24), _at(degrees + 180, 24)
    (left_x, left_y), (right_x, right_y) = _at(degrees + 90, 4), _at(degrees - 90, 4)
    needle = f"M{tip_x} {tip_y}L{left_x} {left_y}L{tail_x} {tail_y}L{right_x} {right_y}Z"
    yield shape(needle, fill=BAD, stroke=BAD, stroke_width=1, stroke_linejoin="round")
    yield disc(CENTRE, CENTRE, 8, fill=INK)


LEFT, RIGHT, MIDDLE, ZERO, REACH, BORE = 40.0, 110.0, 75.0, 130.0, 105.0, 16.0
"""Manometer: middle of each limb, of the scale, height of zero, half the scale's height, width of the bore."""


def _manometer(scale: Scale, value: float) -> Iterator[Markup]:
    """Draw a U-tube: pressure on the left limb lowers it by half the value and lifts the right one by as much."""
    half = max(abs(scale.low), abs(scale.high)) / 2
    shift = value / 2 / half * REACH
    left, right = ZERO + shift, ZERO - shift
    bottom = ZERO + REACH + 18
    yield box(8, 6, 134, 300, rx=10, fill=PAPER, stroke=INK, stroke_width=2)
    bend = (RIGHT - LEFT) / 2
    water = f"M{LEFT} {left:.2f}V{bottom}A{bend} {bend * 0.6:.1f} 0 0 0 {RIGHT} {bottom}V{right:.2f}"
    yield shape(water, fill="none", stroke=ACCENT, stroke_width=BORE - 4, stroke_opacity=0.75)
    for way in (-1, 1):
        outer, inner = bend + way * BORE / 2, (bend + way * BORE / 2) * 0.6
        x1, x2 = MIDDLE - outer, MIDDLE + outer
        glass = f"M{x1} 14V{bottom}A{outer} {inner + (2 if way > 0 else 0):.1f} 0 0 0 {x2} {bottom}V14"
        yield shape(glass, fill="none", stroke=INK, stroke_width=1.6)
    for x, y in ((LEFT, left), (RIGHT, right)):
        height = f"{y:.2f}"
        yield empty_element("line", x1=x - 6, y1=height, x2=x + 6, y2=height, stroke=INK, stroke_width=2)
    yield from _limb_scale(scale, half)
    yield text(str(MIDDLE), "293", 12, INK, show_unit(scale.unit), "bold")


def _limb_scale(scale: Scale, half: float) -> Iterator[Markup]:
    count, every = round(half / scale.division), round(scale.figures / scale.division)
    strokes: dict[bool, str] = {False: "", True: ""}
    for at in range(-count, count + 1):
        y = ZERO - at * scale.division / half * REACH
        figure = at % every == 0
        for x, way in ((LEFT + BORE / 2 + 1, 1), (RIGHT - BORE / 2 - 1, -1)):
            strokes[figure] += f"M{x} {y:.2f}h{way * (9 if figure else 5)}"
        if figure:
            yield text(str(MIDDLE), f"{y:.2f}", 11, INK, plain_number(abs(at) * scale.division))
    yield ink(strokes[False], INK, 0.8)
    yield ink(strokes[True], INK, 1.4)
