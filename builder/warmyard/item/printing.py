"""Parts of a question as static HTML: readable and printable without scripts."""

from __future__ import annotations

from html import escape
from typing import Literal

from warmyard.formula.units import show_unit
from warmyard.item.response import Words
from warmyard.item.variant_model import Question
from warmyard.words import say


def text_html(text: str) -> str:
    """Return plain text as HTML; a line break stays one."""
    return escape(text.strip()).replace("\n", "<br>")


def options_html(question: Question, tag: Literal["ul", "ol"] = "ul") -> str:
    """Return the options of a question as a list; nothing where it has none."""
    if not question.options:
        return ""
    rows = "".join(f'<li data-id="{escape(one.id)}">{text_html(one.text)}</li>' for one in question.options)
    return f'<{tag} class="wy-options">{rows}</{tag}>'


def line_html(question: Question, words: Words) -> str:
    """Return the line on which a number with its unit is written."""
    unit = show_unit(question.unit)
    label = say(words, "question.answer", unit=unit) if unit else say(words, "question.answer_plain")
    return f'<p class="wy-line">{escape(label)} <span class="wy-blank" aria-hidden="true"></span> {escape(unit)}</p>'
