"""The two README commands: what they say when called wrong, and that a browser is never missed in silence."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import start


def test_a_wrong_word_prints_the_usage(workspace_root: Path) -> None:
    """An unknown command ends with exit code 2 and the usage."""
    done = subprocess.run(
        [sys.executable, workspace_root / "builder" / "start.py", "fly"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "site | test" in done.stderr


def test_ci_without_a_browser_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    """Under CI a missing browser is a failure before any test is run."""
    ran: list[object] = []
    monkeypatch.setenv("CI", "true")
    monkeypatch.setattr(start, "install", lambda extra: 0)
    monkeypatch.setattr(start, "find_browser", lambda: None)
    monkeypatch.setattr(start, "run", lambda words, environment=None: ran.append(words) or 0)
    assert start.test([]) != 0
    assert ran == []


def test_elsewhere_a_missing_browser_is_said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Outside CI the tests run without a browser, and that is said."""
    monkeypatch.delenv("CI", raising=False)
    monkeypatch.setattr(start, "install", lambda extra: 0)
    monkeypatch.setattr(start, "find_browser", lambda: None)
    monkeypatch.setattr(start, "javascript", lambda: 0)
    monkeypatch.setattr(start, "run", lambda words, environment=None: 0)
    assert start.test([]) == 0
    assert "were not run" in capsys.readouterr().err


def test_a_failed_step_fails_the_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """When any of style, types and tests fails, so does the command."""
    monkeypatch.setattr(start, "install", lambda extra: 0)
    monkeypatch.setattr(start, "find_browser", lambda: "chromium")
    monkeypatch.setattr(start, "javascript", lambda: 0)
    monkeypatch.setattr(start, "run", lambda words, environment=None: 1 if "mypy" in words else 0)
    assert start.test([]) == 1


def test_ci_runs_the_readme_command(workspace_root: Path) -> None:
    """The CI script calls the README's second command and nothing of its own."""
    lines = (workspace_root / ".ci" / "run").read_text().splitlines()
    assert lines[-1] == "exec python3 builder/start.py test"
    readme = (workspace_root / "README.md").read_text()
    assert "python3 builder/start.py site" in readme
    assert "python3 builder/start.py test" in readme


def test_the_whole_run_takes_every_core(monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole run is shared among as many processes as there are cores; named tests run in one."""
    ran: list[list[str]] = []
    monkeypatch.setattr(start, "install", lambda extra: 0)
    monkeypatch.setattr(start, "find_browser", lambda: "chromium")
    monkeypatch.setattr(start, "run", lambda words, environment=None: ran.append([str(word) for word in words]) or 0)
    monkeypatch.setattr(start, "javascript", lambda: 0)
    monkeypatch.setattr(start, "EVERY_CORE", ("-n", "7"))
    assert start.test([]) == 0
    assert ran[-1][-2:] == ["-n", "7"]
    assert start.test(["tests/formula"]) == 0
    assert "-n" not in ran[-1]


def test_a_browser_without_windows_is_taken_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where both are, the shell is taken: it opens a page with a third of the work; where it is not, the other."""
    there = {"chromium-headless-shell": "/bin/shell", "chromium": "/bin/chromium"}
    monkeypatch.delenv("WARMYARD_BROWSER", raising=False)
    monkeypatch.setattr(shutil, "which", there.get)
    assert start.find_browser() == "/bin/shell"
    del there["chromium-headless-shell"]
    assert start.find_browser() == "/bin/chromium"


def test_the_longest_files_are_files(workspace_root: Path) -> None:
    """What is begun first, because it takes longest, is there."""
    text = (workspace_root / "tests" / "conftest.py").read_text("utf-8")
    listed = text.partition("LONGEST_FIRST = (")[2].partition(")")[0]
    names = [line.strip(' ",') for line in listed.split("\n") if line.strip()]
    assert len(names) > 5
    assert [name for name in names if not (workspace_root / "tests" / name).is_file()] == []


def test_no_node_is_said_and_fails_under_ci(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where there is no node one line says so and the rest is run; CI must have it."""
    monkeypatch.setattr(shutil, "which", lambda name: None)
    monkeypatch.delenv("CI", raising=False)
    assert start.javascript() == 0
    assert "the page's scripts were not looked at" in capsys.readouterr().err
    monkeypatch.setenv("CI", "true")
    assert start.javascript() == 2


@pytest.mark.node
@pytest.mark.parametrize(
    ("line", "says"), [("WY.wrod('a.b');", "Property 'wrod' does not exist"), ("WY.word(5);", "is not assignable")]
)
def test_a_misspelt_name_of_the_page_is_a_fault(workspace_root: Path, tmp_path: Path, line: str, says: str) -> None:
    """Every name that scripts share is declared with its type: another one, or another type, is named."""
    tools = workspace_root / "tests" / "javascript"
    tsc = tools / "node_modules" / "typescript" / "bin" / "tsc"
    if not tsc.exists():
        assert start.javascript() == 0
    (tmp_path / "page.js").write_text(line, "utf-8")
    config = {"extends": str(tools / "tsconfig.json"), "include": [], "files": [str(tools / "wy.d.ts"), "page.js"]}
    (tmp_path / "tsconfig.json").write_text(json.dumps(config), "utf-8")
    done = subprocess.run(["node", tsc, "--project", tmp_path], capture_output=True, text=True, check=False)
    assert done.returncode != 0
    assert says in done.stdout
