"""A question as static HTML: readable and printable without scripts; the page's scripts take it over.

Also the frames around questions, practice and assessment, which the runtime's elements upgrade.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from math import ceil

from markupsafe import Markup

from warmyard.item.kind_table import KINDS
from warmyard.item.printing import text_html
from warmyard.item.variant_model import Question
from warmyard.markup import element, joined
from warmyard.words import say

Words = Mapping[str, str]


def question_html(question: Question, words: Words | None = None, class_: str | None = None) -> Markup:
    """Return the question as the runtime's element around HTML that needs no scripts. No key is in it."""
    body = [element("p", text_html(question.ask), class_="wy-ask")]
    if question.drawing:
        body.append(element("div", Markup(question.drawing), class_="wy-drawing"))
    body.append(KINDS[question.kind].print(question, words or {}))
    inner = element("div", *body, class_="wy-question", data_kind=question.kind, data_seed=question.seed)
    named = {"data_skill": question.skill, "data_critical": "" if question.critical else None}
    return element("wy-item", inner, item=question.item, class_=class_, **named)


def practice_html(title: str, questions: Sequence[Question], words: Words | None = None, minutes: float = 0) -> Markup:
    """Return a set of practice problems; with minutes it is folded, and its button says how many and how long."""
    inner = _folded(questions, words or {}, "question.open_set", minutes)
    return element("section", _set_title(title), inner, class_="wy-practice")


def assessment_html(
    id: str,
    title: str,
    questions: Sequence[Question],
    words: Words | None = None,
    minutes: float = 0,
    above: Collection[str] = (),
) -> Markup:
    """Return the scored set of a lesson, folded as practice is; `id` is the lesson's, under which it is kept.

    The items that stand `above` on the page are not printed once more.
    """
    inner = _folded(questions, words or {}, "question.begin_set", minutes, above)
    if above:
        inner = element("p", say(words or {}, "question.printed_above"), class_="wy-printed-above") + inner
    return element("wy-assessment", _set_title(title), inner, assessment=id, heading=title)


def _set_title(title: str) -> Markup:
    return element("h3", title, class_="wy-set-title")


def _folded(
    questions: Sequence[Question], words: Words, button: str, minutes: float, above: Collection[str] = ()
) -> Markup:
    note = element("noscript", element("p", say(words, "question.needs_scripts"), class_="wy-note"))
    inner = note + joined(
        question_html(question, words, "wy-again" if question.item in above else None) for question in questions
    )
    if not minutes:
        return inner
    count = say(words, "question.one" if len(questions) == 1 else "question.several", count=str(len(questions)))
    summary = say(words, button, count=count, minutes=str(ceil(minutes)))
    return element("details", element("summary", summary), inner, class_="wy-fold")
