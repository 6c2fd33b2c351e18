"""Drawn symbols: each gets a number from steps, a list, a machine's sheet or a country's rule."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from warmyard.errors import InputError, Place, SourceError
from warmyard.formula.quantity import plain_number, split_quantity
from warmyard.formula.units import convert, find_unit, show_unit
from warmyard.item.chance import Chance
from warmyard.item.model import Draw
from warmyard.item.surroundings import NAME, Surroundings

Found = TypeVar("Found")
MOST_STEPS = 100_000


class DrawRefused(InputError):  # noqa: N818 -- it is an answer: no sensible numbers were found
    """No draw within the bounded number of tries gave sensible numbers with its slips apart."""


def first_that_serves(attempt: Callable[[], Found | str], tries: int) -> Found:
    """Return the first attempt that serves; after many that do not raise DrawRefused with the commonest reason.

    An attempt gives what was found, or in words why its numbers do not serve.
    """
    reasons: Counter[str] = Counter()
    for _ in range(tries):
        found = attempt()
        if not isinstance(found, str):
            return found
        reasons[found] += 1
    reason, times = reasons.most_common(1)[0]
    raise DrawRefused(f"{tries} draws and none serves; in {times} of them {reason}")


@dataclass(frozen=True, slots=True)
class Drawn:
    """One symbol made ready: its unit and the values it can take; from a sheet, one value per machine."""

    symbol: str
    unit: str
    values: tuple[float, ...]
    of_machine: bool = False


@dataclass(frozen=True, slots=True)
class Match:
    """Values that fit together, and the machine whose sheet some are from (-1: none)."""

    values: Mapping[str, float]
    machine: int = -1


@dataclass(frozen=True, slots=True)
class DrawPlan:
    """All symbols of an item made ready; the machine is drawn once for all of them."""

    symbols: tuple[Drawn, ...]
    machines: tuple[str, ...]
    """Names of the machines, empty when no symbol comes from a sheet."""
    tied: tuple[tuple[Match, ...], ...] = ()
    """Symbols that are drawn together: the rows of each group (see item/tied.py)."""

    def units(self) -> dict[str, str]:
        """Return symbol -> unit."""
        return {drawn.symbol: drawn.unit for drawn in self.symbols}


def plan_draws(draws: Mapping[str, Draw], wanted: Mapping[str, str], around: Surroundings, place: Place) -> DrawPlan:
    """Return the symbols made ready; raise SourceError at the first that cannot be drawn.

    `wanted` gives the unit of a symbol that names none: the formula's.
    """
    symbols = tuple(
        _drawn(symbol, draw, wanted, around, place.within(f"draw.{symbol}")) for symbol, draw in draws.items()
    )
    machines: tuple[str, ...] = ()
    if any(drawn.of_machine for drawn in symbols):
        machines = tuple(values.get(NAME, machine) for machine, values in around.sheet_values.items())
    return DrawPlan(symbols, machines)


def _drawn(symbol: str, draw: Draw, wanted: Mapping[str, str], around: Surroundings, place: Place) -> Drawn:
    if draw.sheet is not None:
        return _from_sheets(symbol, draw, wanted, around, place)
    if draw.rule is not None:
        if draw.rule not in around.rule_values:
            raise SourceError(place, f"no rule {draw.rule} is a number", "name a rule of the country that is a number")
        value, unit, _ = around.rule_values[draw.rule]
        own = draw.unit or wanted.get(symbol) or unit or "1"
        return Drawn(symbol, own, (_converted(value, unit or "1", own, place),))
    unit = draw.unit or wanted.get(symbol, "1")
    if find_unit(unit) is None:
        raise SourceError(place, f"there is no unit {unit}", "use a unit of the table in formula/unit_spellings.py")
    if draw.among:
        return Drawn(symbol, unit, tuple(draw.among))
    return Drawn(symbol, unit, _steps(draw, place))


def _steps(draw: Draw, place: Place) -> tuple[float, ...]:
    if draw.low is None or draw.high is None or draw.step is None:
        raise SourceError(place, "the draw has no numbers", "give low, high and step; or among, sheet or rule")
    if draw.low > draw.high:
        what = f"the draw runs from low {plain_number(draw.low)} up to high {plain_number(draw.high)}"
        raise SourceError(place, what, "swap the two")
    count = math.floor((draw.high - draw.low) / draw.step + 1e-9) + 1 if draw.step > 0 else 0
    if not 1 <= count <= MOST_STEPS:
        raise SourceError(place, f"low, high and step give {max(count, 0)} numbers", f"choose 1 to {MOST_STEPS} steps")
    return tuple(round(draw.low + at * draw.step, 9) for at in range(count))


def _from_sheets(symbol: str, draw: Draw, wanted: Mapping[str, str], around: Surroundings, place: Place) -> Drawn:
    unit = draw.unit or wanted.get(symbol, "")
    values = []
    for machine, fields in around.sheet_values.items():
        found = split_quantity(fields.get(draw.sheet or "", ""))
        if found is None:
            what = f"the sheet of {machine} has no number in {draw.sheet}"
            raise SourceError(place, what, "name a field of every machine's sheet")
        number, own = found[0], found[1] or "1"
        unit = unit or own
        values.append(_converted(float(number), own, unit, place))
    if not values:
        raise SourceError(place, "there is no machine with a sheet", "write one in site_config/fleet/")
    return Drawn(symbol, unit, tuple(values), of_machine=True)


def _converted(value: float, unit: str, wanted: str, place: Place) -> float:
    try:
        return round(convert(value, unit, wanted), 9)
    except InputError as problem:
        raise SourceError(place, str(problem).replace(";", ","), f"give it in {wanted}") from None


def draw_values(plan: DrawPlan, chance: Chance) -> tuple[str, dict[str, float]]:
    """Return the machine's name (or nothing) and symbol -> value in the symbol's unit."""
    values: dict[str, float] = {}
    machine = -1
    for rows in plan.tied:
        row = rows[chance.below(len(rows))]
        values.update(row.values)
        machine = max(machine, row.machine)
    if machine < 0:
        machine = chance.below(len(plan.machines)) if plan.machines else 0
    for drawn in plan.symbols:
        if drawn.symbol not in values:
            kept = drawn.values
            values[drawn.symbol] = kept[machine] if drawn.of_machine else kept[chance.below(len(kept))]
    return plan.machines[machine] if plan.machines else "", values


def shown_values(plan: DrawPlan, machine: str, values: Mapping[str, float]) -> dict[str, str]:
    """Return what a question's {symbol} stands for: "12.5 bar", with {machine} the machine's name."""
    shown = {drawn.symbol: _shown(values[drawn.symbol], drawn.unit) for drawn in plan.symbols}
    return {**shown, "machine": machine} if machine else shown


def _shown(value: float, unit: str) -> str:
    text = f"{plain_number(value)} {show_unit(unit)}".strip()
    return text.replace("-", "−", 1) if value < 0 else text


_HOLDER = re.compile(r"\{([A-Za-z_][A-Za-z0-9_]*)\}")


_HALF = re.compile(r"\{([A-Za-z_][A-Za-z0-9_]*)(?![A-Za-z0-9_}])")


def holders(text: str) -> list[str]:
    """Return the names in braces of a question's text."""
    return _HOLDER.findall(text)


def half_holders(text: str) -> list[str]:
    """Return the names behind a brace that is never closed."""
    return _HALF.findall(text)


def put_in(text: str, shown: Mapping[str, str]) -> str:
    """Return a text with {symbol} replaced; a name that is not known stays as it is written."""
    return _HOLDER.sub(lambda found: shown.get(found.group(1), found.group(0)), text)
