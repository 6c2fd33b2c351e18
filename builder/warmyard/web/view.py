"""Looking at a site while writing it: built into a temporary folder, served on loopback, built again on save."""

from __future__ import annotations

import gc
import tempfile
import time
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import replace
from pathlib import Path
from types import TracebackType

from warmyard.cores import nothing_collected
from warmyard.course.lesson import load_pages
from warmyard.course.proof import check_pages_alone, read_proved
from warmyard.course.results import check_results, work_results
from warmyard.course.stamp import open_book
from warmyard.errors import InputError, SourceError, SourceErrors, WarmyardError, root_causes
from warmyard.item.model import Edition
from warmyard.sources import Memory, remembering
from warmyard.web.build import build_site
from warmyard.web.links import check_links
from warmyard.web.page_server import PageServer, say_build
from warmyard.web.site import Site

WATCHED = ("course", "quizbank", "site_config")
PAUSE_SECONDS = 0.1
Saves = Mapping[Path, tuple[int, int]]
"""Source file -> when it was saved last, and its size."""


class Viewer(AbstractContextManager["Viewer"]):
    """A server on this machine that holds the newest build that had no faults."""

    def __init__(
        self,
        root: Path,
        edition: Edition,
        port: int,
        say: Callable[[str], None],
        cache: Path | None = None,
        country: str | None = None,
        bank: Path | None = None,
    ) -> None:
        self.root, self.country, self.bank = root, country, bank
        self.cache = cache
        """Folder where stamps of proved sources are kept."""
        self.edition = edition
        self.say = say
        self.book = open_book(root, edition, country=country, bank=bank, cache=cache)
        self.documents: Memory = {}
        self.unseen: set[Path] = set()
        """What was saved since the build that is shown: after a fault, the next build looks at all of it."""
        self.build = 0
        self.site: Site | None = None
        self._holder = tempfile.TemporaryDirectory(prefix="warmyard-view-")
        self.folder = Path(self._holder.name) / edition
        self.saves = look_at_saves(root, bank)
        self.rebuild(set(self.saves))
        if self.build == 0:
            self._holder.cleanup()
            raise InputError("nothing to show yet; mend the faults above and start again")
        try:
            self.server = PageServer(self.folder, port)
        except OSError as problem:
            self._holder.cleanup()
            raise InputError(f"port {port} cannot be used ({problem.strerror}); choose another with --port") from None

    @property
    def address(self) -> str:
        """Return where the site is served."""
        return f"http://127.0.0.1:{self.server.port}/index.html"

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.server.end()
        self._holder.cleanup()

    def watch(self) -> None:
        """Build again whenever a source is saved, until stopped."""
        self.say(f"{self.edition} edition at {self.address} (Ctrl+C stops)")
        while True:
            time.sleep(PAUSE_SECONDS)
            self.look()

    def look(self) -> bool:
        """Build again when a source has changed since the last look; say whether one had."""
        now = look_at_saves(self.root, self.bank)
        changed = {path for path in {*now, *self.saves} if now.get(path) != self.saves.get(path)}
        self.saves = now
        if changed:
            self.rebuild(changed)
        return bool(changed)

    def rebuild(self, changed: set[Path]) -> None:
        """Build from what changed; with faults the last good build stays, and the faults are said."""
        began = time.perf_counter()
        self.unseen |= changed
        try:
            with nothing_collected(), remembering(self.documents):
                site = self.reload(self.unseen)
                build_site(site, self.folder, draft=True)
        except WarmyardError as problem:
            self.say(str(problem))
            return
        self.site, self.unseen = site, set()
        self.build += 1
        say_build(self.folder, self.build)
        self.say(f"built in {time.perf_counter() - began:.1f} s")
        gc.collect()  # while somebody reads: what the build before left

    def reload(self, changed: set[Path]) -> Site:
        """Return the site after a change; of pages, items and the machine alone, what rests on none of them is kept."""
        pages = self.root / "course" / "lessons"
        taken_over = (self.root / "quizbank", self.root / "course" / "machine")
        if self.site is not None and all(any(map(path.is_relative_to, taken_over)) for path in changed):
            return self.read_anew(take_over=True)
        if self.site is None or not all(path.is_relative_to(pages) for path in changed):
            return self.read_anew()
        faults: list[SourceError] = []
        before = self.site.workspace
        workspace = replace(before, lessons=load_pages(pages, self.root, faults))
        if work_results(before.shelf, workspace.lessons.values()) != before.results:
            return self.read_anew()
        faults += check_results(workspace.lessons.values()) + check_pages_alone(workspace)
        named = {path.relative_to(self.root).as_posix() for path in changed}
        faults = faults or check_links(workspace, [self.edition], named)
        if faults:
            raise SourceErrors(root_causes({"page": faults}))
        return Site(workspace, self.edition, self.book, earlier=self.site, keeps=True, take_over=True)

    def read_anew(self, *, take_over: bool = False) -> Site:
        """Return the site of all sources, read and proved; another page or item may take what an example gives.

        `take_over` where only items and the machine model were changed: pages without these stay as they were made.
        """
        workspace = read_proved(self.root, country=self.country, bank=self.bank, cache=self.cache)
        return Site(workspace, self.edition, self.book, earlier=self.site, keeps=True, take_over=take_over)


def look_at_saves(root: Path, bank: Path | None = None) -> Saves:
    """Return time and size of every source file, and of those of a bank elsewhere."""
    found = {}
    for folder in (*(root / name for name in WATCHED), *((bank,) if bank else ())):
        for path in folder.rglob("*"):
            if path.is_file():
                state = path.stat()
                found[path] = (state.st_mtime_ns, state.st_size)
    return found
