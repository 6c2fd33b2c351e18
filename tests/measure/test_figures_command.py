"""`warmyard figures` on a small office: real ledger, papers, sittings, forms of two observers."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Literal

import pytest

from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.hand_in import hand_in
from warmyard.certify.exam.paper_key import Asked, PaperKey, key_bytes, key_path
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Erase, Observation, Paper, Person, Void
from warmyard.certify.ledger.code import code_of
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.side_files import write_side
from warmyard.cli.main import main
from warmyard.item.variant_model import ChoiceKey, NumberKey, Question, Shown, SlipValue, Variant

START = datetime(2027, 1, 4, 8, 0, tzinfo=UTC)
RIGHT: dict[str, dict[str, Any]] = {"q01": {"chosen": ["a"]}, "q02": {"text": "10 bar"}}
HALVED: dict[str, dict[str, Any]] = {"q01": {"chosen": ["b"]}, "q02": {"text": "5 bar"}}


def asked() -> tuple[Asked, ...]:
    """Return a paper of two questions: one to choose, one to compute."""
    options = (Shown(id="a", text="leave"), Shown(id="b", text="stay"), Shown(id="c", text="open a window"))
    choose = Question(item="q01", seed=0, kind="choice", ask="What first?", skill="", options=options)
    compute = Question(item="q02", seed=0, kind="numeric", ask="How much?", skill="", unit="bar")
    slip = SlipValue(id="halved", value=5, say="you halved it")
    number = NumberKey(value=10, shown="10 bar", unit="bar", tolerance=0.1, slips=(slip,), steps=())
    chosen = ChoiceKey(right=("a",), why={"a": "people first", "b": "no", "c": "no"})
    return (
        Asked(name="q01", item="fumes", duty="L", critical=True, seed=1, variant=Variant(question=choose, key=chosen)),
        Asked(name="q02", item="pump", duty="J", critical=False, seed=2, variant=Variant(question=compute, key=number)),
    )


def add_person(ledger: Ledger, person: str, office: SigningKey) -> None:
    """Enter a person with a side file."""
    side = write_side(ledger.folder, person, "person", {"name": person})
    ledger.append("person", person, Person(side=side), START.date(), START, office)


def sit(ledger: Ledger, person: str, attempt: int, answers: dict[str, dict[str, Any]], office: SigningKey) -> int:
    """Issue a paper, hand it in, and return the number of the sitting's entry."""
    paper, now = f"paper-{person}-{attempt}", START + timedelta(days=10 * attempt)
    key = PaperKey(
        salt="00", paper=paper, person=person, level=2, part="knowledge", attempt=attempt, sealed="0" * 64,
        cut_percent="75", questions=asked(),
    )  # fmt: skip
    write_whole(key_path(ledger.folder, paper), key_bytes(key))
    body = Paper(
        paper=paper, level=2, part="knowledge", scheme="0" * 64, page="0" * 64,
        frozen_key=envelope.digest(key_bytes(key)), questions="0" * 64, attempt=attempt, minutes=9,
        items=("fumes", "pump"),
    )  # fmt: skip
    ledger.append("paper", person, body, now.date(), now, office)
    claimed = {"started_at": "2027-01-04T09:00:00Z", "handed_in_at": "2027-01-04T09:09:00Z", "seconds": 540}
    sitting = {
        "format": "warmyard-sitting-1", "paper": paper, "person": person, "sealed": "0" * 64, "claimed": claimed,
        "answers": [{"question": name, "response": response} for name, response in answers.items()],
    }  # fmt: skip
    data = json.dumps(sitting).encode()
    return hand_in(Desk(ledger, now, office), data, code_of(data)).entry


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, SigningKey]:
    """Give the records of an office: four first sittings, one second, one void, one person erased, two observers."""
    folder, key = tmp_path_factory.mktemp("office") / "records", envelope.new_key()
    ledger = Ledger.create(folder, key, envelope.new_key(), START)
    for person in ("ann", "ben", "cay", "dov", "eve", "obs-1", "obs-2"):
        add_person(ledger, person, key)
    for person, answers in (("ann", RIGHT), ("ben", HALVED), ("cay", RIGHT), ("dov", HALVED)):
        sit(ledger, person, 1, answers, key)
    void = sit(ledger, "eve", 1, HALVED, key)
    sit(ledger, "ben", 2, RIGHT, key)
    late = START + timedelta(days=90)
    ledger.append("void", "", Void(entry=void, because="breach"), late.date(), late, key)
    seen: tuple[tuple[str, Literal["pass", "fail"]], ...] = (("obs-1", "pass"), ("obs-2", "fail"))
    for at, (observer, marks) in enumerate(seen):
        body = Observation(
            station="start", level=2, observers=(observer,), points={"a": "pass", "b": marks}, passed=marks == "pass",
            form=f"form-{at}", role="first" if at == 0 else "second",
        )  # fmt: skip
        ledger.append("observation", "ann", body, late.date(), late, key)
    ledger.append("erase", "dov", Erase(because="asked"), late.date(), late, key)
    return folder, key


def figures(folder: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """Return what the command prints as JSON."""
    assert main(["figures", "--json", "--records", str(folder)]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def test_the_sittings_of_the_ledger_become_figures(
    office: tuple[Path, SigningKey], capsys: pytest.CaptureFixture[str]
) -> None:
    """First tries, second tries and void sittings are told apart, and every figure has its n and bounds."""
    (paper,) = figures(office[0], capsys)["papers"]
    assert (paper["level"], paper["part"], paper["items"], paper["cut"]) == (2, "knowledge", 2, 2)
    first, every = paper["figures"]["passed, first try"], paper["figures"]["passed, all tries"]
    assert (first["n"], first["value"]) == (4, 0.5)
    assert (every["n"], every["value"]) == (5, 0.6)
    assert first["n_too_small"]
    assert 0 < first["low"] < 0.5 < first["high"] < 1


def test_wrong_answers_are_named_and_an_erased_person_takes_none_along(
    office: tuple[Path, SigningKey], capsys: pytest.CaptureFixture[str]
) -> None:
    """An option goes by its text, a number by its slip; nobody's taking is shown; the erased person's mark stays."""
    items = {item["id"]: item for item in figures(office[0], capsys)["items"]}
    assert items["fumes"]["facility"]["n"] == 5
    assert items["fumes"]["answers_taken"]["stay"]["n"] == 4
    assert items["fumes"]["answers_taken"]["stay"]["value"] == 0.25
    assert items["fumes"]["answers_taken"]["open a window"]["value"] == 0
    assert items["pump"]["answers_taken"]["halved"]["value"] == 0.25
    assert items["pump"]["given_out"] == 6


def test_two_forms_of_one_performance_are_compared(
    office: tuple[Path, SigningKey], capsys: pytest.CaptureFixture[str]
) -> None:
    """Two observers of one station on one day give one pair a point."""
    found = figures(office[0], capsys)
    assert found["observers"]["same"]["n"] == 2
    assert found["observers"]["same"]["value"] == 0.5
    assert found["stations"][0]["seen_by_two"] == 1


def test_people_can_read_it(office: tuple[Path, SigningKey], capsys: pytest.CaptureFixture[str]) -> None:
    """Without --json the same stands there in lines, each with n, and names no person."""
    assert main(["figures", "--records", str(office[0])]) == 0
    text = capsys.readouterr().out
    assert "passed, first try: 0.50 (n 4 sittings; 95 % 0.15 to 0.85, Wilson; n too small)" in text
    assert not any(name in text for name in ("ann", "ben", "obs-1"))


def test_ratings_give_each_paper_its_own_cut(
    office: tuple[Path, SigningKey], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With a panel's ratings every paper that was given out has its cut, its standard error and the n of judges."""
    panel = tmp_path / "panel.yaml"
    panel.write_text("fumes: [0.9, 0.8, 0.9]\npump: [0.6, 0.7, 0.5]\n", "utf-8")
    assert main(["figures", "--ratings", str(panel), "--records", str(office[0])]) == 0
    text = capsys.readouterr().out
    assert "paper-ann-1: cut 2 of 2, 73.3 %" in text
    assert "(n 3 judges)" in text
    assert "widest difference of two papers" in text
    assert "not parallel" not in text


@pytest.mark.parametrize(
    "text",
    ["", "fumes: [0.9]\n", "fumes: [0.9, 1.4]\n", "fumes: [0.9, 0.8]\npump: [0.5]\n", "- 3\n", "a: [x, y]\n", "a: [\n"],
)
def test_a_file_that_holds_no_ratings_is_one_sentence(
    text: str, office: tuple[Path, SigningKey], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One judge, a gap, a chance above 1 or something else ends with exit code 2 and no number."""
    panel = tmp_path / "panel.yaml"
    panel.write_text(text, "utf-8")
    assert main(["figures", "--ratings", str(panel), "--records", str(office[0])]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.strip().splitlines()) == 1


def test_a_broken_ledger_has_no_figures(
    office: tuple[Path, SigningKey], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One changed byte in an entry file ends the command with exit code 3 and no number."""
    import shutil

    copy = tmp_path / "copy"
    shutil.copytree(office[0], copy)
    entry = copy / "entries" / "000003.json"
    entry.write_bytes(entry.read_bytes().replace(b'"kind":"person"', b'"kind":"persom"'))
    assert main(["figures", "--records", str(copy)]) == 3
    said = capsys.readouterr()
    assert said.out == ""
    assert "entry 3" in said.err
