"""The sheet of a notice "must read again": says what has changed and by when, and saves a reader's answer to a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from warmyard.course.model import Company
from warmyard.page.shell import Page, fill_sheet, make_page
from warmyard.page.words import need_words, words_of


@dataclass(frozen=True, slots=True, kw_only=True)
class NoticeFacts:
    """What a notice is about; `kind` is lesson, sheet or rule."""

    notice: str
    kind: str
    title: str
    until: str


def notice_sheet(facts: NoticeFacts, company: Company, words: Mapping[str, str]) -> str:
    """Return the sheet as one self-contained page; without scripts it says how to answer on paper."""
    said = need_words(words, [f"notice.{name}" for name in (facts.kind, "title", "until", "late", "no_script")])
    page = Page(
        name="wy-notice",
        title=said["notice.title"],
        subtitle=(facts.title, facts.notice),
        body=fill_sheet(
            "notice", what=said[f"notice.{facts.kind}"].format(title=facts.title),
            until=said["notice.until"].format(until=facts.until), late=said["notice.late"],
            no_script=said["notice.no_script"],
        ),
        scripts=("wy.js", "seal.js", "sheet.js", "notice.js"),
        data={"words": words_of(words, "notice", "sheet"), "notice": {"notice": facts.notice}},
    )  # fmt: skip
    return make_page(page, company, words)
