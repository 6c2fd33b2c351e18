"""The entries of the search index: made page by page by the theme's own reader, on every core, and kept in a book."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any, Protocol

import msgspec

from warmyard.kept import Book

Entries = list[dict[str, Any]]


class Index(Protocol):
    """What the theme gathers its entries in."""

    entries: Entries
    add_entry_from_context: Callable[[Any], None]


class SearchEntries:
    """Stands between the theme's index and the pages: what was made of a page is given again for the same page."""

    def __init__(self, index: Index, book: Book) -> None:
        """Take the place of the index's own way to add a page."""
        self.index, self.book = index, book
        self._read = index.add_entry_from_context
        index.add_entry_from_context = self.add

    def add(self, page: Any) -> None:
        """Add the entries of a page to the index."""
        self.index.entries += msgspec.json.decode(self._of(page))

    def make_all(self, pages: Iterable[Any]) -> None:
        """Make the entries of all pages, shared among the cores."""
        self.book.fill([partial(self._of, page) for page in pages])

    def _of(self, page: Any) -> bytes:
        parts = [page.content, page.url, str(page.title), page.meta.get("title"), _names(page.toc)]
        return self.book.made("search", parts, lambda: self._made(page))

    def _made(self, page: Any) -> bytes:
        before = self.index.entries
        self.index.entries = []
        try:
            self._read(page)
            return msgspec.json.encode(self.index.entries)
        finally:
            self.index.entries = before


def _names(toc: Iterable[Any]) -> list[Any]:
    """Return the anchors of a page with those below them."""
    return [(entry.id, entry.url, _names(entry.children)) for entry in toc]
