"""The script of a call as a page shows it: safety questions once, looks in their order, the words to read out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from warmyard.errors import Place
from warmyard.machine.model import Machine, SafetyQuestion
from warmyard.page.call_script import telephone_script
from warmyard.web.fill import fill

PLACE = Markup("<!-- safety questions -->")
"""Where the first script of a page leaves room for the safety questions."""


def write_call(
    machine: Machine,
    symptom: str,
    *,
    first: bool,
    folded: bool,
    for_customer: bool,
    rich: Callable[[str, Place], Markup],
) -> Markup:
    """Return the script of a symptom.

    The `first` of a page leaves a place for the safety questions, which a page needs only once; `folded` puts the
    looks behind a summary that opens without scripts, for pages that hold several; `rich` puts inlines into a text.
    A customer hears the symptom in a caller's words, and no caution that is meant for staff.
    """
    script = telephone_script(machine, symptom)
    before = PLACE if first and machine.questions else ""
    shown = script.symptom
    name, caution = (shown.as_said, shown.customer) if for_customer else (shown.name, shown.caution or "")
    said = partial(_said, machine, rich)
    return fill(
        "script",
        script=script,
        called=name,
        caution=rich(caution, shown.place),
        words=machine.words,
        before=before,
        folded=folded,
        say=said,
    )


def _said(machine: Machine, rich: Callable[[str, Place], Markup], check: str, text: str) -> Markup:
    return rich(text, machine.checks[check].place)


@dataclass(frozen=True, slots=True)
class _Shown:
    """A safety question as a page shows it, its inlines put in."""

    ask: Markup
    if_yes: Markup
    end: str


def put_questions(html: str, machine: Machine, calls: int, rich: Callable[[str, Place], Markup]) -> str:
    """Return the page with the safety questions: in its only script, or before the heading of the first of several.

    `rich` puts inlines into a text.
    """
    if PLACE not in html:
        return html

    def shown(question: SafetyQuestion) -> _Shown:
        return _Shown(rich(question.ask, question.place), rich(question.if_yes, question.place), question.end)

    asked = [shown(question) for question in machine.questions]
    questions = fill("questions", questions=asked, words=machine.words, framed=calls > 1)
    if calls == 1:
        return html.replace(PLACE, questions, 1)
    top, heading, rest = html.replace(PLACE, "", 1).partition("<h2")
    return f"{top}{questions if heading else ''}{heading}{rest}"
