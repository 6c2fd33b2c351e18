"""The draws that pages carry: made once for each item, kept in a book, made again when what they rest on changed."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Sequence
from functools import partial

import msgspec
from markupsafe import Markup

from warmyard.course.workspace import Workspace
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import Variant
from warmyard.item.watch import Watcher
from warmyard.kept import Book
from warmyard.page.payload import item_payload, practice_variants
from warmyard.page.sequence_chart import sketch_sequence
from warmyard.page.van_tree import van_tree_html
from warmyard.words import speaking

DRAWN = "drawn"


class DrawBook:
    """The variants of items, and the scripts that hand them to a page."""

    def __init__(self, workspace: Workspace, book: Book) -> None:
        self.workspace, self.book = workspace, book
        self.watcher = Watcher(workspace.surroundings, book)
        self._digests: dict[str, str] = {}

    def draw_all(self, items: Iterable[Item], symptoms: Iterable[str] = ()) -> None:
        """Draw what was not drawn before of the same, shared among the cores."""
        new = [item for item in items if self.watcher.kept(DRAWN, item) is None]
        with speaking(self.workspace.words):
            self.book.fill(
                [*(partial(self._bytes, item) for item in new), *(partial(self.tree, name) for name in symptoms)]
            )

    def write_all(self, payloads: Iterable[tuple[Sequence[Item], int | None]]) -> None:
        """Make scripts that pages will ask for, shared among the cores."""
        with speaking(self.workspace.words):
            self.book.fill([partial(self.payload, items, most) for items, most in payloads])

    def sequence(self, mode: str | None) -> Markup:
        """Return the start sequence, as it should be or with one failure."""
        machine = self.workspace.machine
        return self._sketched("sequence", str(mode), lambda: sketch_sequence(machine, mode))

    def tree(self, symptom: str) -> Markup:
        """Return the checks of a symptom in their best order."""
        return self._sketched("tree", symptom, lambda: van_tree_html(self.workspace.machine, symptom))

    def _sketched(self, what: str, name: str, sketch: Callable[[], str]) -> Markup:
        """Return what is sketched of the machine model alone, in the words that are spoken."""
        parts = [self.watcher.digest("machine"), self.watcher.digest("words"), name]
        return Markup(self.book.made(what, parts, lambda: sketch().encode()).decode())

    def variants(self, item: Item) -> list[Variant]:
        """Return the draws of an item that a page carries: the same seeds in every build."""
        return msgspec.msgpack.decode(self._bytes(item), type=list[Variant])

    def payload(self, items: Sequence[Item], most: int | None = None) -> bytes:
        """Return the script that gives a page the draws of some items, at most so many of each."""
        parts = [most, self.watcher.digest("words"), *(self._digest(item) for item in items)]
        return self.book.made("payload", parts, lambda: self._payload(items, most))

    def _payload(self, items: Sequence[Item], most: int | None) -> bytes:
        return item_payload(variant for item in items for variant in self.variants(item)[:most]).encode()

    def _digest(self, item: Item) -> str:
        if item.id not in self._digests:
            self._digests[item.id] = hashlib.sha256(self._bytes(item)).hexdigest()
        return self._digests[item.id]

    def _bytes(self, item: Item) -> bytes:
        return self.watcher.made(DRAWN, item, _drawn) or b""


def _drawn(item: Item, around: Surroundings) -> bytes:
    return msgspec.msgpack.encode(practice_variants(item, around))
