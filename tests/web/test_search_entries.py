"""What the search knows of a page: words, not the letters of formulas, and the other words for a term."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from warmyard.course.model import Term
from warmyard.web.search_entries import other_words


def _index(built: Path) -> list[dict[str, Any]]:
    docs: list[dict[str, Any]] = json.loads((built / "staff/search/search_index.json").read_text("utf-8"))["docs"]
    return docs


def test_other_words_stand_behind_their_term() -> None:
    """A term with other words gives them in brackets; one without gives nothing."""
    rcd = Term(id="rcd", term="residual-current device", means="A switch.", also=("RCD", "trip"))
    assert other_words({"rcd": rcd, "flue": Term(id="flue", term="flue", means="A pipe.")}) == {"rcd": " (RCD, trip)"}


def test_cells_part_and_formulas_are_left_out(built: Path) -> None:
    """The text of a table keeps its cells apart, and no entry holds the glued letters of a formula."""
    docs = _index(built)
    machines = next(doc["text"] for doc in docs if doc["location"] == "machines.html")
    assert "What · " in machines
    formula = next(doc["text"] for doc in docs if doc["location"].startswith("formulas.html#"))
    assert formula.startswith("Symbol · Means · Unit")
