"""A numeric item as its source states it."""

from __future__ import annotations

import msgspec

from warmyard.item.model import Answer, Draw, Item, ItemSlip


class Link(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One step of a chain: a formula, and where its symbols come from (a drawn symbol or an earlier link)."""

    let: str
    formula: str
    takes: dict[str, str] = {}
    """Formula symbol -> drawn symbol or earlier `let`; a symbol left out has its own name."""
    shown_as: str = ""
    decimals: int | None = None


class Numeric(Item, frozen=True, kw_only=True, tag="numeric"):
    """A number to compute: one formula of the register, or a chain of them.

    With `formula` alone the chain is that one formula. Slips of the formula in the register count too.
    """

    draw: dict[str, Draw]
    answer: Answer
    formula: str | None = None
    chain: tuple[Link, ...] = ()
    slips: tuple[ItemSlip, ...] = ()
    keep: str | None = None
    """Condition in the formula grammar that a draw must meet to give a sensible number."""
    verdicts: dict[str, str] = {}
    """Verdict id -> condition in drawn symbols and `answer`; asked as a second choice when given."""
    verdict_texts: dict[str, str] = {}
    verdict_why: dict[str, str] = {}
    """Verdict id -> why it is not the right one when it is chosen wrongly."""
