"""A number with its unit as people write it: the only reader of one, and how it is shown."""

from __future__ import annotations

import math
import re
from functools import lru_cache

from warmyard.errors import InputError
from warmyard.formula.unit_spellings import ALSO_SPELT, AMBIGUOUS
from warmyard.formula.units import Unit, name_quantity, quantities, show_unit, spellings_for, unit_in, unit_of
from warmyard.words import say, spoken

LONGEST_INPUT = 60
_NUMBER = r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,4})?"
_QUANTITY = re.compile(rf"({_NUMBER})\s*([A-Za-z%°Ω/][^\s,*]*(?: gal(?:/h)?)?|1/[A-Za-z]+)?\Z")
_UNPRINTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")
"""Signs that would break the sentence in which an input is shown back."""
_COMMA = re.compile(r"([-+]?[0-9]+),([0-9]+)\s*(\S.*)?\Z")


def read_quantity(text: str, unit: str) -> float:
    """Return what a person typed, `number [space unit]`, in a unit; without a unit of its own it is in that unit.

    Raises InputError whose sentence says what would be right. A unit for another quantity is refused, and so is
    kW for kVA; degrees given for a difference are a difference (36 degF is 20 K).
    """
    wanted = unit_of(unit)
    example = f"12.5 {unit}".removesuffix(" 1")
    clean = _UNPRINTED.sub(" ", text).replace("\u2212", "-").replace("\u00a0", " ").replace("\u202f", " ").strip()
    if not clean:
        raise _refusal("empty", example=example)
    shown = clean[:LONGEST_INPUT]
    comma = _COMMA.match(shown)
    if comma:
        fixed = f"{comma.group(1)}.{comma.group(2)} {comma.group(3) or ''}".strip()
        raise _refusal("comma", text=shown, fixed=fixed)
    split = split_quantity(clean)
    if split is None:
        raise _refusal("not-a-number", text=shown, example=example)
    value = float(split[0])
    if not math.isfinite(value):
        raise _refusal("too-large", text=shown, example=example)
    return _in_wanted(value, _spelling(split[1]), wanted, shown, example) if split[1] else value


def split_quantity(text: str) -> tuple[str, str] | None:
    """Return the number and the unit of `number [space unit]` as they are written; None when no such number stands."""
    clean = text.strip()
    found = _QUANTITY.match(clean) if len(clean) <= LONGEST_INPUT else None
    return (found.group(1), found.group(2) or "") if found else None


def _in_wanted(value: float, spelling: str, wanted: Unit, text: str, example: str) -> float:
    if spelling in AMBIGUOUS:
        raise InputError(say({}, f"ambiguous.{spelling}"))
    given = unit_in(spelling, wanted.quantity)
    if given is not None:
        if spelling == wanted.spelling:
            return value
        return (value - given.zero) * (given.factor / wanted.factor) + wanted.zero
    units = ", ".join(spellings_for(wanted.quantity))
    other = quantities().get(spelling)
    if other:
        given_as, asked = name_quantity(other), name_quantity(wanted.quantity)
        raise _refusal("other-quantity", text=text, given=given_as, wanted=asked, example=example, units=units)
    near = next((known for known in spellings_for(wanted.quantity) if known.lower() == spelling.lower()), None)
    if near:
        raise _refusal("spelling", unit=spelling, near=near, units=units)
    raise _refusal("no-unit", unit=spelling, example=example, units=units)


def shown_back() -> dict[str, str]:
    """Return every unit's spelling by how it is shown in the words that are spoken, or otherwise written."""
    return _spelt_as(tuple(show_unit(spelling) for spelling in quantities()))


@lru_cache(maxsize=8)
def _spelt_as(shown: tuple[str, ...]) -> dict[str, str]:
    """Return every unit's spelling by how it is shown in the words that are spoken."""
    return {**dict(zip(shown, quantities(), strict=True)), **ALSO_SPELT}


def _spelling(text: str) -> str:
    """Return the table's spelling of a unit as a reader may type it: m³/h, °C, US gal/h, l."""
    return text if text in quantities() else shown_back().get(text, text)


def _refusal(word: str, **parts: str) -> InputError:
    return InputError(spoken()[f"typed.{word}"].format_map(parts))


def show_number(value: float, decimals: int) -> str:
    """Return a number as a person writes it: fixed decimals, never -0."""
    text = f"{value:.{max(decimals, 0)}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def show(value: float, unit: str, decimals: int) -> str:
    """Return a value with its unit as a reader sees it, such as 12.5 bar, 20 °C, 10 %."""
    return f"{show_number(value, decimals)} {show_unit(unit)}".strip()


def plain_number(value: float, figures: int = 10) -> str:
    """Return a number as a person writes it: no needless digits, 1.39×10^-5 for what is very large or small."""
    if value == 0:
        return "0"
    if not math.isfinite(value):
        return say({}, "typed.none")
    if 1e-4 <= abs(value) < 1e15:
        decimals = max(0, figures - 1 - math.floor(math.log10(abs(value))))
        text = f"{value:.{decimals}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    mantissa, _, power = f"{value:.{figures - 1}e}".partition("e")
    return f"{mantissa.rstrip('0').rstrip('.')}×10^{int(power)}"


def short_number(value: float, figures: int = 5) -> str:
    """Return a number in full when it is short, else to a few significant figures."""
    full = plain_number(value)
    return full if sum(one.isdigit() for one in full) <= figures + 2 else plain_number(value, figures)
