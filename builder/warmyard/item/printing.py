"""Parts of a question as static HTML: readable and printable without scripts."""

from __future__ import annotations

from typing import Literal

from markupsafe import Markup

from warmyard.formula.units import show_unit
from warmyard.item.response import Words
from warmyard.item.variant_model import Question
from warmyard.markup import LINE_BREAK, element, joined
from warmyard.words import say


def text_html(text: str) -> Markup:
    """Return plain text as HTML; a line break stays one."""
    return LINE_BREAK.join(text.strip().split("\n"))


def options_html(question: Question, tag: Literal["ul", "ol"] = "ul") -> Markup:
    """Return the options of a question as a list; nothing where it has none."""
    if not question.options:
        return Markup("")
    rows = joined(element("li", text_html(one.text), data_id=one.id) for one in question.options)
    return element(tag, rows, class_="wy-options")


def line_html(question: Question, words: Words) -> Markup:
    """Return the line on which a number with its unit is written."""
    unit = show_unit(question.unit)
    label = say(words, "question.answer", unit=unit) if unit else say(words, "question.answer_plain")
    blank = element("span", class_="wy-blank", aria_hidden="true")
    return element("p", label, " ", blank, " ", unit, class_="wy-line")
