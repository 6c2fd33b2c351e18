"""A record that the tool of November 2026 kept (entries of format 1) is read, answered from and carried on with.

`tests/golden/record-1` was made by that tool from its demo: one office, twenty-five people, papers, sittings, forms,
certificates, a stolen key, a person erased, an entry made void, and Otis, who was granted and later restored under one
waiver. `board.json` is what it answered on three days. Nothing of it is ever made anew.
"""

from __future__ import annotations

import json
import shutil
import zipfile
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import msgspec
import pytest

from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.hand_in import hand_in
from warmyard.certify.acts.observation import enter_form
from warmyard.certify.credential.certificate import read_credential
from warmyard.certify.credential.status import open_status_list
from warmyard.certify.exam.paper_key import read_key
from warmyard.certify.exam.sitting import mark_sitting, read_sitting
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.admission import place_entry
from warmyard.certify.ledger.entry import make_entry
from warmyard.certify.ledger.folders import CERTIFICATES, STATUS
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.people import names
from warmyard.certify.ledger.side_files import read_side
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.clearance import as_records, board
from warmyard.cli.main import main
from warmyard.course.model import Station
from warmyard.course.station import load_stations
from warmyard.errors import SourceError, VerificationError
from warmyard.formats import entries
from warmyard.formats import schemes as scheme_formats
from warmyard.formats.register import NewerFormatError
from warmyard.words import own_words

GOLDEN = Path(__file__).resolve().parents[1] / "golden" / "record-1"
LATER = datetime(2026, 12, 1, 9, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the record, unpacked, to look at only."""
    folder = tmp_path_factory.mktemp("record-1")
    with zipfile.ZipFile(GOLDEN / "records.zip") as packed:
        packed.extractall(folder)
    return folder / "records"


@pytest.fixture(scope="module")
def state(kept: Path) -> State:
    """Give what it says, verified, with the witness that was printed then."""
    return Ledger.open(kept).verify([(GOLDEN / "witness.txt").read_text("ascii")])


@pytest.fixture
def desk(kept: Path, tmp_path: Path) -> Desk:
    """Give the office's desk at a copy of it, some days later."""
    records = tmp_path / "records"
    shutil.copytree(kept, records)
    pem = records / "keys" / "office.pem"
    key = envelope.load_key(pem, pem.with_suffix(".phrase").read_text("ascii"))
    return Desk(Ledger.open(records), LATER, key)


def test_the_board_answers_as_it_did(kept: Path, state: State) -> None:
    """Who may go alone, until when and why not is on three days what the tool of then said, for everybody."""
    answered = json.loads((GOLDEN / "board.json").read_text("utf-8"))
    named = names(kept, state)
    assert len(answered) == 3
    for day, wanted in answered.items():
        found = board(state, date.fromisoformat(day), named=named)
        assert as_records(found, own_words()) == wanted, day


def test_all_its_entries_are_of_the_first_format(state: State) -> None:
    """Otherwise this would test the tool against itself."""
    assert state.count == 288
    assert {fact.entry.format for fact in state.by_number.values()} == {1}


def test_every_sitting_is_marked_again_with_the_same_outcome(kept: Path, state: State) -> None:
    """From the answers in the side file and the frozen key, both as they were kept."""
    marked = 0
    for paper, sitting in state.sittings.items():
        fact = state.papers[paper]
        if state.people[fact.entry.person].erased:
            continue
        handed_in = read_side(kept, fact.entry.person, sitting.body.side)["handed_in"]
        found = mark_sitting(read_sitting(handed_in.encode()), read_key(kept, paper, fact.body.frozen_key))
        assert (found.right, found.of, found.passed) == (sitting.body.right, sitting.body.of, sitting.body.passed)
        marked += 1
    assert marked > 12


def test_a_paper_of_then_is_handed_in_today(desk: Desk) -> None:
    """What its page saves is marked once, and the entry is of the newest format."""
    data, code = (GOLDEN / "handed-in.json").read_bytes(), (GOLDEN / "handed-in.code").read_text("ascii")
    marked = hand_in(desk, data, code)
    assert marked.body.passed
    assert desk.state.by_number[marked.entry].entry.format == entries.ENTRY.version
    assert Ledger.open(desk.records).verify().count == 289


def test_a_form_of_then_is_entered_today(desk: Desk) -> None:
    """What an observer's tablet saved is read, judged by the points of then, and entered."""
    data, code = (GOLDEN / "form.json").read_bytes(), (GOLDEN / "form.code").read_text("ascii")
    entered = enter_form(desk, data, code, stations_of_then())
    assert "of dane: passed" in entered.say


def test_a_form_of_a_station_that_has_changed_since_is_refused(desk: Desk) -> None:
    """Other points than the observer saw would give another outcome: the station is named, nothing is entered."""
    data, code = (GOLDEN / "form.json").read_bytes(), (GOLDEN / "form.code").read_text("ascii")
    changed = {name: msgspec.structs.replace(one, points=one.points[1:]) for name, one in stations_of_then().items()}
    with pytest.raises(VerificationError, match="power-fuel-start-stop was changed"):
        enter_form(desk, data, code, changed)


def stations_of_then() -> Mapping[str, Station]:
    """Return the stations as they were when the record was kept, as far as its forms name them."""
    faults: list[SourceError] = []
    found = load_stations(GOLDEN / "stations", GOLDEN, faults)
    assert not faults
    return found


def test_its_certificates_and_its_status_list_are_read(kept: Path, state: State) -> None:
    """Every certificate that still lies there, and the list that the verify page has."""
    given = list(CERTIFICATES.at(kept).glob("*.json"))
    assert len(given) > 10
    for path in given:
        assert read_credential(json.loads(path.read_bytes())).credentialSubject.licenseNumber == path.stem
    office = state.keys[state.office]
    text = (STATUS.at(kept) / "status.js").read_text("utf-8")
    assert open_status_list(text.partition('"')[2].partition('"')[0], {office.id: office.public}).v == 1


def test_an_old_format_cannot_be_chosen_after_a_new_one(desk: Desk) -> None:
    """Once the ledger has an entry of the newest format, one of an older is refused at its place."""
    entry, state = desk.ledger.append("interest", "ines", {}, LATER.date(), LATER, desk.signer)
    assert entry.format == 2
    forged = msgspec.structs.replace(
        make_entry(
            number=state.count + 1, previous=state.tip, recorded_at=LATER + timedelta(minutes=1),
            effective_on=LATER.date(), kind="interest", person="ines", body={}, signer=desk.signer,
        ),
        format=1,
    )  # fmt: skip
    with pytest.raises(VerificationError, match="of format 1, and the entry before it is of format 2"):
        place_entry(state, forged)


def test_an_entry_of_a_newer_tool_is_called_so(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """One sentence says which entry, which format, and what to do; it is no broken record."""
    body = entries.BODIES["interest"]
    newer_entry = replace(entries.ENTRY, shapes={**entries.ENTRY.shapes, 3: entries.Signed2})
    newer_body = replace(body, shapes={**body.shapes, 3: body.shapes[2]}, upgrades={**body.upgrades, 2: dict})
    with monkeypatch.context() as patch:
        patch.setattr("warmyard.certify.ledger.entry.ENTRY", newer_entry)
        patch.setitem(entries.BODIES, "interest", newer_body)
        desk.ledger.append("interest", "ines", {}, LATER.date(), LATER, desk.signer)
    with pytest.raises(NewerFormatError) as caught:
        Ledger.open(desk.records).verify()
    assert str(caught.value) == (
        "entry 289: an entry of the ledger is of format 3, and this Warmyard reads formats up to 2; "
        "install a newer Warmyard"
    )


@pytest.mark.parametrize("lost", ["open", "decision", "person", "scheme"])
def test_it_is_unreadable_without_its_upgrade(kept: Path, lost: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where an upgrade function is taken away, this record cannot be read: the golden tests would be red."""
    if lost == "scheme":
        name, without = "SCHEMES", replace(scheme_formats.SCHEMES, upgrades={})
        monkeypatch.setattr(scheme_formats, name, without)
    else:
        monkeypatch.setitem(entries.BODIES, lost, replace(entries.BODIES[lost], upgrades={}))
    with pytest.raises((KeyError, VerificationError, msgspec.ValidationError)):
        Ledger.open(kept).verify()


def test_upgrade_says_whom_a_stricter_tool_would_touch(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Otis was granted and restored under one waiver; today it serves one decision. He keeps leave and is named."""
    before = {path: path.read_bytes() for path in kept.rglob("*") if path.is_file()}
    assert main(["upgrade", "--records", str(kept), "--on", "2026-11-25", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["entries"] == {"1": 288}
    assert {(each["person"], each["may_go_alone"], each["would_go_alone"]) for each in told["changes"]} == {
        ("otis", True, False)
    }
    assert all("restoration (entry 286) has no force" in each["reason"] for each in told["changes"])
    assert main(["upgrade", "--records", str(kept), "--on", "2026-11-25"]) == 0
    said = capsys.readouterr().out
    assert "288 entries: 288 of format 1; this tool writes format 2" in said
    assert "Otis Langstroth (otis)\n  would lose " in said
    assert "Nothing was written" in said
    assert {path: path.read_bytes() for path in kept.rglob("*") if path.is_file()} == before
