"""Instruments whose mark stands along a line or an arc: the dipstick of a tank, and the sound level meter."""

from __future__ import annotations

import math
from collections.abc import Iterator

from warmyard.formula.units import plain_number, show_unit
from warmyard.item.drawing_parts import ACCENT, BAD, INK, PAPER, SOFT, Drawing, box, ink, on_main, text, ticks
from warmyard.item.instrument import Instrument, Scale

STICK_TOP, STICK_FOOT, STICK_LEFT, STICK_RIGHT = 46.0, 366.0, 62.0, 98.0
FUEL = "#8a5a12"


def draw_dipstick(instrument: Instrument, value: float) -> Drawing:
    """Return a dipstick as it comes out of the tank: wet up to the value, which is on the main scale."""
    return 160, 390, _dipstick(instrument, value)


def _height(scale: Scale, value: float) -> float:
    return STICK_FOOT - (value - scale.low) / (scale.high - scale.low) * (STICK_FOOT - STICK_TOP)


def _dipstick(instrument: Instrument, value: float) -> Iterator[str]:
    wide = STICK_RIGHT - STICK_LEFT
    yield f'<circle cx="80" cy="18" r="9" fill="none" stroke="{INK}" stroke-width="3"/>'
    yield box(STICK_LEFT, 28, wide, STICK_FOOT - 20, f'rx="3" fill="{PAPER}" stroke="{INK}" stroke-width="1.5"')
    wet = _height(instrument.scale, value)
    yield (
        f'<path d="M{STICK_LEFT + 1} {wet:.2f}H{STICK_RIGHT - 1}V{STICK_FOOT + 7}H{STICK_LEFT + 1}Z" fill="{FUEL}" '
        'fill-opacity="0.55"/>'
    )
    yield ink(f"M{STICK_LEFT} {wet:.2f}h{wide}", INK, 2.2)
    yield from _stick_scale(instrument, instrument.scale, STICK_LEFT, -1, INK)
    if instrument.second is not None:
        yield from _stick_scale(instrument, instrument.second, STICK_RIGHT, 1, ACCENT)


def _stick_scale(instrument: Instrument, scale: Scale, x: float, way: int, colour: str) -> Iterator[str]:
    strokes: dict[bool, str] = {False: "", True: ""}
    for value, figure in ticks(scale):
        y = _height(instrument.scale, on_main(instrument, value, scale))
        strokes[figure] += f"M{x:g} {y:.2f}h{way * (16 if figure else 9)}"
        if figure:
            anchor = "start" if way > 0 else "end"
            yield text(f"{x + way * 20:g}", f"{y:.2f}", 13, colour, plain_number(value), anchor=anchor)
    yield ink(strokes[False], colour, 1.1)
    yield ink(strokes[True], colour, 1.8)
    yield text(f"{x + way * 26:g}", "24", 15, colour, show_unit(scale.unit), "bold")


PIVOT_X, PIVOT_Y, ARC, LEAST, SWEEP = 140.0, 176.0, 128.0, 222.0, 96.0


def draw_sound_meter(instrument: Instrument, value: float, switch: float) -> Drawing:
    """Return a sound level meter: a pointer over an arc, and the switch whose level the pointer adds to."""
    return 280, 262, _sound_meter(instrument, value, switch)


def _on_arc(scale: Scale, value: float, radius: float) -> tuple[float, float]:
    angle = math.radians(LEAST + SWEEP * (value - scale.low) / (scale.high - scale.low))
    return PIVOT_X + radius * math.cos(angle), PIVOT_Y + radius * math.sin(angle)


def _sound_meter(instrument: Instrument, value: float, switch: float) -> Iterator[str]:
    scale = instrument.scale
    yield box(4, 4, 272, 254, f'rx="12" fill="{SOFT}" stroke="{INK}" stroke-width="2"')
    yield box(14, 14, 252, 150, f'rx="8" fill="{PAPER}" stroke="{INK}" stroke-width="1.5"')
    strokes: dict[bool, str] = {False: "", True: ""}
    for at, figure in ticks(scale):
        (x1, y1), (x2, y2) = _on_arc(scale, at, ARC), _on_arc(scale, at, ARC - (14 if figure else 8))
        strokes[figure] += f"M{x1:.2f} {y1:.2f}L{x2:.2f} {y2:.2f}"
        if figure:
            x, y = _on_arc(scale, at, ARC + 12)
            yield text(f"{x:.2f}", f"{y:.2f}", 14, INK, _signed(at))
    yield ink(strokes[False], INK, 1.2)
    yield ink(strokes[True], INK, 2.2)
    yield text("38", "146", 16, INK, show_unit(scale.unit), "bold")
    (x1, y1), (x2, y2) = _on_arc(scale, value, ARC - 3), _on_arc(scale, value, 24)
    yield ink(f"M{x2:.2f} {y2:.2f}L{x1:.2f} {y1:.2f}", BAD, 3)
    yield from _slide(instrument, switch)


def _signed(value: float) -> str:
    return ("+" if value > 0 else "") + plain_number(value).replace("-", "−")


def _slide(instrument: Instrument, switch: float) -> Iterator[str]:
    """Draw the range switch as a slide in a slot; its positions are written beneath."""
    count = len(instrument.positions)
    yield box(34, 186, 212, 16, f'rx="8" fill="{PAPER}" stroke="{INK}" stroke-width="1.5"')
    for at, position in enumerate(instrument.positions):
        x = 48 + 184 * at / (count - 1)
        chosen = position == switch
        if chosen:
            yield box(x - 9, 180, 18, 28, f'rx="4" fill="{ACCENT}" stroke="{INK}" stroke-width="1.5"')
        yield text(f"{x:g}", "224", 14, INK, plain_number(position), "bold" if chosen else "normal")
    yield text(f"{PIVOT_X:g}", "244", 12, INK, show_unit(instrument.scale.unit))
