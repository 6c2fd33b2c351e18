"""A question as static HTML: readable and printable without scripts; the page's scripts take it over.

Also the frames around questions, practice and assessment, which the runtime's elements upgrade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from math import ceil

from warmyard.formula.units import show_unit
from warmyard.item.variant_model import Case, Question
from warmyard.words import say

Words = Mapping[str, str]


def question_html(question: Question, words: Words | None = None) -> str:
    """Return the question as the runtime's element around HTML that needs no scripts. No key is in it."""
    known = words or {}
    kind = escape(question.kind)
    body = [f'<p class="wy-ask">{text_html(question.ask)}</p>']
    if question.drawing:
        body.append(f'<div class="wy-drawing">{question.drawing}</div>')
    if question.case is not None:
        body.append(_case_html(question.case, known))
    elif question.kind in ("numeric", "reading"):
        body.append(_line_html(question, known))
    if question.kind != "picture-point" and question.options:
        tag = "ol" if question.kind == "ordering" else "ul"
        rows = "".join(f'<li data-id="{escape(one.id)}">{text_html(one.text)}</li>' for one in question.options)
        body.append(f'<{tag} class="wy-options">{rows}</{tag}>')
    seed = escape(str(question.seed))
    inner = f'<div class="wy-question" data-kind="{kind}" data-seed="{seed}">{"".join(body)}</div>'
    return f'<wy-item item="{escape(question.item)}">{inner}</wy-item>'


def text_html(text: str) -> str:
    """Return plain text as HTML; a line break stays one."""
    return escape(text.strip()).replace("\n", "<br>")


def _line_html(question: Question, words: Words) -> str:
    unit = show_unit(question.unit)
    label = say(words, "question.answer", unit=unit) if unit else say(words, "question.answer_plain")
    return f'<p class="wy-line">{escape(label)} <span class="wy-blank" aria-hidden="true"></span> {escape(unit)}</p>'


def _case_html(case: Case, words: Words) -> str:
    said = f'<blockquote class="wy-said">{text_html(case.as_said)}</blockquote>'
    about = "".join(f"<li>{text_html(one)}</li>" for one in case.contexts)
    return said + (f"<ul>{about}</ul>" if about else "")


def practice_html(title: str, questions: Sequence[Question], words: Words | None = None, minutes: float = 0) -> str:
    """Return a set of practice problems; with minutes it is folded, and its button says how many and how long."""
    inner = _folded(questions, words or {}, "question.open_set", minutes)
    return f'<section class="wy-practice"><h3 class="wy-set-title">{escape(title)}</h3>{inner}</section>'


def assessment_html(
    id: str, title: str, questions: Sequence[Question], words: Words | None = None, minutes: float = 0
) -> str:
    """Return the scored set of a lesson, folded as practice is; `id` is the lesson's, under which it is kept."""
    inner = _folded(questions, words or {}, "question.begin_set", minutes)
    return (
        f'<wy-assessment assessment="{escape(id)}" heading="{escape(title)}">'
        f'<h3 class="wy-set-title">{escape(title)}</h3>{inner}</wy-assessment>'
    )


def _folded(questions: Sequence[Question], words: Words, button: str, minutes: float) -> str:
    note = f'<noscript><p class="wy-note">{escape(say(words, "question.needs_scripts"))}</p></noscript>'
    inner = note + "".join(question_html(question, words) for question in questions)
    if not minutes:
        return inner
    count = say(words, "question.one" if len(questions) == 1 else "question.several", count=str(len(questions)))
    summary = escape(say(words, button, count=count, minutes=str(ceil(minutes))))
    return f'<details class="wy-fold"><summary>{summary}</summary>{inner}</details>'
