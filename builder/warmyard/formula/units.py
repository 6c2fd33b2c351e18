"""Units: a closed table of spellings over pint, and the only reader of a number with its unit.

Everything is computed in SI. A temperature point (degC) is kept in degrees Celsius and a difference in kelvin,
so that 20 degC stays 20; % is 0.01, ppm 1e-6, and dB is a base of its own. This is the only file that imports pint.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from warmyard.errors import InputError

Dimension = tuple[tuple[str, Fraction], ...]
"""Base quantities with their exponents, sorted; () is a plain number."""

# Quantity in words -> spelling -> pint's name. The first spelling is the one that examples use.
_TABLE: dict[str, dict[str, str]] = {
    "a plain number": {"1": "", "%": "percent", "ppm": "ppm"},
    "a mass ratio": {"kg/kg": "kg/kg"},
    "a temperature": {"degC": "degC", "degF": "degF"},
    "a temperature difference": {"K": "kelvin"},
    "a length": {"m": "m", "mm": "mm", "cm": "cm", "km": "km", "ft": "ft", "in": "inch"},
    "an area": {"m2": "m**2", "mm2": "mm**2", "cm2": "cm**2", "ft2": "ft**2"},
    "a volume": {"L": "L", "m3": "m**3", "mL": "mL", "US_gal": "US_liquid_gallon", "UK_gal": "imperial_gallon"},
    "a mass": {"kg": "kg", "g": "g", "mg": "mg", "t": "metric_ton", "lb": "lb"},
    "a time": {"h": "h", "min": "min", "s": "s", "day": "day"},
    "a speed": {"m/s": "m/s", "km/h": "km/h", "ft/min": "ft/min"},
    "a volume flow": {
        "m3/h": "m**3/h",
        "m3/s": "m**3/s",
        "m3/min": "m**3/min",
        "L/h": "L/h",
        "L/min": "L/min",
        "L/s": "L/s",
        "US_gal/h": "US_liquid_gallon/h",
        "UK_gal/h": "imperial_gallon/h",
        "ft3/min": "ft**3/min",
    },
    "a mass flow": {"kg/h": "kg/h", "kg/s": "kg/s", "g/s": "g/s"},
    "a density": {"kg/m3": "kg/m**3", "kg/L": "kg/L", "g/cm3": "g/cm**3"},
    "a mass in air": {"mg/m3": "mg/m**3", "g/m3": "g/m**3"},
    "a pressure": {
        "bar": "bar",
        "Pa": "Pa",
        "hPa": "hPa",
        "kPa": "kPa",
        "MPa": "MPa",
        "mbar": "mbar",
        "psi": "psi",
        "mmH2O": "mmH2O",
        "inH2O": "inH2O",
    },
    "a power": {"kW": "kW", "W": "W", "Btu/h": "Btu/h"},
    "an apparent power": {"kVA": "kV*A", "VA": "V*A"},
    "an energy": {"kWh": "kWh", "Wh": "Wh", "MJ": "MJ", "kJ": "kJ", "J": "J"},
    "a heat per mass": {"MJ/kg": "MJ/kg", "kJ/kg": "kJ/kg", "J/kg": "J/kg", "kWh/kg": "kWh/kg"},
    "a heat per volume": {"kWh/L": "kWh/L", "MJ/L": "MJ/L", "J/m3": "J/m**3"},
    "a heat capacity": {"kWh/K": "kWh/K", "Wh/K": "Wh/K", "kJ/K": "kJ/K", "J/K": "J/K"},
    "a heat loss per kelvin": {"kW/K": "kW/K", "W/K": "W/K"},
    "a heat capacity per mass": {"J/kgK": "J/kg/K", "kJ/kgK": "kJ/kg/K"},
    "a heat per air volume": {"Wh/m3K": "Wh/m**3/K", "J/m3K": "J/m**3/K"},
    "a U-value": {"W/m2K": "W/m**2/K"},
    "a thermal resistance": {"m2K/W": "m**2*K/W"},
    "a conductivity": {"W/mK": "W/m/K"},
    "a rate": {"1/h": "1/h", "1/min": "1/min", "1/s": "1/s", "1/day": "1/day"},
    "a use per day": {"h/day": "h/day"},
    "a share per length": {"1/m": "1/m", "1/mm": "1/mm", "1/km": "1/km", "%/m": "percent/m"},
    "a share per kelvin": {"1/K": "1/K", "%/K": "percent/K", "%2/K": "percent**2/K"},
    "a share per volume": {"1/L": "1/L", "1/m3": "1/m**3", "%/L": "percent/L"},
    "a molar mass": {"g/mol": "g/mol", "kg/mol": "kg/mol"},
    "a molar heat": {"J/molK": "J/mol/K"},
    "a viscosity": {"mm2/s": "mm**2/s", "m2/s": "m**2/s", "cSt": "centistokes"},
    "an acceleration": {"m/s2": "m/s**2"},
    "a force": {"N": "N", "kN": "kN", "kgf": "kgf", "lbf": "lbf"},
    "a voltage": {"V": "V", "mV": "mV", "kV": "kV"},
    "a current": {"A": "A", "mA": "mA"},
    "a resistance": {"ohm": "ohm", "kohm": "kohm", "Mohm": "Mohm", "mohm": "mohm"},
    "a resistance per length": {"ohm/km": "ohm/km", "ohm/m": "ohm/m"},
    "a volt drop per ampere and metre": {"mV/A/m": "mV/A/m"},
    "a frequency": {"Hz": "Hz"},
    "a sound level": {"dB": "wy_level"},
}
_ALSO_READ = {
    "a temperature": {"K": "kelvin"},
    "a temperature difference": {"degC": "delta_degC", "degF": "delta_degF"},
}
_SHOWN = {
    "1": "",
    "degC": "°C",
    "degF": "°F",
    "J/kgK": "J/(kg·K)",
    "kJ/kgK": "kJ/(kg·K)",
    "Wh/m3K": "Wh/(m³·K)",
    "J/m3K": "J/(m³·K)",
    "W/m2K": "W/(m²·K)",
    "m2K/W": "m²·K/W",
    "W/mK": "W/(m·K)",
    "J/molK": "J/(mol·K)",
    "mV/A/m": "mV/(A·m)",
    "mmH2O": "mmH₂O",
    "inH2O": "inH₂O",
}
_ALSO_SPELT = {
    "l": "L",
    "l/h": "L/h",
    "l/min": "L/min",
    "l/s": "L/s",
    "ml": "mL",
    "dB(A)": "dB",
    "hour": "h",
    "hours": "h",
}
_AMBIGUOUS = {
    "F": "F can mean two things; write degF for degrees Fahrenheit, or give degC",
    "C": "C can mean two things; write degC for degrees Celsius",
    "gal": "gal can mean two sizes; write US_gal or UK_gal",
    "gal/h": "gal/h can mean two sizes; write US_gal/h or UK_gal/h",
    "gph": "gph can mean two sizes; write US_gal/h or UK_gal/h",
    "deg": "deg can mean two things; write degC or degF",
}
# The same sentences serve the command line and the page: WY.units.words hands them to the browser.
_WORDS = {
    "empty": "nothing stands there; write a number and its unit, such as {example}",
    "not_a_number": "“{text}” is not a number; write one plain number and its unit, such as {example}",
    "comma": "“{text}” has a comma; write the decimals with a point and nothing between thousands, such as {fixed}",
    "too_large": "“{text}” is too large a number; write one that a person would use, such as {example}",
    "no_unit": "there is no unit {unit} here; write {example}, or another of: {units}",
    "spelling": "there is no unit {unit} here; did you mean {near}? The units for it are: {units}",
    "other_quantity": "“{text}” is {given}, but {wanted} is asked; write {example}, or another of: {units}",
}
LONGEST_INPUT = 60
_NUMBER = r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,4})?"
_QUANTITY = re.compile(rf"({_NUMBER})\s*([A-Za-z%°Ω/][^\s,*]*(?: gal(?:/h)?)?|1/[A-Za-z]+)?\Z")
_UNPRINTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")
"""Signs that would break the sentence in which an input is shown back; number.js has the same."""
_COMMA = re.compile(r"([-+]?[0-9]+),([0-9]+)\s*(\S.*)?\Z")


@dataclass(frozen=True, slots=True)
class Unit:
    """A spelling with what it means: SI value = (value - zero) * factor; a point is kept in degrees Celsius."""

    spelling: str
    quantity: str
    factor: float
    zero: float
    dimension: Dimension
    point: bool

    @property
    def shown(self) -> str:
        """The unit as a reader sees it: W/(m²·K), °C, US gal/h, nothing for a plain number."""
        return show_unit(self.spelling)


def show_unit(spelling: str) -> str:
    """Return a unit as a reader sees it, such as m³/h for m3/h."""
    if spelling in _SHOWN:
        return _SHOWN[spelling]
    if spelling.startswith("1/"):
        return spelling[1:]
    text = spelling.replace("_", " ").replace("ohm", "Ω")
    return re.sub(r"(?<=[a-z%])([23])(?![a-z0-9])", lambda found: "²" if found.group(1) == "2" else "³", text)


@lru_cache(maxsize=1)
def _pint() -> Any:
    import pint

    registry: Any = pint.UnitRegistry()
    registry.define("wy_level = [sound_level]")
    return registry


@lru_cache(maxsize=1)
def _quantities() -> dict[str, str]:
    return {spelling: quantity for quantity, units in _TABLE.items() for spelling in units}


@lru_cache(maxsize=512)
def _unit_in(spelling: str, quantity: str) -> Unit | None:
    name = {**_TABLE[quantity], **_ALSO_READ.get(quantity, {})}.get(spelling)
    if name is None:
        return None
    registry = _pint()
    if quantity == "a temperature":
        zero = round(float(registry.Quantity(0.0, "degC").to(name).magnitude), 9)
        step = float(registry.Quantity(1.0, f"delta_{name}" if name != "kelvin" else name).to("kelvin").magnitude)
        return Unit(spelling, quantity, step, zero, (("[temperature]", Fraction(1)),), True)
    base = registry.Quantity(1.0, name).to_base_units()
    parts = ((str(key), Fraction(power).limit_denominator(1000)) for key, power in base.dimensionality.items())
    return Unit(spelling, quantity, float(base.magnitude), 0.0, tuple(sorted(parts)), False)


def find_unit(spelling: str) -> Unit | None:
    """Return the unit of the closed table, or None when the table has no such spelling."""
    quantity = _quantities().get(spelling)
    return _unit_in(spelling, quantity) if quantity else None


def unit_of(spelling: str) -> Unit:
    """Return the unit of the closed table; raise InputError when it has no such spelling."""
    unit = find_unit(spelling)
    if unit is None:
        raise InputError(f"there is no unit {spelling}; use one of the table in formula/units.py, such as bar or m3/h")
    return unit


def to_si(value: float, unit: str) -> float:
    """Return a value in SI; a temperature point in degrees Celsius."""
    found = unit_of(unit)
    return (value - found.zero) * found.factor


def from_si(value: float, unit: str) -> float:
    """Return an SI value (a temperature point in degrees Celsius) in a unit."""
    found = unit_of(unit)
    return value / found.factor + found.zero


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Return a value in another unit of the same dimension; raise InputError when they do not agree."""
    if from_unit == to_unit:
        return value
    here, there = unit_of(from_unit), unit_of(to_unit)
    if here.dimension != there.dimension or here.point != there.point:
        raise InputError(f"{from_unit} cannot be turned into {to_unit}: {here.quantity} is not {there.quantity}")
    return (value - here.zero) * (here.factor / there.factor) + there.zero


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
        raise _refusal("not_a_number", text=shown, example=example)
    value = float(split[0])
    if not math.isfinite(value):
        raise _refusal("too_large", text=shown, example=example)
    return _in_wanted(value, _spelling(split[1]), wanted, shown, example) if split[1] else value


def split_quantity(text: str) -> tuple[str, str] | None:
    """Return the number and the unit of `number [space unit]` as they are written; None when no such number stands."""
    clean = text.strip()
    found = _QUANTITY.match(clean) if len(clean) <= LONGEST_INPUT else None
    return (found.group(1), found.group(2) or "") if found else None


def _in_wanted(value: float, spelling: str, wanted: Unit, text: str, example: str) -> float:
    if spelling in _AMBIGUOUS:
        raise InputError(_AMBIGUOUS[spelling])
    given = _unit_in(spelling, wanted.quantity)
    if given is not None:
        if spelling == wanted.spelling:
            return value
        return (value - given.zero) * (given.factor / wanted.factor) + wanted.zero
    units = ", ".join(_readable(wanted.quantity))
    other = _quantities().get(spelling)
    if other:
        raise _refusal("other_quantity", text=text, given=other, wanted=wanted.quantity, example=example, units=units)
    near = next((known for known in _readable(wanted.quantity) if known.lower() == spelling.lower()), None)
    if near:
        raise _refusal("spelling", unit=spelling, near=near, units=units)
    raise _refusal("no_unit", unit=spelling, example=example, units=units)


def _readable(quantity: str) -> list[str]:
    return [*_TABLE[quantity], *_ALSO_READ.get(quantity, {})]


@lru_cache(maxsize=1)
def _shown_back() -> dict[str, str]:
    return {**{show_unit(spelling): spelling for spelling in _quantities()}, **_ALSO_SPELT}


def _spelling(text: str) -> str:
    """Return the table's spelling of a unit as a reader may type it: m³/h, °C, US gal/h, l."""
    return text if text in _quantities() else _shown_back().get(text, text)


def _refusal(word: str, **parts: str) -> InputError:
    return InputError(_WORDS[word].format_map(parts))


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
        return "no finite number"
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


def describe_dimension(dimension: Dimension) -> str:
    """Return the SI unit of a dimension in the table's spelling, such as kg/m3 or W."""
    if not dimension:
        return "a plain number"
    for spelling, quantity in _quantities().items():
        unit = _unit_in(spelling, quantity)
        if unit and not unit.point and unit.factor == 1.0 and unit.dimension == dimension and spelling != "VA":
            return spelling
    return _from_base(dimension)


def si_spelling(spelling: str) -> str:
    """Return the SI unit that a unit is computed in: Pa for psi, degC for degC, 1 for %."""
    unit = unit_of(spelling)
    if unit.point:
        return "degC"
    for other in _TABLE[unit.quantity]:
        found = _unit_in(other, unit.quantity)
        if found and found.factor == 1.0:
            return other
    return describe_dimension(unit.dimension) if unit.dimension else "1"


_BASE = {
    "[mass]": "kg",
    "[length]": "m",
    "[time]": "s",
    "[temperature]": "K",
    "[current]": "A",
    "[substance]": "mol",
    "[sound_level]": "dB",
}


def _from_base(dimension: Dimension) -> str:
    above: list[str] = []
    below: list[str] = []
    for key, power in sorted(dimension, key=lambda one: list(_BASE).index(one[0])):
        size = "" if abs(power) == 1 else str(abs(power))
        (above if power > 0 else below).append(f"{_BASE[key]}{size}")
    return " ".join(above or ["1"]) + "".join(f"/{part}" for part in below)


def unit_table() -> dict[str, Any]:
    """Return everything the page needs to read and show quantities: WY.units."""
    quantities: Mapping[str, list[str]] = {quantity: _readable(quantity) for quantity in _TABLE}
    units: dict[str, Any] = {}
    for quantity, spellings in quantities.items():
        for spelling in spellings:
            unit = _unit_in(spelling, quantity)
            assert unit is not None
            units.setdefault(quantity, {})[spelling] = [unit.factor, unit.zero]
    return {
        "units": units,
        "quantityOf": _quantities(),
        "shown": {spelling: show_unit(spelling) for spelling in _quantities()},
        "spelt": _shown_back(),
        "ambiguous": _AMBIGUOUS,
        "words": _WORDS,
        "longest": LONGEST_INPUT,
    }
