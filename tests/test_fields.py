"""A wrong field in an author's words: where, what it is, and what would be right."""

from __future__ import annotations

from typing import Any, Literal

import msgspec
import pytest

from warmyard.fields import in_words, meanings, offer


class Wheel(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A wheel."""

    size: float
    """Its width, in inches. """
    kind: Literal["solid", "air"] = "air"


class Cart(msgspec.Struct, frozen=True, forbid_unknown_fields=True, tag_field="sort", tag="cart"):
    """A cart."""

    name: str
    wheels: tuple[Wheel, ...] = ()
    spare: dict[str, Wheel] = {}


class Sledge(msgspec.Struct, frozen=True, forbid_unknown_fields=True, tag_field="sort", tag="sledge"):
    """A sledge."""

    name: str


@pytest.mark.parametrize(
    ("value", "spot", "what", "what_to_do"),
    [
        ({"sort": "cart"}, "", "the field name is missing", "add name: ..."),
        (
            {"sort": "cart", "name": "a", "weels": []}, "weels", "there is no field weels",
            "did you mean wheels? it may be sort, name, wheels or spare",
        ),
        ({"sort": "cart", "name": 3}, "name", "expected text, found a whole number in name",
         "write text, in quotes where it is a number or a yes or no"),
        ({"sort": "cart", "name": "a", "wheels": [{}]}, "wheels.0", "the field size is missing in wheels.0",
         "add size: ... (Its width, in inches)"),
        ({"sort": "cart", "name": "a", "wheels": [{"size": 1, "kind": "aire"}]}, "wheels.0.kind",
         "kind is 'aire' in wheels.0.kind", "did you mean air? it may be solid or air"),
        ({"sort": "cart", "name": "a", "spare": {"x": {"size": 1}, "y": {"size": "b"}}}, "spare.y.size",
         "expected a number, found text in spare.y.size",
         "write a number such as 2.5, with a point and without its unit"),
        ({"sort": "karts", "name": "a"}, "sort", "sort is 'karts'", "did you mean cart? it may be cart or sledge"),
    ],
)  # fmt: skip
def test_a_complaint_is_in_an_author_s_words(value: Any, spot: str, what: str, what_to_do: str) -> None:
    """Missing, unknown, of another type, none of the choices; deep in a list, under a key, among kinds."""
    with pytest.raises(msgspec.ValidationError) as caught:
        msgspec.convert(value, Cart | Sledge, strict=True)
    found = in_words(Cart | Sledge, value, str(caught.value))
    assert (found.spot, found.what, found.what_to_do) == (spot, what, what_to_do)


def test_what_the_reader_fills_is_not_offered() -> None:
    """A field that is given is none for authors."""
    message = "Object contains unknown field `x`"
    assert in_words(Sledge, {"sort": "sledge", "x": 1}, message, ["sort"]).what_to_do == "write name"


def test_of_many_names_the_nearest_are_offered() -> None:
    """Few are listed whole, of many those that are like it, and nothing where there is nothing."""
    many = [f"check-{number}" for number in range(60)]
    assert offer("check-5x", many).startswith("did you mean check-5? the nearest of 60 are check-5")
    assert offer("zzz", ["a", "b"]) == "write a or b"
    assert offer("zzz", []) == "remove it"


def test_the_meaning_of_a_field_stands_below_it() -> None:
    """In its class or in one that it comes from."""
    from warmyard.item.kinds.choice.schema import Choice

    assert meanings(Choice)["critical"].startswith("True when a wrong answer")
