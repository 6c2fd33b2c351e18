"""What each verb needs of the sources: only a paper has to have its items proved, and a notice opens no bank."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.ledger.ledger import Ledger
from warmyard.cli.main import main
from warmyard.course import proof, workspace
from warmyard.course.lists import load_items

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory, demo_made: Demo) -> Path:
    """Give a copy of the small demo's records folder."""
    folder = tmp_path_factory.mktemp("office") / "records"
    shutil.copytree(demo_made.records, folder)
    return folder


@pytest.fixture
def proofs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Give the list of proofs made, on a machine that holds no stamp yet."""
    made: list[object] = []
    real = proof.prove_workspace
    monkeypatch.setattr(proof, "prove_workspace", lambda *given: made.append(given) or real(*given))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return made


@pytest.fixture
def openings(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Give the list of times that the question bank was read."""
    made: list[object] = []
    real = load_items
    monkeypatch.setattr(workspace, "load_items", lambda *given: made.append(given) or real(*given))
    return made


@pytest.mark.parametrize(
    "changed", ["lesson:know-the-heater", "sheet:{sheet}", "rule:mains-voltage"], ids=["lesson", "sheet", "rule"]
)
def test_a_notice_opens_no_question_bank(
    records: Path, tmp_path: Path, proofs: list[object], openings: list[object], changed: str
) -> None:
    """A title and a digest are wanted: no item is read, nothing is proved."""
    sheet = min((ROOT / "site_config" / "fleet").glob("*.yaml")).stem
    file = tmp_path / "notice.yaml"
    file.write_text(f"changed: {changed.format(sheet=sheet)}\n", "utf-8")
    assert main(["enter", "notice", str(file), "--records", str(records)]) == 0
    assert (proofs, openings) == ([], [])


def test_a_scheme_is_held_against_the_bank_as_it_is_read(
    records: Path, tmp_path: Path, proofs: list[object], openings: list[object]
) -> None:
    """Whether the bank fills a blueprint is counted; no item is drawn for it."""
    adopted = (ROOT / "tests" / "second_yard" / "site_config" / "scheme.yaml").read_text("utf-8")
    (tmp_path / "scheme.yaml").write_text(re.sub(r"(?m)^version: .*$", 'version: "next"', adopted), "utf-8")
    assert main(["enter", "scheme", str(tmp_path / "scheme.yaml"), "--records", str(records)]) == 0
    assert proofs == []
    assert len(openings) == 1


@pytest.mark.parametrize(
    "words",
    [
        ["ledger", "requirements", "--records", "{records}"],
        ["ledger", "evidence", "asta", "2", "--out", "{out}", "--records", "{records}"],
        ["paper", "--level", "2", "--person", "dane", "--station", "power-fuel-start-stop", "--records", "{records}"],
        ["suspects", "spark-no-flame"],
        ["work", "air-density", "t=20"],
    ],
    ids=["requirements", "evidence", "form", "suspects", "work"],
)
def test_what_only_shows_is_not_proved(records: Path, tmp_path: Path, proofs: list[object], words: list[str]) -> None:
    """Titles, stations, the machine and formulas are shown without drawing items, and no stamp is made by it."""
    assert main([word.format(records=records, out=tmp_path / "out.html") for word in words]) == 0
    assert proofs == []
    assert not (tmp_path / "cache").exists()


def test_a_paper_is_drawn_from_proved_items_only(
    records: Path, tmp_path: Path, proofs: list[object], capsys: pytest.CaptureFixture[str]
) -> None:
    """A bank that nobody proved is proved at once; a stamp saves that; one wrong answer, and nothing is issued."""
    bank = Path(shutil.copytree(ROOT / "quizbank" / "exam", tmp_path / "bank"))
    issue = ["paper", "--level", "2", "--person", "dane", "--bank", str(bank), "--records", str(records)]
    for _ in range(2):
        assert main(issue) == 0
        assert len(proofs) == 1
    issued = Ledger.open(records).verify().count
    capsys.readouterr()
    spoilt = next(file for file in sorted(bank.glob("*.yaml")) if "right: true" in file.read_text("utf-8"))
    spoilt.write_text(spoilt.read_text("utf-8").replace("right: true", "right: false", 1), "utf-8")
    assert main(issue) == 1
    assert "0 options are right" in capsys.readouterr().err
    assert Ledger.open(records).verify().count == issued
    assert len(proofs) == 2
