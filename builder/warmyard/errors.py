"""Every error that a person may see: what was found, where, and what to do about it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

SOURCES_FAULTY = 1
INPUT_WRONG = 2
RECORD_BROKEN = 3
MOST_PLACES = 6
"""As many other places as a fault lists that name the same."""


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

    def __init__(self, place: Place, what: str, what_to_do: str, *, loses: str | None = "") -> None:
        super().__init__(f"{place.file}:{place.line}: {what}; {what_to_do}")
        self.place = place
        self.what = what
        self.what_to_do = what_to_do
        self.loses = loses
        """The text that was lost by this fault, with all the names in it; None where it may have held any name."""

    @property
    def is_root(self) -> bool:
        """Say whether other faults may only follow from this one."""
        return self.loses != ""

    def may_lose(self, name: str) -> bool:
        """Say whether a name may be missing because of this fault."""
        if self.loses is None or self.place.file.endswith(f"/{name}"):
            return self.is_root
        return re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", self.loses) is not None

    def as_record(self) -> dict[str, str | int]:
        """Return the fault as the JSON of `warmyard check --json` shows it."""
        return {"file": self.place.file, "line": self.place.line, "what": self.what, "what_to_do": self.what_to_do}


SourceKind: TypeAlias = Literal[
    "chart", "company", "deck", "formula", "fuel", "instrument", "item", "machine", "page", "picture", "procedure",
    "rule", "scheme", "sheet", "skill", "source", "station", "stop", "table", "term", "words",
]  # fmt: skip
"""What sources hold; a name belongs to the kind in whose sources it is written."""
Faults: TypeAlias = Mapping[SourceKind, list[SourceError]]
"""Kind of source -> its faults."""


class FollowingError(SourceError):
    """A fault that may only follow from another: it rests on names, each of a kind, that may have been lost."""

    def __init__(
        self,
        place: Place,
        what: str,
        what_to_do: str,
        *needs: tuple[SourceKind, str],
        loses: str | None = "",
        names_nothing: bool = False,
    ) -> None:
        super().__init__(place, what, what_to_do, loses=loses)
        self.needs = needs
        self.names_nothing = names_nothing
        """True when the fault is a name that is nowhere; those of one name are told in one line."""


def root_causes(faults: Faults) -> list[SourceError]:
    """Return the faults without those that only follow from another: a name may be missing that a fault has lost.

    Two that each lose a name and rest on the same ones do not silence each other; of faults in a ring the first is
    kept. A name that is nowhere is one fault, with all places that name it.
    """
    kinds = {id(fault): kind for kind, of_kind in faults.items() for fault in of_kind}
    every = [fault for of_kind in faults.values() for fault in of_kind]
    waiting = [fault for fault in every if isinstance(fault, FollowingError)]
    kept = [fault for fault in every if not isinstance(fault, FollowingError)]
    losing = [fault for fault in kept if fault.is_root]
    while waiting:
        if not losing:
            first = next((one for one in waiting if not _rests_on_any(one, waiting, kinds)), waiting[0])
            waiting.remove(first)
            kept.append(first)
            losing = [first]
        silenced = [one for one in waiting if _rests_on_any(one, losing, kinds)]
        waiting = [one for one in waiting if one not in silenced]
        losing = [one for one in silenced if one.is_root]
    return _one_a_name(kept)


def _one_a_name(faults: Iterable[SourceError]) -> list[SourceError]:
    kept: list[SourceError] = []
    by_name: dict[tuple[tuple[SourceKind, str], ...], list[FollowingError]] = {}
    for fault in faults:
        if isinstance(fault, FollowingError) and fault.names_nothing:
            by_name.setdefault(fault.needs, []).append(fault)
        else:
            kept.append(fault)
    for same in by_name.values():
        first, *others = sorted(same, key=lambda fault: (fault.place.file, fault.place.line))
        places = list(dict.fromkeys(f"{one.place.file}:{one.place.line}" for one in others))
        more = f" and {len(places) - MOST_PLACES} more" if len(places) > MOST_PLACES else ""
        also = f" (named at {', '.join(places[:MOST_PLACES])}{more} too)" if places else ""
        kept.append(SourceError(first.place, first.what, first.what_to_do + also, loses=first.loses))
    return kept


def _rests_on_any(fault: FollowingError, others: Iterable[SourceError], kinds: Mapping[int, SourceKind]) -> bool:
    """Say whether a name that a fault rests on may have been lost by one of the others."""
    return any(
        other is not fault
        and other.is_root
        and not (fault.is_root and getattr(other, "needs", None) == fault.needs)
        and any(kinds[id(other)] == kind and other.may_lose(name) for kind, name in fault.needs)
        for other in others
    )


class SourceErrors(WarmyardError):  # noqa: N818 -- it is many errors, and its name says so
    """All faults of the sources, found in one run: those that others may follow from first, then by file and line."""

    exit_code = SOURCES_FAULTY

    def __init__(self, faults: Iterable[SourceError]) -> None:
        self.faults = sorted(
            faults, key=lambda fault: (not fault.is_root, fault.place.file, fault.place.line, fault.what)
        )
        super().__init__("\n".join(str(fault) for fault in self.faults))


class VerificationError(WarmyardError):
    """A record failed a numbered step of its verification; nothing in it is believed."""

    exit_code = RECORD_BROKEN

    def __init__(self, step: str, what: str) -> None:
        super().__init__(f"{step}: {what}")
        self.step = step
        self.what = what
