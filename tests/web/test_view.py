"""Looking while writing: served on loopback, built again on save, the last good build kept through faults."""

from __future__ import annotations

import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from warmyard.cli.main import main
from warmyard.errors import InputError
from warmyard.web.view import Viewer


@pytest.fixture
def said() -> list[str]:
    """Give the list that a viewer says its lines into."""
    return []


@pytest.fixture
def viewer(yard: Path, said: list[str]) -> Iterator[Viewer]:
    """Give a viewer of the small yard on any free port."""
    with Viewer(yard, "staff", 0, said.append) as running:
        yield running


def read(viewer: Viewer, name: str) -> str:
    """Return what the viewer serves under a name."""
    address = viewer.address.replace("index.html", name)
    with urllib.request.urlopen(address, timeout=10) as answer:
        text: str = answer.read().decode()
    return text


def test_a_saved_change_is_served(viewer: Viewer, yard: Path) -> None:
    """After a save the page shows the new text and the number of the build has grown."""
    page = yard / "course/lessons/staff/emergency.md"
    before = read(viewer, "assets/wy/build.js")
    assert viewer.look() is False
    page.write_text(page.read_text(encoding="utf-8").replace("People out first.", "Out, everybody."), encoding="utf-8")
    assert viewer.look() is True
    assert "Out, everybody." in read(viewer, "emergency.html")
    assert read(viewer, "assets/wy/build.js") != before


def test_only_the_server_adds_the_reloader(viewer: Viewer) -> None:
    """The script that loads a page again is served with it, and is no part of what was built."""
    assert "/assets/wy/view.js" in read(viewer, "emergency.html")
    assert "view.js" not in (viewer.folder / "emergency.html").read_text(encoding="utf-8")


def test_a_fault_keeps_the_last_good_build(viewer: Viewer, yard: Path, said: list[str]) -> None:
    """A fault is said with file and line, and the page from before is still served."""
    page = yard / "course/lessons/staff/emergency.md"
    good = page.read_text(encoding="utf-8")
    page.write_text(good.replace("procedure: alarm", "procedure: alram"), encoding="utf-8")
    viewer.look()
    assert "course/lessons/staff/emergency.md:10: there is no procedure alram; did you mean alarm?" in said[-1]
    assert "Get everybody out." in read(viewer, "emergency.html")
    page.write_text(good, encoding="utf-8")
    viewer.look()
    assert said[-1].startswith("built in")


def test_only_what_differs_is_written(viewer: Viewer, yard: Path) -> None:
    """After a save of one page the scripts of problems and the other pages are the very files of the build before."""

    def nodes() -> dict[str, int]:
        folder = viewer.folder
        return {path.relative_to(folder).as_posix(): path.stat().st_ino for path in folder.rglob("*") if path.is_file()}

    before = nodes()
    page = yard / "course/lessons/staff/emergency.md"
    page.write_text(page.read_text(encoding="utf-8") + "\nOne line more.\n", encoding="utf-8")
    viewer.look()
    after = nodes()
    written = {name for name in after if after[name] != before.get(name)}
    assert "emergency.html" in written
    assert not [name for name in written if name.startswith("assets/wy/data/")]
    assert [name for name in written if name.endswith(".html")] == ["emergency.html"]


def test_a_change_outside_the_pages_is_loaded_anew(viewer: Viewer, yard: Path) -> None:
    """Another rule value reaches the page."""
    rules = yard / "site_config/rules/england.yaml"
    rules.write_text(rules.read_text(encoding="utf-8").replace("value: 110", "value: 130"), encoding="utf-8")
    viewer.look()
    assert "130\u00a0%" in read(viewer, "L08-filter.html")


@pytest.mark.parametrize(
    ("file", "old", "new", "seen"),
    [
        ("quizbank/practice/fuel.yaml", "ask: ", "ask: Now then, ", "Now then"),
        ("course/machine/machine.yaml", "name: Demand,", "name: Heat asked for,", "Heat asked for"),
    ],
)
def test_what_is_kept_is_what_a_new_look_would_make(
    viewer: Viewer, yard: Path, said: list[str], file: str, old: str, new: str, seen: str
) -> None:
    """After a change of items or of the machine every page is as a viewer shows it that begins with these sources."""
    source = yard / file
    text = source.read_text(encoding="utf-8")
    assert old in text
    source.write_text(text.replace(old, new), encoding="utf-8")
    viewer.look()
    with Viewer(yard, "staff", 0, said.append) as anew:
        mine, theirs = (
            {path.relative_to(one.folder).as_posix(): path.read_bytes() for path in one.folder.rglob("*.*")}
            for one in (viewer, anew)
        )
        assert {name for name in mine if mine[name] != theirs.get(name)} == set()
    assert any(seen.encode() in content for content in mine.values()), said


WORKED = "\n```wy-worked\nformula: nozzle-flow\ncalled: flow\ninputs: {q_r: 1 US_gal/h, p: 10 bar}\n```\n"


def test_a_result_reaches_the_other_page(viewer: Viewer, yard: Path, said: list[str]) -> None:
    """A page that takes what an example of another page gives shows the new result when only the example changed."""
    example, taker = (yard / f"course/lessons/staff/{name}.md" for name in ("L08-filter", "emergency"))
    text = example.read_text(encoding="utf-8")
    example.write_text(text + WORKED, encoding="utf-8")
    taker.write_text(taker.read_text(encoding="utf-8") + "\nSo much: [[result flow]].\n", encoding="utf-8")
    viewer.look()
    before = read(viewer, "emergency.html")
    assert "1.20\u00a0US\u00a0gal/h" in before
    example.write_text(text + WORKED.replace("10 bar", "40 bar"), encoding="utf-8")
    viewer.look()
    assert "2.41\u00a0US\u00a0gal/h" in read(viewer, "emergency.html"), said
    example.write_text(text + WORKED * 2, encoding="utf-8")
    viewer.look()
    assert "two worked examples are called flow" in said[-1]


def test_what_is_not_there_is_not_found(viewer: Viewer) -> None:
    """A page that is not built, and a way out of the folder, are not found."""
    for name in ("nothing.html", "..%2f..%2fcourse/words.yaml", "../../course/words.yaml"):
        with pytest.raises(urllib.error.HTTPError) as caught:
            read(viewer, name)
        assert caught.value.code == 404


def test_faulty_sources_at_the_start_end_with_words(yard: Path, said: list[str]) -> None:
    """With nothing good to show there is nothing to serve."""
    (yard / "course/skills.yaml").write_text("skills: nothing\n", encoding="utf-8")
    with pytest.raises(InputError, match="nothing to show yet"):
        Viewer(yard, "staff", 0, said.append)
    assert "course/skills.yaml:1" in said[0]


def test_a_broken_link_keeps_the_last_good_build(viewer: Viewer, yard: Path, said: list[str]) -> None:
    """A link to a place that no page has is said with its line while writing, not only by a build."""
    page = yard / "course/lessons/staff/emergency.md"
    page.write_text(page.read_text(encoding="utf-8") + "\n[x](index.md#no-such-place)\n", encoding="utf-8")
    viewer.look()
    assert "leads to a place that index.md does not have" in said[-1]
    assert "no-such-place" not in read(viewer, "emergency.html")


def test_only_this_machine_is_served(viewer: Viewer) -> None:
    """The server listens on loopback, never on an address that others reach."""
    assert viewer.server.host == "127.0.0.1"


def test_ctrl_c_is_the_way_to_stop(
    yard: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Stopped by hand it ends with exit code 0, says so, and leaves no folder behind."""
    folders: list[Path] = []

    def stop(viewer: Viewer) -> None:
        folders.append(viewer.folder)
        raise KeyboardInterrupt

    monkeypatch.chdir(yard)
    monkeypatch.setattr(Viewer, "watch", stop)
    assert main(["view", "--port", "0"]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "stopped"
    assert not folders[0].exists()
