"""Days and months of the scheme: whole days, months that end with the month."""

from __future__ import annotations

from datetime import date, timedelta

from warmyard.formula.planning import add_months

__all__ = ["add_months", "last_day"]


def last_day(start: date, months: int) -> date:
    """Return the last day of a time that starts on a day and lasts some months: the day before the same day."""
    return add_months(start, months) - timedelta(days=1)
