"""The page's own "what next?": symptom and findings in, suspects and the next check out, with no network."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from warmyard.machine.browser import browser_model
from warmyard.machine.model import Machine
from warmyard.markup import element
from warmyard.page.javascript import script_of
from warmyard.page.machine_words import machine_word, machine_words

SCRIPTS = ("wy.js", "diagnosis.js", "what_next.js")
"""Runtime scripts that it needs, in their order."""


def what_next_html(machine: Machine) -> Markup:
    """Return the element that the scripts fill; without scripts it points to the pages that need none."""
    return element("wy-what-next", element("p", machine_word(machine, "next-no-scripts")))


def machine_script(machine: Machine) -> str:
    """Return a classic script that sets `WY.machine`: the model for the reasoning, and the texts to show."""
    return script_of(machine={"model": browser_model(machine), "texts": texts(machine)})


def texts(machine: Machine) -> dict[str, Any]:
    """Return what is shown of the machine, by id."""
    return {
        "words": machine_words(machine, "next-"),
        "symptoms": {
            one.id: {"name": one.name, "caution": one.caution or "", "emergency": one.emergency or ""}
            for one in machine.symptoms.values()
        },
        "preconditions": {one.id: {"name": one.name, "means": one.means} for one in machine.preconditions.values()},
        "checks": {
            one.id: {"name": one.name, "ask": one.ask, "outcomes": one.outcomes, "opens": one.opens}
            for one in machine.checks.values()
        },
        "modes": {
            one.id: {"name": one.name, "remedy": one.remedy, "safety": one.safety, "fit": one.fit_to_return}
            for one in machine.modes.values()
        },
        "contexts": dict(machine.contexts),
        "bars": {one.id: one.say for one in machine.bars},
    }
