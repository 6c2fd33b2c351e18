"""A fault case as its source states it."""

from __future__ import annotations

from warmyard.item.model import Item


class FaultCase(Item, frozen=True, kw_only=True, tag="fault-case"):
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
