"""The folder of entries as a verification reads it."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.certify.ledger import steps
from warmyard.certify.ledger.steps import entry_files, read_folder
from warmyard.errors import VerificationError

EXPECTED = entry_files([(1, b"one"), (2, b"two"), (3, b"three")])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder in which the second file differs, the third is gone and one is left over."""
    for name, data in (("000001.json", b"one"), ("000002.json", b"tvo"), ("000003.json.new", b"three")):
        (tmp_path / name).write_bytes(data)
    return tmp_path


@pytest.fixture(params=[True, False], ids=["from the open folder", "by path"])
def _way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read as systems do that open a name from an open folder, and as the others."""
    monkeypatch.setattr(steps, "FROM_FOLDER", request.param and steps.FROM_FOLDER)


@pytest.mark.usefixtures("_way")
def test_the_folder_is_read_as_it_stands(folder: Path) -> None:
    """Every file with its own bytes; those that are as expected are not kept twice."""
    found = read_folder(folder, EXPECTED)
    assert found == {"000001.json": b"one", "000002.json": b"tvo", "000003.json.new": b"three"}
    assert found["000001.json"] is EXPECTED["000001.json"]


@pytest.mark.usefixtures("_way")
@pytest.mark.parametrize("kind", ["link", "folder"])
def test_nothing_but_plain_files_is_read(folder: Path, kind: str) -> None:
    """A link to the very bytes that are expected is no file of an entry."""
    odd = folder / "000003.json"
    odd.mkdir() if kind == "folder" else odd.symlink_to(folder / "000003.json.new")
    with pytest.raises(VerificationError, match="no plain file"):
        read_folder(folder, EXPECTED)
