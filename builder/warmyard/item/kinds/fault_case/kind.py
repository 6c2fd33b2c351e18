"""The record of fault cases."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.item.kind import Kind
from warmyard.item.kinds.fault_case.check import check_case
from warmyard.item.kinds.fault_case.draw import case_variant
from warmyard.item.kinds.fault_case.marking import CASE
from warmyard.item.kinds.fault_case.schema import FaultCase
from warmyard.item.printing import text_html
from warmyard.item.response import Words
from warmyard.item.variant_model import Case, Question
from warmyard.markup import element, joined
from warmyard.words import say

_BLANK = element("span", class_="wy-blank wy-blank--long", aria_hidden="true")


def _printed(question: Question, words: Words) -> Markup:
    if question.case is None:
        return Markup("")
    case = question.case
    about = [element("li", text_html(one)) for one in case.contexts]
    said = element("blockquote", text_html(case.as_said), class_="wy-said")
    return joined((said, element("ul", *about) if about else "", _sheet(case, words)))


def _sheet(case: Case, words: Words) -> Markup:
    """Return what a pen fills in: the checks to tick, a line for each thing concluded, what is fit to tick."""
    checks = [
        element("li", say(words, "case.check", name=one.text, minutes=f"{one.minutes:g}", level=str(one.level)))
        for one in case.checks
    ]
    lines = ["case.cause", *(["case.behind"] if case.behind else [])]
    return element(
        "div",
        element("p", say(words, "case.checks"), class_="wy-small"),
        element("ul", *checks, class_="wy-options wy-case-checks"),
        *(element("p", say(words, one), " ", _BLANK, class_="wy-line") for one in lines),
        *_fit(case, words),
        class_="wy-case-sheet",
    )


def _fit(case: Case, words: Words) -> list[Markup]:
    if not case.fit:
        return []
    rows = [element("li", text_html(one.text)) for one in case.fit]
    return [element("p", say(words, "case.fit")), element("ul", *rows, class_="wy-options")]


KIND = Kind(
    struct=FaultCase,
    marking=CASE,
    shows=("case",),
    rank=60,
    variants=1,
    draw=case_variant,
    check=check_case,
    print=_printed,
    rests_on=lambda item: ("machine",),
    level=lambda item: item.level,
    seeds=1,
)
