"""The board of who may go out alone on a day: one self-contained page, made to be printed and hung up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.model import Company
from warmyard.page.shell import Page, fill_sheet, make_page
from warmyard.page.words import need_words

_WORDS = ("title", "on", "yes", "no", "person", "until", "why", "next", "nobody", "witness", "holds")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One person on the board."""

    person: str
    name: str
    may: Sequence[bool]
    """One answer for each activity."""
    until: str
    why: str
    """The first reason why not, in the order of the activities; empty for somebody who may do everything."""
    next: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """What the board says, and from which state of the ledger."""

    day: str
    made: str
    activities: Sequence[str]
    rows: Sequence[Row]
    witness: str
    count: int


def board_page(board: Board, company: Company, words: Mapping[str, str]) -> str:
    """Return the board as HTML; raise SourceError when a word is missing from course/words.yaml."""
    found = need_words(words, [f"board.{name}" for name in _WORDS])
    text = {name: found[f"board.{name}"] for name in _WORDS}
    text["witness"] = text["witness"].format(witness=board.witness, count=board.count)
    text["holds"] = text["holds"].format(made=board.made)
    body = fill_sheet("board", words=text, rows=board.rows, activities=board.activities)
    page = Page(
        name="wy-board", title=text["title"], subtitle=(text["on"].format(day=board.day),), body=body, scripts=(),
        styles=("wy.css", "sheet.css", "board.css"),
    )  # fmt: skip
    return make_page(page, company, words)
