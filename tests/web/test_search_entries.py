"""What the search knows of a page: words, not the letters of formulas, and the other words for a term."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from warmyard.course.model import Term
from warmyard.web.search_entries import INDEX, PagePart, other_words, parts_of


def _index(built: Path) -> dict[str, Any]:
    script = (built / "staff" / INDEX).read_text("utf-8")
    told: dict[str, Any] = json.loads(script.partition("WY.searchIndex = ")[2].removesuffix(";\n"))
    return told


def test_other_words_stand_with_their_term() -> None:
    """A term with other words gives them behind itself; one without gives nothing."""
    rcd = Term(id="rcd", term="residual-current device", means="A switch.", also=("RCD", "trip"))
    flue = Term(id="flue", term="flue", means="A pipe.")
    assert other_words({"rcd": rcd, "flue": flue}) == [["residual-current device", "RCD", "trip"]]


def test_a_page_is_cut_at_its_headings() -> None:
    """Each heading with a place of its own begins a part; the first is the page's, and drawings have no words."""
    html = (
        '<h1 id="top">Fuel</h1><p>One <b>two</b>.</p><h2 id="keep">Keep <em>it</em></h2><svg><text>no</text></svg>'
        "<ul><li>clean</li><li>dry</li></ul><h3>no place</h3>"
    )
    assert parts_of(html) == [PagePart("", "Fuel", "One two."), PagePart("keep", "Keep it", "clean dry no place")]


def test_cells_part_and_formulas_are_left_out(built: Path) -> None:
    """The text of a table keeps its cells apart, and no part holds the glued letters of a formula."""
    pages = {url: parts for url, _, parts, _ in _index(built)["pages"]}
    assert "What · Hare 45 · Stoat 60 · Serial number · " in " ".join(text for _, _, text in pages["machines.html"])
    assert any("Symbol · Means · Unit" in text for _, _, text in pages["formulas.html"])
