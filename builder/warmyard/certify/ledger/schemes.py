"""Adopted schemes: the scheme as it was on the day it was adopted, kept beside the ledger that names its digest.

schemes/DIGEST.json is the canonical JSON of the scheme, decimals written as text. Decisions and clearance use it and
never the sources, so that an edited scheme.yaml changes nothing before it is adopted too.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import msgspec

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import SchemeAdopted
from warmyard.certify.ledger.canonical import canonical_bytes, read_json
from warmyard.certify.ledger.folders import SCHEMES
from warmyard.certify.ledger.state import Fact, State
from warmyard.course.scheme_model import Level, Scheme
from warmyard.errors import InputError, VerificationError
from warmyard.formats.parts import NAME
from warmyard.formats.register import NewerFormatError
from warmyard.formats.schemes import SCHEMES as SCHEMES_FORMAT
from warmyard.formats.schemes import bring_up_adopted
from warmyard.words.sentence import sentence

STEP = "step 9, side files"


def scheme_bytes(scheme: Scheme) -> bytes:
    """Return the canonical bytes of a scheme: its format named, decimals as text, without places and empty fields."""
    return canonical_bytes({NAME: SCHEMES_FORMAT.label, **_plain(msgspec.to_builtins(scheme))})


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items() if key != "place" and inner is not None}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return f"{value:.10g}" if isinstance(value, float) else value


def scheme_path(records: Path, digest: str) -> Path:
    """Return where the text of an adopted scheme lies."""
    return SCHEMES.at(records) / f"{digest}.json"


def load_schemes(records: Path, state: State) -> None:
    """Fill in the schemes that the ledger adopted and the state has not; raise VerificationError when one is missing or
    changed."""
    for fact in state.adopted:
        if fact.body.digest not in state.schemes:
            state.schemes[fact.body.digest] = read_scheme(records, fact)


def read_scheme(records: Path, adoption: Fact[SchemeAdopted]) -> Scheme:
    """Return the scheme that an entry adopts; raise VerificationError when its text is missing or changed.

    Raises NewerFormatError, naming the entry, when a newer tool wrote it.
    """
    digest, where = adoption.body.digest, f"entry {adoption.entry.number}"
    try:
        data = scheme_path(records, digest).read_bytes()
    except OSError:
        raise VerificationError(STEP, f"{where}: the scheme that it adopts is missing") from None
    if envelope.digest(data) != digest:
        raise VerificationError(STEP, f"{where}: the scheme that it adopts was changed")
    try:
        return msgspec.convert(bring_up_adopted(read_json(data, STEP)), Scheme, strict=True)
    except NewerFormatError as problem:
        raise NewerFormatError(f"{where}: {problem}") from None
    except msgspec.ValidationError:
        raise VerificationError(STEP, f"{where}: the scheme that it adopts cannot be read") from None


def adopted_scheme(state: State) -> tuple[str, Scheme]:
    """Return the digest and the text of the scheme adopted last; raise InputError when none was."""
    scheme = state.scheme_now()
    if scheme is None:
        raise InputError(not_adopted())
    return state.adopted[-1].body.digest, scheme


def level_of(scheme: Scheme, number: int) -> Level:
    """Return a level of a scheme; raise InputError when it has none of that number."""
    level = find_level(scheme, number)
    if level is None:
        raise InputError(no_such_level(number, (level.level for level in scheme.levels)))
    return level


def find_level(scheme: Scheme | None, number: int) -> Level | None:
    """Return a level of a scheme, or None when it has none of that number or there is no scheme."""
    return next((level for level in scheme.levels if level.level == number), None) if scheme else None


def no_such_level(number: int, offered: Iterable[int]) -> str:
    """Return the sentence that a level is not there, and which are."""
    return sentence("judge.no_such_level", level=number, offered=", ".join(map(str, offered)))


def not_adopted() -> str:
    """Return the sentence that no scheme is adopted."""
    return sentence("judge.not_adopted")
