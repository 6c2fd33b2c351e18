"""Instruments that show digits: the printed strip of a flue-gas analyser, and the display of a clamp meter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from markupsafe import Markup

from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.item.drawing_parts import ACCENT, INK, PAPER, SOFT, Drawing, box, disc, ink, shape, text
from warmyard.item.instrument import Instrument, StripLine
from warmyard.item.standing import display_text

STRIP_WIDTH, LINE_HEIGHT, STRIP_HEAD = 260, 30, 18


def sketch_strip(lines: tuple[StripLine, ...], values: Mapping[str, float]) -> Drawing:
    """Return a paper strip with a torn edge: labels to the left, numbers and units to the right."""
    return STRIP_WIDTH, STRIP_HEAD * 2 + LINE_HEIGHT * len(lines), _strip(lines, values)


def _strip(lines: tuple[StripLine, ...], values: Mapping[str, float]) -> Iterator[Markup]:
    bottom = STRIP_HEAD * 2 + LINE_HEIGHT * len(lines) - 8
    teeth = "".join(f"l-6 {6 if at % 2 == 0 else -6}" for at in range(40))
    edge = f"M10 4H250V{bottom}{teeth}Z"
    yield shape(edge, fill=PAPER, stroke=INK, stroke_width=1.5, stroke_linejoin="round")
    for at, line in enumerate(lines):
        y = f"{STRIP_HEAD + LINE_HEIGHT * (at + 0.5):g}"
        yield text("22", y, 14, INK, line.label, anchor="start")
        number = f"{values[line.id]:.{line.decimals}f}".replace("-", "−")
        yield text("198", y, 15, INK, number, "bold", "end")
        yield text("204", y, 14, INK, show_unit(line.unit), anchor="start")
    rules = "".join(f"M22 {STRIP_HEAD + LINE_HEIGHT * at}h216" for at in range(1, len(lines)))
    yield ink(rules, SOFT, 1)


# Segments of a digit, from the top clockwise and the middle one last, as strokes in a box of 10 by 18.
_SEGMENTS = ("M1.6 0H8.4", "M10 1.6V7.4", "M10 10.6V16.4", "M1.6 18H8.4", "M0 10.6V16.4", "M0 1.6V7.4", "M1.6 9H8.4")
_LIT = {
    "0": "012345",
    "1": "12",
    "2": "01346",
    "3": "01236",
    "4": "1256",
    "5": "02356",
    "6": "023456",
    "7": "012",
    "8": "0123456",
    "9": "012356",
}
METER_WIDTH, METER_HEIGHT = 220, 322


def sketch_clamp_meter(instrument: Instrument, value: float, switch: float) -> Drawing:
    """Return a clamp round one conductor, its display of four places and its range switch."""
    return METER_WIDTH, METER_HEIGHT, _clamp_meter(instrument, value, switch)


def _clamp_meter(instrument: Instrument, value: float, switch: float) -> Iterator[Markup]:
    for colour, width in ((INK, 15), (SOFT, 11)):
        bow = "M66 118C20 20 200 20 154 118"
        yield shape(bow, fill="none", stroke=colour, stroke_width=width, stroke_linecap="round")
    yield ink("M110 40V53", INK, 2)
    yield disc(110, 84, 11, fill=ACCENT, stroke=INK, stroke_width=2)
    yield box(40, 112, 140, 204, rx=16, fill=SOFT, stroke=INK, stroke_width=2)
    yield box(52, 126, 116, 58, rx=6, fill=PAPER, stroke=INK, stroke_width=1.5)
    yield from _digits(display_text(value, switch), 62, 137)
    yield text("157", "176", 12, INK, show_unit(instrument.scale.unit), "bold")
    yield from _switch(instrument, switch)


def _digits(shown: str, x: float, y: float) -> Iterator[Markup]:
    size, advance = 1.75, 25.5
    for character in shown:
        if character == ".":
            yield disc(f"{x - 5.6:g}", f"{y + 18 * size:g}", 2.4, fill=INK)
            continue
        path = "".join(_SEGMENTS[int(segment)] for segment in _LIT[character])
        put = f"translate({x:g} {y:g}) scale({size * 0.8:g} {size:g})"
        yield shape(path, transform=put, fill="none", stroke=INK, stroke_width=2, stroke_linecap="round")
        x += advance


def _switch(instrument: Instrument, switch: float) -> Iterator[Markup]:
    count = len(instrument.positions)
    step = 84.0 / (count - 1)
    yield disc(110, 240, 26, fill=PAPER, stroke=INK, stroke_width=2)
    for at, position in enumerate(instrument.positions):
        x, y = 68 + step * at, 296.0 if 0 < at < count - 1 else 280.0
        weight = "bold" if position == switch else "normal"
        yield text(f"{x:g}", f"{y:g}", 13, INK, plain_number(position), weight)
        if position == switch:
            dx, dy = x - 110, y - 240
            length = (dx * dx + dy * dy) ** 0.5
            yield ink(f"M110 240L{110 + dx / length * 24:.1f} {240 + dy / length * 24:.1f}", INK, 6)
