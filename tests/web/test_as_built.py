"""A site that stands as it was built is not built again; whatever differs is found, and the bytes are the same."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from warmyard import cores
from warmyard.cli.main import main
from warmyard.item.model import Edition
from warmyard.web import as_built, build
from warmyard.web.audit import PageFault
from warmyard.web.build import AuditError, BuildReport

SMALL_YARD = Path(__file__).parents[1] / "small_yard"


@pytest.fixture
def yard(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a copy of the small yard in which we stand, with a cache of its own."""
    folder = tmp_path / "yard"
    shutil.copytree(SMALL_YARD, folder)
    monkeypatch.chdir(folder)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return folder


@pytest.fixture
def builds(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note the edition of every build that is really made, all in this process."""
    made: list[str] = []
    real = build.build_edition

    def noted(workspace: object, edition: str, *given: object) -> object:
        made.append(edition)
        return real(workspace, edition, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(build, "build_edition", noted)
    monkeypatch.setattr(cores, "cores_here", lambda: 1)
    return made


def files_of(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_nothing_is_built_where_nothing_changed(
    yard: Path, builds: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """The second build says what the first said, and reads no source."""
    assert main(["build"]) == 0
    first, before = capsys.readouterr(), files_of(yard / "site")
    assert main(["build"]) == 0
    assert capsys.readouterr() == first
    assert builds == ["staff", "customer"]
    assert files_of(yard / "site") == before


def alter(site: Path) -> None:
    page = site / "staff" / "index.html"
    page.write_bytes(page.read_bytes() + b" ")


def delete(site: Path) -> None:
    (site / "staff" / "index.html").unlink()


def add(site: Path) -> None:
    (site / "staff" / "mine.html").write_text("mine")


def swap(site: Path) -> None:
    one, other = site / "staff" / "index.html", site / "staff" / "emergency.html"
    held = one.read_bytes()
    one.write_bytes(other.read_bytes())
    other.write_bytes(held)


def remove_all(site: Path) -> None:
    shutil.rmtree(site / "staff")


@pytest.mark.parametrize("touch", [alter, delete, add, swap, remove_all])
def test_what_was_touched_by_hand_is_written_again(
    yard: Path, builds: list[str], touch: Callable[[Path], None]
) -> None:
    """One byte, a lost, strange or swapped file: that edition is built again and stands as before, the other rests."""
    assert main(["build"]) == 0
    before = files_of(yard / "site")
    touch(yard / "site")
    assert main(["build"]) == 0
    assert builds == ["staff", "customer", "staff"]
    assert files_of(yard / "site") == before


@pytest.mark.parametrize(
    "source", ["course/lessons/customer/index.md", "site_config/company.yaml", "course/words.yaml"]
)
def test_a_changed_source_is_built(yard: Path, builds: list[str], source: str) -> None:
    """Any byte of a source, a comment too: nobody decides what does not matter."""
    assert main(["build", "--edition", "customer"]) == 0
    with (yard / source).open("a", encoding="utf-8") as opened:
        opened.write("\n")
    assert main(["build", "--edition", "customer"]) == 0
    assert builds == ["customer", "customer"]


@pytest.mark.parametrize("damage", [b"", b"{", b'{"sources":1}', b"\xff"])
def test_a_note_that_cannot_be_read_is_no_note(yard: Path, builds: list[str], tmp_path: Path, damage: bytes) -> None:
    """Half, empty or of another shape: built again, and noted again."""
    assert main(["build", "--edition", "customer"]) == 0
    (note,) = (tmp_path / "cache" / "warmyard" / "built").iterdir()
    note.write_bytes(damage)
    assert main(["build", "--edition", "customer"]) == 0
    assert main(["build", "--edition", "customer"]) == 0
    assert builds == ["customer", "customer"]


def test_other_code_or_libraries_build_anew(yard: Path, builds: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """A template, a style, a version: what a build depends on is part of the note."""
    assert main(["build", "--edition", "customer"]) == 0
    monkeypatch.setattr(as_built, "LIBRARIES", (*as_built.LIBRARIES, "pip"))
    assert main(["build", "--edition", "customer"]) == 0
    assert builds == ["customer", "customer"]


def test_what_is_saved_during_the_build_is_not_taken_as_built(
    yard: Path, builds: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The next build looks again when a source was saved while this one ran."""
    real = build.build_edition

    def save_meanwhile(*given: object) -> object:
        report = real(*given)  # type: ignore[arg-type]
        page = yard / "course" / "lessons" / "customer" / "index.md"
        page.write_text(page.read_text("utf-8") + "\nLater.\n", "utf-8")
        return report

    monkeypatch.setattr(build, "build_edition", save_meanwhile)
    assert main(["build", "--edition", "customer"]) == 0
    monkeypatch.setattr(build, "build_edition", real)
    assert main(["build", "--edition", "customer"]) == 0
    assert "Later." in (yard / "site" / "customer" / "index.html").read_text("utf-8")


def test_cold_warm_or_parallel_the_bytes_are_the_same(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One core or two, an empty book or a full one, another folder: the same site."""
    built = []
    for number, (count, cache) in enumerate([(1, "a"), (2, "b"), (2, "b"), (1, "b")]):
        monkeypatch.setattr(cores, "cores_here", lambda count=count: count)
        monkeypatch.setenv("XDG_CACHE_HOME", str(yard.parent / cache))
        assert main(["build", "--out", str(yard.parent / f"out-{number}")]) == 0
        built.append(files_of(yard.parent / f"out-{number}"))
    assert all(one == built[0] for one in built)


@pytest.mark.parametrize("cores_there", [1, 2])
def test_a_faulty_edition_keeps_no_other_from_its_place(
    yard: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], cores_there: int
) -> None:
    """Built one after the other or side by side: the fault is told, the sound edition stands, the exit code says 1."""

    def build_one(workspace: object, edition: Edition, target: Path, book: object) -> BuildReport:
        if edition == "staff":
            raise AuditError([PageFault("index.html", "leads away")])
        target.mkdir(parents=True)
        return BuildReport(edition, target, pages=1, files=1, bytes=1)

    monkeypatch.setattr(build, "build_edition", build_one)
    monkeypatch.setattr(cores, "cores_here", lambda: cores_there)
    monkeypatch.setattr(cores, "KEEPS_THREADS", ())
    assert main(["build"]) == 1
    said = capsys.readouterr()
    assert "the staff edition was not put in place" in said.err
    assert "customer:" in said.out
    assert [path.name for path in (yard / "site").iterdir()] == ["customer"]
