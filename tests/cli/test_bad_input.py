"""Nonsense to every verb: one sentence, exit code 2 (1 for sources, 3 for a broken record), nothing written."""

from __future__ import annotations

import builtins
import io
import os
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.scheme import enter_scheme
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Person
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side
from warmyard.cli.main import VERBS, main
from warmyard.course.workspace import read_workspace

PHRASE = "AAAA-BBBB-CCCC-DDDD"
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
WORDS = {
    "empty": "",
    "blank": " ",
    "word": "nonsense",
    "way-up": "../../etc/passwd",
    "zero-byte": "a\0b",
    "no-text": "\udcff\udcfe",
    "signs": "\u202e\U0001f4a5\u0000\u0085",
    "huge": "9" * 5000,
    "endless": "1e999",
    "no-number": "nan",
    "minus": "-1",
    "other-digits": "\u0662",
    "option": "--no-such-option",
    "markup": "<b onclick=x>{0}%s",
    "long": "x" * 5000,
}
"""Words that are never right where a name, a number, a day or a code is asked for."""
FILES = ("missing", "folder", "binary", "blank", "deep", "huge-number", "twice", "unreadable", "zero-byte", "long-name")
"""Files that are never right where one is asked for; made in `bad`."""
OF_WORDS: dict[str, list[list[str]]] = {
    "check": [["--country", "?"], ["--bank", "?"], ["?"]],
    "build": [["--edition", "?"], ["--country", "?"], ["--bank", "?"]],
    "view": [["--edition", "?"], ["--port", "?x"], ["--country", "?"], ["--bank", "?"], ["?"]],
    "schema": [["?"]],
    "work": [["?"], ["fuel-volume", "?"], ["fuel-volume", "P=?"], ["fuel-volume", "?=1 kW"]],
    "suspects": [
        ["?"], ["spark-no-flame", "--saw", "?"], ["spark-no-flame", "--saw", "?=?"],
        ["spark-no-flame", "--context", "?"], ["spark-no-flame", "--from", "?"], ["spark-no-flame", "--level", "?x"],
    ],
    "paper": [
        ["--level", "?x", "--person", "ann"], ["--level", "2", "--person", "?"],
        ["--level", "2", "--person", "ann", "--part", "?"], ["--level", "2", "--person", "ann", "--station", "?"],
        ["--level", "2", "--person", "ann", "--bank", "?"], ["--level", "2", "--person", "ann", "--key", "?"],
        ["--level", "2", "--person", "ann", "--extra-time", "?"], ["?"],
    ],
    "mark": [
        ["?", "--code", "AAAA"], ["letter.txt", "--code", "?"], ["letter.txt", "--code", "A", "--invigilator", "?"],
    ],
    "enter": [["?", "letter.txt"], ["person", "?"], ["person", "letter.txt", "--key", "?"]],
    "decide": [
        ["?", "2", "grant", "--by", "dan", "--because", "requirements-met"],
        ["ann", "?x", "grant", "--by", "dan", "--because", "requirements-met"],
        ["ann", "2", "?", "--by", "dan", "--because", "requirements-met"],
        ["ann", "2", "grant", "--by", "?", "--because", "requirements-met"],
        ["ann", "2", "grant", "--by", "dan", "--because", "?"],
        ["ann", "2", "grant", "--by", "dan", "--because", "requirements-met", "--on", "?"],
    ],
    "certificate": [["?", "2"], ["ann", "?x"]],
    "clearance": [["--on", "?"], ["--person", "?"], ["--activity", "?"], ["?"]],
    "ledger": [["?"], ["verify", "--witness", "?"], ["evidence", "?", "2", "--out", "new.html"],
               ["evidence", "ann", "?x", "--out", "new.html"], ["verify", "?"]],
    "figures": [["?"], ["--ratings", "?"]],
    "upgrade": [["--on", "?"], ["?"]],
    "verify": [["?"], ["letter.txt", "--on", "?"], ["letter.txt", "--status", "?"], ["letter.txt", "?"]],
    "demo": [["?"]],
}  # fmt: skip
"""Verb -> calls with a bad word in the place of ?."""
OF_FILES: dict[str, list[list[str]]] = {
    "check": [["--bank", "?"]],
    "build": [["--bank", "?"]],
    "paper": [["--level", "2", "--person", "ann", "--bank", "?"]],
    "mark": [["?", "--code", "AAAA-AAAA-AAAA-AAAA"]],
    "enter": [
        [kind, "?"]
        for kind in ("person", "key", "evidence", "observation", "waiver", "appeal", "void", "scheme", "erase")
    ],
    "decide": [
        ["ann", "2", "suspend", "--by", "dan", "--because", "incident-under-review", "--phrase-file", "?"],
        ["ann", "2", "grant", "--by", "dan", "--because", "requirements-met", "--records", "?"],
    ],
    "certificate": [["ann", "2", "--phrase-file", "?"]],
    "clearance": [["--out", "?/board.html"], ["--records", "?"]],
    "ledger": [
        ["verify", "--records", "?"], ["status", "--phrase-file", "?"],
        ["requirements", "--out", "?/page.html"], ["evidence", "ann", "2", "--out", "?/page.html"],
        ["mend", "--records", "?"],
    ],
    "figures": [["--ratings", "?"], ["--records", "?"]],
    "upgrade": [["--records", "?"]],
    "verify": [["?"], ["letter.txt", "--status", "?"], ["letter.txt", "--records", "?"]],
    "demo": [["--records", "?"]],
}  # fmt: skip
"""Verb -> calls with a bad file in the place of ?."""
RECORDED = ("paper", "mark", "enter", "decide", "certificate", "clearance", "ledger", "figures", "upgrade", "verify")


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with the small yard, a small record beside it, and bad files; no test may change anything in it."""
    folder = tmp_path_factory.mktemp("place")
    shutil.copytree(SMALL_YARD, folder / "yard")
    (folder / "yard" / "letter.txt").write_text("dear office", encoding="utf-8")
    make_records(folder / "records")
    make_bad_files(folder / "bad")
    return folder


def make_records(records: Path) -> None:
    """Open a ledger with two people and the small yard's scheme."""
    start, office = datetime(2026, 1, 5, 8, 0, tzinfo=UTC), envelope.new_key()
    ledger = Ledger.create(records, office, envelope.new_key(), start)
    (records / "keys").mkdir()
    for name, key in (("office", office), ("dan", envelope.new_key())):
        envelope.save_key(key, records / "keys" / f"{name}.pem", PHRASE)
        (records / "keys" / f"{name}.phrase").write_text(PHRASE, encoding="ascii")
    now = start + timedelta(minutes=1)
    for person in ("ann", "dan"):
        side = write_side(records, person, "person", {"name": person.title()})
        body = Person(roles=("decider",) if person == "dan" else (), side=side)
        ledger.append("person", person, body, now.date(), now, office)
    scheme = read_workspace(SMALL_YARD).scheme
    enter_scheme(Desk(ledger, now, office), scheme)


def make_bad_files(folder: Path) -> None:
    """Write one file for each name of FILES that can be written."""
    (folder / "folder" / "inside").mkdir(parents=True)
    (folder / "folder" / "inside" / "letter.txt").write_text("dear office", encoding="utf-8")
    (folder / "binary").write_bytes(bytes(range(256)) * 40)
    (folder / "blank").touch()
    (folder / "deep").write_text("[" * 50_000, encoding="ascii")
    (folder / "huge-number").write_text('{"person": ' + "9" * 5000 + "}", encoding="ascii")
    (folder / "twice").write_text('{"person": "ann", "person": "dan"}', encoding="ascii")
    (folder / "unreadable").write_text("person: ann", encoding="ascii")


def bad_file(place: Path, name: str) -> str:
    """Return how a bad file is named on the command line."""
    return {"zero-byte": "a\0b", "long-name": "x" * 3000}.get(name, str(place / "bad" / name))


def tree_of(folder: Path) -> dict[str, tuple[int, int]]:
    """Return every path below a folder with its size and time of change."""
    found: dict[str, tuple[int, int]] = {}
    for entry in os.scandir(folder):
        seen = entry.stat(follow_symlinks=False)
        if entry.is_dir(follow_symlinks=False):
            found |= {entry.path: (seen.st_size, 0)} | tree_of(Path(entry.path))
        else:
            found[entry.path] = (seen.st_size, seen.st_mtime_ns)
    return found


@pytest.fixture
def refuse_unreadable(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make files called `unreadable` unreadable, which rights alone do not for the superuser."""
    real: Any = io.open

    def no_right(file: Any, *words: Any, **named: Any) -> Any:
        if isinstance(file, str | os.PathLike) and Path(file).name == "unreadable":
            raise PermissionError(13, "Permission denied", os.fspath(file))
        return real(file, *words, **named)

    monkeypatch.setattr(io, "open", no_right)
    monkeypatch.setattr(builtins, "open", no_right)


def cases() -> Iterator[Any]:
    """Yield every call: verb, words with ? in them, and the bad word or file for the ?."""
    for verb, calls in OF_WORDS.items():
        for words in calls:
            for name in WORDS:
                yield pytest.param(verb, words, "word", name, id=f"{verb}-{'-'.join(words)}-{name}")
    for verb, calls in OF_FILES.items():
        for words in calls:
            for name in FILES:
                if (verb, name) == ("demo", "missing"):
                    continue  # That is where a demo belongs.
                if name == "folder" and any(word.startswith("?/") for word in words):
                    continue  # That is where a page may be written.
                yield pytest.param(verb, words, "file", name, id=f"{verb}-{'-'.join(words)}-file-{name}")


def test_every_verb_is_tried() -> None:
    """No verb is left out."""
    assert set(OF_WORDS) == set(VERBS)


@pytest.mark.usefixtures("refuse_unreadable")
@pytest.mark.parametrize(("verb", "words", "kind", "name"), list(cases()))
def test_nonsense_is_refused_in_one_sentence(
    verb: str, words: list[str], kind: str, name: str, place: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """No traceback, one sentence of bearable length, the right exit code, and not one file touched."""
    monkeypatch.chdir(place / "yard")
    bad = WORDS[name] if kind == "word" else bad_file(place, name)
    call = [verb, *(word.replace("?", bad) for word in words)]
    if verb in RECORDED and "--records" not in words:
        call += ["--records", str(place / "records")]
    before = tree_of(place)
    code = main(call)
    seen = capsys.readouterr()
    lines = [line for line in seen.err.splitlines() if not line.startswith("demo:")]
    assert code in (1, 2, 3)
    assert len(lines) == 1 or (code == 1 and lines)
    assert all(5 < len(line) < 2_000 for line in lines)
    assert seen.out == ""
    assert "Traceback" not in seen.err
    assert tree_of(place) == before


@pytest.mark.parametrize("name", ["binary", "blank", "zero-byte", "long-name"])
def test_registers_go_into_a_folder_or_nowhere(
    name: str, place: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file, or no name at all, is no place for the registers."""
    monkeypatch.chdir(place / "yard")
    before = tree_of(place)
    out = f"{bad_file(place, name)}/export"
    assert main(["ledger", "export", "--out", out, "--records", str(place / "records")]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert tree_of(place) == before


@pytest.mark.parametrize("words", [[], ["fly"], [""], ["check", "--country="], ["\0"], ["x" * 9000]])
def test_no_verb_or_none_that_is_known(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Without a verb, with one that does not exist, or with nothing after an option: exit code 2."""
    assert main(words) == 2
    seen = capsys.readouterr()
    assert len(seen.err) < 2_000
    assert not words or len(seen.err.splitlines()) == 1


def test_a_disk_error_is_one_sentence(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """What the operating system refuses, wherever it does, ends with its reason and exit code 2."""

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "/records/ledger.sqlite")

    monkeypatch.setattr("warmyard.cli.work.run", full)
    assert main(["work", "fuel-volume"]) == 2
    assert capsys.readouterr().err == "the disk is full; make room, then try again (/records/ledger.sqlite)\n"
