"""How an entry is refused its place."""

from __future__ import annotations

from datetime import date
from typing import NoReturn

from warmyard.errors import VerificationError


def refuse(what: str) -> NoReturn:
    """Raise VerificationError: an entry may not stand at this place."""
    raise VerificationError("place", what)


def is_day(text: str) -> bool:
    """Say whether a text of the shape of a day is one of the calendar."""
    try:
        return bool(date.fromisoformat(text))
    except ValueError:
        return False
