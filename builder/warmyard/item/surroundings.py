"""What an item needs from the other sources to become a variant: plain facts, without the course's own types."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from warmyard.formula.register import Register
from warmyard.item.instrument import Instrument
from warmyard.machine.model import Machine

NAME = "name"
"""The field of a sheet that holds what the machine is called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderFacts:
    """A procedure: its steps, what comes before what and why, and the reversals that fail at once."""

    id: str
    title: str
    steps: Mapping[str, str]
    """Step id -> what to do."""
    before: tuple[tuple[str, str, str], ...]
    """First step, later step, why."""
    fails: tuple[tuple[str, str, str], ...] = ()
    """Step that must not come first, the step that must precede it, why."""
    reference: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureFacts:
    """A drawing with named points; the SVG has an element with the id of each point."""

    id: str
    title: str
    describes: str
    points: Mapping[str, str]
    """Point id -> its name."""
    does: Mapping[str, str] = field(default_factory=dict)
    """Point id -> what the part does, where the drawing says so."""
    where: Mapping[str, str] = field(default_factory=dict)
    """Point id -> where it lies in the drawing, in words that do not name it: what a reader hears who cannot see it."""
    svg: str


def _as_written(text: str) -> str:
    return text


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """The sources around an item. Sheet values are texts with their unit, rule values are (number, unit, source)."""

    register: Register = field(default_factory=lambda: Register(MappingProxyType({})))
    machine: Machine | None = None
    orders: Mapping[str, OrderFacts] = field(default_factory=dict)
    """Procedure id -> its order."""
    pictures: Mapping[str, PictureFacts] = field(default_factory=dict)
    sheet_values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """Machine id -> field -> "45 kW"; the field `name` is the machine's name."""
    rule_values: Mapping[str, tuple[float, str, str]] = field(default_factory=dict)
    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    inline: Callable[[str], str] = _as_written
    """Turns a text with `[[...]]` in it into plain text."""
    prepared: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)
    """What was made ready for an item once, by item id; lives and dies with these surroundings."""
