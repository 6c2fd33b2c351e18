"""The sound level meter: a pointer over an arc, and the switch whose level it adds to."""

from __future__ import annotations

import math
from collections.abc import Iterator

from markupsafe import Markup

from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.item.drawing_parts import ACCENT, BAD, INK, PAPER, SOFT, Drawing, box, ink, text, ticks
from warmyard.item.instrument import Instrument, Scale

PIVOT_X, PIVOT_Y, ARC, LEAST, SWEEP = 140.0, 176.0, 128.0, 222.0, 96.0


def sketch_sound_meter(instrument: Instrument, value: float, switch: float) -> Drawing:
    """Return a sound level meter: a pointer over an arc, and the switch whose level the pointer adds to."""
    return 280, 262, _sound_meter(instrument, value, switch)


def _on_arc(scale: Scale, value: float, radius: float) -> tuple[float, float]:
    angle = math.radians(LEAST + SWEEP * (value - scale.low) / (scale.high - scale.low))
    return PIVOT_X + radius * math.cos(angle), PIVOT_Y + radius * math.sin(angle)


def _sound_meter(instrument: Instrument, value: float, switch: float) -> Iterator[Markup]:
    scale = instrument.scale
    yield box(4, 4, 272, 254, rx=12, fill=SOFT, stroke=INK, stroke_width=2)
    yield box(14, 14, 252, 150, rx=8, fill=PAPER, stroke=INK, stroke_width=1.5)
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


def _slide(instrument: Instrument, switch: float) -> Iterator[Markup]:
    """Draw the range switch as a slide in a slot; its positions are written beneath."""
    count = len(instrument.positions)
    yield box(34, 186, 212, 16, rx=8, fill=PAPER, stroke=INK, stroke_width=1.5)
    for at, position in enumerate(instrument.positions):
        x = 48 + 184 * at / (count - 1)
        chosen = position == switch
        if chosen:
            yield box(x - 9, 180, 18, 28, rx=4, fill=ACCENT, stroke=INK, stroke_width=1.5)
        yield text(f"{x:g}", "224", 14, INK, plain_number(position), "bold" if chosen else "normal")
    yield text(f"{PIVOT_X:g}", "244", 12, INK, show_unit(instrument.scale.unit))
