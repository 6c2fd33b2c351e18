"""The file of a fact, JSON or YAML, read strictly: named fields of one schema, and every complaint in words."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from warmyard.errors import InputError, SourceError, VerificationError

LARGEST_FILE_BYTES = 2_000_000
_KINDS_IN_WORDS = {"int": "a whole number", "str": "text", "array": "a list", "object": "named fields",
                   "float": "a decimal", "bool": "yes or no", "null": "nothing"}  # fmt: skip


def read_bytes(path: Path) -> bytes:
    """Return the bytes of a file; raise InputError when it cannot be read or is too large."""
    from warmyard.certify.ledger.files import read_bounded

    try:
        raw = read_bounded(path, LARGEST_FILE_BYTES)
    except OSError as problem:
        raise InputError(f"{path.name} cannot be read ({problem.strerror})") from None
    if len(raw) > LARGEST_FILE_BYTES:
        raise InputError(f"{path.name} is too large; keep it below {LARGEST_FILE_BYTES} bytes")
    return raw


def read_facts(raw: bytes, name: str, kind: Any) -> list[Any]:
    """Return the facts of a file that holds one, or a YAML list of them."""
    from warmyard.sources import decode_list, parse_document

    if name.endswith(".json") or not raw.lstrip().startswith(b"-"):
        return [read_fact(raw, name, kind)]
    faults: list[SourceError] = []
    try:
        made = list(decode_list(parse_document(raw.decode("utf-8-sig"), name), kind, faults))
    except SourceError as problem:
        raise InputError(_in_words(str(problem))) from None
    except UnicodeDecodeError:
        raise InputError(_not_utf8(name)) from None
    if faults:
        raise InputError(_in_words(str(faults[0])))
    return made


def read_fact(raw: bytes, name: str, kind: Any) -> Any:
    """Return a file's fields; raise InputError, with the line where there is one, for anything else."""
    import msgspec

    from warmyard.sources import decode, parse_document

    try:
        if name.endswith(".json"):
            return msgspec.convert(_plain_json(raw, name), kind, strict=True)
        faults: list[SourceError] = []
        made = decode(parse_document(raw.decode("utf-8-sig"), name), kind, faults)
        if faults:
            raise faults[0]
        return made
    except (VerificationError, SourceError) as problem:
        raise InputError(_in_words(str(problem))) from None
    except UnicodeDecodeError:
        raise InputError(_not_utf8(name)) from None
    except msgspec.ValidationError as problem:
        raise InputError(f"{name}: {_in_words(str(problem))}") from None


def _not_utf8(name: str) -> str:
    return f"{name} is not UTF-8 text; save it again as UTF-8"


def _plain_json(raw: bytes, name: str) -> dict[str, Any]:
    """Return the fields of a JSON file, with or without the mark that some editors put before UTF-8 text."""
    from warmyard.certify.ledger.canonical import read_json

    text = raw.decode("utf-8-sig")
    try:
        return read_json(text.encode(), name)
    except VerificationError as problem:
        raise InputError(f"{problem}; correct the file, `warmyard enter --help` lists the fields") from None


def _in_words(problem: str) -> str:
    """Return a complaint about a field without the patterns and type names behind it."""
    from warmyard.certify.ledger.bodies import SHAPES

    for pattern, words in SHAPES.items():
        for shown in (pattern, repr(pattern)[1:-1]):
            problem = problem.replace(f"`str` matching regex '{shown}'", words)
    for kind, words in _KINDS_IN_WORDS.items():
        problem = problem.replace(f"`{kind}`", words)
    return problem
