"""Instruments that are read by comparing: the card of smoke shades, and the blades of a feeler gauge."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.item.drawing_parts import ACCENT, CARD, CARD_INK, INK, PAPER, SOFT, Drawing, box, disc, ink, shape, text
from warmyard.item.instrument import Scale

IN_A_ROW, PATCH, GAP = 5, 48, 6


def grey_of(shade: float) -> str:
    """Return the screen colour of a shade: each sends back a tenth less of the light than the one before.

    Ten steps of reflected light are those of ASTM D2156; the way from light to screen value is that of IEC 61966-2-1.
    """
    light = max(1.0 - shade / 10.0, 0.0)
    screen = 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    return f"#{round(255 * screen):02x}" + f"{round(255 * screen):02x}" * 2


def sketch_smoke_card(scale: Scale, value: float) -> Drawing:
    """Return the card of shades, each with a hole through which the spot on the paper behind is seen."""
    return 290, 246, _smoke_card(scale, value)


def _smoke_card(scale: Scale, value: float) -> Iterator[Markup]:
    spot = grey_of(value)
    yield box(3, 3, 284, 146, rx=6, fill=CARD, stroke=INK, stroke_width=1.5)
    for at in range(round((scale.high - scale.low) / scale.division) + 1):
        shade = scale.low + at * scale.division
        x, y = 13 + at % IN_A_ROW * (PATCH + GAP), 11 + at // IN_A_ROW * (PATCH + 22)
        yield box(x, y, PATCH, PATCH, fill=grey_of(shade), stroke=CARD_INK, stroke_width=0.5)
        yield disc(f"{x + PATCH / 2:g}", f"{y + PATCH / 2:g}", 13, fill=spot)
        yield text(f"{x + PATCH / 2:g}", f"{y + PATCH + 9}", 13, CARD_INK, plain_number(shade), "bold")
    yield box(30, 162, 230, 76, fill=CARD, stroke=INK, stroke_width=1)
    yield disc(145, 200, 30, fill=spot)


ROW, TIPS_AT, STOPS_AT, THROUGH_TO, PER_MM = 31.0, 214.0, 203.0, 252.0, 3.3


def sketch_feeler_gauge(scale: Scale, value: float) -> Drawing:
    """Return one row for each blade, tried between the electrode tips: through, or stopped at them.

    The gap lies between the value, which is the thickest blade that goes in, and the next blade.
    """
    count = round((scale.high - scale.low) / scale.division) + 1
    return 270, round(ROW * count) + 34, _feeler_gauge(scale, value, count)


def _feeler_gauge(scale: Scale, value: float, count: int) -> Iterator[Markup]:
    yield box(3, 3, 264, ROW * count + 26, rx=8, fill=PAPER, stroke=INK, stroke_width=1.5)
    yield text("34", "17", 12, INK, show_unit(scale.unit), "bold")
    gap = (value + 0.4 * scale.division) * PER_MM
    for at in range(count):
        thickness = scale.low + at * scale.division
        middle = 26 + ROW * (at + 0.5)
        end = THROUGH_TO if thickness <= value + 1e-9 else STOPS_AT
        half = thickness * PER_MM / 2
        yield text("34", f"{middle:g}", 14, INK, plain_number(round(thickness, 9)), "bold")
        yield box(60, middle - half, end - 60, 2 * half, fill=SOFT, stroke=INK, stroke_width=1)
        for way in (-1, 1):
            y = middle + way * gap / 2
            tip = f"M{TIPS_AT} {y:.2f}l-4 {way * 4}v{way * 2}h8v{-way * 2}Z"
            yield shape(tip, fill=ACCENT, stroke=INK, stroke_width=0.6)
    yield ink("".join(f"M14 {26 + ROW * at:g}h242" for at in range(1, count)), SOFT, 1)
