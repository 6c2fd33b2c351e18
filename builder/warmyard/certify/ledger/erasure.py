"""A person forgotten: every file of theirs, in every folder, is deleted; the ledger keeps numbers only."""

from __future__ import annotations

import shutil
from pathlib import Path

from warmyard.certify.ledger.files import sync_folder
from warmyard.certify.ledger.folders import PEOPLE, files_of_person
from warmyard.certify.ledger.state import State


def erase_files(records: Path, state: State, person: str) -> int:
    """Delete every file of a person: side files, papers, answers, certificates, and the words of others who declared
    an interest in the person; return how many."""
    gone = 0
    for path in list(files_of_person(records, state, person)):
        path.unlink()
        gone += 1
    folder = PEOPLE.at(records) / person
    if folder.is_symlink():
        folder.unlink()
    elif folder.is_dir():
        shutil.rmtree(folder)
        sync_folder(folder.parent)
    return gone


def finish_erasures(records: Path, state: State) -> None:
    """Delete again what an interrupted erasure left."""
    for member in state.people.values():
        if member.erased and (PEOPLE.at(records) / member.id).exists():
            erase_files(records, state, member.id)
