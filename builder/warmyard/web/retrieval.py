"""Three questions from earlier lessons: at the head of a lesson, or after its steps."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.lesson import Lesson
from warmyard.web.assets import scripts_of
from warmyard.web.blocks import Writer
from warmyard.web.packs import RETRIEVAL_SCRIPTS, retrieval_html


def write_retrieval(writer: Writer, page: Lesson) -> Markup:
    """Return the place for the questions, if any can be asked; the page will load what asks them."""
    place = retrieval_html(writer.workspace, page)
    if place:
        writer.scripts |= scripts_of(RETRIEVAL_SCRIPTS)
    return place
