"""Attacks on the folder around the ledger: links, pipes, planted journals, huge files, wrong clocks."""

from __future__ import annotations

import os
import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.acts.correction import EraseFile, enter_erase
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.ledger.database import DATABASE
from warmyard.certify.ledger.folders import ENTRIES
from warmyard.certify.ledger.ledger import Ledger
from warmyard.cli import record as record_module
from warmyard.cli.main import main
from warmyard.errors import InputError


def entry(target: Demo, number: int) -> Path:
    """Return the file of an entry."""
    return ENTRIES.at(target.records) / f"{number:06}.json"


def test_a_link_in_the_place_of_an_entry(target: Demo) -> None:
    """A symbolic link is no entry file, even to the right bytes."""
    kept = target.records / "kept.json"
    entry(target, 9).rename(kept)
    entry(target, 9).symlink_to(kept)
    assert target.broken().step == "step 2, files"


def test_a_pipe_among_the_entries_does_not_hang_the_reader(target: Demo) -> None:
    """A named pipe is refused at once and never waited for."""
    os.mkfifo(entry(target, 999))
    assert target.broken().step == "step 2, files"


def test_a_folder_among_the_entries(target: Demo) -> None:
    """A folder is no entry."""
    entry(target, 999).mkdir()
    assert target.broken().step == "step 2, files"


def test_a_huge_file_among_the_entries_is_not_read(target: Demo) -> None:
    """A file of a gigabyte, sparse, is refused without reading it."""
    with entry(target, 999).open("wb") as file:
        file.truncate(1_000_000_000)
    assert target.broken().step == "step 2, files"


def test_a_planted_journal_cannot_roll_back_unseen(target: Demo) -> None:
    """A journal file from elsewhere is rolled back or ignored by SQLite; the verification judges what is left."""
    journal = target.records / f"{DATABASE}-journal"
    journal.write_bytes(b"\xd9\xd5\x05\xf9\x20\xa1\x63\xd7" + os.urandom(2000))
    count = len(list((ENTRIES.at(target.records)).iterdir()))
    assert target.state().count == count


def test_a_write_ahead_log_is_not_used(target: Demo) -> None:
    """A -wal file beside the database adds nothing."""
    (target.records / f"{DATABASE}-wal").write_bytes(os.urandom(4096))
    assert target.state().count == len(list((ENTRIES.at(target.records)).iterdir()))


def test_a_person_folder_that_is_a_link_elsewhere(target: Demo, tmp_path: Path) -> None:
    """Erasing a person whose folder was replaced by a link deletes nothing outside the records."""
    outside = tmp_path / "outside"
    shutil.move(target.records / "people" / "dane", outside)
    (target.records / "people" / "dane").symlink_to(outside)
    enter_erase(target.desk(), EraseFile(person="dane", because="left"))
    assert list(outside.iterdir())
    assert not (target.records / "people" / "dane").exists()


def test_a_file_name_of_another_person_is_spared(target: Demo) -> None:
    """Erasing `asta` deletes nothing that belongs to an id that begins alike."""
    enter_person(target.desk(), PersonFile(person="asta-2", name="Somebody Else"))
    later = Desk(Ledger.open(target.records), target.made + timedelta(minutes=9), target.key("office"))
    enter_erase(later, EraseFile(person="asta", because="left"))
    assert (target.records / "people" / "asta-2").exists()
    target.state()


def test_a_clock_set_back_clears_nobody(
    target: Demo, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """When the machine's clock is before the last entry, "today" is refused; a named day is answered."""
    past = target.made - timedelta(days=100)
    for module in ("warmyard.cli.clearance", "warmyard.cli.decide"):
        monkeypatch.setattr(f"{module}.now", lambda: past)
    assert main(["clearance", "--records", str(target.records)]) == 2
    seen = capsys.readouterr()
    assert (seen.out, "set the clock" in seen.err) == ("", True)
    assert main(["clearance", "--on", target.made.date().isoformat(), "--records", str(target.records)]) == 0
    words = ["decide", "asta", "2", "suspend", "--by", "ines", "--because", "incident-under-review"]
    assert main([*words, "--records", str(target.records)]) == 2
    assert "set this machine's clock" in capsys.readouterr().err


def test_no_environment_variable_tells_the_time(target: Demo, monkeypatch: pytest.MonkeyPatch) -> None:
    """SOURCE_DATE_EPOCH and the like change nothing."""
    before = record_module.now()
    for name in ("SOURCE_DATE_EPOCH", "WARMYARD_NOW", "FAKETIME"):
        monkeypatch.setenv(name, "0")
    assert record_module.now() - before < timedelta(minutes=1)


@pytest.mark.parametrize("person", ["../office", "office/../ines", "ines.pem", "-", "a" * 41, "", "ines\n", "İnes"])
def test_a_decider_whose_name_is_a_path(target: Demo, person: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A decider's id never leads to a file outside keys/, and is refused in one sentence."""
    words = ["decide", "asta", "2", "suspend", f"--by={person}", "--because", "incident-under-review"]
    assert main([*words, "--records", str(target.records)]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_records_inside_the_sources_are_refused(workspace_root: Path) -> None:
    """Nobody keeps people's records in the repository by mistake."""
    from warmyard.cli.where import SOURCE_ROOT, records_folder

    with pytest.raises(InputError, match="outside"):
        records_folder(str(SOURCE_ROOT / "records"), must_exist=False)
    assert workspace_root.is_dir()
