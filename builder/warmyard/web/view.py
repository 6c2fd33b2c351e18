"""Looking at a site while writing it: built into a temporary folder, served on loopback, built again on save."""

from __future__ import annotations

import tempfile
import threading
import time
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import replace
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import TracebackType

from warmyard.course.lesson import load_pages
from warmyard.course.proof import check_pages_alone, read_proved
from warmyard.course.results import check_results, work_results
from warmyard.course.stamp import open_book
from warmyard.errors import InputError, SourceError, SourceErrors, WarmyardError, root_causes
from warmyard.item.model import Edition
from warmyard.web.build import build_site
from warmyard.web.links import check_links
from warmyard.web.site import Site

WATCHED = ("course", "quizbank", "site_config")
PAUSE_SECONDS = 0.1
RELOADER = "/assets/wy/view.js"
# Served by `view` only, never built into a site: asks for the number of the build, loads the page again when it grew.
_RELOADER_SCRIPT = """(function () {
  var known = null;
  function ask() {
    var tag = document.createElement("script");
    tag.src = "/assets/wy/build.js?" + Date.now();
    tag.onload = function () {
      if (known !== null && known !== window.wyBuild) { location.reload(); return; }
      known = window.wyBuild; tag.remove(); setTimeout(ask, 100);
    };
    tag.onerror = function () { tag.remove(); setTimeout(ask, 1000); };
    document.head.appendChild(tag);
  }
  ask();
})();
"""

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
        self.book = open_book(root, edition, country=None, bank=None, cache=cache)
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
            self.server = ThreadingHTTPServer(("127.0.0.1", port), partial(_Handler, self))
        except OSError as problem:
            self._holder.cleanup()
            raise InputError(f"port {port} cannot be used ({problem.strerror}); choose another with --port") from None
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    @property
    def address(self) -> str:
        """Return where the site is served."""
        return f"http://127.0.0.1:{self.server.server_address[1]}/index.html"

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.server.shutdown()
        self.server.server_close()
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
            site = self.reload(self.unseen)
            build_site(site, self.folder, draft=True)
        except WarmyardError as problem:
            self.say(str(problem))
            return
        self.site, self.unseen = site, set()
        self.build += 1
        self.say(f"built in {time.perf_counter() - began:.1f} s")

    def reload(self, changed: set[Path]) -> Site:
        """Return the site after a change; when only pages changed, the rest is kept as it was checked and drawn."""
        pages = self.root / "course" / "lessons"
        if self.site is None or not all(path.is_relative_to(pages) for path in changed):
            return self.read_anew()
        faults: list[SourceError] = []
        before = self.site.workspace
        workspace = replace(before, lessons=load_pages(pages, self.root, faults))
        if work_results(before.shelf, workspace.lessons.values()) != before.results:
            return self.read_anew()
        faults += check_results(workspace.results, workspace.lessons.values()) + check_pages_alone(workspace)
        named = {path.relative_to(self.root).as_posix() for path in changed}
        faults = faults or check_links(workspace, [self.edition], named)
        if faults:
            raise SourceErrors(root_causes({"page": faults}))
        return Site(workspace, self.edition, self.book, earlier=self.site, keeps=True, take_over=True)

    def read_anew(self) -> Site:
        """Return the site of all sources, read and proved; another page or item may take what an example gives."""
        workspace = read_proved(self.root, country=self.country, bank=self.bank, cache=self.cache)
        return Site(workspace, self.edition, self.book, earlier=self.site, keeps=True)


def look_at_saves(root: Path, bank: Path | None = None) -> Saves:
    """Return time and size of every source file, and of those of a bank elsewhere."""
    found = {}
    for folder in (*(root / name for name in WATCHED), *((bank,) if bank else ())):
        for path in folder.rglob("*"):
            if path.is_file():
                state = path.stat()
                found[path] = (state.st_mtime_ns, state.st_size)
    return found


class _Handler(SimpleHTTPRequestHandler):
    """Serves the newest build; pages get one script more, which loads them again after a build."""

    def __init__(self, viewer: Viewer, *words: object, **named: object) -> None:
        self.viewer = viewer
        super().__init__(*words, directory=str(viewer.folder), **named)  # type: ignore[arg-type]

    def do_GET(self) -> None:
        """Answer one request."""
        path = self.path.partition("?")[0]
        if path == RELOADER:
            self.answer(_RELOADER_SCRIPT.encode(), "text/javascript")
        elif path == "/assets/wy/build.js":
            self.answer(f"window.wyBuild = {self.viewer.build};".encode(), "text/javascript")
        elif path.endswith(("/", ".html")):
            self.page(path)
        else:
            super().do_GET()

    def page(self, path: str) -> None:
        """Answer with a page that loads itself again after a build."""
        file = Path(self.translate_path(path + "index.html" if path.endswith("/") else path))
        if not file.is_file():
            self.send_error(404)
            return
        html = file.read_text(encoding="utf-8")
        script = f'<script src="{RELOADER}"></script></body>'
        self.answer(html.replace("</body>", script, 1).encode(), "text/html; charset=utf-8")

    def answer(self, body: bytes, kind: str) -> None:
        """Send one body that no cache keeps."""
        self.send_response(200)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "no-store")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, format: str, *words: object) -> None:
        """Keep quiet: the lines of `view` are for faults."""
