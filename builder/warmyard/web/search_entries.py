"""The entries of the search index: made page by page by the theme's own reader, on every core, and kept in a book."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from types import SimpleNamespace
from typing import Any, Protocol

import msgspec

from warmyard.course.model import Term
from warmyard.kept import Book

Entries = list[dict[str, Any]]


_MATHS = re.compile(r"<math\b.*?</math>", re.DOTALL)
_CELL_ENDS = re.compile(r"(?=</(?:td|th|dt|dd|text|summary)>)")
_TERM = re.compile(r'<a class="wy-term" href="[^"]*#term-([a-z0-9-]+)".*?</a>', re.DOTALL)


class Index(Protocol):
    """What the theme gathers its entries in."""

    entries: Entries
    add_entry_from_context: Callable[[Any], None]


class SearchEntries:
    """Stands between the theme's index and the pages: what was made of a page is given again for the same page."""

    def __init__(self, index: Index, book: Book, also: Mapping[str, str]) -> None:
        """Take the place of the index's own way to add a page; `also` has other words for terms by their ids."""
        self.index, self.book, self.also = index, book, also
        self._read = index.add_entry_from_context
        index.add_entry_from_context = self.add

    def add(self, page: Any) -> None:
        """Add the entries of a page to the index."""
        self.index.entries += msgspec.json.decode(self._of(page))

    def make_all(self, pages: Iterable[Any]) -> None:
        """Make the entries of all pages, shared among the cores."""
        self.book.fill([partial(self._of, page) for page in pages])

    def _of(self, page: Any) -> bytes:
        content = self._readable(page.content)
        parts = [content, page.url, str(page.title), page.meta.get("title"), _names(page.toc)]
        return self.book.made("search", parts, lambda: self._made(page, content))

    def _made(self, page: Any, content: str) -> bytes:
        before = self.index.entries
        self.index.entries = []
        try:
            self._read(SimpleNamespace(content=content, url=page.url, title=page.title, meta=page.meta, toc=page.toc))
            return msgspec.json.encode(self.index.entries)
        finally:
            self.index.entries = before

    def _readable(self, html: str) -> str:
        """Return a page as it is searched: no formulas, cells that part, and at each term its other words."""
        parted = _CELL_ENDS.sub(" · ", _MATHS.sub("", html))
        return _TERM.sub(lambda found: f"{found[0]}{self.also.get(found[1], '')}", parted)


def other_words(terms: Mapping[str, Term]) -> dict[str, str]:
    """Return what stands behind a term in the index, in brackets, by the term's id."""
    return {term.id: f" ({', '.join(term.also)})" for term in terms.values() if term.also}


def _names(toc: Iterable[Any]) -> list[Any]:
    """Return the anchors of a page with those below them."""
    return [(entry.id, entry.url, _names(entry.children)) for entry in toc]
