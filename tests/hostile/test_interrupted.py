"""Stopped in the middle, wherever a file and its entry could part: nothing is broken, nothing is half done."""

from __future__ import annotations

import errno
from collections.abc import Callable
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.acts.correction import EraseFile, VoidFile, enter_erase, enter_void
from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence_list
from warmyard.certify.acts.hand_in import hand_in
from warmyard.certify.acts.paper import issue_paper
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.demo.files import sitting_file
from warmyard.certify.exam.paper import Request
from warmyard.certify.exam.paper_key import read_key
from warmyard.certify.ledger import folders, ledger
from warmyard.certify.ledger.code import code_of
from warmyard.cli.main import main
from warmyard.course.workspace import Workspace


def stopped(*args: object) -> None:
    """Be stopped by the keyboard."""
    raise KeyboardInterrupt


def refused(*args: object) -> None:
    """Fail as a folder does that a virus scanner holds."""
    raise PermissionError(13, "Permission denied")


def person(target: Demo, workspace: Workspace) -> object:
    """Enter a person, whose name stands in a side file."""
    del workspace
    return enter_person(target.desk(), PersonFile(person="newman", name="Nea Newman"))


def evidence(target: Demo, workspace: Workspace) -> object:
    """Enter evidence with a text."""
    del workspace
    day = target.made.date().isoformat()
    file = EvidenceFile(person="karin", what="supervised-hours", level=2, by="tova", on=day, text="At the mill")
    return enter_evidence_list(target.desk(), [file])


def paper(target: Demo, workspace: Workspace) -> object:
    """Issue a paper, whose key stands in a file."""
    desk, level = target.desk(), workspace.scheme.levels[0]
    request = Request(person="karin", level=level, part=level.parts[0], scheme=workspace.scheme, now=desk.now)
    return issue_paper(desk, workspace, request)


def sitting(target: Demo, workspace: Workspace) -> object:
    """Mark a sitting, whose answers stand in a side file."""
    del workspace
    desk = target.desk()
    open_ones = [fact for name, fact in desk.state.papers.items() if name not in desk.state.sittings]
    data = sitting_file(read_key(target.records, open_ones[-1].body.paper, open_ones[-1].body.frozen_key), desk.now)
    return hand_in(desk, data, code_of(data))


ENTERING = {"a person": person, "evidence": evidence, "a paper": paper, "a sitting": sitting}


@pytest.mark.parametrize("stop", [stopped, refused])
@pytest.mark.parametrize("what", ENTERING)
def test_stopped_just_after_the_entry(
    target: Demo, small_workspace: Workspace, monkeypatch: pytest.MonkeyPatch, what: str, stop: Callable[..., None]
) -> None:
    """When the entry stands, its files stand too, whatever failed afterwards; the next writer finishes its name."""
    count = target.state().count
    monkeypatch.setattr(ledger, "_finish_name", stop)
    try:
        ENTERING[what](target, small_workspace)
    except KeyboardInterrupt:
        assert stop is stopped
    monkeypatch.undo()
    assert target.state().count == count + 1
    enter_void(target.desk(), VoidFile(entry=_evidence_of(target), because="mistake"))
    assert target.state().count == count + 2


def _evidence_of(target: Demo) -> int:
    return next(fact.entry.number for fact in target.state().facts["karin"] if fact.entry.kind == "evidence")


def test_a_new_key_stopped_just_after_its_entry(
    target: Demo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The office key that the ledger now names is kept, and its phrase is said: without it nothing more is signed."""
    path = tmp_path / "key.yaml"
    path.write_text("action: replace\nuse: office\n", "utf-8")
    call = ["enter", "key", str(path), "--records", str(target.records)]
    monkeypatch.setattr(ledger, "_finish_name", stopped)
    assert main(call) == 2
    monkeypatch.undo()
    said = capsys.readouterr().out
    phrase = tmp_path / "phrase.txt"
    phrase.write_text(said.rpartition(": ")[2], "utf-8")
    path.write_text("entry: NUMBER\nbecause: mistake\n".replace("NUMBER", str(_evidence_of(target))), "utf-8")
    call = ["enter", "void", str(path), "--phrase-file", str(phrase), "--records", str(target.records)]
    assert main(call) == 0


def test_a_key_set_aside_is_never_overwritten(target: Demo, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What a power cut left under the name of a key set aside stays, whoever makes a key next."""
    keys = target.records / "keys"
    left = keys / f"odile.before-{target.state().count + 1}.pem"
    left.write_bytes(b"left by a power cut")
    path = tmp_path / "key.yaml"
    path.write_text("action: replace\nperson: odile\n", "utf-8")
    assert main(["enter", "key", str(path), "--records", str(target.records)]) == 0
    assert left.read_bytes() == b"left by a power cut"
    assert (keys / f"{left.stem}-again.pem").exists()


@pytest.mark.parametrize("after", [0, 1, 5])
def test_an_erasure_stopped_in_the_middle_is_finished(
    target: Demo, monkeypatch: pytest.MonkeyPatch, after: int
) -> None:
    """Papers, certificates and forms of somebody erased go too when the machine stopped between the first and last."""
    papers = [name for name, fact in target.state().papers.items() if fact.entry.person == "asta"]
    (target.records / "forms").mkdir(exist_ok=True)
    (target.records / "forms" / "asta.build-up.form-aaaa.html").write_text("x", "utf-8")
    (target.records / "forms" / "asta-2.build-up.form-aaaa.html").write_text("x", "utf-8")
    (target.records / "papers" / f".{papers[0]}.html.new").write_text("x", "utf-8")
    gone, real = 0, Path.unlink

    def unlink(path: Path, missing_ok: bool = False) -> None:
        nonlocal gone
        if "asta" in path.name or any(name in path.name for name in papers) or path.parent.name == "certificates":
            gone += 1
            if gone > after:
                raise KeyboardInterrupt
        real(path, missing_ok=missing_ok)

    monkeypatch.setattr(Path, "unlink", unlink)
    with pytest.raises(KeyboardInterrupt):
        enter_erase(target.desk(), EraseFile(person="asta", because="left"))
    monkeypatch.undo()
    enter_void(target.desk(), VoidFile(entry=_evidence_of(target), because="mistake"))
    left = [path.name for path in target.records.rglob("*") if "asta" in path.name or papers[0] in path.name]
    assert left == ["asta-2.build-up.form-aaaa.html"]
    assert not (folders.PEOPLE.at(target.records) / "asta").exists()


def full(*args: object) -> None:
    """Fail as a full disk does."""
    raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize("place", ["ledger.write_through", "ledger.make_table", "envelope.save_key"])
def test_a_new_ledger_on_a_full_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing of it is left, neither a ledger without entries nor a key without a ledger, and the next try makes it."""
    call = ["ledger", "open", "--records", str(tmp_path / "records")]
    monkeypatch.setattr(f"warmyard.certify.ledger.{place}", full)
    assert main(call) == 2
    monkeypatch.undo()
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []
    assert main(call) == 0
    assert "phrase of office.pem" in capsys.readouterr().out


def test_a_full_disk_is_called_one(
    target: Demo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever could not be written, the sentence says that the disk is full and nothing was entered."""
    path = tmp_path / "fact.yaml"
    path.write_text("person: newman\nname: Nea Newman\n", "utf-8")
    monkeypatch.setattr("warmyard.certify.ledger.files.write_through", full)
    count = len(list((target.records / "entries").iterdir()))
    assert main(["enter", "person", str(path), "--records", str(target.records)]) == 2
    assert "the disk is full; make room, then try again" in capsys.readouterr().err
    assert len(list((target.records / "entries").iterdir())) == count
