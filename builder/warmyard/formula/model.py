"""A formula as its source file states it."""

from __future__ import annotations

from typing import Literal

import msgspec

from warmyard.errors import Place

Known = Literal["read", "confirmed", "memory", "demo"]
"""How a fact is known: read in its source, confirmed by independent computation, from memory, set for the demo."""


class Symbol(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One quantity of a formula; default and range are in the unit beside them."""

    symbol: str
    unit: str
    means: str
    default: float | None = None
    range: tuple[float, float] | None = None
    signed: bool = False
    rule: str | None = None
    """Id of the country's rule that sets the default instead."""
    sheet: str | None = None
    """Field of a machine's data sheet that may fill it."""
    source: str | None = None
    """Where a default comes from: an id in course/sources.yaml."""


class Guard(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A comparison in the formula's own grammar that ends in words."""

    when: str
    say: str


class Slip(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A named wrong way to the answer: a relation in the same symbols, and what to say to whoever took it."""

    id: str
    relation: str
    say: str


class Worked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A worked value with its source; inputs as a person would type them, the result in the unit of `gives`."""

    inputs: dict[str, str | float | int]
    result: float
    within: str
    """Tolerance, such as "0.1 %" (relative) or "0.05" (absolute, in the unit of `gives`)."""
    source: str
    known: Known
    outside: bool = False
    """True when the value was not made with this formula by us."""


class Formula(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One row of the register; everything else about the formula follows from `relation`."""

    id: str
    title: str
    gives: Symbol
    needs: tuple[Symbol, ...]
    relation: str
    refuse: tuple[Guard, ...] = ()
    warn: tuple[Guard, ...] = ()
    slips: tuple[Slip, ...] = ()
    worked: tuple[Worked, ...]
    inverse_of: tuple[str, ...] = ()
    """Formulas that this one undoes; each is proved by a round trip."""
    returns: dict[str, str] = {}
    """For a round trip: a symbol of the other formula as a relation in this one's symbols and its result."""
    sense: str = ""
    """One sentence of trade sense about the result."""
    source: str
    known: Known
    lesson: str = ""
    place: Place = Place()
