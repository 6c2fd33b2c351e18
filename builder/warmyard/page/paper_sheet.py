"""The page of a paper: opens offline with the phrase of its slip, asks, keeps drafts sealed, hands in a file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from warmyard.course.model import Company
from warmyard.markup import element
from warmyard.page.formula_script import units_script
from warmyard.page.javascript import KIND_SCRIPTS
from warmyard.page.shell import Page, make_page
from warmyard.page.words import need_words, words_of

SCRIPTS = (
    "wy.js", "number.js", "marking.js", *KIND_SCRIPTS, "seal.js", "sheet.js", "sitting.js",
    "paper.js",
)  # fmt: skip
"""marking.js is there for the walk through a fault case; without a key it marks nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SealedQuestions:
    """The sealed box and what the browser needs besides the phrase; base64 text."""

    salt: str
    nonce: str
    box: str
    rounds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperFacts:
    """What the open part of a paper says."""

    format: str
    sitting_format: str
    paper: str
    person: str
    level: int
    level_name: str
    part: str
    part_title: str
    attempt: int
    count: int
    minutes: int
    cut_percent: str
    conduct: Sequence[str]
    sealed: SealedQuestions
    adjusted: Sequence[str] = ()
    """Sentences about extra time and reading aloud; the minutes count it already."""


def paper_sheet(facts: PaperFacts, company: Company, words: Mapping[str, str]) -> str:
    """Return the paper as one self-contained HTML page; nothing in it marks."""
    said = need_words(words, ("paper.title", "paper.no_script", "paper.level", "paper.candidate"))
    sealed = facts.sealed
    page = Page(
        name="wy-paper",
        title=said["paper.title"],
        subtitle=(
            said["paper.level"].format(level=facts.level, name=facts.level_name),
            facts.part_title,
            said["paper.candidate"].format(person=facts.person),
            facts.paper,
            *facts.adjusted,
        ),
        body=element("p", said["paper.no_script"], class_="wy-alert"),
        scripts=(units_script(), *SCRIPTS),
        data={
            "words": words_of(words, "paper", "sheet", "practice", "case"),
            "paper": {
                "format": facts.format,
                "sitting_format": facts.sitting_format,
                "paper": facts.paper,
                "person": facts.person,
                "level": facts.level,
                "part": facts.part,
                "part_title": facts.part_title,
                "attempt": facts.attempt,
                "count": facts.count,
                "minutes": facts.minutes,
                "cut": facts.cut_percent,
                "conduct": list(facts.conduct),
                "sealed": {"salt": sealed.salt, "nonce": sealed.nonce, "box": sealed.box, "rounds": sealed.rounds},
            },
        },
    )
    return make_page(page, company, words)
