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
from warmyard.web.fill import FOLDER
from warmyard.words import speaking

DRAWN = "drawn"
ITEMS = f"{FOLDER}/data/items"
"""Where the problems lie in a site, a script each: a page fetches one when it is wanted."""


class DrawBook:
    """The variants of items, and the scripts that hand them to a page."""

    def __init__(self, workspace: Workspace, book: Book) -> None:
        self.workspace, self.book = workspace, book
        self.watcher = Watcher(workspace.surroundings, book)
        self._known: dict[str, ItemDraws] = {}
        """Several pages and a pack carry an item: it is looked up once."""
        self._told: dict[str, bytes] = {}

    def draw_all(self, items: Iterable[Item], symptoms: Iterable[str] = ()) -> None:
        """Draw what was not drawn before of the same, shared among the cores."""
        new = [item for item in items if self.watcher.kept(DRAWN, item) is None]
        with speaking(self.workspace.words):
            self.book.fill(
                [*(partial(self._bytes, item) for item in new), *(partial(self.tree, name) for name in symptoms)]
            )

    def sequence(self, mode: str | None) -> Markup:
        """Return the start sequence, as it should be or with one failure."""
        machine, timed_by = self.workspace.machine, self.workspace.timed_by
        return self._sketched("sequence", [str(mode), timed_by], lambda: sketch_sequence(machine, mode, timed_by))

    def tree(self, symptom: str) -> Markup:
        """Return the checks of a symptom in their best order."""
        return self._sketched("tree", [symptom], lambda: van_tree_html(self.workspace.machine, symptom))

    def _sketched(self, what: str, names: list[str], sketch: Callable[[], str]) -> Markup:
        """Return what is sketched of the machine model and some names alone, in the words that are spoken."""
        parts = [self.watcher.digest("machine"), self.watcher.digest("words"), *names]
        return Markup(self.book.made(what, parts, lambda: sketch().encode()).decode())

    def first(self, item: Item) -> Variant:
        """Return the first draw that a page carries of an item."""
        return self._drawn(item).first

    def once(self, path: str, tell: Callable[[], str]) -> bytes:
        """Return a script that several pages of a site load, told for the first of them."""
        if path not in self._told:
            self._told[path] = tell().encode()
        return self._told[path]

    def scripts(self, items: Iterable[Item]) -> dict[str, bytes]:
        """Return the script of each item, which gives a page its draws, by its place in the site."""
        return {f"{ITEMS}/{item.id}.js": payload_of([self._drawn(item).packed]).encode() for item in items}

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
