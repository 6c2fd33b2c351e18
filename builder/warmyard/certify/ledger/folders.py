"""The folders of a records folder: what each holds, and which of its files belong to somebody.

Nobody else knows their names: who writes a personal file names its folder here, and erasure asks every one of them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from warmyard.certify.ledger.state import State

Find: TypeAlias = Callable[[Path, State, str], Iterator[Path]]
"""Folder, record and person -> the files in it that belong to the person."""
KEPT_FOR_KEYS = ("office", "recovery", "papers")
"""Names of files in keys/ that belong to no person: a person of such an id would take their place."""


@dataclass(frozen=True, slots=True)
class Folder:
    """One folder of a records folder."""

    name: str
    find: Find | None = None
    """Finds the files of a person; None where nothing personal lies."""

    def at(self, records: Path) -> Path:
        """Return where the folder lies."""
        return records / self.name

    def of_person(self, records: Path, state: State, person: str) -> Iterator[Path]:
        """Yield the files that belong to a person."""
        if self.find is not None:
            yield from self.find(self.at(records), state, person)


def _called(folder: Path, names: Iterable[str]) -> Iterator[Path]:
    """Yield the files that are called by a name, half-written ones included: NAME.html, NAME.slip.txt, .NAME.pdf.new.

    Names hold no dot, so none reaches the files of a longer one.
    """
    wanted = "|".join(re.escape(name) for name in names)
    if wanted and folder.is_dir():
        called = re.compile(rf"\.?({wanted})\..*")
        yield from (path for path in folder.iterdir() if called.fullmatch(path.name))


def _forms(folder: Path, _: State, person: str) -> Iterator[Path]:
    yield from _called(folder, [person])


def _keys(folder: Path, _: State, person: str) -> Iterator[Path]:
    yield from _called(folder, [] if person in KEPT_FOR_KEYS else [person])


def _papers(folder: Path, state: State, person: str) -> Iterator[Path]:
    yield from _called(folder, [fact.body.paper for fact in state.papers.values() if fact.entry.person == person])


def _certificates(folder: Path, state: State, person: str) -> Iterator[Path]:
    # A certificate names its trainers, examiners and decider too; theirs can be written again without the name.
    naming = [
        name
        for name, fact in state.grants.items()
        if person in (fact.entry.person, fact.body.decider, *fact.body.trainers, *fact.body.examiners)
    ]
    yield from _called(folder, naming)


def _side_files(folder: Path, state: State, person: str) -> Iterator[Path]:
    """Yield a person's own side files, and the words of others who declared an interest in the person."""
    for fact in state.by_number.values():
        is_told = getattr(fact.body, "side", "") and person in fact.body.tells_of()
        if is_told and state.sides[fact.body.side] == fact.entry.number:
            told = folder / fact.entry.person / f"{fact.body.side}.json"
            yield from (told,) if told.exists() else ()
    own = folder / person
    if own.is_dir() and not own.is_symlink():
        yield from own.iterdir()


ENTRIES = Folder("entries")
SCHEMES = Folder("schemes")
KEYS = Folder("keys", _keys)
PAPERS = Folder("papers", _papers)
KEYS_OF_PAPERS = Folder("keys-of-papers", _papers)
SITTINGS = Folder("sittings", _papers)
FORMS = Folder("forms", _forms)
CERTIFICATES = Folder("certificates", _certificates)
NOTICES = Folder("notices")
STATUS = Folder("status")
PEOPLE = Folder("people", _side_files)
# People last: their folder tells an interrupted erasure from a whole one.
FOLDERS = (
    ENTRIES, SCHEMES, KEYS, PAPERS, KEYS_OF_PAPERS, SITTINGS, FORMS, CERTIFICATES, NOTICES, STATUS, PEOPLE,
)  # fmt: skip


def files_of_person(records: Path, state: State, person: str) -> Iterator[Path]:
    """Yield every file of a records folder that belongs to a person, whatever folder it lies in."""
    for folder in FOLDERS:
        yield from folder.of_person(records, state, person)
