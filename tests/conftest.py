"""What every test may use: a real browser page (a missing browser is never silent), the sources, a demo's records."""

from __future__ import annotations

import dataclasses
import functools
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_records import Demo, demo_once
from hypothesis import settings
from made_once import made_once
from playwright.sync_api import Browser, Page, sync_playwright

from warmyard.certify.ledger import envelope
from warmyard.course.scheme import load_scheme
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.errors import SourceError
from warmyard.web.build import build_edition

# A slow machine is no fault of the code; speed has its own place in tests/bench.
settings.register_profile("warmyard", deadline=None)
settings.load_profile("warmyard")

LONGEST_FIRST = (
    "browser/test_site.py",
    "hostile/test_leave_regained.py",
    "hostile/test_ledger.py",
    "browser/test_paper.py",
    "certify/acts/test_interest.py",
    "cli/test_office.py",
    "web/test_second_company.py",
    "hostile/test_sittings.py",
    "certify/report/test_requirements.py",
    "hostile/test_record.py",
    "browser/test_reach.py",
    "browser/test_practice.py",
    "hostile/test_command_line.py",
    "hostile/test_interests.py",
    "browser/test_verify.py",
    "browser/test_telephone.py",
)
"""Files that take longest, by a profile: begun first, no worker is left with one of them when the others are done."""

ROOM_BYTES = 4_000_000_000
"""What a whole run may need in memory; it was at most 0.3 GB when this was measured."""

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
    names = ("chromium-headless-shell", "chromium", "google-chrome")
    return os.environ.get("WARMYARD_BROWSER") or next((path for name in names if (path := shutil.which(name))), None)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the one way to write a pin: never over one that is there."""
    parser.addoption("--write-golden", action="store_true", help="write the pins of shapes that have none yet")


def pytest_configure() -> None:
    """Let the folders of tests lie in memory where it is ample: hundreds of copies of a record never meet a disk."""
    memory = Path("/dev/shm")
    if os.access(memory, os.W_OK) and shutil.disk_usage(memory).free > ROOM_BYTES:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(memory))


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Put the longest files first; deselect what needs a browser or node where there is none, but not under CI.

    What is deselected is counted in the closing line.
    """
    here = Path(__file__).parent
    rank = {here / name: at for at, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: rank.get(item.path, len(rank)))
    if os.environ.get("CI") == "true":
        return
    there = {"browser": browser_path(), "node": shutil.which("npm")}
    absent = [name for name, path in there.items() if path is None]
    without = [item for item in items if any(item.get_closest_marker(name) for name in absent)]
    config.hook.pytest_deselected(items=without)
    items[:] = [item for item in items if item not in without]


@pytest.fixture(scope="session", autouse=True)
def _a_cache_of_our_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the stamps of proved sources out of the folder of whoever runs the tests; all processes of a run share it.

    The course of this checkout takes seconds to prove, and a paper in a browser asks for no more than that it was.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(made_once(tmp_path_factory, "cache", lambda _: None)))
        yield


@pytest.fixture(scope="session", autouse=True)
def _cheap_seals() -> Iterator[None]:
    """Let a phrase cost a thousandth: a tenth of a second is spent on purpose, and a demo seals a hundred papers.

    tests/certify/ledger/test_envelope.py and whatever runs as a process of its own seal as the office does.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(envelope, "ROUNDS", 600)
        yield


@pytest.fixture(scope="session", autouse=True)
def _signatures_remembered() -> Iterator[None]:
    """Look at a signature once: the same bytes under the same key get the same answer, for every copy of a demo."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(envelope, "may_trust", functools.lru_cache(maxsize=100_000)(envelope.may_trust))
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
    return demo_once(tmp_path_factory, "demo", small_workspace)


@pytest.fixture
def demo(demo_made: Demo, tmp_path: Path) -> Demo:
    """Give a copy of the small demo to do anything with."""
    records = tmp_path / "records"
    shutil.copytree(demo_made.records, records)
    return Demo(records, demo_made.made)


@pytest.fixture(scope="session")
def whole_demo(tmp_path_factory: pytest.TempPathFactory, whole_workspace: Workspace) -> Demo:
    """Give the demo under its own scheme, made once, to look at only."""
    return demo_once(tmp_path_factory, "whole-demo", whole_workspace)


@pytest.fixture(scope="session")
def small_site(tmp_path_factory: pytest.TempPathFactory, workspace_root: Path) -> Path:
    """Give both editions of the small yard, built once; nobody writes into them."""

    def build(folder: Path) -> None:
        yard = read_workspace(workspace_root / "tests" / "small_yard")
        build_edition(yard, "staff", folder / "staff")
        build_edition(yard, "customer", folder / "customer")

    return made_once(tmp_path_factory, "small-site", build)


@pytest.fixture(scope="session")
def customer_site(tmp_path_factory: pytest.TempPathFactory, whole_workspace: Workspace) -> Path:
    """Give the customer edition of the real course, built once; nobody writes into it."""
    made = made_once(
        tmp_path_factory,
        "customer-site",
        lambda folder: build_edition(whole_workspace, "customer", folder / "customer"),
    )
    return made / "customer"
