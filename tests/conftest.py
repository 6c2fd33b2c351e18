"""What every test may use: a real browser page, and the rule that a missing browser is never silent."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, Page, sync_playwright

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


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Deselect browser tests where there is no browser, so that the closing line counts them; under CI they fail."""
    if browser_path() or os.environ.get("CI") == "true":
        return
    without = [item for item in items if item.get_closest_marker("browser")]
    config.hook.pytest_deselected(items=without)
    items[:] = [item for item in items if item not in without]


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
