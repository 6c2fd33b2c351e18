"""The board on paper: a sheet that is taken off the wall alone still says what its columns mean."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from playwright.sync_api import Page
from pypdf import PdfReader
from yard_company import COMPANY

from warmyard.page.board import Board, Row, board_page
from warmyard.words import load_words

pytestmark = pytest.mark.browser

ACTIVITIES = [f"Do the long and careful work number {number} on a machine at a site" for number in range(1, 13)]


def test_every_sheet_of_the_board_says_what_its_columns_are(
    browser_page: Page, tmp_path: Path, workspace_root: Path
) -> None:
    """Forty people and twelve activities need several sheets; each repeats the head with what the numbers stand for."""
    why = "no certificate of level 2: prerequisite missing: hours of work under supervision, logged (26 of 40)"
    rows = [Row(person=f"p{at}", name=f"Person {at}", may=[False] * 12, until="", why=why, next="") for at in range(40)]
    board = Board(day="2026-03-01", made="2026-03-01 06:00", activities=ACTIVITIES, rows=rows, witness="w", count=1)
    path = tmp_path / "board.html"
    words = load_words(workspace_root / "course" / "words.yaml", workspace_root, [])
    path.write_text(board_page(board, COMPANY, words), "utf-8")
    browser_page.goto(path.as_uri())
    sheets = PdfReader(io.BytesIO(browser_page.pdf(prefer_css_page_size=True))).pages
    texts = [" ".join(sheet.extract_text().split()) for sheet in sheets]
    with_people = [text for text in texts if "Person" in text]
    assert len(with_people) > 2
    for text in with_people:
        assert "work number 12 on" in text
        assert "Why not" in text
