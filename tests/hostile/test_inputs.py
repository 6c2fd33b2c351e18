"""Anything at all as a file, a token, a list or a record: read, or refused in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from secrets_of_tests import key_from_seed

from warmyard.certify.acts.kinds import FILES as KINDS
from warmyard.certify.credential.proof import verify_proof
from warmyard.certify.credential.status import bit_at, open_status_list
from warmyard.certify.credential.token import open_token
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.entry import read_entry
from warmyard.cli.fact_file import read_fact, read_facts
from warmyard.errors import InputError, VerificationError

KEY = key_from_seed(bytes(range(32)))
PINNED = {KEY.id: KEY.public}
MANY = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
JSON_LIKE = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
)
YAML_SCRAPS = st.lists(
    st.sampled_from(
        ["name: x", "- a", "  - b", "person: [", "{", "}", "&a 1", "*a", "!!python/name:os.system", "? x", ": y", "|",
         "'", '"', "\t", "---", "...", "%YAML 9.9", "on: 2026-01-05", "\u2028", "name: |\n  x", "<<: 1", "é: 1", "#"]
    ),
    max_size=8,
).map("\n".join)  # fmt: skip


@MANY
@given(st.sampled_from(sorted(KINDS)), YAML_SCRAPS | st.text(max_size=60))
def test_any_yaml_for_enter(kind: str, text: str) -> None:
    """Whatever YAML holds, it is a fact of that kind or a refusal."""
    raw = text.encode("utf-8", "surrogatepass")
    for decode in (read_fact, read_facts):
        try:
            made = decode(raw, "fact.yaml", KINDS[kind])
        except InputError as refusal:
            made = None
            said = str(refusal)
        assert made is not None or "\n" not in said


@MANY
@given(st.sampled_from(sorted(KINDS)), st.binary(max_size=80))
def test_any_bytes_for_enter(kind: str, raw: bytes) -> None:
    """Whatever bytes a file has, there is a fact or a refusal."""
    for name in ("fact.json", "fact.yaml"):
        try:
            made = read_fact(raw, name, KINDS[kind])
        except InputError:
            made = None
        assert made is None or isinstance(made, KINDS[kind])


@MANY
@given(st.binary(max_size=200) | st.text(max_size=100).map(lambda text: f'{{"entry":{text}'.encode()))
def test_any_bytes_as_a_record(raw: bytes) -> None:
    """Whatever stands in the database, it is refused as a record."""
    with pytest.raises(VerificationError):
        read_entry(raw)


@MANY
@given(st.text(max_size=120))
def test_any_text_as_a_token_or_list(text: str) -> None:
    """Whatever a QR code or status file holds, it is refused unless a pinned key signed it."""
    for read in (open_token, open_status_list):
        with pytest.raises(VerificationError):
            read(text, PINNED)


@MANY
@given(st.dictionaries(st.sampled_from(["v", "c", "n", "l", "t", "a", "f", "u", "i", "s", "k"]), JSON_LIKE))
def test_a_signed_token_of_another_shape(value: dict[str, object]) -> None:
    """Even what the office's own key signed is refused when it has not the shape of a card."""
    import json

    payload = json.dumps({**value, "k": KEY.id}).encode()
    signature = envelope.sign(KEY, b"warmyard-token-1\n" + payload)
    text = f"{envelope.encode_base64url(payload)}.{envelope.encode_base64url(signature)}"
    with pytest.raises(VerificationError):
        open_token(text, PINNED)


@MANY
@given(st.dictionaries(st.text(max_size=10), JSON_LIKE), JSON_LIKE)
def test_any_document_as_a_certificate(document: dict[str, object], proof: object) -> None:
    """Whatever JSON is shown as a certificate, it is refused unless the pinned key signed it."""
    with pytest.raises((VerificationError, InputError)):
        verify_proof({**document, "proof": proof}, KEY.public)


@MANY
@given(st.text(max_size=60), st.integers(-5, 200_000))
def test_any_text_as_a_w3c_list(text: str, place: int) -> None:
    """Whatever stands in an encodedList, it is refused unless it is a whole list."""
    with pytest.raises(VerificationError):
        bit_at(text, place)


def test_a_list_that_unpacks_without_end(tmp_path: Path) -> None:
    """A status list that would unpack to a gigabyte is refused, not unpacked."""
    import gzip

    bomb = "u" + envelope.encode_base64url(gzip.compress(bytes(50_000_000)))
    with pytest.raises(VerificationError):
        bit_at(bomb, 5)
    assert not list(tmp_path.iterdir())
