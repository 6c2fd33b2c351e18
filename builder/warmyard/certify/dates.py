"""Days and months of the scheme: whole days, months that end with the month."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta


def add_months(day: date, months: int) -> date:
    """Return the same day of a later (or earlier) month, or that month's last day; years stay between 1 and 9999."""
    at = day.year * 12 + day.month - 1 + months
    year, month = min(max(at // 12, 1), 9999), at % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def last_day(start: date, months: int) -> date:
    """Return the last day of a time that starts on a day and lasts some months: the day before the same day."""
    return add_months(start, months) - timedelta(days=1)
