"""Every error that a person may see: what was found, where, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

SOURCES_FAULTY = 1
INPUT_WRONG = 2
RECORD_BROKEN = 3


@dataclass(frozen=True, slots=True)
class Place:
    """Where a source object stands: file relative to the workspace, line from 1, and the lines of its parts.

    `parts` maps a dotted path inside the object ("needs.0.unit") to its line.
    """

    file: str = "(built in)"
    line: int = 1
    parts: Mapping[str, int] = field(default_factory=dict, compare=False, repr=False)

    def within(self, path: str) -> Place:
        """Return the place of a part, or of the nearest enclosing part that has a line."""
        while path:
            if path in self.parts:
                return Place(self.file, self.parts[path])
            path = path.rpartition(".")[0]
        return Place(self.file, self.line)


class WarmyardError(Exception):
    """Anything that ends a command with one plain sentence instead of a traceback."""

    exit_code = INPUT_WRONG


class InputError(WarmyardError):
    """A call or a value is wrong; the sentence says what would be right."""


class SourceError(WarmyardError):
    """One fault in a source file, printed as `file:line: what; what to do`."""

    exit_code = SOURCES_FAULTY

    def __init__(self, place: Place, what: str, what_to_do: str) -> None:
        super().__init__(f"{place.file}:{place.line}: {what}; {what_to_do}")
        self.place = place
        self.what = what
        self.what_to_do = what_to_do

    def as_record(self) -> dict[str, str | int]:
        """Return the fault as the JSON of `warmyard check --json` shows it."""
        return {"file": self.place.file, "line": self.place.line, "what": self.what, "what_to_do": self.what_to_do}


class SourceErrors(WarmyardError):  # noqa: N818 -- it is many errors, and its name says so
    """All faults of the sources, found in one run, in the order of file and line."""

    exit_code = SOURCES_FAULTY

    def __init__(self, faults: Iterable[SourceError]) -> None:
        self.faults = sorted(faults, key=lambda fault: (fault.place.file, fault.place.line, fault.what))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class VerificationError(WarmyardError):
    """A record failed a numbered step of its verification; nothing in it is believed."""

    exit_code = RECORD_BROKEN

    def __init__(self, step: str, what: str) -> None:
        super().__init__(f"{step}: {what}")
        self.step = step
        self.what = what
