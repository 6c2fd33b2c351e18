"""`warmyard paper` and `warmyard mark` as an office types them: one sentence for each thing that is wrong."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.ledger.code import code_of
from warmyard.certify.ledger.ledger import Ledger
from warmyard.cli.main import main


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory, demo_made: Demo) -> Path:
    """Give a copy of the small demo's records folder: its one paper holds every kind of question."""
    folder = tmp_path_factory.mktemp("office") / "records"
    shutil.copytree(demo_made.records, folder)
    return folder


def entries(records: Path) -> int:
    """Return how many entries there are; the ledger is verified."""
    return Ledger.open(records).verify().count


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--level", "2", "--person", "zoe"], "enter the person first"),
        (["--level", "2", "--person", "../x"], "not a person id"),
        (["--level", "9", "--person", "dane"], "no level 9"),
        (["--level", "two", "--person", "dane"], "write its number"),
        (["--level", "2"], "--person"),
        (["--level", "2", "--person", "dane", "--part", "oral"], "no paper oral"),
        (["--level", "2", "--person", "dane", "--bank", "/nowhere/at/all"], "no folder"),
        (["--level", "2", "--person", "dane", "--station", "juggling"], "does not observe juggling"),
        (["--level", "2", "--person", "dane", "--key", "nobody"], "no key of nobody"),
    ],
)
def test_a_wrong_call_of_paper_is_one_sentence(
    records: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    """Exit 2, one line, nothing entered, no file written."""
    before = sorted(records.rglob("*"))
    assert main(["paper", *arguments, "--records", str(records)]) == 2
    shown = capsys.readouterr().err.strip().splitlines()
    assert said in shown[-1]
    assert len([line for line in shown if not line.startswith("demo:")]) == 1
    assert sorted(records.rglob("*")) == before


def test_a_bank_of_ones_own_is_used(records: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A bank that cannot fill the blueprint is named as such: exit 1 with the cell, and nothing issued."""
    (tmp_path / "one.yaml").write_text(
        "items:\n"
        "  - kind: choice\n"
        "    id: own-item\n"
        "    skill: match-delivery\n"
        "    criticality: 2\n"
        "    use: exam\n"
        "    demand: recall\n"
        "    ask: Which one is it?\n"
        "    options:\n"
        "      - {id: a, text: This one here, why: It is., right: true}\n"
        "      - {id: b, text: That one there, why: It is not.}\n",
        encoding="utf-8",
    )
    before = entries(records)
    arguments = ["paper", "--level", "2", "--person", "dane", "--bank", str(tmp_path), "--records", str(records)]
    assert main(arguments) == 1
    assert "the bank can fill 0" in capsys.readouterr().err
    assert entries(records) == before


def test_a_paper_says_where_it_is(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Entry, attempt, paper and slip stand on the screen; the phrase does not."""
    assert main(["paper", "--level", "2", "--person", "dane", "--records", str(records)]) == 0
    shown = capsys.readouterr().out
    entry = entries(records)
    assert f"entry {entry}: paper-" in shown
    paper = shown.split()[2]
    slip = (records / "papers" / f"{paper}.slip.txt").read_text(encoding="utf-8")
    phrase = slip.partition("Phrase")[2].split()[0]
    assert phrase not in shown
    assert str(records / "papers" / f"{paper}.html") in shown


def test_a_form_is_no_entry(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An observer's form is written and named; it counts as nothing."""
    before = entries(records)
    station = ["--station", "power-fuel-start-stop"]
    assert main(["paper", "--level", "2", "--person", "dane", *station, "--records", str(records)]) == 0
    path = Path(capsys.readouterr().out.splitlines()[0].removeprefix("form "))
    assert path.is_file()
    assert entries(records) == before


def test_wrong_calls_of_mark(records: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No such file, no code: exit 2. Not a sitting, a huge file: exit 3 with the step. One sentence each."""
    odd = tmp_path / "odd.json"
    odd.write_bytes(b"[]")
    huge = tmp_path / "huge.json"
    huge.write_bytes(b"x" * 3_000_000)
    calls = (
        (["nowhere.json", "--code", "A"], 2, "cannot be read"),
        ([str(odd)], 2, "--code"),
        ([str(odd), "--code", "A"], 3, "step 1, form"),
        ([str(huge), "--code", "A"], 3, "step 1, form"),
    )
    for arguments, code, said in calls:
        assert main(["mark", *arguments, "--records", str(records)]) == code
        assert said in capsys.readouterr().err


def test_marked_again_is_already_entry_n(records: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The demo's own sitting again: exit 0, the same entry, nothing new; without --json the sentence says it."""
    state = Ledger.open(records).verify()
    paper, fact = next(iter(state.sittings.items()))
    file = records / "sittings" / f"{paper}.json"
    code = code_of(file.read_bytes())
    assert main(["mark", str(file), "--code", code, "--records", str(records)]) == 0
    assert f"already entry {fact.entry.number}" in capsys.readouterr().out
    assert main(["mark", str(file), "--code", code, "--records", str(records), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["entry"], found["already"], found["passed"]) == (fact.entry.number, True, fact.body.passed)
    assert entries(records) == state.count


def test_a_paper_before_the_prerequisites_says_what_is_missing(
    records: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """An applicant may sit, and the office is told at once what a decision will wait for."""
    assert main(["paper", "--level", "2", "--person", "karin", "--records", str(records)]) == 0
    notes = [line for line in capsys.readouterr().out.splitlines() if line.startswith("note: ")]
    assert notes == [
        "note: prerequisite missing: Hours of work under supervision, logged (26 of 40); a decision waits for it"
    ]
