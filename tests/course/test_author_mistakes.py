"""Mistakes of an author who edits YAML and Markdown alone: each gives one line, at its place."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from warmyard.cli.main import main

MISTAKES: list[dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("author_mistakes.yaml").read_text(encoding="utf-8")
)

SHARED = Path(__file__).resolve().parents[1] / "shared"
"""Holds pages that a mistake `takes` into the yard, as its `file`, before they are spoilt."""


@pytest.mark.parametrize("mistake", MISTAKES, ids=[mistake["mistake"] for mistake in MISTAKES])
def test_one_mistake_is_one_line_at_its_place(
    yard: Path, mistake: dict[str, Any], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`warmyard check` says one fault: file and line of the mistake, what it is, and what to do."""
    if "takes" in mistake:
        shutil.copy(SHARED / mistake["takes"], yard / mistake["file"])
    for change in mistake.get("changes", [mistake]):
        path = yard / change["file"]
        if change.get("delete"):
            path.unlink()
            continue
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        old = change["old"]
        assert old in text, f"{old!r} is not in {change['file']}"
        path.write_text(text.replace(old, change["new"], change.get("times", 1)), encoding="utf-8")
    monkeypatch.chdir(yard)
    assert main(["check"]) == 1
    *faults, closing = capsys.readouterr().err.strip().split("\n")
    assert closing == "1 fault; nothing was written", faults
    where, what = faults[0].split(": ", 1)
    assert where == f"{mistake.get('at', mistake.get('file'))}:{mistake['line']}"
    assert mistake["says"] in what
    assert re.fullmatch(r"[^;]+; .+", what)


def test_there_are_forty_and_no_two_are_alike() -> None:
    """Forty mistakes or more, each with a name of its own."""
    names = {mistake["mistake"] for mistake in MISTAKES}
    assert len(names) == len(MISTAKES) >= 40
