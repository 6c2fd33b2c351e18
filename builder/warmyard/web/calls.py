"""The script of a call as a page shows it: safety questions once, looks in their order, the words to read out."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.machine.model import Machine
from warmyard.page.script import telephone_script
from warmyard.web.fill import fill

PLACE = Markup("<!-- safety questions -->")
"""Where the first script of a page leaves room for the safety questions."""


def write_call(machine: Machine, symptom: str, *, first: bool, folded: bool) -> Markup:
    """Return the script of a symptom.

    The `first` of a page leaves a place for the safety questions, which a page needs only once; `folded` puts the
    looks behind a summary that opens without scripts, for pages that hold several.
    """
    script = telephone_script(machine, symptom)
    before = PLACE if first and machine.questions else ""
    return fill("script", script=script, words=machine.words, before=before, folded=folded)


def put_questions(html: str, machine: Machine, calls: int) -> str:
    """Return the page with the safety questions: in its only script, or before the heading of the first of several."""
    if PLACE not in html:
        return html
    questions = fill("questions", questions=machine.questions, words=machine.words, framed=calls > 1)
    if calls == 1:
        return html.replace(PLACE, questions, 1)
    return html.replace(PLACE, "", 1).replace("<h2", f"{questions}<h2", 1)
