"""The script of a call as a page shows it: safety questions once, looks in their order, the words to read out."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.machine.model import Machine
from warmyard.page.script import telephone_script
from warmyard.web.fill import fill


def write_call(machine: Machine, symptom: str, *, questions: bool, folded: bool) -> Markup:
    """Return the script of a symptom.

    `questions` writes the safety questions, which a page needs only once; `folded` puts the looks behind a summary
    that opens without scripts, for pages that hold several.
    """
    script = telephone_script(machine, symptom)
    return fill("script", script=script, words=machine.words, questions=questions, folded=folded)
