"""The page of the stop rules, and how pages of each edition show a rule that they cite."""

from __future__ import annotations

from pathlib import Path

import pytest
from selectolax.lexbor import LexborHTMLParser

from warmyard.course.grammar import find_inlines
from warmyard.course.workspace import Workspace
from warmyard.errors import Place
from warmyard.item.model import Edition
from warmyard.kept import Book
from warmyard.web.blocks import Writer
from warmyard.web.drawn import DrawBook
from warmyard.web.notes import Notes
from warmyard.web.reference import stop_rules
from warmyard.words import speaking


def writer_of(workspace: Workspace, edition: Edition) -> Writer:
    """Return the writer of a page of an edition."""
    drawn = DrawBook(workspace, Book())
    return Writer(workspace, edition, "page", drawn, "../", Notes(workspace.sources, workspace.words))


def test_every_rule_stands_on_the_page_with_who_may_start_again(whole_workspace: Workspace) -> None:
    """Each rule once, under the anchor to which every citation leads."""
    with speaking(whole_workspace.words):
        page = LexborHTMLParser(str(stop_rules(writer_of(whole_workspace, "staff"))))
    for rule in whole_workspace.stops.rules:
        (heading,) = page.css(f"#stop-{rule.id}")
        assert heading.text(strip=True) == rule.title
        section = heading.parent
        assert section is not None
        said = section.text()
        assert (f"level {rule.restart_level}" if rule.restart_level else "was shown how") in said
        assert "[[" not in said


@pytest.mark.parametrize(
    ("edition", "text", "expected"),
    [
        ("staff", "[[stop bang|A thump]]", '<a class="wy-term" href="../stop-rules.html#stop-bang"'),
        ("customer", "[[stop bang|A thump]]", '<span data-wy-stop="bang">A thump</span>'),
        ("staff", "[[stop bang]]", "Turn it off by its own controls and leave it off."),
        ("customer", "[[stop bang]]", "There may be fuel in the hot box."),
        ("customer", "[[stop fire]]", 'class="wy-phone" href="tel:'),
    ],
)
def test_each_edition_shows_a_rule_in_its_way(
    whole_workspace: Workspace, edition: Edition, text: str, expected: str
) -> None:
    """Staff are led to the rule; customers are told it, its numbers dial, and nothing leads where they have no page."""
    with speaking(whole_workspace.words):
        (inline,) = find_inlines(text, "p.md", 1, [])
        shown = str(writer_of(whole_workspace, edition).inline(inline))
        assert str(writer_of(whole_workspace, edition).rich(text, Place())) == shown
    assert expected in shown
    assert edition == "staff" or "stop-rules" not in shown


def test_no_page_for_customers_leads_to_the_rules(customer_site: Path) -> None:
    """They have no such page; what they need stands where they read."""
    for path in sorted(customer_site.rglob("*.html")):
        assert "stop-rules" not in path.read_text(encoding="utf-8"), path.name
