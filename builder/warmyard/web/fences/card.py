"""A card on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.fences.card import CardNode
from warmyard.web.blocks import Writer
from warmyard.web.cards import write_card


def write(writer: Writer, node: CardNode) -> Markup:
    """Return a card to print and hang on the heater."""
    lines = [writer.rich(line, node.place.within(f"lines.{at}")) for at, line in enumerate(node.lines)]
    page = next((page for page in writer.workspace.lessons.values() if page.id == writer.page), None)
    hung = page is None or page.front.kind == "card"
    return write_card(node.title, lines, writer.workspace.company, writer.notes.words, hung)
