"""The folders of a record: one file knows them, and erasure finds what is somebody's in each, and nothing else."""

from __future__ import annotations

import ast
from datetime import timedelta
from pathlib import Path

import pytest

from warmyard.certify.acts.correction import EraseFile, enter_erase
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.ledger.database import DATABASE
from warmyard.certify.ledger.folders import CERTIFICATES, FOLDERS, KEYS, PAPERS, PEOPLE, files_of_person
from warmyard.certify.ledger.ledger import Ledger
from warmyard.errors import InputError

ROOT = Path(__file__).resolve().parents[3]
NAMES = {folder.name for folder in FOLDERS}


def test_every_folder_of_a_record_is_known(whole_demo) -> None:  # type: ignore[no-untyped-def]
    """The demo fills them all but one, and nothing else lies in a records folder."""
    found = {path.name for path in whole_demo.records.iterdir()}
    assert found <= NAMES | {DATABASE}
    assert NAMES - found <= {"forms", "notices"}


def folder_names_in(path: Path) -> list[str]:
    """Return every path that is put together with the name of a folder, as `line: name`."""
    found = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div) and isinstance(node.right, ast.Constant):
            name = str(node.right.value)
            if name.partition("/")[0] in NAMES:
                found.append(f"{node.lineno}: {name}")
    return found


def test_only_one_file_names_a_folder() -> None:
    """Who writes into a record names its folder by the one list, so that erasure knows of it."""
    package = ROOT / "builder" / "warmyard"
    files = [*(package / "certify").rglob("*.py"), *(package / "cli").rglob("*.py")]
    assert [f"{path.name}:{line}" for path in files for line in folder_names_in(path)] == []


def test_a_folder_named_elsewhere_is_found(tmp_path: Path) -> None:
    """The test above can fail."""
    (tmp_path / "sly.py").write_text('records = 1\nrecords / "letters"\nrecords / "people" / "x"\n', "utf-8")
    assert folder_names_in(tmp_path / "sly.py") == ["3: people"]


def test_a_person_is_found_in_every_folder(demo) -> None:  # type: ignore[no-untyped-def]
    """Asta's side files, paper, key, sitting and certificate; after erasure none is left, and the rest is."""
    state = demo.state()
    before = {path for path in demo.records.rglob("*") if path.is_file()}
    hers = set(files_of_person(demo.records, state, "asta"))
    assert {path.relative_to(demo.records).parts[0] for path in hers} >= {
        "certificates", "keys-of-papers", "papers", "people", "sittings",
    }  # fmt: skip
    enter_erase(demo.desk(), EraseFile(person="asta", because="asked"))
    after = {path for path in demo.records.rglob("*") if path.is_file()}
    assert before - after == hers


@pytest.mark.parametrize(
    ("folder", "spared"),
    [
        (CERTIFICATES, "c-k3v7q2xw5npa.json"),
        (PAPERS, "paper-k3v7q2xw5npa.html"),
        (KEYS, "cleo-2.pem"),
        (KEYS, "office.pem"),
    ],
    ids=["certificates", "papers", "keys", "office key"],
)  # fmt: skip
def test_an_id_reaches_no_longer_name(demo, folder, spared: str) -> None:  # type: ignore[no-untyped-def]
    """Ids that begin others (`c`, `paper`, `cleo`) and the names of the office's keys delete nothing of theirs."""
    path = folder.at(demo.records) / spared
    path.parent.mkdir(exist_ok=True)
    made = not path.exists()
    if made:
        path.write_bytes(b"somebody else's")
    state = demo.state()
    grant = next(fact for fact in state.grants.values() if fact.entry.person == "cleo")
    state.grants["c"] = grant
    state.papers["paper"] = next(fact for fact in state.papers.values() if fact.entry.person == "cleo")
    assert path not in set(files_of_person(demo.records, state, "cleo"))
    assert path not in set(files_of_person(demo.records, state, "office"))


def test_what_is_refused_changes_nothing(demo) -> None:  # type: ignore[no-untyped-def]
    """A refused append leaves state and folder as they were, and the desk goes on with the next fact."""
    desk = demo.desk()
    count, tip, files = desk.state.count, desk.state.tip, set(demo.records.rglob("*"))
    later = Desk(desk.ledger, desk.now - timedelta(days=2000), desk.signer)
    with pytest.raises(InputError, match="clock"):
        enter_person(later, PersonFile(person="nea", name="Nea Newman"))
    assert (desk.state.count, desk.state.tip) == (count, tip)
    assert desk.ledger.state is desk.state
    assert set(demo.records.rglob("*")) == files
    assert not (PEOPLE.at(demo.records) / "nea").exists()
    entered = enter_person(desk, PersonFile(person="nea", name="Nea Newman"))
    assert entered.entry.number == count + 1
    assert Ledger.open(demo.records).verify().count == count + 1
