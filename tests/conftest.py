"""What every test may use: a real browser page (a missing browser is never silent), the sources, a demo's records."""

from __future__ import annotations

import dataclasses
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_records import Demo, new_demo
from hypothesis import settings
from playwright.sync_api import Browser, Page, sync_playwright

from warmyard.course.scheme import load_scheme
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.errors import SourceError

# A slow machine is no fault of the code; speed has its own place in tests/bench.
settings.register_profile("warmyard", deadline=None)
settings.load_profile("warmyard")

CHROMIUM_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def browser_path() -> str | None:
    """Return the browser that start.py found, or one on the path."""
    return os.environ.get("WARMYARD_BROWSER") or shutil.which("chromium") or shutil.which("google-chrome")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the one way to write a pin: never over one that is there."""
    parser.addoption("--write-golden", action="store_true", help="write the pins of shapes that have none yet")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Deselect browser tests where there is no browser, so that the closing line counts them; under CI they fail."""
    if browser_path() or os.environ.get("CI") == "true":
        return
    without = [item for item in items if item.get_closest_marker("browser")]
    config.hook.pytest_deselected(items=without)
    items[:] = [item for item in items if item not in without]


@pytest.fixture(scope="session", autouse=True)
def _a_cache_of_our_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the stamps of proved sources out of the folder of whoever runs the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Give one Chromium for the whole run."""
    path = browser_path()
    assert path, "no browser; set WARMYARD_BROWSER"
    with sync_playwright() as tool:
        browser = tool.chromium.launch(executable_path=path, args=CHROMIUM_FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def module_page(chromium: Browser) -> Iterator[Page]:
    """Give one page per module, for tests that only look."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(10_000)
    yield page
    context.close()


@pytest.fixture
def browser_page(chromium: Browser) -> Iterator[Page]:
    """Give a fresh page with empty storage; an uncaught error in the page fails the test."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(10_000)
    faults: list[str] = []
    page.on("pageerror", lambda problem: faults.append(str(problem)))
    yield page
    context.close()
    assert not faults, f"the page raised: {faults}"


@pytest.fixture(scope="session")
def workspace_root() -> Path:
    """Give the folder of this checkout."""
    return Path(__file__).resolve().parents[1]


@pytest.fixture(scope="session")
def whole_workspace(workspace_root: Path) -> Workspace:
    """Give the sources of this checkout, read once; tests/course/test_workspace.py proves them."""
    return read_workspace(workspace_root)


@pytest.fixture(scope="session")
def small_workspace(workspace_root: Path, whole_workspace: Workspace) -> Workspace:
    """Give the same sources under the scheme of the second company: one level, a paper of eight items, one station."""
    yard = workspace_root / "tests" / "second_yard"
    faults: list[SourceError] = []
    scheme = load_scheme(yard / "site_config" / "scheme.yaml", yard, faults)
    assert scheme is not None, faults
    return dataclasses.replace(whole_workspace, scheme=scheme)


@pytest.fixture(scope="session")
def demo_made(tmp_path_factory: pytest.TempPathFactory, small_workspace: Workspace) -> Demo:
    """Give the demo under the small scheme, made once; tests take `demo`, a copy."""
    return new_demo(tmp_path_factory.mktemp("demo"), small_workspace)


@pytest.fixture
def demo(demo_made: Demo, tmp_path: Path) -> Demo:
    """Give a copy of the small demo to do anything with."""
    records = tmp_path / "records"
    shutil.copytree(demo_made.records, records)
    return Demo(records, demo_made.made)


@pytest.fixture(scope="session")
def whole_demo(tmp_path_factory: pytest.TempPathFactory, whole_workspace: Workspace) -> Demo:
    """Give the demo under its own scheme, made once, to look at only."""
    return new_demo(tmp_path_factory.mktemp("whole-demo"), whole_workspace)
