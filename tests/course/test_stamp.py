"""The stamp: sources that were proved are not proved again, and one changed byte anywhere makes it void."""

from __future__ import annotations

import io
import shutil
from collections.abc import Callable
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest

from warmyard.course import proof, stamp
from warmyard.course.proof import read_proved
from warmyard.course.stamp import FOLDERS, Stamp, digest_code, digest_sources, take_stamp
from warmyard.course.workspace import Workspace, counts
from warmyard.errors import SourceErrors


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    """Give a folder for stamps that is not there yet, as on a new machine."""
    return tmp_path / "cache" / "warmyard"


@pytest.fixture
def proofs(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Give the list of workspaces that were proved, which grows with every proof."""
    proved: list[Path] = []

    def prove(workspace: Workspace, *words: object) -> object:
        proved.append(workspace.root)
        return real(workspace, *words)

    real: Callable[..., object] = proof.prove_workspace
    monkeypatch.setattr(proof, "prove_workspace", prove)
    return proved


def now(yard: Path, cache: Path, country: str | None = None, bank: Path | None = None) -> Stamp:
    """Return the stamp of a yard as it is."""
    return take_stamp(yard, country=country, bank=bank, cache=cache)


def test_proved_sources_are_not_proved_again(yard: Path, cache: Path, proofs: list[Path]) -> None:
    """The second time nothing is proved, and what is read is the same."""
    first = read_proved(yard, cache=cache)
    second = read_proved(yard, cache=cache)
    assert proofs == [yard]
    assert counts(first) == counts(second)
    assert first.items == second.items


def test_without_a_folder_everything_is_proved(yard: Path, proofs: list[Path]) -> None:
    """Who hands down no folder for stamps gets a proof each time."""
    read_proved(yard)
    read_proved(yard)
    assert len(proofs) == 2


def test_any_changed_byte_of_any_source_makes_it_void(yard: Path, cache: Path) -> None:
    """Every file in turn, its first, middle and last byte: the stamp is void, and good again when the byte is back."""
    read_proved(yard, cache=cache)
    files = [file for folder in FOLDERS for file in sorted((yard / folder).rglob("*")) if file.is_file()]
    assert {file.relative_to(yard).parts[0] for file in files} == set(FOLDERS)
    for file in files:
        good = file.read_bytes()
        for at in {0, len(good) // 2, len(good) - 1}:
            file.write_bytes(good[:at] + bytes([good[at] ^ 1]) + good[at + 1 :])
            assert not now(yard, cache).is_kept(), f"{file}, byte {at}"
        file.write_bytes(good)
    assert now(yard, cache).is_kept()


def test_every_file_that_is_read_is_in_the_digest(yard: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading and proving open no file of which the digest knows nothing, in the workspace or in a bank beside it."""
    bank = Path(shutil.copytree(yard / "quizbank" / "exam", tmp_path / "bank"))
    opened: dict[str, set[Path]] = {"digest": set(), "proof": set()}
    whose = ["digest"]
    real = io.open

    def watch(file: Path, *words: Any, **named: Any) -> Any:
        opened[whose[0]].add(Path(file))
        return real(file, *words, **named)

    monkeypatch.setattr(io, "open", watch)
    assert digest_sources(yard, country=None, bank=bank) is not None
    whose[0] = "proof"
    read_proved(yard, bank=bank)
    read = {file for file in opened["proof"] if file.is_relative_to(tmp_path)}
    assert bank / "fuel.yaml" in read
    assert yard / "course/skills.yaml" in read
    assert read <= opened["digest"]


def add_a_file(yard: Path) -> None:
    """Add a lesson."""
    (yard / "course/lessons/staff/new.md").write_text("", encoding="utf-8")


def take_a_file(yard: Path) -> None:
    """Take a data sheet out."""
    (yard / "site_config/fleet/stoat.yaml").unlink()


def rename_a_file(yard: Path) -> None:
    """Give a procedure's file another name."""
    (yard / "course/procedures/alarm.yaml").rename(yard / "course/procedures/alarms.yaml")


def swap_two_files(yard: Path) -> None:
    """Let two data sheets change places."""
    hare, stoat = (yard / f"site_config/fleet/{name}.yaml" for name in ("hare", "stoat"))
    first = hare.read_bytes()
    hare.write_bytes(stoat.read_bytes())
    stoat.write_bytes(first)


def move_bytes_to_the_next_file(yard: Path) -> None:
    """Take the last line of one file and set it before the first of the next: all bytes in a row stay as they are."""
    glossary, next_ = sorted(file for file in (yard / "course").iterdir() if file.is_file())[:2]
    head, _, tail = glossary.read_bytes().rstrip(b"\n").rpartition(b"\n")
    glossary.write_bytes(head + b"\n")
    next_.write_bytes(tail + b"\n" + next_.read_bytes())


def write_behind_a_link(yard: Path) -> None:
    """Change a file that lies elsewhere and is reached by a link to its folder."""
    file = yard.parent / "elsewhere" / "england.yaml"
    file.write_text(file.read_text("utf-8") + "\n# more\n", "utf-8")


@pytest.mark.parametrize(
    "change",
    [add_a_file, take_a_file, rename_a_file, swap_two_files, move_bytes_to_the_next_file, write_behind_a_link],
)
def test_a_change_of_files_makes_it_void(yard: Path, cache: Path, change: Callable[[Path], None]) -> None:
    """A file more, less, renamed, exchanged, divided in another way, or changed behind a link."""
    (yard / "site_config/rules").rename(yard.parent / "elsewhere")
    (yard / "site_config/rules").symlink_to(yard.parent / "elsewhere", target_is_directory=True)
    read_proved(yard, cache=cache)
    assert now(yard, cache).is_kept()
    change(yard)
    assert not now(yard, cache).is_kept()


def test_a_link_in_a_circle_ends(yard: Path) -> None:
    """A folder that links back to the one above it is gone through once."""
    (yard / "course/again").symlink_to(yard / "course", target_is_directory=True)
    assert digest_sources(yard, country=None, bank=None) is not None


def test_another_country_or_bank_is_not_served(yard: Path, cache: Path, tmp_path: Path, proofs: list[Path]) -> None:
    """Each country and each bank is proved by itself, and none of them takes the stamp of another away."""
    bank, twin = tmp_path / "bank", tmp_path / "twin"
    for copied in (bank, twin):
        shutil.copytree(yard / "quizbank" / "exam", copied)
    chosen = [(None, None), ("elsewhere", None), (None, bank), ("elsewhere", bank), (None, twin)]
    for country, folder in chosen:
        assert not now(yard, cache, country, folder).is_kept()
        read_proved(yard, country=country, bank=folder, cache=cache)
    assert len(proofs) == len(chosen)
    assert all(now(yard, cache, country, folder).is_kept() for country, folder in chosen)
    assert len({digest_sources(yard, country=country, bank=folder) for country, folder in chosen[:4]}) == 4
    file = next(bank.glob("*.yaml"))
    file.write_text(file.read_text("utf-8") + "\n# more\n", "utf-8")
    assert [now(yard, cache, country, folder).is_kept() for country, folder in chosen] == [
        folder != bank for _, folder in chosen
    ]


def test_other_code_makes_it_void(yard: Path, cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One changed line anywhere in the package, or another version of a library, and the proof is made again."""
    read_proved(yard, cache=cache)
    copy = tmp_path / "warmyard"
    shutil.copytree(stamp.PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(stamp, "PACKAGE", copy)
    seen = set()

    def look() -> bool:
        digest_code.cache_clear()
        seen.add(digest_code())
        return now(yard, cache).is_kept()

    assert look()
    file = copy / "item" / "kind.py"
    good = file.read_text("utf-8")
    file.write_text(good.replace("SEEDS = 50", "SEEDS = 51"), "utf-8")
    assert not look()
    file.write_text(good, "utf-8")
    assert look()
    monkeypatch.setattr(metadata, "version", lambda name: "99")
    assert not look()
    assert len(seen) == 3
    monkeypatch.undo()
    digest_code.cache_clear()


def test_faulty_sources_get_no_stamp(yard: Path, cache: Path) -> None:
    """A fault of reading or of proving: nothing is written, and the next run names the fault again."""
    station = yard / "course/stations/filter-change.yaml"
    good = station.read_text("utf-8")
    for bad in (good.replace("critical: true", "critical: false"), "id: ["):
        station.write_text(bad, "utf-8")
        for _ in range(2):
            with pytest.raises(SourceErrors):
                read_proved(yard, cache=cache)
        assert not (cache / "proved").exists()


def test_what_is_saved_during_the_proof_gets_no_stamp(yard: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file saved between reading and the end of the proof was not what was proved."""

    def save_meanwhile(*words: object) -> list[object]:
        add_a_file(yard)
        return []

    monkeypatch.setattr(proof, "prove_workspace", save_meanwhile)
    read_proved(yard, cache=cache)
    assert not (cache / "proved").exists()


def test_a_folder_that_takes_no_file_is_no_error(yard: Path, cache: Path, proofs: list[Path]) -> None:
    """A file stands where the folder should be: the sources are proved each time, and nobody is bothered."""
    cache.parent.mkdir()
    cache.write_text("not a folder", "utf-8")
    assert counts(read_proved(yard, cache=cache)) == counts(read_proved(yard, cache=cache))
    assert len(proofs) == 2
    assert cache.read_text("utf-8") == "not a folder"


@pytest.mark.parametrize("damage", ["half", "other", "empty", "folder", "older"])
def test_a_stamp_that_cannot_be_read_is_no_stamp(yard: Path, cache: Path, proofs: list[Path], damage: str) -> None:
    """Half a line, other bytes, none, a folder in its place, another format: proved again, and stamped where it can."""
    read_proved(yard, cache=cache)
    (file,) = (each for each in (cache / "proved").rglob("*") if each.is_file())
    good = file.read_bytes()
    file.unlink()
    if damage == "folder":
        file.mkdir()
    else:
        other = {"half": good[:40], "other": b"\xff\x00" * 40, "empty": b"", "older": good.replace(b"-1 ", b"-0 ")}
        file.write_bytes(other[damage])
    read_proved(yard, cache=cache)
    assert len(proofs) == 2
    assert file.is_dir() or file.read_bytes() == good


def test_a_source_that_cannot_be_read_has_no_stamp(yard: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where one file is shut, nothing is known of the whole: no digest, none kept, and asking is no error."""
    read_proved(yard, cache=cache)
    real = Path.open

    def shut(path: Path, *words: object, **named: object) -> object:
        if path.name == "skills.yaml":
            raise PermissionError(13, "shut")
        return real(path, *words, **named)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", shut)
    taken = now(yard, cache)
    taken.keep()
    assert (taken.digest, taken.is_kept(), taken.still_true()) == (None, False, False)
