"""What lists read of items: a kind that no format of items holds yet is told in the file that would hold it."""

from __future__ import annotations

from pathlib import Path

import pytest

from warmyard.course import lists
from warmyard.errors import SourceError
from warmyard.formats.items import ITEMS, kinds_in
from warmyard.item.kind_table import KINDS


def test_the_newest_format_holds_every_kind() -> None:
    """Each kind of item may be written in a file of the newest format."""
    assert kinds_in(ITEMS.version) == KINDS.keys()


def test_a_kind_before_its_format_is_told_with_the_file_to_mend(yard: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever writes a new kind of item and no shape of it is told where the shape stands, once and alone."""
    monkeypatch.setattr(lists, "KINDS", {**KINDS, "odd-one": KINDS["choice"]})
    path = yard / "quizbank" / "practice" / "fuel.yaml"
    path.write_text(path.read_text("utf-8").replace("kind: choice", "kind: odd-one", 1), encoding="utf-8")
    faults: list[SourceError] = []
    lists.load_items(yard / "quizbank", None, yard, faults)
    assert [str(fault) for fault in faults] == [
        "quizbank/practice/fuel.yaml:3: format 2 of items holds no odd-one; add it in builder/warmyard/formats/items.py"
    ]
