"""The words of course/words.yaml and of the machine that pages of the site need, checked before anything is built."""

from __future__ import annotations

from collections.abc import Mapping
from typing import get_args

from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.formula.model import Known

EVERY_PAGE = (
    "cautions-title",
    "cautions-plate",
    "cautions-law",
    "cautions-safety-device",
    "cautions-people",
    "shell.cautions",
    "shell.emergency",
    "shell.technician",
    "shell.office",
    *(f"known-{known}" for known in get_args(Known)),
)
SOME_PAGES = (
    "course.sum",
    "course.due",
    "course.minutes",
    "course.hours",
    "telephone.newer",
    "telephone.load",
    "telephone.offline",
)
CALLS = (
    *(f"script-{name}" for name in ("safety", "safety-why", "look", "look-why", "not", "one-reset", "nothing")),
    *(f"script-{name}" for name in ("read-out", "read-out-why", "symptom", "saw", "plate", "resets")),
    *(f"end-{name}" for name in ("emergency", "fixed", "visit", "stop-using", "go-on", "left")),
)
"""Words of the machine's sources that the script of a call is made of."""


def check_words(workspace: Workspace) -> list[SourceError]:
    """Return a fault for every word that a page needs and nobody wrote."""
    return [
        *_missing(workspace.words, (*EVERY_PAGE, *SOME_PAGES), Place("course/words.yaml", 1), "words.yaml"),
        *_missing(workspace.machine.words, CALLS, Place("course/machine", 1), "`words:` of a file in course/machine/"),
    ]


def _missing(words: Mapping[str, str], needed: tuple[str, ...], place: Place, where: str) -> list[SourceError]:
    return [
        SourceError(place, f"there is no word {name}", f"write it in {where}")
        for name in needed
        if not words.get(name, "").strip()
    ]
