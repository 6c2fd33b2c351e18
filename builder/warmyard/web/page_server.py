"""The pages of `view` served on this machine: beside the building, in a process of its own where that is safe.

So the building has no threads and may use every core, and a page answers while one is built.
"""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from multiprocessing import get_context
from pathlib import Path
from threading import Thread

from warmyard.cores import cores_here
from warmyard.markup import element
from warmyard.page.javascript import inert_json

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


class PageServer:
    """Serves a folder on loopback until it is told to end; raises OSError for a port that cannot be used."""

    def __init__(self, folder: Path, port: int) -> None:
        """Begin to serve; port 0 takes any that is free."""
        self.http = ThreadingHTTPServer(("127.0.0.1", port), partial(_Handler, folder))
        self.host, self.port = str(self.http.server_address[0]), int(self.http.server_address[1])
        self._process = None
        if cores_here() > 1:
            self._process = get_context("fork").Process(target=self.http.serve_forever, daemon=True)
            self._process.start()
        else:
            Thread(target=self.http.serve_forever, daemon=True).start()

    def end(self) -> None:
        """Serve no longer, and give the port back."""
        if self._process is None:
            self.http.shutdown()
        else:
            self._process.terminate()
            self._process.join()
        self.http.server_close()


def say_build(folder: Path, number: int) -> None:
    """Say which build stands in a folder; pages that show an older one load themselves again."""
    _number_file(folder).write_text(str(number), encoding="ascii")


def _number_of(folder: Path) -> int:
    with suppress(OSError, ValueError):
        return int(_number_file(folder).read_text(encoding="ascii"))
    return 0


def _number_file(folder: Path) -> Path:
    """Return the file beside the folder that holds the number: never a file of the site."""
    return folder.with_name(f"{folder.name}-build.txt")


class _Handler(SimpleHTTPRequestHandler):
    """Serves the newest build; pages get one script more, which loads them again after a build."""

    def __init__(self, folder: Path, *words: object, **named: object) -> None:
        self.folder = folder
        super().__init__(*words, directory=str(folder), **named)  # type: ignore[arg-type]

    def do_GET(self) -> None:
        """Answer one request."""
        path = self.path.partition("?")[0]
        if path == RELOADER:
            self.answer(_RELOADER_SCRIPT.encode(), "text/javascript")
        elif path == "/assets/wy/build.js":
            self.answer(f"window.wyBuild = {inert_json(_number_of(self.folder))};".encode(), "text/javascript")
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
        top, end, rest = html.partition("</body>")
        self.answer(f"{top}{element('script', src=RELOADER)}{end}{rest}".encode(), "text/html; charset=utf-8")

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
