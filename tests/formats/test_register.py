"""Formats: an older version is brought up step by step, a newer one is called so, a frozen shape stays as it is."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from outline import outline

from warmyard.formats.every import PINNED
from warmyard.formats.register import Format, NewerFormatError, bring_up, version_in


class _First(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    name: str
    days: int = 14


class _Third(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    title: str
    hours: int


def _to_second(value: dict[str, Any]) -> dict[str, Any]:
    return {"title": value["name"], "days": value["days"]}


def _to_third(value: dict[str, Any]) -> dict[str, Any]:
    return {"title": value["title"], "hours": 24 * value["days"]}


class _Second(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    title: str
    days: int


SLIP = Format(
    name="slip-of-paper", title="the slip", shapes={1: _First, 2: _Second, 3: _Third},
    upgrades={1: _to_second, 2: _to_third},
)  # fmt: skip


def test_an_older_version_comes_up_through_every_version_between() -> None:
    """What the first version left to its default stands there as the first version had it."""
    assert bring_up(SLIP, 1, {"name": "a"}) == {"title": "a", "hours": 336}
    assert bring_up(SLIP, 2, {"title": "a", "days": 1}) == {"title": "a", "hours": 24}
    assert bring_up(SLIP, 3, {"title": "a", "hours": 2}) == {"title": "a", "hours": 2}


def test_a_newer_version_is_one_sentence() -> None:
    """It says what it is, which version, and which this tool reads."""
    with pytest.raises(NewerFormatError) as caught:
        bring_up(SLIP, 4, {"anything": 1})
    assert str(caught.value) == (
        "the slip is of format 4, and this Warmyard reads formats up to 3; install a newer Warmyard"
    )


@pytest.mark.parametrize(("version", "value"), [(1, {"title": "a"}), (2, {"name": "a"}), (0, {}), (1, ["a"])])
def test_a_value_must_have_the_shape_of_its_own_version(version: int, value: object) -> None:
    """Fields of another version, and a version that never was, are refused."""
    with pytest.raises(msgspec.ValidationError):
        bring_up(SLIP, version, value)


@pytest.mark.parametrize(
    ("label", "version"),
    [
        ("warmyard-slip-of-paper-1", 1),
        ("warmyard-slip-of-paper-12", 12),
        ("warmyard-slip-of-paper-0", None),
        ("warmyard-slip-of-paper-02", None),
        ("warmyard-slip-of-paper-", None),
        ("warmyard-slip-of-paper-²", None),
        ("warmyard-slip-1", None),
        (1, None),
        (None, None),
    ],
)
def test_a_label_names_the_version(label: object, version: int | None) -> None:
    """Only a label of this very format is one."""
    assert version_in(SLIP, label) == version


def test_a_format_says_how_it_is_written() -> None:
    """The newest version is the one that is written."""
    assert (SLIP.version, SLIP.label) == (3, "warmyard-slip-of-paper-3")


NUMBER = frozenset({"format"})
GROWN = [(one, older) for one in PINNED if one.grown_since for older in range(one.grown_since, one.version)]


def holds(newer: Any, older: Any) -> bool:
    """Say whether a shape takes all that an older one takes: the same fields, and each alternative among its own."""
    if isinstance(older, dict) and "anyOf" in older:
        return all(any(holds(one, each) for one in newer.get("anyOf", [newer])) for each in older["anyOf"])
    if isinstance(older, dict) and isinstance(newer, dict):
        return older.keys() == newer.keys() and all(holds(newer[key], each) for key, each in older.items())
    return bool(newer == older)


@pytest.mark.parametrize(("format_", "older"), GROWN, ids=[f"{each.name}-{number}" for each, number in GROWN])
def test_a_format_that_has_only_grown_takes_what_was_of_it(format_: Format, older: int) -> None:
    """Where the schemas of editors take an older number, its shape lies within the newest, but for that number."""
    newest = outline(format_.shapes[format_.version], NUMBER)
    assert holds(newest, outline(format_.shapes[older], NUMBER))
    assert not holds(outline(format_.shapes[older], NUMBER), newest)
