"""`start.py test --near`: a change leads to the tests that mirror it, import it or speak of it, and to no others."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

import near
import start

FILES = {
    "builder/warmyard/page/charts.py": "",
    "builder/warmyard/page/runtime/marking.js": "",
    "tests/conftest.py": 'LONGEST_FIRST = ("web/test_long.py",)\n',
    "tests/page/test_charts.py": "",
    "tests/page/test_print.py": "from warmyard.page.charts import draw\n",
    "tests/page/test_late.py": "def late() -> None:\n    from warmyard.page import charts\n",
    "tests/page/test_script.py": 'NAME = "marking.js"\n',
    "tests/item/conftest.py": 'YARD = "small_yard"\n',
    "tests/item/test_bank.py": "from drawn import draw\n",
    "tests/item/test_marking.py": "",
    "tests/course/test_workspace.py": "",
    "tests/web/test_long.py": "import warmyard.page.charts\n",
    "tests/shared/drawn.py": "from warmyard.formula import units\n",
    "tests/bench/bench_charts.py": "import warmyard.page.charts\n",
}


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """Give a small checkout, committed on main."""
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, "utf-8")
    git(tmp_path, "init", "-q", "-b", "main")
    commit(tmp_path)
    return tmp_path


def git(folder: Path, *words: str) -> None:
    """Run git, with a name and an address of its own."""
    who = ("-c", "user.name=Nobody", "-c", "user.email=nobody@yard.example")
    subprocess.run(["git", *who, *words], cwd=folder, check=True, capture_output=True)


def commit(folder: Path) -> None:
    """Commit everything."""
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "A change")


@pytest.mark.parametrize(
    ("changed", "tests"),
    [
        ("builder/warmyard/page/charts.py", ["page/test_charts.py", "page/test_late.py", "page/test_print.py"]),
        ("builder/warmyard/page/runtime/marking.js", ["item/test_marking.py", "page/test_script.py"]),
        ("builder/warmyard/formula/units.py", ["item/test_bank.py"]),
        ("tests/shared/drawn.py", ["item/test_bank.py"]),
        ("tests/page/test_late.py", ["page/test_late.py"]),
        ("tests/item/conftest.py", ["item/test_bank.py", "item/test_marking.py"]),
        ("tests/small_yard/course/words.yaml", ["item/test_bank.py", "item/test_marking.py"]),
        ("course/lessons/staff/L01.md", ["course/test_workspace.py"]),
        ("README.md", []),
        ("tests/bench/bench_charts.py", []),
    ],
)
def test_a_change_leads_to_its_tests(checkout: Path, changed: str, tests: list[str]) -> None:
    """Mirrors, imports in any depth, names of files and folders of data; a shared module serves those who import it."""
    assert list(near.near_tests(checkout, [changed]).files) == [f"tests/{name}" for name in tests]


def test_the_longest_files_are_left_unless_they_mirror(checkout: Path) -> None:
    """A long file that is only touched is named and left; when it changed itself it is run."""
    found = near.near_tests(checkout, ["builder/warmyard/page/charts.py"])
    assert found.too_long == ("tests/web/test_long.py",)
    assert near.near_tests(checkout, ["tests/web/test_long.py"]).files == ("tests/web/test_long.py",)


def test_a_change_that_touches_everything_takes_its_mirrors(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where more files are near than a minute holds, that is said, and what mirrors the change is left."""
    monkeypatch.setattr(near, "MOST_FILES", 2)
    found = near.near_tests(checkout, ["builder/warmyard/page/charts.py"])
    assert found == near.Near(("tests/page/test_charts.py",), touches_everything=True)


def test_what_changed_is_committed_or_not_and_new_files_too(checkout: Path) -> None:
    """Everything since the branch left its base, and nothing that the base did meanwhile."""
    git(checkout, "checkout", "-q", "-b", "work")
    (checkout / "committed.txt").write_text("1", "utf-8")
    commit(checkout)
    git(checkout, "checkout", "-q", "main")
    (checkout / "of-the-base.txt").write_text("1", "utf-8")
    commit(checkout)
    git(checkout, "checkout", "-q", "work")
    (checkout / "builder/warmyard/page/charts.py").write_text("x = 1\n", "utf-8")
    (checkout / "new.txt").write_text("1", "utf-8")
    assert near.changed_files(checkout, "main") == ["builder/warmyard/page/charts.py", "committed.txt", "new.txt"]


def test_a_base_that_is_none_is_said(
    checkout: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An unknown base ends with exit code 2 and what to do; no step is run."""
    ran: list[object] = []
    monkeypatch.setattr(start, "ROOT", checkout)
    monkeypatch.setattr(start, "install", lambda extra: 0)
    monkeypatch.setattr(start, "javascript", lambda: 0)
    monkeypatch.setattr(start, "find_browser", lambda: "chromium")
    monkeypatch.setattr(start, "run", lambda words, environment=None: ran.append(words) or 0)
    assert start.test(["--near", "nowhere"]) == 2
    assert "name another base: start.py test --near BASE" in capsys.readouterr().err
    assert ran == []


def test_near_runs_style_types_and_what_is_near(
    checkout: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Three looks at the sources, then pytest with the files that are near, and how far the change reaches is said."""
    ran: list[list[str]] = []
    (checkout / "builder/warmyard/page/charts.py").write_text("x = 1\n", "utf-8")
    monkeypatch.setattr(start, "ROOT", checkout)
    monkeypatch.setattr(start, "install", lambda extra: 0)
    monkeypatch.setattr(start, "javascript", lambda: 0)
    monkeypatch.setattr(start, "find_browser", lambda: "chromium")
    monkeypatch.setattr(start, "run", lambda words, environment=None: ran.append([str(word) for word in words]) or 0)
    assert start.test(["--near"]) == 0
    assert [words[2] for words in ran] == ["ruff", "ruff", "mypy", "pytest"]
    assert [word for word in ran[-1] if word.startswith("tests/")] == [
        "tests/page/test_charts.py", "tests/page/test_late.py", "tests/page/test_print.py",
    ]  # fmt: skip
    said = capsys.readouterr().out
    assert "1 files differ from main; 3 test files are near" in said
    assert "left to the whole run, for their length: tests/web/test_long.py" in said
