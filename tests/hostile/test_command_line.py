"""Clumsy and hostile calls: one sentence, exit code 2, the record as it was."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.ledger import Ledger
from warmyard.cli.main import main


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def refused(call: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Return the sentence of a call that is refused."""
    assert main(call) == 2
    said = capsys.readouterr().err
    assert "Traceback" not in said
    return [line for line in said.splitlines() if not line.startswith("demo:")][-1]


@pytest.mark.parametrize("level", ["\u00b2", "\u0662", "2.0", "two", "-2", "0", "999", "2 "])
@pytest.mark.parametrize("verb", [["paper", "--person", "dane", "--level"], ["certificate", "asta"]])
def test_a_level_that_is_no_number(
    target: Demo, verb: list[str], level: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Signs that look like a digit are none; so is a number that is no level."""
    last = verb[-1]
    call = [*verb[:-1], f"{last}={level}"] if last.startswith("--") else [*verb, "--records", "x", "--", level]
    records = [] if "x" in call else ["--records", str(target.records)]
    assert "is not a level" in refused([*call, *records], capsys)


@pytest.mark.parametrize(
    "where",
    ["ledger.sqlite", "ledger.sqlite-journal", "entries/000009.json", "keys/office.pem", "people/asta/x.html"],
)
@pytest.mark.parametrize(
    "call",
    [
        ["clearance", "--out"],
        ["clearance", "--calendar"],
        ["ledger", "evidence", "dane", "2", "--out"],
        ["ledger", "requirements", "--out"],
        ["certificate", "asta", "2", "--jwt"],
    ],
)
def test_a_page_written_over_the_record(
    target: Demo, call: list[str], where: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing that is printed takes the place of the ledger, of an entry, of a key or of a side file."""
    before = bytes_of(target.records)
    said = refused([*call, str(target.records / where), "--records", str(target.records)], capsys)
    assert "name another place" in said
    assert bytes_of(target.records) == before


def test_registers_written_among_the_entries(target: Demo, capsys: pytest.CaptureFixture[str]) -> None:
    """Registers beside the entries would break the ledger for its readers."""
    call = ["ledger", "export", "--out", str(target.records / "entries"), "--records", str(target.records)]
    assert "name another place" in refused(call, capsys)
    target.state()


@pytest.mark.parametrize(
    "call",
    [
        ["ledger", "status"],
        ["ledger", "evidence", "dane", "2", "--out", "OUT"],
        ["ledger", "requirements"],
        ["ledger", "export", "--out", "OUT"],
    ],
)
def test_a_clock_set_back_publishes_nothing(
    target: Demo, call: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A status list of a past day would not hold what was suspended today, and pages would take it for the newest."""
    past = target.made - timedelta(days=100)
    for module in ("ledger", "evidence", "requirements"):
        monkeypatch.setattr(f"warmyard.cli.{module}.now", lambda: past)
    before = bytes_of(target.records)
    words = [str(tmp_path / "out.html") if word == "OUT" else word for word in call]
    assert "set the clock" in refused([*words, "--records", str(target.records)], capsys)
    assert bytes_of(target.records) == before


@pytest.mark.parametrize("call", [["clearance"], ["demo"], ["ledger", "open"], ["ledger", "verify"]])
def test_the_home_of_nobody(call: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """A folder of a user whom this machine does not know is no folder."""
    assert "is no name of a file or folder" in refused([*call, "--records", "~nobody-of-that-name/x"], capsys)


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (["clearance"], 2),
        (["figures"], 0),
        (["ledger", "verify"], 0),
        (["ledger", "requirements"], 0),
        (["ledger", "export"], 0),
        (["ledger", "witness"], 0),
        (["ledger", "evidence", "asta", "2", "--out", "OUT"], 2),
        (["paper", "--level", "2", "--person", "asta"], 2),
        (["decide", "asta", "2", "grant", "--by", "ines", "--because", "requirements-met"], 2),
        (["certificate", "asta", "2"], 2),
        (["enter", "void", "OUT"], 2),
    ],
)
def test_every_verb_on_a_ledger_of_one_entry(
    tmp_path: Path, call: list[str], code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """An office on its first day is answered in words by every verb."""
    now = datetime.now().astimezone().replace(microsecond=0)
    records = tmp_path / "records"
    Ledger.create(records, envelope.new_key(), envelope.new_key(), now)
    words = [str(tmp_path / "out.html") if word == "OUT" else word for word in call]
    assert main([*words, "--records", str(records)]) == code
    seen = capsys.readouterr()
    assert bool(seen.err) == (code == 2)
