"""The dipstick of a tank, as it comes out: wet up to the level of the fuel."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.item.drawing_parts import ACCENT, FUEL, INK, PAPER, Drawing, box, disc, ink, on_main, shape, text, ticks
from warmyard.item.instrument import Instrument, Scale

STICK_TOP, STICK_FOOT, STICK_LEFT, STICK_RIGHT = 46.0, 366.0, 62.0, 98.0


def sketch_dipstick(instrument: Instrument, value: float) -> Drawing:
    """Return a dipstick as it comes out of the tank: wet up to the value, which is on the main scale."""
    return 160, 390, _dipstick(instrument, value)


def _height(scale: Scale, value: float) -> float:
    return STICK_FOOT - (value - scale.low) / (scale.high - scale.low) * (STICK_FOOT - STICK_TOP)


def _dipstick(instrument: Instrument, value: float) -> Iterator[Markup]:
    wide = STICK_RIGHT - STICK_LEFT
    yield disc(80, 18, 9, fill="none", stroke=INK, stroke_width=3)
    yield box(STICK_LEFT, 28, wide, STICK_FOOT - 20, rx=3, fill=PAPER, stroke=INK, stroke_width=1.5)
    wet = _height(instrument.scale, value)
    soaked = f"M{STICK_LEFT + 1} {wet:.2f}H{STICK_RIGHT - 1}V{STICK_FOOT + 7}H{STICK_LEFT + 1}Z"
    yield shape(soaked, fill=FUEL, fill_opacity=0.55)
    yield ink(f"M{STICK_LEFT} {wet:.2f}h{wide}", INK, 2.2)
    yield from _stick_scale(instrument, instrument.scale, STICK_LEFT, -1, INK)
    if instrument.second is not None:
        yield from _stick_scale(instrument, instrument.second, STICK_RIGHT, 1, ACCENT)


def _stick_scale(instrument: Instrument, scale: Scale, x: float, way: int, colour: str) -> Iterator[Markup]:
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
