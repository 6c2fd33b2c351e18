"""What every fence and every made page is written with: values with their sources beside them, texts, problems."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from markupsafe import Markup, escape

from warmyard.course.grammar import Inline, find_inlines
from warmyard.course.pace import seconds_of_item
from warmyard.course.rules import NUMBERS
from warmyard.course.stop_rule import stop_words
from warmyard.course.values import Meaning, meaning
from warmyard.course.workspace import Workspace
from warmyard.errors import Place, SourceError
from warmyard.item.model import Edition
from warmyard.item.variant_model import Question
from warmyard.markup import element
from warmyard.web.drawn import DrawBook
from warmyard.web.notes import Notes

UNBROKEN = 16
"""A value of up to this many letters is kept on one line."""
_PHONES = ("emergency_phone", "office_phone", "technician_phone")


@dataclass(slots=True)
class Writer:
    """Writes the nodes of one page and remembers what the page will need: sources, items, formulas."""

    workspace: Workspace
    edition: Edition
    page: str
    """Id of the page, under which an assessment keeps its record."""
    drawn: DrawBook
    """The draws of items that pages carry, and the scripts that hand them over."""
    base: str
    """Way from the page to the start page's folder: "" or "../"."""
    notes: Notes
    items: list[str] = field(default_factory=list)
    """Items on the page, whose variants the page needs."""
    formulas: list[str] = field(default_factory=list)
    """Formulas that the page computes."""
    scripts: dict[str, bytes] = field(default_factory=dict)
    """Scripts of this page alone, in their order, by their place in the site."""
    more_files: dict[str, bytes] = field(default_factory=dict)
    """Files that its scripts load when they are wanted."""
    pictures: int = 0
    calls: int = 0
    stepped: bool = False
    """Whether the page is cut into steps: each opens by itself, so its problems stand open."""
    opens_problems: bool = False
    """Whether a set of problems stands open, not folded."""
    sheet_boxes: int = 0
    """Boxes that the sheet of a chosen machine may fill."""

    def inline(self, inline: Inline) -> Markup:
        """Return the HTML of an inline: the value, its source beside it, and how it is known when nobody read it."""
        means = meaning(self.workspace.shelf, inline, self.edition)
        if inline.kind == "term":
            return self._term(means.name, means.text, means.title)
        if inline.kind == "company":
            return company_line(means.name, means.text)
        if inline.kind == "stop":
            return self._stop(inline, means)
        if inline.kind == "source":
            return element("cite", means.text) + self.notes.mark(means.source, means.known)
        if inline.kind == "rule" and self.workspace.rules[means.name].telephone:
            return public_numbers(means.name, means.text)
        mark = self.notes.mark(means.source, means.known, f"{means.kind} {means.name}")
        own = {f"data-wy-{means.kind}": means.name}
        return element("span", unbroken(means.text), class_="wy-value", **own, title=means.title) + mark

    def _term(self, name: str, shown: str, means: str) -> Markup:
        return element("a", shown, class_="wy-term", href=f"{self.base}glossary.html#term-{name}", title=means)

    def _stop(self, inline: Inline, means: Meaning) -> Markup:
        """Return the words of a stop rule, its own inlines put in; words of the page lead staff to the rule."""
        if not inline.shown:
            said = stop_words(self.workspace.shelf.stop_rules[means.name], inline.name.partition(" ")[2], self.edition)
            return element("span", self.rich(said or "", inline.place), class_="wy-stop", data_wy_stop=means.name)
        if self.edition == "customer":
            return element("span", inline.shown, data_wy_stop=means.name)
        href = f"{self.base}stop-rules.html#stop-{means.name}"
        return element("a", inline.shown, class_="wy-term", href=href, title=means.title)

    def rich(self, text: str, place: Place) -> Markup:
        """Return plain text as HTML with its inlines put in."""
        faults: list[SourceError] = []
        html = str(escape(text))
        for inline in find_inlines(text, place.file, place.line, faults):
            html = html.replace(str(escape(inline.text)), str(self.inline(inline)), 1)
        return Markup(html)

    def problems(self, items: Sequence[str]) -> tuple[list[Question], float]:
        """Return the questions of a set and how many minutes it takes; the page will carry their variants."""
        self.items += [name for name in items if name not in self.items]
        questions = [self.drawn.first(self.workspace.items[name]).question for name in items]
        return questions, sum(seconds_of_item(self.workspace.items[name]) for name in items) / 60

    def plain(self, inline: Inline) -> str:
        """Return an inline as plain text, for headings."""
        return meaning(self.workspace.shelf, inline, self.edition).text


def unbroken(text: str) -> str:
    """Return a value that does not break between number and unit."""
    return text.replace(" ", "\u00a0") if len(text) <= UNBROKEN else text


def public_numbers(rule: str, text: str) -> Markup:
    """Return a rule's public numbers, each a link that dials; no mark stands where it could be read as a digit."""
    dialled = NUMBERS.sub(lambda number: _dials(number.group(), number.group()), str(escape(text)))
    return element("span", Markup(dialled), class_="wy-value wy-numbers", data_wy_rule=rule)


def _dials(number: str, shown: str) -> Markup:
    dialled = re.sub(r"[^0-9+]", "", number)
    return element("a", shown, class_="wy-phone", href=f"tel:{dialled}")


def company_line(name: str, text: str) -> Markup:
    """Return a line of the company; telephone numbers and the mail address can be tapped."""
    if name in _PHONES:
        return _dials(text, unbroken(text))
    if name == "email":
        return element("a", text, href=f"mailto:{text}")
    return escape(text)
