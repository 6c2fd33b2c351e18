"""A words file with a lost, misspelt or empty word stops every verb of the office before anything is issued, written or
entered: exit code 1, one line at file and line, and the record as it was."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.cli.main import main

FAULTS = {
    "a lost name": ("paper:\n  level: 'Level {level}'\n", "course/words.yaml:2: the word paper.level lost {name}"),
    "a misspelt name": (
        "board:\n  witness: '{witnes} {count}'\n",
        "course/words.yaml:2: the word board.witness lost {witness} and has {witnes}, which nothing fills",
    ),
    "an empty word": (
        "certificate:\n  heading: ' '\n",
        "course/words.yaml:2: the word certificate.heading says nothing",
    ),
}
VERBS = {
    "paper": "paper --level 2 --person karin --part knowledge",
    "form": "paper --level 2 --person karin --station hand-over",
    "certificate": "certificate asta 2 --jwt OUT/asta.jwt",
    "notice": "enter notice OUT/notice.yaml",
    "mark": "mark OUT/void.yaml --code XXXX-XXXX-XXXX-XXXX",
    "void": "enter void OUT/void.yaml",
    "board": "clearance --out OUT/board.html",
    "table": "clearance",
    "calendar": "clearance --calendar OUT/due.ics",
    "evidence": "ledger evidence asta 2 --out OUT/asta.html",
    "requirements": "ledger requirements --out OUT/requirements.html",
    "export": "ledger export --out OUT/registers",
    "status": "ledger status",
    "figures": "figures",
}


@pytest.fixture
def yard(tmp_path: Path, workspace_root: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a folder with the sources of this checkout, but a words file of its own, and stand in it."""
    yard = tmp_path / "yard"
    (yard / "course").mkdir(parents=True)
    for path in (workspace_root / "course").iterdir():
        if path.name != "words.yaml":
            (yard / "course" / path.name).symlink_to(path)
    for name in ("quizbank", "site_config"):
        (yard / name).symlink_to(workspace_root / name)
    monkeypatch.chdir(yard)
    return yard


def files_in(folder: Path) -> dict[str, str]:
    """Return the digest of every file."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


@pytest.mark.parametrize("verb", VERBS)
def test_a_faulty_word_stops_the_verb(
    demo: Demo, yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], verb: str
) -> None:
    """Each fault, for each verb that issues, prints or enters."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "notice.yaml").write_text("changed: lesson:know-the-heater\n", encoding="utf-8")
    (out / "void.yaml").write_text("{entry: 40, because: error}\n", encoding="utf-8")
    before = files_in(demo.records), files_in(out)
    for text, line in FAULTS.values():
        (yard / "course" / "words.yaml").write_text(text, encoding="utf-8")
        capsys.readouterr()
        code = main([*VERBS[verb].replace("OUT", str(out)).split(), "--records", str(demo.records)])
        seen = capsys.readouterr()
        told = [each for each in seen.err.splitlines() if not each.startswith("demo:")]
        assert (code, seen.out, len(told)) == (1, "", 1), seen
        assert told[0].startswith(line)
        assert (files_in(demo.records), files_in(out)) == before


def test_a_company_speaks_its_own_words(demo: Demo, yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sound word over ours is what the table and JSON say."""
    (yard / "course" / "words.yaml").write_text("judge:\n  expired: 'abgelaufen am {day}'\n", encoding="utf-8")
    for more in ([], ["--json"]):
        assert main(["clearance", "--person", "bram", *more, "--records", str(demo.records)]) == 0
        said = capsys.readouterr().out
        assert "abgelaufen am" in said
        assert "expired" not in said


def test_a_suspension_never_waits_for_words(demo: Demo, yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Taking leave away goes on whatever is wrong with the words; the decider's own line needs none of them."""
    (yard / "course" / "words.yaml").write_text(FAULTS["an empty word"][0], encoding="utf-8")
    words = "decide asta 2 suspend --by ines --because incident-under-review"
    scheme = demo.state().scheme_now()
    assert scheme is not None
    reasons = [reason.id for reason in scheme.reasons if reason.action == "suspend"]
    assert main([*words.replace("incident-under-review", reasons[0]).split(), "--records", str(demo.records)]) == 0
    assert "suspend" in capsys.readouterr().out
