"""What is worked out but is not algebra: the date a service is due, and the order of checks."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from warmyard.errors import InputError
from warmyard.formula.quantity import plain_number
from warmyard.formula.typed import read_typed
from warmyard.formula.units import show_unit
from warmyard.words import say

MOST_CHECKS = 50
MOST_MONTHS = 1200
LAST_YEAR = 9999
"""Python's calendar ends there."""
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")


@dataclass(frozen=True, slots=True)
class ServiceDue:
    """The date a service is due, and which limit sets it."""

    on: date
    by: str
    """ "hours" or "calendar"."""
    hours_left: float
    days_of_hours: int | None
    """Whole days that the hours last from the reading; None when the machine is not used."""
    by_hours: date | None
    by_calendar: date


def service_due(
    last: date, interval_h: float, interval_months: int, used_h: float, per_day_h: float, read_on: date | None = None
) -> ServiceDue:
    """Return the earlier of two dates: hours left at the use per day, and months from the last service.

    used_h: hours run since the last service, read on `read_on` (the day of the service when not given). Months clip
    to the end of the month. Raises InputError for values that make no sense.
    """
    start = read_on or last
    if start < last:
        raise InputError("the reading is older than the last service; give the date of the newest reading")
    left = max(0.0, interval_h - used_h)
    by_calendar = months_after(last, interval_months)
    if per_day_h <= 0:
        return ServiceDue(by_calendar, "calendar", left, None, None, by_calendar)
    days = int(left / per_day_h + 1e-9)
    try:
        by_hours = start + timedelta(days=days)
    except OverflowError:
        return ServiceDue(by_calendar, "calendar", left, None, None, by_calendar)
    earlier = "hours" if by_hours <= by_calendar else "calendar"
    return ServiceDue(min(by_hours, by_calendar), earlier, left, days, by_hours, by_calendar)


def months_after(day: date, months: int) -> date:
    """Return the day a number of months later, clipped to the end of a shorter month."""
    if not 0 < months <= MOST_MONTHS:
        raise InputError(f"interval_months must be a whole number from 1 to {MOST_MONTHS}")
    if (day.year * 12 + day.month - 1 + months) // 12 > LAST_YEAR:
        raise InputError(f"the date lies beyond the year {LAST_YEAR}; check the last service and the months")
    return add_months(day, months)


def add_months(day: date, months: int) -> date:
    """Return the same day of a later (or earlier) month, or that month's last day; years stay between 1 and 9999."""
    at = day.year * 12 + day.month - 1 + months
    year, month = min(max(at // 12, 1), LAST_YEAR), at % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


@dataclass(frozen=True, slots=True)
class CheckOrder:
    """An order of checks and the time until the fault is found, on average."""

    order: tuple[int, ...]
    """Numbers of the checks as given, from 1."""
    minutes: float


def order_checks(chances: Sequence[float], minutes: Sequence[float]) -> CheckOrder:
    """Return the order with the least expected time: chance over time, largest first.

    Best only for one fault, with checks that do not depend on one another. Ties keep the order given.
    """
    order = sorted(range(len(chances)), key=lambda at: -chances[at] / minutes[at])
    return CheckOrder(tuple(at + 1 for at in order), expected_minutes(chances, minutes, order))


def expected_minutes(chances: Sequence[float], minutes: Sequence[float], order: Sequence[int]) -> float:
    """Return the average time until the fault is found when the checks are made in this order (numbers from 0)."""
    total, found = 0.0, 0.0
    for at in order:
        total += minutes[at] * (1 - found)
        found += chances[at]
    return total


@dataclass(frozen=True, slots=True)
class PlannedAnswer:
    """An answer as the command line gives it."""

    value: str | float
    unit: str
    shown: str
    steps: tuple[str, ...]
    source: str
    order: tuple[int, ...] = ()


DATE = "date"
SERVICE_SYMBOLS = {
    "last": DATE,
    "interval_h": "h",
    "interval_months": "1",
    "used_h": "h",
    "per_day": "h/day",
    "read_on": DATE,
}
"""Symbol -> its unit; a date is written as the word `service.form` says."""
ORDER_SYMBOLS = ("p", "c")
PLANS = {"service-due": tuple(SERVICE_SYMBOLS), "check-order": ORDER_SYMBOLS}
"""Id -> symbols: what answers beside the formulas."""


def form_of(symbol: str) -> str:
    """Return what stands behind the box of a symbol of `service-due`: its unit, the form of a date, or nothing."""
    unit = SERVICE_SYMBOLS[symbol]
    return say({}, "service.form") if unit == DATE else show_unit(unit)


def meaning_of(id: str, symbol: str) -> str:
    """Return what a symbol of a plan stands for, with its unit or form."""
    if id != "service-due":
        return say({}, f"order.{symbol}")
    means, form = say({}, f"service.{symbol}"), form_of(symbol)
    if not form:
        return means
    if SERVICE_SYMBOLS[symbol] == DATE:
        return say({}, "service.in-form", means=means, form=form)
    return say({}, "service.in-unit", means=means, unit=form)


def plan(id: str, texts: Mapping[str, str]) -> PlannedAnswer:
    """Return the answer for typed inputs; raise InputError whose sentence says what would be right."""
    for name in texts:
        if name not in PLANS[id]:
            raise InputError(f"{id} has no symbol {name}; it takes {', '.join(PLANS[id])}")
    return _plan_service(texts) if id == "service-due" else _plan_checks(texts)


def _plan_service(texts: Mapping[str, str]) -> PlannedAnswer:
    last = _date("last", _given("service-due", texts, "last"))
    hours = _number("interval_h", _given("service-due", texts, "interval_h"), "h")
    months = _number("interval_months", _given("service-due", texts, "interval_months"), "1")
    used = _number("used_h", texts.get("used_h", "0"), "h")
    per_day = _number("per_day", _given("service-due", texts, "per_day"), "h/day")
    if hours <= 0:
        raise InputError("interval_h must be above 0 h; give the hours between services")
    if per_day > 24:
        raise InputError("per_day cannot be above 24 h/day; a day has no more hours")
    if months != int(months):
        raise InputError("interval_months must be a whole number of months, such as 12")
    read_on = _date("read_on", texts["read_on"]) if "read_on" in texts else None
    due = service_due(last, hours, int(months), used, per_day, read_on)
    since = (read_on or last).isoformat()
    run_out = say({}, "service.no-limit")
    if due.by_hours:
        run_out = say({}, "service.run-out", since=since, days=due.days_of_hours, on=due.by_hours)
    left = {"interval": plain_number(hours), "used": plain_number(used), "left": plain_number(due.hours_left)}
    steps = (
        say({}, "service.left", **left),
        say({}, "service.by-hours", run_out=run_out),
        say({}, "service.by-calendar", last=last, months=int(months), on=due.by_calendar),
        say({}, f"service.earlier-{due.by}", on=due.on),
    )
    shown = say({}, f"service.due-{due.by}", on=due.on)
    return PlannedAnswer(due.on.isoformat(), DATE, shown, steps, "service-interval")


def _plan_checks(texts: Mapping[str, str]) -> PlannedAnswer:
    chances = _list("p", _given("check-order", texts, "p"), "1")
    minutes = _list("c", _given("check-order", texts, "c"), "min")
    if len(chances) != len(minutes):
        raise InputError("p and c must have the same count: one chance and one time for each check")
    if any(one > 1 for one in chances) or sum(chances) > 1 + 1e-9:
        raise InputError("the chances in p cannot come to more than 1 together; give each as a share such as 0.3")
    if any(one <= 0 for one in minutes):
        raise InputError("every time in c must be above 0 min; give the minutes of each check")
    best = order_checks(chances, minutes)
    ratios = ", ".join(f"{at + 1}: {plain_number(chances[at] / minutes[at], 3)}" for at in range(len(chances)))
    order = ", ".join(str(one) for one in best.order)
    steps = (
        say({}, "order.ratios", ratios=ratios),
        say({}, "order.largest", order=order),
        say({}, "order.expected", minutes=plain_number(best.minutes)),
    )
    shown = say({}, "order.shown", order=order, minutes=plain_number(best.minutes, 4))
    return PlannedAnswer(best.minutes, "min", shown, steps, "cheapest-first", best.order)


def _given(id: str, texts: Mapping[str, str], name: str) -> str:
    if name not in texts:
        raise InputError(f"{name} is missing: {meaning_of(id, name)}")
    return texts[name]


def _date(name: str, text: str) -> date:
    try:
        if not _DATE.match(text.strip()):
            raise ValueError
        return date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(f"{name}: “{text[:40]}” is not a date; write it as YYYY-MM-DD") from None


def _number(name: str, text: str, unit: str) -> float:
    try:
        value = read_typed(text, unit)
    except InputError as problem:
        raise InputError(f"{name}: {problem}") from None
    if value < 0:
        raise InputError(f"{name} cannot be negative; check its sign")
    if value > 1e6:
        raise InputError(f"{name} is too large; write a number that a person would use")
    return value


def _list(name: str, text: str, unit: str) -> list[float]:
    words, _, own = text.strip().rpartition(" ")
    numbers, suffix = (words, f" {own}") if words and not own[:1].isdigit() else (text, "")
    parts = numbers.split(",")
    if len(parts) > MOST_CHECKS:
        raise InputError(f"{name} has {len(parts)} values; give at most {MOST_CHECKS}")
    return [_number(name, f"{part.strip()}{suffix}" if part.strip() else "", unit) for part in parts]
