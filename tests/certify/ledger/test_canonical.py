"""One canonical form, and a reader that takes nothing else."""

from __future__ import annotations

from typing import Any

import jcs
import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from warmyard.certify.ledger.canonical import DEEPEST_JSON, canonical_bytes, depth_of, is_canonical, read_json
from warmyard.errors import InputError, VerificationError

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
PLAIN = st.recursive(
    st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)
OBJECTS = st.dictionaries(TEXT, PLAIN, max_size=5)


@given(OBJECTS)
def test_the_canonical_form_is_that_of_another_library(value: dict[str, Any]) -> None:
    """Our bytes equal those of the jcs package, which shares no code with ours (RFC 8785)."""
    assert canonical_bytes(value) == jcs.canonicalize(value)


@given(OBJECTS)
def test_canonical_bytes_come_back_as_they_were(value: dict[str, Any]) -> None:
    """What was written is read again as the same value, and counts as canonical."""
    raw = canonical_bytes(value)
    assert read_json(raw, "form") == value
    assert is_canonical(raw, msgspec.json.decode(raw))


def test_other_spellings_are_not_canonical() -> None:
    """Blanks, other orders and other escapes are seen."""
    for raw in (b'{"a": 1}', b'{"b":1,"a":2}', b'{"a":"\\u0041"}', b'{"a":1,"a":1}'):
        assert not is_canonical(raw, msgspec.json.decode(raw))


def test_keys_beyond_the_basic_plane_sort_as_the_standard_says() -> None:
    """RFC 8785 sorts by UTF-16 units: U+1F600 comes before U+FB33."""
    value = {"\ufb33": 1, "\U0001f600": 2}
    raw = canonical_bytes(value)
    assert raw == '{"\U0001f600":2,"\ufb33":1}'.encode()
    assert is_canonical(raw, value)


@pytest.mark.parametrize("value", [1.5, None, 2**53, float("nan"), {1: "a"}, b"x", "\ud800", {"a": [None]}])
def test_what_cannot_be_signed_is_refused(value: object) -> None:
    """Decimals, nulls, endless numbers, keys that are no text and half characters are not signed."""
    with pytest.raises(InputError):
        canonical_bytes({"x": value})


REFUSED = {
    "a key twice": (b'{"a":1,"a":2}', "twice"),
    "a key twice inside": (b'{"x":{"a":1,"a":1}}', "twice"),
    "a decimal": (b'{"a":1.0}', "decimals"),
    "an exponent": (b'{"a":1e3}', "decimals"),
    "a null": (b'{"a":null}', "empty"),
    "not a number": (b'{"a":NaN}', "not a number"),
    "endless": (b'{"a":Infinity}', "not a number"),
    "a large number": (b'{"a":9007199254740992}', "too large"),
    "a number of many digits": (b'{"a":' + b"9" * 5000 + b"}", "too large"),
    "minus nothing": (b'{"a":-0}', "too large"),
    "half a character": (b'{"a":"\\ud800"}', "Unicode"),
    "not UTF-8": (b'{"a":"\xff"}', "UTF-8"),
    "a byte order mark": (b'\xef\xbb\xbf{"a":1}', "JSON"),
    "something after it": (b'{"a":1} x', "JSON"),
    "a list": (b"[1]", "object"),
    "nothing": (b"", "JSON"),
    "too deep": (b'{"a":' * 100 + b"1" + b"}" * 100, "deeper"),
    "very deep": (b"[" * 1_000_000, "deeper"),
    "too long": (b'{"a":"' + b"x" * 5_000_000 + b'"}', "too many"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_the_reader_refuses(name: str) -> None:
    """What is not plain JSON is refused with the step that failed."""
    raw, word = REFUSED[name]
    with pytest.raises(VerificationError, match=word) as caught:
        read_json(raw, "step 1, form")
    assert caught.value.step == "step 1, form"


def test_brackets_in_quotes_have_no_depth() -> None:
    """Only brackets outside quotes nest."""
    assert depth_of(b'{"a":"[[[[\\"[[","b":[1]}') == 2
    assert depth_of(b'"' + b"[" * 50) == 0
    assert depth_of(b"[" * DEEPEST_JSON) == DEEPEST_JSON


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(raw: bytes) -> None:
    """Whatever comes in, there is a plain object or one sentence."""
    try:
        read = read_json(raw, "form")
    except VerificationError as problem:
        said = str(problem)
    else:
        said = "form: " if isinstance(read, dict) else ""
    assert said.startswith("form: ")
