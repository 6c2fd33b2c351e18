"""Items as files of quizbank/ state them, frozen by version.

Version 1 is a file that names no format: every file before formats had names. Version 2 names itself, `format: 2`.
"""

from __future__ import annotations

from typing import Any, Literal, TypeAlias, get_args, get_type_hints

import msgspec

from warmyard.formats.parts import bring_up_part, named_by
from warmyard.formats.register import Format, Plain


class Common1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag_field="kind"):
    """What every item names."""

    id: str
    skill: str
    """Id in course/skills.yaml, which gives duty and task."""
    criticality: Literal[1, 2, 3]
    use: Literal["practice", "exam"]
    demand: Literal["recall", "apply", "judge"]
    ask: str
    """The question; {symbol} puts a drawn number in, [[...]] an inline as in lessons."""
    editions: tuple[Literal["staff", "customer"], ...] = ("staff",)
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


class Option1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One answer to choose; `why` is the reason it is right, or the mistake it stands for."""

    id: str
    text: str
    why: str
    right: bool = False


class Choice1(Common1, frozen=True, kw_only=True, tag="choice"):
    """Choose one, or several."""

    options: tuple[Option1, ...]
    several: bool = False


class Draw1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a symbol gets its number: steps between two bounds, a list, a machine's sheet, or a country's rule."""

    unit: str = ""
    low: float | None = None
    high: float | None = None
    step: float | None = None
    among: tuple[float, ...] = ()
    sheet: str | None = None
    """Field of a machine's data sheet; the machine is drawn."""
    rule: str | None = None


class Link1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One step of a chain: a formula, and where its symbols come from (a drawn symbol or an earlier link)."""

    let: str
    formula: str
    takes: dict[str, str] = {}
    """Formula symbol -> drawn symbol or earlier `let`; a symbol left out has its own name."""
    shown_as: str = ""
    decimals: int | None = None


class ItemSlip1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A named wrong way. `relation` is in the item's drawn symbols; `link` says at which link it is made."""

    id: str
    relation: str
    say: str
    link: str | None = None


class Answer1(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How the answer is written and how near a response must come."""

    unit: str
    decimals: int
    within: str = "1 %"
    """Relative ("2 %") or absolute in the unit ("0.5")."""


class Numeric1(Common1, frozen=True, kw_only=True, tag="numeric"):
    """A number to compute: one formula of the register, or a chain of them.

    With `formula` alone the chain is that one formula. Slips of the formula in the register count too.
    """

    draw: dict[str, Draw1]
    answer: Answer1
    formula: str | None = None
    chain: tuple[Link1, ...] = ()
    slips: tuple[ItemSlip1, ...] = ()
    keep: str | None = None
    """Condition in the formula grammar that a draw must meet to give a sensible number."""
    verdicts: dict[str, str] = {}
    """Verdict id -> condition in drawn symbols and `answer`; asked as a second choice when given."""
    verdict_texts: dict[str, str] = {}
    verdict_why: dict[str, str] = {}
    """Verdict id -> why it is not the right one when it is chosen wrongly."""


class Ordering1(Common1, frozen=True, kw_only=True, tag="ordering"):
    """Put the steps of a procedure into a valid order; the procedure's partial order marks it."""

    procedure: str
    steps: tuple[str, ...] = ()
    """Steps to show; empty means all."""


class FaultCase1(Common1, frozen=True, kw_only=True, tag="fault-case"):
    """Find the cause: checks chosen one by one from the machine model."""

    symptom: str
    mode: str
    contexts: tuple[str, ...] = ()
    behind: str | None = None
    """Id of the mode behind the cause; the candidate is asked for it."""
    level: int = 3
    """Level of the person who goes; checks above it cannot be chosen by them."""
    starts_at: str
    """Precondition that holds when the call comes in."""
    trap: str = ""
    forbidden: dict[str, str] = {}
    """Checks that are a critical fail in this case whatever the ladder says, each with why."""
    as_said: str = ""
    """The caller's words, where they are not the symptom's own."""
    seen: dict[str, str] = {}
    """Check id -> outcome id where this case differs from the mode's usual ones."""


class PicturePoint1(Common1, frozen=True, kw_only=True, tag="picture-point"):
    """Point at a part of a drawing; the points are named in the drawing's own file."""

    picture: str
    right: tuple[str, ...]
    points: tuple[str, ...] = ()
    """Points to offer; empty means all of the drawing."""
    why: dict[str, str] = {}
    """Point id -> the mistake it stands for."""


class Reading1(Common1, frozen=True, kw_only=True, tag="reading"):
    """Read an instrument drawn from a computed value."""

    instrument: str
    """Id in course/pictures/instruments.yaml: range, divisions, unit, look."""
    draw: dict[str, Draw1]
    value: str
    """Relation in the drawn symbols, in the instrument's unit."""
    line: str = ""
    """The line of a strip in which `value` stands."""
    lines: dict[str, str] = {}
    """What else it shows, as relations in the drawn symbols: other lines of a strip, or where the `switch` stands."""
    asked: str | None = None
    """Relation of the answer where it is not what the instrument shows; it may name `reading`."""
    answer: Answer1
    slips: tuple[ItemSlip1, ...] = ()


Item1: TypeAlias = Choice1 | Numeric1 | Ordering1 | FaultCase1 | PicturePoint1 | Reading1


class ItemFile1(msgspec.Struct, frozen=True, kw_only=True):
    """A file that names no format; what else stood in such a file was never looked at."""

    items: tuple[Item1, ...]


class ItemFile2(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A file that names its format; nothing else may stand in it."""

    format: Literal[2]
    items: tuple[Item1, ...]


def _to_2(file: Plain) -> Plain:
    return {"format": 2, **file}


ITEMS = Format(name="items", title="this file of items", shapes={1: ItemFile1, 2: ItemFile2}, upgrades={1: _to_2})


def kinds_in(version: int) -> frozenset[str]:
    """Return the kinds of item that a version of the format holds."""
    one = get_type_hints(ITEMS.shapes[version])["items"]
    return frozenset(str(kind.__struct_config__.tag) for kind in get_args(get_args(one)[0]))


def bring_up_file(version: int, file: Plain) -> Plain:
    """Return a file of items brought up, its items left out: they are read one by one, so that each has its faults."""
    return bring_up_part(ITEMS, version, {**file, "items": []})


def bring_up_item(version: int, item: Any) -> Plain:
    """Return one item brought up; an upgrade sees it as the only one of its file."""
    return bring_up_part(ITEMS, version, {**named_by(version), "items": [item]}, "items", 0)
