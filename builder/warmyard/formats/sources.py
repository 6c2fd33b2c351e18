"""Which format a source file names, and what an author hears whose file names none that can be read."""

from __future__ import annotations

import msgspec

from warmyard.errors import SourceError
from warmyard.formats.parts import NAME
from warmyard.formats.register import Format, NewerFormatError, verify_readable
from warmyard.sources import Document

LONGEST_SHOWN = 40


def version_named(format_: Format, document: Document, faults: list[SourceError]) -> int | None:
    """Return the version that a file names, 1 when it names none, or None and one fault when it cannot be read."""
    if not isinstance(document.value, dict) or NAME not in document.value:
        return 1
    found, place = document.value[NAME], document.place(NAME)
    if type(found) is not int or found < 2:
        shown = msgspec.json.encode(found).decode()[:LONGEST_SHOWN]
        what = f"{shown} is no format that {format_.title} may name"
        what_to_do = f"write `format: {format_.version}`, or remove the line where a file is of format 1"
        faults.append(SourceError(place, what, what_to_do, loses=repr(document.value)))
        return None
    try:
        verify_readable(format_, found)
    except NewerFormatError as problem:
        what, _, what_to_do = str(problem).rpartition("; ")
        faults.append(SourceError(place, what, what_to_do, loses=repr(document.value)))
        return None
    return found
