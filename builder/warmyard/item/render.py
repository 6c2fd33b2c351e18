"""A question as static HTML: readable and printable without scripts; the page's scripts take it over.

Also the frames around questions, practice and assessment, which the runtime's elements upgrade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from math import ceil

from warmyard.item.kind_table import KINDS
from warmyard.item.printing import text_html
from warmyard.item.variant_model import Question
from warmyard.words import say

Words = Mapping[str, str]


def question_html(question: Question, words: Words | None = None) -> str:
    """Return the question as the runtime's element around HTML that needs no scripts. No key is in it."""
    kind = escape(question.kind)
    body = [f'<p class="wy-ask">{text_html(question.ask)}</p>']
    if question.drawing:
        body.append(f'<div class="wy-drawing">{question.drawing}</div>')
    body.append(KINDS[question.kind].print(question, words or {}))
    seed = escape(str(question.seed))
    inner = f'<div class="wy-question" data-kind="{kind}" data-seed="{seed}">{"".join(body)}</div>'
    return f'<wy-item item="{escape(question.item)}">{inner}</wy-item>'


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
