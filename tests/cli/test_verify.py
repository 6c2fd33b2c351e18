"""`warmyard verify FILE`: what is handed out holds, is told in one sentence, and every forgery names its step."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from warmyard.cli.main import main


def certificates(demo: Any, person: str) -> list[Path]:
    """Return the certificate files of somebody, the newest last."""
    grants = [fact.body.certificate for fact in demo.state().grants.values() if fact.entry.person == person]
    return [path for name in grants if (path := demo.records / "certificates" / f"{name}.json").is_file()]


@pytest.fixture
def verify(demo: Any, capsys: pytest.CaptureFixture[str]) -> Any:
    """Give a function that verifies a file against the demo's record, and returns exit code and what was said."""

    def run(path: Path, *more: str) -> tuple[int, str]:
        code = main(["verify", str(path), "--records", str(demo.records), *more])
        said = capsys.readouterr()
        return code, (said.out + said.err).strip()

    return run


def test_a_certificate_its_jwt_and_a_list_hold(demo: Any, verify: Any) -> None:
    """Name, level, last day and the list that was looked into stand in the sentence."""
    path = certificates(demo, "asta")[-1]
    for file, what in ((path, "a certificate of Asta"), (path.with_suffix(".jwt"), "a certificate as JWT of Asta")):
        code, said = verify(file)
        assert code == 0
        assert said.startswith(what)
        assert "signed by the company, runs until" in said
        assert "not suspended by the list of" in said
    code, said = verify(demo.records / "status" / "status.js")
    assert (code, said.startswith("a status list of ")) == (0, True)


@pytest.mark.parametrize(
    ("person", "says"), [("cleo", "status: a certificate of Cleo Marrowby"), ("bram", "dates: a certificate of Bram")]
)
def test_what_does_not_hold_today_is_exit_code_3(demo: Any, verify: Any, person: str, says: str) -> None:
    """Suspended, and past its last day."""
    code, said = verify(certificates(demo, person)[-1])
    assert code == 3
    assert said.startswith(says)


def test_the_day_may_be_named(demo: Any, verify: Any) -> None:
    """Before it began, and long after the list, which then says nothing good of anybody."""
    path = certificates(demo, "asta")[-1]
    early, late = demo.made.date() - timedelta(days=400), demo.made.date() + timedelta(days=60)
    assert verify(path, "--on", str(early))[1].startswith("dates: ")
    assert "not of these days" in verify(path, "--on", str(late))[1]


def test_a_forgery_names_its_step(demo: Any, verify: Any, tmp_path: Path) -> None:
    """A changed word, a key twice, another company's key, a word of our own, and what is none of it."""
    path = certificates(demo, "asta")[-1]
    text = path.read_text("utf-8")
    document = json.loads(text)
    other = {**document, "issuer": {**document["issuer"], "id": "did:key:z6Mk" + "x" * 44}}
    files = {
        "proof": text.replace("Asta Fellweather", "Anna Forger"),
        "form": text.replace("{", '{"name": "twice", ', 1),
        "issuer": json.dumps(other),
        "form ": json.dumps({**document, "honest": True}),
        "form  ": "a letter to the customer",
        "form   ": "",
    }
    for step, forged in files.items():
        file = tmp_path / "forged.json"
        file.write_text(forged, "utf-8")
        code, said = verify(file)
        assert (code, said.partition(":")[0]) == (3, step.strip()), said


def test_without_a_key_nothing_is_believed(
    demo: Any, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The demo company pins no key of its own; the sentence says where one is named."""
    monkeypatch.delenv("WARMYARD_RECORDS", raising=False)
    assert main(["verify", str(certificates(demo, "asta")[-1])]) == 2
    assert "name its record with --records" in capsys.readouterr().err


def test_a_file_that_is_not_there(verify: Any, tmp_path: Path) -> None:
    """It is said which."""
    code, said = verify(tmp_path / "nothing.json")
    assert code == 2
    assert "nothing.json cannot be read" in said
