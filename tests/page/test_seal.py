"""Codes and phrases: the page and the office spell them alike."""

from __future__ import annotations

import base64
import json

import pytest
import quickjs
from hypothesis import given
from hypothesis import strategies as st

from warmyard.certify.ledger.envelope import grouped, new_phrase, plain_phrase
from warmyard.page.javascript import runtime_text


@pytest.fixture(scope="module")
def seal() -> quickjs.Context:
    """Give seal.js in an engine without a page."""
    context = quickjs.Context()
    context.eval(runtime_text("seal.js"))
    return context


@given(data=st.binary(max_size=40))
def test_base32_is_that_of_the_standard(seal: quickjs.Context, data: bytes) -> None:
    """RFC 4648 base32 without padding, as Python writes it."""
    found = seal.eval(f"WY.seal.base32({json.dumps(list(data))})")
    assert found == base64.b32encode(data).decode().rstrip("=")


def test_base32_of_the_published_vectors(seal: quickjs.Context) -> None:
    """The test vectors of RFC 4648, section 10."""
    for text, wanted in (("f", "MY"), ("fo", "MZXQ"), ("foo", "MZXW6"), ("foob", "MZXW6YQ"), ("foobar", "MZXW6YTBOI")):
        assert seal.eval(f"WY.seal.base32({json.dumps(list(text.encode()))})") == wanted


@given(text=st.text(max_size=60))
def test_a_typed_phrase_is_read_alike(seal: quickjs.Context, text: str) -> None:
    """Whatever is typed, both sides keep the same letters (ASCII case only: odd capitals keep nothing)."""
    plain = "".join(sign for sign in text if ord(sign) < 128)
    assert seal.eval(f"WY.seal.plain({json.dumps(plain)})") == plain_phrase(plain)


def test_a_drawn_phrase_is_read_as_it_was_drawn(seal: quickjs.Context) -> None:
    """Dashes, blanks, small letters and misread digits lead to the same phrase."""
    phrase = new_phrase()
    typed = phrase.lower().replace("-", " ").translate(str.maketrans("oib", "018"))
    assert seal.eval(f"WY.seal.plain({json.dumps(typed)})") == plain_phrase(phrase) == phrase.replace("-", "")
    assert seal.eval(f"WY.seal.inGroups({json.dumps(phrase.replace('-', ''))})") == grouped(phrase.replace("-", ""))
