"""Where the stamps of proved sources lie: in the user's folder for such things, never in the sources or the records."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from warmyard.cli.main import main
from warmyard.cli.where import cache_folder, workspace_root

SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


@pytest.mark.parametrize(
    ("system", "environment", "below_home"),
    [
        ("linux", {}, ".cache/warmyard"),
        ("linux", {"XDG_CACHE_HOME": "not/a/whole/path"}, ".cache/warmyard"),
        ("linux", {"XDG_CACHE_HOME": "{home}/kept"}, "kept/warmyard"),
        ("darwin", {}, "Library/Caches/warmyard"),
        ("win32", {}, "AppData/Local/warmyard"),
        ("win32", {"LOCALAPPDATA": "{home}/local"}, "local/warmyard"),
    ],
)
def test_each_system_has_its_own_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, system: str, environment: dict[str, str], below_home: str
) -> None:
    """Linux, macOS and Windows: where that system keeps what can be made again, unless another whole path is named."""
    home = tmp_path.resolve()
    for name in ("XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value.format(home=home))
    monkeypatch.setattr(sys, "platform", system)
    monkeypatch.setattr(Path, "home", lambda: home)
    assert cache_folder() == home / below_home


def test_no_stamp_lies_in_sources_or_records(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder inside the workspace, inside the records at hand or inside those of WARMYARD_RECORDS is not used."""
    records = tmp_path / "records"
    monkeypatch.setenv("XDG_CACHE_HOME", str(records / "cache"))
    assert cache_folder() == records / "cache" / "warmyard"
    assert cache_folder(records) is None
    monkeypatch.setenv("WARMYARD_RECORDS", str(records))
    assert cache_folder() is None
    monkeypatch.setenv("XDG_CACHE_HOME", str(workspace_root() / "cache"))
    assert cache_folder() is None


def test_without_a_home_there_is_no_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """An account that has no home folder works without stamps."""

    def none() -> Path:
        raise RuntimeError("no home")

    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(Path, "home", none)
    assert cache_folder() is None


@pytest.mark.parametrize("words", [["check"], ["check", "--json"], ["check", "--country", "elsewhere"]])
def test_check_says_the_same_with_a_stamp(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: list[str]
) -> None:
    """Proved or stamped, the words and the counts are the same, and the items are drawn the first time only."""
    from warmyard.course import proof
    from warmyard.item.check import check_items

    drawn: list[object] = []
    real = check_items
    monkeypatch.setattr(proof, "check_items", lambda *given: drawn.append(given) or real(*given))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.chdir(SMALL_YARD)
    said = []
    for _ in range(2):
        assert main(words) == 0
        said.append(capsys.readouterr())
    assert said[0] == said[1]
    assert len(drawn) == 1
    assert len(list((tmp_path / "warmyard" / "proved").iterdir())) == 1
