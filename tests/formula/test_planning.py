"""When a service is due, and in which order to check."""

from __future__ import annotations

from datetime import date
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from warmyard.errors import InputError
from warmyard.formula.planning import expected_minutes, months_after, order_checks, plan, service_due


@pytest.mark.parametrize(
    ("last", "hours", "months", "used", "per_day", "read_on", "due", "by"),
    [
        ("2025-10-01", 500, 12, 0, 10, None, "2025-11-20", "hours"),
        ("2025-10-01", 400, 12, 270, 9, "2025-10-31", "2025-11-14", "hours"),
        ("2024-02-29", 5000, 12, 0, 1, None, "2025-02-28", "calendar"),
        ("2024-01-31", 5000, 1, 0, 1, None, "2024-02-29", "calendar"),
        ("2025-10-01", 500, 12, 0, 0, None, "2026-10-01", "calendar"),
        ("2025-10-01", 500, 12, 600, 10, "2025-12-01", "2025-12-01", "hours"),
    ],
)
def test_service_due(
    last: str, hours: float, months: int, used: float, per_day: float, read_on: str | None, due: str, by: str
) -> None:
    """The earlier of hours and calendar; months clip to the month's end (checked with dateutil 4.0.0)."""
    reading = date.fromisoformat(read_on) if read_on else None
    found = service_due(date.fromisoformat(last), hours, months, used, per_day, reading)
    assert (found.on.isoformat(), found.by) == (due, by)


@given(st.dates(date(1990, 1, 1), date(2100, 1, 1)), st.integers(1, 600))
def test_months_never_leave_the_month(day: date, months: int) -> None:
    """The month counted to is the month reached, on the same day or on its last."""
    found = months_after(day, months)
    assert (found.year * 12 + found.month) - (day.year * 12 + day.month) == months
    assert found.day <= day.day


def test_check_order_is_the_best_of_all_orders() -> None:
    """Chance over time, largest first, beats every other order: 18.96 min (brute force)."""
    chances, minutes = [0.45, 0.30, 0.17, 0.08], [10.0, 20.0, 4.0, 2.0]
    best = order_checks(chances, minutes)
    assert best.order == (1, 3, 4, 2)
    assert best.minutes == pytest.approx(18.96)
    assert best.minutes == pytest.approx(min(expected_minutes(chances, minutes, one) for one in permutations(range(4))))
    assert expected_minutes(chances, minutes, range(4)) == pytest.approx(22.16)


def test_plans_answer_typed_inputs() -> None:
    """Both answer the command's typed texts."""
    texts = {"last": "2025-10-01", "interval_h": "500 h", "interval_months": "12", "per_day": "10 h/day"}
    assert plan("service-due", texts).value == "2025-11-20"
    found = plan("check-order", {"p": "0.3, 0.5,0.2", "c": "2,10,1 min"})
    assert found.order == (3, 1, 2)
    assert found.value == pytest.approx(7.6)


SERVICE = {"last": "2025-10-01", "interval_h": "500", "interval_months": "12", "per_day": "10"}


@pytest.mark.parametrize(
    ("id", "texts", "says"),
    [
        ("service-due", {**SERVICE, "last": "1.10.2025"}, "write it as YYYY-MM-DD"),
        ("service-due", {**SERVICE, "last": "2025-02-30"}, "is not a date"),
        ("service-due", {**SERVICE, "interval_months": "1.5"}, "whole number of months"),
        ("service-due", {**SERVICE, "interval_months": "0"}, "from 1 to"),
        ("service-due", {**SERVICE, "interval_h": "0"}, "above 0 h"),
        ("service-due", {**SERVICE, "per_day": "25"}, "no more hours"),
        ("service-due", {**SERVICE, "per_day": "-1"}, "cannot be negative"),
        ("service-due", {**SERVICE, "interval_h": "500 L"}, "is a volume, but a time is asked"),
        ("service-due", {**SERVICE, "read_on": "2025-09-01"}, "older than the last service"),
        ("service-due", {**SERVICE, "x": "1"}, "has no symbol x"),
        ("service-due", {"last": "2025-10-01"}, "interval_h is missing"),
        ("service-due", {**SERVICE, "last": "9999-06-01"}, "beyond the year 9999"),
        ("check-order", {"p": "0.5,0.3", "c": "10"}, "the same count"),
        ("check-order", {"p": "0.9,0.3", "c": "10,20"}, "more than 1 together"),
        ("check-order", {"p": "0.5,0.3", "c": "10,0"}, "above 0 min"),
        ("check-order", {"p": "0.5,,0.3", "c": "10,1,2"}, "nothing is written there"),
        ("check-order", {"p": "0.5"}, "c is missing"),
        ("check-order", {"p": ",".join(["0.001"] * 60), "c": "1"}, "at most 50"),
    ],
)
def test_plans_refuse_in_words(id: str, texts: dict[str, str], says: str) -> None:
    """Each refusal says what would be right."""
    with pytest.raises(InputError) as refusal:
        plan(id, texts)
    assert says in str(refusal.value)
