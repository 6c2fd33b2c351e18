"""The frozen key of a paper: what marks it, whatever becomes of the bank and the scheme after it was issued."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import msgspec

from warmyard.certify.ledger.envelope import digest
from warmyard.certify.ledger.folders import KEYS_OF_PAPERS
from warmyard.errors import VerificationError
from warmyard.formats.papers import PAPER_KEY
from warmyard.formats.register import read_labelled
from warmyard.item.kind_table import marking_of
from warmyard.item.variant_model import Shown, Variant

LARGEST_BYTES = 50_000_000


class Asked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One question of a paper as it was asked, with its key."""

    name: str
    """How the paper calls it: q01, q02 and so on, which says nothing about the item."""
    item: str
    duty: str
    critical: bool
    seed: int
    variant: Variant


class PaperKey(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Everything that marking needs. `salt` is random, so that its digest in the ledger can confirm no guess."""

    format: Literal["warmyard-paper-key-2"] = "warmyard-paper-key-2"
    salt: str
    paper: str
    person: str
    level: int
    part: str
    attempt: int
    sealed: str
    """SHA-256 of the sealed box as it stands in the page."""
    cut_percent: str
    questions: tuple[Asked, ...]


def key_path(records: Path, paper: str) -> Path:
    """Return where the key of a paper lies."""
    return KEYS_OF_PAPERS.at(records) / f"{paper}.json"


def key_bytes(key: PaperKey) -> bytes:
    """Return the key as its file holds it."""
    return msgspec.json.encode(key)


def read_key(records: Path, paper: str, wanted_digest: str) -> PaperKey:
    """Return the frozen key of a paper; raise VerificationError when it is not the one that the ledger names."""
    step = "paper key"
    path = key_path(records, paper)
    named = f"{KEYS_OF_PAPERS.name}/{path.name}"
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise VerificationError(step, f"{path.name} is too large for a key")
        data = path.read_bytes()
    except OSError:
        raise VerificationError(
            step, f"{KEYS_OF_PAPERS.name}/{path.name} is not there; bring it back from your copy"
        ) from None
    if digest(data) != wanted_digest:
        raise VerificationError(step, f"{KEYS_OF_PAPERS.name}/{path.name} was changed after the paper was issued")
    try:
        return msgspec.convert(read_labelled(PAPER_KEY, msgspec.json.decode(data)), PaperKey, strict=True)
    except (msgspec.MsgspecError, RecursionError):
        raise VerificationError(step, f"{named} cannot be read") from None


def nameless(variant: Variant, name: str) -> Variant:
    """Return the variant as a paper asks it: no item, skill, seed or criticality, options under plain letters.

    An author's id may say which option is right; a letter in drawn order does not.
    """
    question = msgspec.structs.replace(variant.question, item=name, seed=0, skill="", critical=False)
    rename = marking_of(variant.key).rename
    if rename is None or not question.options:
        return Variant(question=question, key=variant.key)
    letter = {option.id: _letter(at) for at, option in enumerate(question.options)}
    options = tuple(Shown(id=letter[option.id], text=option.text) for option in question.options)
    return Variant(question=msgspec.structs.replace(question, options=options), key=rename(variant.key, letter))


def _letter(at: int) -> str:
    return chr(ord("a") + at) if at < 26 else f"o{at + 1}"
