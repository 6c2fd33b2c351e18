"""Where an instrument stands, in words: figures, divisions, digits and blades, from which the reader works it out."""

from __future__ import annotations

import math
from collections.abc import Mapping

from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.item.drawing_parts import scale_in
from warmyard.item.instrument import Instrument, Scale
from warmyard.words import say

SWITCH = "switch"
"""The name under which a reading says where the range switch stands."""
DIGITS_SHOWN = 4
PERCENT_OF_A_SHADE = 10.0


def tell_standing(instrument: Instrument, value: float, unit: str, also: Mapping[str, float]) -> str:
    """Return the sentence of the text alternative that says where it stands, never the reading itself."""
    scale = scale_in(instrument, unit)
    match instrument.look:
        case "analyser-strip":
            return _tell_strip(instrument, also)
        case "clamp-meter":
            digits = display_text(value, also[SWITCH])
            spelt = " ".join(digits.replace(".", ""))
            behind = str(len(digits.partition(".")[2]))
            return say({}, "reading.display", digits=spelt, behind=behind, switch=_with_unit(also[SWITCH], scale))
        case "smoke-card":
            back = plain_number(100 - PERCENT_OF_A_SHADE * value)
            return say({}, "reading.smoke", percent=back, shade=plain_number(PERCENT_OF_A_SHADE))
        case "feeler-gauge":
            count = round((value - scale.low) / scale.division) + 1
            first, step = _with_unit(scale.low, scale), _with_unit(scale.division, scale)
            return say({}, "reading.blades", first=first, step=step, count=str(count))
        case "manometer":
            side = say({}, "reading.left_low" if value >= 0 else "reading.left_high")
            return _between_figures("reading.levels", scale, 0.0, abs(value) / 2, side)
        case "dipstick":
            return _between_figures("reading.wet", scale, scale.low, value)
        case "sound-meter":
            switch = say({}, "reading.switch", switch=_with_unit(also[SWITCH], scale))
            return f"{_between_figures('reading.pointer', scale, scale.low, value)} {switch}"
    return _between_figures("reading.pointer", scale, scale.low, value)


def display_text(value: float, range_: float) -> str:
    """Return what a display of four places shows: the larger the range, the fewer places behind the point."""
    behind = max(DIGITS_SHOWN - len(str(int(range_))), 0)
    return f"{value:.{behind}f}".zfill(DIGITS_SHOWN + (1 if behind else 0))


def _tell_strip(instrument: Instrument, also: Mapping[str, float]) -> str:
    labels = "; ".join(line.label for line in instrument.lines)
    numbers = "; ".join(f"{also[line.id]:.{line.decimals}f}" for line in instrument.lines)
    units = "; ".join(show_unit(line.unit) for line in instrument.lines)
    return say({}, "reading.strip", labels=labels, numbers=numbers, units=units)


def _between_figures(word: str, scale: Scale, start: float, shown: float, side: str = "") -> str:
    """Say where the mark stands between figures; the reader still has to work the value out."""
    first = math.ceil(start / scale.figures - 1e-9) * scale.figures
    figure = first + math.floor((shown - first) / scale.figures + 1e-9) * scale.figures
    parts = {
        "figure": plain_number(figure),
        "divisions": plain_number(round((shown - figure) / scale.division, 1)),
        "between": plain_number(scale.figures / scale.division),
    }
    return say({}, word, unit=show_unit(scale.unit), side=side, **parts)


def _with_unit(value: float, scale: Scale) -> str:
    return f"{plain_number(value)} {show_unit(scale.unit)}".strip()
