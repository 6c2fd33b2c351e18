"""The site on a telephone: served once on this machine, then used with the server stopped; a newer version comes in."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from warmyard.course.workspace import Workspace, read_workspace
from warmyard.web.build import build_edition
from warmyard.web.telephone import write_worker

pytestmark = pytest.mark.browser
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
READY = "navigator.serviceWorker.ready.then(r => r.active.state)"


@pytest.fixture(scope="module")
def workspace() -> Workspace:
    """Give the small yard."""
    return read_workspace(SMALL_YARD)


@pytest.fixture
def site(workspace: Workspace, tmp_path: Path) -> Path:
    """Give a customer edition of this test's own."""
    build_edition(workspace, "customer", tmp_path / "customer")
    return tmp_path / "customer"


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, format: str, *words: object) -> None:
        """Keep quiet."""


def date_later(*files: Path) -> None:
    """Date files as of the next minute: the test's server tells versions apart by whole seconds."""
    for file in files:
        later = file.stat().st_mtime + 60
        os.utime(file, (later, later))


class Served:
    """A folder served on this machine that can be stopped and started again at its address."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.port = 0
        self.start()

    def start(self) -> None:
        """Serve."""
        handler = partial(_Quiet, directory=str(self.folder))
        self.server = ThreadingHTTPServer(("127.0.0.1", self.port), handler)
        self.port = self.server.server_address[1]
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def stop(self) -> None:
        """Stop, so that nobody answers."""
        self.server.shutdown()
        self.server.server_close()

    def address(self, name: str) -> str:
        """Return the address of a page; localhost is a secure context."""
        return f"http://localhost:{self.port}/{name}"


@pytest.fixture
def served(site: Path) -> Iterator[Served]:
    """Give the site, served."""
    server = Served(site)
    yield server
    server.stop()


def test_the_whole_site_works_with_the_server_stopped(served: Served, browser_page: Page) -> None:
    """After one visit every page of the list opens with nobody answering, the start page by its folder too."""
    page = browser_page
    page.goto(served.address("index.html"))
    assert page.evaluate(READY) in ("activating", "activated")
    expect(page.locator("link[rel=manifest]")).to_have_count(1)
    expect(page.locator("[data-wy-ready]")).to_have_text("Ready offline: all these pages lie on this device.")
    served.stop()
    page.reload()
    expect(page.locator("h1").first).to_be_visible()
    for name in ("alarm.html", "pocket.html", "card-start.html", ""):
        page.goto(served.address(name))
        expect(page.locator("h1, h2").first).to_be_visible()
    served.start()


def test_a_newer_version_is_offered_and_taken_when_the_reader_says_so(
    served: Served, browser_page: Page, workspace: Workspace
) -> None:
    """The old page stays until Load it now; then the new text is there, and works with the server stopped."""
    page = browser_page
    page.goto(served.address("alarm.html"))
    page.evaluate(READY)
    alarm = served.folder / "alarm.html"
    alarm.write_text(alarm.read_text(encoding="utf-8").replace("</h1>", " mended</h1>", 1), encoding="utf-8")
    write_worker(served.folder, workspace, "customer")
    date_later(served.folder / "sw.js", alarm)
    page.reload()
    expect(page.locator("[data-wy-newer]")).to_be_visible()
    expect(page.locator("h1").first).not_to_contain_text("mended")
    page.locator("[data-wy-newer] button").click()
    expect(page.locator("h1").first).to_contain_text("mended")
    served.stop()
    page.reload()
    expect(page.locator("h1").first).to_contain_text("mended")
    served.start()


def test_no_network_is_said(served: Served, browser_page: Page) -> None:
    """While the device has no network a line says that the pages work without; it goes when the network is back."""
    page = browser_page
    page.goto(served.address("index.html"))
    page.evaluate(READY)
    page.wait_for_timeout(200)
    page.context.set_offline(True)
    expect(page.locator("[data-wy-offline]")).to_be_visible()
    page.context.set_offline(False)
    expect(page.locator("[data-wy-offline]")).to_have_count(0)


def test_the_status_list_of_the_office_is_never_an_old_one_while_there_is_a_network(
    site: Path, browser_page: Page, workspace: Workspace
) -> None:
    """A list put in place after the build is read anew at once, and the last one seen serves without a network."""
    (site / "status.js").write_text("var list = 1;", encoding="utf-8")
    write_worker(site, workspace, "customer")
    served = Served(site)
    page = browser_page
    page.goto(served.address("index.html"))
    page.evaluate(READY)
    page.reload()
    read = "fetch('status.js').then(a => a.text())"
    assert page.evaluate(read) == "var list = 1;"
    (site / "status.js").write_text("var list = 2;", encoding="utf-8")
    assert page.evaluate(read) == "var list = 2;"
    served.stop()
    assert page.evaluate(read) == "var list = 2;"


def test_nothing_is_asked_for_from_a_file(site: Path, browser_page: Page, tmp_path: Path) -> None:
    """On file:// no worker is asked for and no manifest named; it is ready offline, and says so at once."""
    copy = Path(shutil.copytree(site, tmp_path / "stick"))
    page = browser_page
    page.goto((copy / "index.html").as_uri())
    page.wait_for_timeout(200)
    assert page.locator("link[rel=manifest]").count() == 0
    assert page.locator("[data-wy-ready]").inner_text().endswith("Ready offline: you read from this device.")
