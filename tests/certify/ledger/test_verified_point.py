"""The verified point: what it spares, what it never spares, and when it is no point."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.ledger import envelope, verified_point
from warmyard.certify.ledger.database import DATABASE
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.verified_point import kept_point
from warmyard.cli.main import main


@pytest.fixture
def points(tmp_path: Path) -> Path:
    """Give a folder for points."""
    return tmp_path / "points"


@pytest.fixture
def looked_at(monkeypatch: pytest.MonkeyPatch) -> list[bytes]:
    """Give the list of what signatures are looked at over, as it grows."""
    seen: list[bytes] = []
    real = envelope.verify

    def verify(public: bytes, data: bytes, signature: bytes) -> None:
        seen.append(data)
        real(public, data, signature)

    monkeypatch.setattr(envelope, "verify", verify)
    return seen


def the_file(points: Path) -> Path:
    """Return the one file of a folder of points."""
    (file,) = (points / "verified").iterdir()
    return file


def test_the_second_look_asks_for_the_last_signature_of_each_key(
    demo: Demo, points: Path, looked_at: list[bytes]
) -> None:
    """The first look is at every signature; the next at one for each key that signed; both say the same."""
    first = Ledger.open(demo.records).read(points)
    assert len(looked_at) == first.count
    looked_at.clear()
    second = Ledger.open(demo.records).read(points)
    assert len(looked_at) == len({fact.entry.key for fact in second.by_number.values()})
    assert (second.digests, second.people, second.keys) == (first.digests, first.people, first.keys)
    assert second.by_number == first.by_number


def test_entries_after_the_point_are_verified_in_full(demo: Demo, points: Path, looked_at: list[bytes]) -> None:
    """What was entered since is looked at, and the point moves to the end."""
    before = Ledger.open(demo.records).read(points)
    enter_person(demo.desk(), PersonFile(person="newcomer", name="New Comer"))
    looked_at.clear()
    after = Ledger.open(demo.records).read(points)
    assert after.by_number[before.count + 1].entry.signed in looked_at
    assert len(looked_at) < before.count
    point = kept_point(points, demo.records)
    assert point is not None
    assert point.count == after.count == before.count + 1


def test_who_enters_takes_every_step(demo: Demo, points: Path, looked_at: list[bytes]) -> None:
    """A ledger that was read under a point is verified from the first entry before anything is entered upon it."""
    ledger = Ledger.open(demo.records)
    ledger.read(points)
    ledger.read(points)
    looked_at.clear()
    assert ledger.state.count == len(looked_at)


def test_the_ledger_verbs_never_ask_for_a_point(
    demo: Demo, points: Path, looked_at: list[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """`ledger verify` looks at every signature beside a valid point, and neither reads nor writes one."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(points))
    assert main(["clearance", "--records", str(demo.records)]) == 0
    file = the_file(points / "warmyard")
    file.unlink()
    looked_at.clear()
    monkeypatch.setattr("warmyard.certify.ledger.ledger.kept_point", lambda *_: pytest.fail("a point was asked for"))
    assert main(["ledger", "verify", "--records", str(demo.records)]) == 0
    assert len(looked_at) == demo.state().count
    assert not file.exists()


@pytest.mark.parametrize("line", ["", "half a line", "warmyard-verified-2", "{line} and more", "{line}{line}", "\xff"])
def test_a_line_that_is_no_point_is_none(demo: Demo, points: Path, line: str) -> None:
    """Half a line, another format, more than a line: verified in full, and a point is kept anew."""
    Ledger.open(demo.records).read(points)
    whole = the_file(points).read_bytes()
    the_file(points).write_bytes(line.format(line=whole.decode()).encode("latin-1"))
    assert kept_point(points, demo.records) is None
    Ledger.open(demo.records).read(points)
    assert the_file(points).read_bytes() == whole


def test_the_point_of_other_code_is_none(demo: Demo, points: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What an older tool found good is looked at again."""
    Ledger.open(demo.records).read(points)
    assert kept_point(points, demo.records) is not None
    monkeypatch.setattr(verified_point, "digest_code", lambda _: "0" * 64)
    assert kept_point(points, demo.records) is None


@pytest.mark.skipif(os.name == "nt", reason="rights are kept elsewhere there")
@pytest.mark.parametrize("what", ["file", "folder"])
def test_what_others_may_write_is_no_point(demo: Demo, points: Path, what: str) -> None:
    """A file or folder that the group or everybody may write is not believed; ours is for its owner alone."""
    Ledger.open(demo.records).read(points)
    file = the_file(points)
    assert file.stat().st_mode & 0o777 == 0o600
    assert file.parent.stat().st_mode & 0o777 == 0o700
    (file if what == "file" else file.parent).chmod(0o722)
    assert kept_point(points, demo.records) is None


@pytest.mark.skipif(os.name == "nt", reason="there are no owners and pipes of this kind")
def test_what_is_not_our_plain_file_is_no_point(demo: Demo, points: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A link, a pipe and somebody else's file are no point, and none of them is waited for."""
    Ledger.open(demo.records).read(points)
    file = the_file(points)
    with monkeypatch.context() as patch:
        patch.setattr(os, "geteuid", lambda: file.stat().st_uid + 1)
        assert kept_point(points, demo.records) is None
    kept = file.rename(points / "kept.txt")
    file.symlink_to(kept)
    assert kept_point(points, demo.records) is None
    file.unlink()
    os.mkfifo(file)
    assert kept_point(points, demo.records) is None


def test_a_folder_that_takes_no_file_changes_nothing(demo: Demo, tmp_path: Path) -> None:
    """Where no point can be kept the ledger is verified each time."""
    shut = tmp_path / "a-file"
    shut.write_text("")
    assert Ledger.open(demo.records).read(shut).tip == Ledger.open(demo.records).read(None).tip == demo.state().tip


@pytest.mark.parametrize("place", [".", "cache", "people"])
def test_no_point_lies_inside_the_records(demo: Demo, place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A cache folder inside the records, by name or by a link, takes no point; the answer is the same."""
    before = sorted(demo.records.rglob("*"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(demo.records / place))
    assert main(["clearance", "--records", str(demo.records)]) == 0
    Ledger.open(demo.records).read(demo.records / place)
    outside = demo.records.with_name("outside")
    outside.mkdir()
    (outside / "verified").symlink_to(demo.records)
    Ledger.open(demo.records).read(outside)
    assert sorted(demo.records.rglob("*")) == before


def test_a_point_is_of_its_own_records(demo: Demo, points: Path) -> None:
    """Two records folders have two points, and a database of other bytes is looked at again."""
    Ledger.open(demo.records).read(points)
    point = kept_point(points, demo.records)
    assert point is not None
    assert kept_point(points, demo.records.with_name("elsewhere")) is None
    assert point.database == envelope.digest((demo.records / DATABASE).read_bytes())
