"""What every drawn instrument is made of: colours, frame, strokes, texts, and the marks of a scale."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from warmyard.formula.units import convert, unit_of
from warmyard.item.instrument import Instrument, Scale
from warmyard.markup import element, empty_element, joined

INK = "var(--wy-ink)"
PAPER = "var(--wy-paper)"
SOFT = "var(--wy-soft)"
ACCENT = "var(--wy-accent)"
BAD = "var(--wy-bad)"
FUEL = "var(--wy-fuel)"
CARD, CARD_INK = "var(--wy-dial)", "var(--wy-on-dial)"
"""Card and paper are printed things: white and their greys stay what they are in the dark."""
Drawing = tuple[int, int, Iterator[Markup]]
"""Width, height and the parts in between."""


def framed(width: int, height: int, alternative: str, parts: Iterator[Markup]) -> Markup:
    """Return a drawing with its text alternative."""
    return element(
        "svg",
        joined(parts),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width} {height}",
        class_="wy-instrument",
        role="img",
        aria_label=" ".join(alternative.split()),
        font_family="sans-serif",
    )


def ink(path: str, colour: str, width: float) -> Markup:
    """Return many strokes as one path: half the bytes of as many lines."""
    if not path:
        return Markup("")
    return empty_element("path", d=path, stroke=colour, stroke_width=width, fill="none")


def text(
    x: str, y: str, size: float, colour: str, words: str, weight: str = "normal", anchor: str = "middle"
) -> Markup:
    """Return words whose middle height is at y."""
    return element(
        "text",
        words,
        x=x,
        y=y,
        font_size=size,
        font_weight=weight,
        fill=colour,
        text_anchor=anchor,
        dominant_baseline="central",
    )


def box(x: float, y: float, width: float, height: float, **style: str | float) -> Markup:
    """Return a rectangle; style is the rest of its attributes."""
    return empty_element("rect", x=f"{x:g}", y=f"{y:g}", width=f"{width:g}", height=f"{height:g}", **style)


def disc(x: float | str, y: float | str, radius: float, **style: str | float) -> Markup:
    """Return a circle; style is the rest of its attributes."""
    return empty_element("circle", cx=x, cy=y, r=radius, **style)


def shape(path: str, **style: str | float) -> Markup:
    """Return one path; style is the rest of its attributes."""
    return empty_element("path", d=path, **style)


def ticks(scale: Scale) -> Iterator[tuple[float, bool]]:
    """Yield every mark of a scale, and whether a figure stands at it."""
    count = round((scale.high - scale.low) / scale.division)
    every = round(scale.figures / scale.division)
    first = round(scale.low / scale.division)
    for at in range(count + 1):
        yield round(scale.low + at * scale.division, 9), (first + at) % every == 0


def scale_in(instrument: Instrument, unit: str) -> Scale:
    """Return the scale that shows a unit."""
    if instrument.second is not None and instrument.second.unit == unit:
        return instrument.second
    return instrument.scale


def on_main(instrument: Instrument, value: float, scale: Scale) -> float:
    """Return where a value of one of the scales lies on the main one; other quantities run from end to end."""
    main = instrument.scale
    if scale is main:
        return value
    if unit_of(scale.unit).dimension == unit_of(main.unit).dimension:
        return convert(value, scale.unit, main.unit)
    return main.low + (value - scale.low) / (scale.high - scale.low) * (main.high - main.low)
