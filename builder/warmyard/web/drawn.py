"""The draws that pages carry: made once for each item, kept in a book, made again when what they rest on changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

import msgspec
from markupsafe import Markup

from warmyard.course.workspace import Workspace
from warmyard.item.model import Item
from warmyard.item.surroundings import Surroundings
from warmyard.item.variant_model import Variant
from warmyard.item.watch import Watcher
from warmyard.kept import Book
from warmyard.page.payload import Packed, helps_of, pack_variants, payload_of, practice_variants
from warmyard.page.sequence_chart import sketch_sequence
from warmyard.page.van_tree import van_tree_html
from warmyard.words import speaking

DRAWN = "drawn"


class DrawBook:
    """The variants of items, and the scripts that hand them to a page."""

    def __init__(self, workspace: Workspace, book: Book) -> None:
        self.workspace, self.book = workspace, book
        self.watcher = Watcher(workspace.surroundings, book)
        self._known: dict[str, ItemDraws] = {}
        """Several pages and a pack carry an item: it is looked up once."""

    def draw_all(self, items: Iterable[Item], symptoms: Iterable[str] = ()) -> None:
        """Draw what was not drawn before of the same, shared among the cores."""
        new = [item for item in items if self.watcher.kept(DRAWN, item) is None]
        with speaking(self.workspace.words):
            self.book.fill(
                [*(partial(self._bytes, item) for item in new), *(partial(self.tree, name) for name in symptoms)]
            )

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

    def first(self, item: Item) -> Variant:
        """Return the first draw that a page carries of an item."""
        return self._drawn(item).first

    def payload(self, items: Iterable[Item], most: int | None = None) -> bytes:
        """Return the script that gives a page the draws of some items, at most so many of each."""
        return payload_of((self._drawn(item).packed for item in items), most).encode()

    def _drawn(self, item: Item) -> ItemDraws:
        if item.id not in self._known:
            self._known[item.id] = msgspec.msgpack.decode(self._bytes(item), type=ItemDraws)
        return self._known[item.id]

    def _bytes(self, item: Item) -> bytes:
        return self.watcher.made(DRAWN, item, _draw) or b""


class ItemDraws(msgspec.Struct, frozen=True, array_like=True):
    """The draws of an item: the first as it is, and all as a page takes them; the same seeds in every build."""

    first: Variant
    packed: Packed


def _draw(item: Item, around: Surroundings) -> bytes:
    variants = practice_variants(item, around)
    return msgspec.msgpack.encode(ItemDraws(variants[0], pack_variants(item.id, variants, helps_of(item, around))))
