"""What the source of an item states whatever its kind; each kind has its own struct beside its rules, in kinds/."""

from __future__ import annotations

from typing import Literal

import msgspec

from warmyard.errors import Place

Use = Literal["practice", "exam"]
Demand = Literal["recall", "apply", "judge"]
Edition = Literal["staff", "customer"]
Way = Literal["knowledge", "picture", "sum", "order", "case", "observed"]
"""How a task is best assessed; `observed` needs a station, each other one a kind of item that shows it."""


class Item(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag_field="kind"):
    """What every item names."""

    id: str
    skill: str
    """Id in course/skills.yaml, which gives duty and task."""
    criticality: Literal[1, 2, 3]
    use: Use
    demand: Demand
    ask: str
    """The question; {symbol} puts a drawn number in, [[...]] an inline as in lessons."""
    editions: tuple[Edition, ...] = ("staff",)
    critical: bool = False
    """True when a wrong answer is never made up for by right ones elsewhere."""
    enemies: tuple[str, ...] = ()
    """Items that never stand in one paper with this one."""
    minutes: float = 1.5
    expected_percent: int | None = None
    """Share of just-able candidates who are expected to answer right, 0 to 100: the mean of a panel's ratings."""
    sense: str = ""
    """One sentence of trade sense shown after the answer."""
    source: str | None = None
    place: Place = Place()


class Draw(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a symbol gets its number: steps between two bounds, a list, a machine's sheet, or a country's rule."""

    unit: str = ""
    low: float | None = None
    high: float | None = None
    step: float | None = None
    among: tuple[float, ...] = ()
    sheet: str | None = None
    """Field of a machine's data sheet; the machine is drawn."""
    rule: str | None = None


class ItemSlip(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A named wrong way. `relation` is in the item's drawn symbols; `link` says at which link it is made."""

    id: str
    relation: str
    say: str
    link: str | None = None


class Answer(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How the answer is written and how near a response must come."""

    unit: str
    decimals: int
    within: str = "1 %"
    """Relative ("2 %") or absolute in the unit ("0.5")."""
