"""What the search knows: the text of every page, part by part, and the other words for the terms of the glossary."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

import msgspec
from selectolax.lexbor import LexborNode

from warmyard.course.model import Term
from warmyard.course.stop_rule import StopRule
from warmyard.kept import Book
from warmyard.page.javascript import HEAD, inert_json
from warmyard.web.parsed import parse_html

_EMPTY_CELLS = re.compile(r"(?: ·)+ ")
_BEFORE_SIGNS = re.compile(r" (?=[.,;:)](?: |$))")
INDEX = "assets/wy/search_index.js"
STOP_RULES, FORMULAS = "stop-rules.html", "formulas.html"
WRITTEN, MADE, LAST = 1, 0, -1
"""Where a page stands among those that answer alike: written, made, or after all the others."""
_HEADINGS = ("h1", "h2", "h3")
_NOT_READ = frozenset({"math", "svg", "script", "style", "template", "noscript", "button", "select", "title"})
"""Elements whose text nobody would look for: the letters of a formula, what is drawn, what is pressed."""
_CELLS = frozenset({"td", "th", "dt", "dd", "summary"})
"""Elements whose text stands apart from what follows."""
_BLOCKS = frozenset(
    {
        "p",
        "li",
        "div",
        "section",
        "tr",
        "table",
        "ul",
        "ol",
        "dl",
        "figcaption",
        "blockquote",
        "br",
        "span",
        "label",
        *_HEADINGS,
    }
)


@dataclass(frozen=True, slots=True)
class PageText:
    """A finished page: its address in the site, its title, its HTML, and whether somebody wrote it."""

    url: str
    title: str
    html: str
    written: bool
    """A made page lists what others explain: of two that answer alike the written one comes first."""


class PagePart(msgspec.Struct, frozen=True, array_like=True):
    """A part of a page, from its heading to the next; the first has the page's own."""

    anchor: str
    heading: str
    text: str


@dataclass(slots=True)
class _Open:
    """A part that is being read."""

    anchor: str
    heading: list[str] = field(default_factory=list)
    text: list[str] = field(default_factory=list)

    def part(self) -> PagePart:
        return PagePart(self.anchor, _one_line(self.heading), _one_line(self.text))


def search_index(pages: Sequence[PageText], terms: Mapping[str, Term], rules: Sequence[StopRule], book: Book) -> bytes:
    """Return the script of the index: a page opened from a file may load a script and may not fetch.

    A page that was read before is taken from the book; the others are shared among the cores.
    """
    reads = [partial(_kept, page, book) for page in pages]
    book.fill(reads)
    found = [
        (page.url, page.title, msgspec.json.decode(read()), _standing(page))
        for page, read in zip(pages, reads, strict=True)
    ]
    has_rules = any(page.url == STOP_RULES for page in pages)
    told = {
        "pages": found,
        "terms": other_words(terms),
        "means": {term.term: term.means for term in terms.values()},
        "dangers": danger_words(rules) if has_rules else [],
    }
    return f"{HEAD}WY.searchIndex = {inert_json(told)};\n".encode()


def _standing(page: PageText) -> int:
    return LAST if page.url == FORMULAS else WRITTEN if page.written else MADE


def danger_words(rules: Sequence[StopRule]) -> list[tuple[str, str, list[str]]]:
    """Return where each stop rule stands, with the single words for its danger; `smell*` is any word that begins so."""
    told = [
        (STOP_RULES, f"stop-{rule.id}", [word for said in rule.dangers if " " not in said for word in said.split("|")])
        for rule in rules
    ]
    return [one for one in told if one[2]]


def _kept(page: PageText, book: Book) -> bytes:
    return book.made("search-parts", [page.html], lambda: msgspec.json.encode(parts_of(page.html)))


def other_words(terms: Mapping[str, Term]) -> list[list[str]]:
    """Return each term that has other words, followed by these."""
    return [[term.term, *term.also] for term in terms.values() if term.also]


def parts_of(html: str) -> list[PagePart]:
    """Return the parts of a page with their text as it is read; what has no letters is none."""
    found = [_Open("")]
    body = parse_html(html).body
    for node in _inside(body) if body else ():
        _read(node, found)
    parts = [one.part() for one in found]
    return [part for part in parts if part.heading or part.text]


def _read(node: LexborNode, found: list[_Open]) -> None:
    tag = node.tag or ""
    anchor = node.attributes.get("id") or ""
    if tag == "h1" or (tag in _HEADINGS and anchor):
        found.append(_Open("" if tag == "h1" else anchor, [node.text(separator=" ")]))
    elif tag == "-text":
        found[-1].text.append(node.text())
    elif tag not in _NOT_READ and node.attributes.get("class") != "wy-source-mark":
        for child in _inside(node):
            _read(child, found)
        found[-1].text.append(" · " if tag in _CELLS else " " if tag in _BLOCKS else "")


def _inside(node: LexborNode) -> Iterator[LexborNode]:
    return node.iter(include_text=True)


def _one_line(pieces: Sequence[str]) -> str:
    return _EMPTY_CELLS.sub(" · ", _BEFORE_SIGNS.sub("", " ".join("".join(pieces).split())))
