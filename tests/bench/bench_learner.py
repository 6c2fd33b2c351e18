"""The learner's path through a built staff edition on a telephone, one line for each number of the path.

python tests/bench/bench_learner.py [FOLDER]

Without a FOLDER the site is built first. A page is opened from its file in Chromium at 390 x 844, and looked at with
every fold of the steps open where its whole length counts. The same script reads a site of any age of the course.
"""

from __future__ import annotations

import gzip
import io
import re
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlparse

from playwright.sync_api import Browser, Page, sync_playwright
from pypdf import PdfReader

from warmyard.course.workspace import read_workspace
from warmyard.web.build import build_edition

ROOT = Path(__file__).resolve().parents[2]
PHONE = {"width": 390, "height": 844}
SLOWER = 4
"""How many times slower than this machine a page is made while its answers to a hand are timed."""
PROBLEMS = 20
LESSON = "01-know-the-heater.html"
HEAVIEST = "10-size-the-job.html"
PRACTICE = "practice.html"
TASKS = "wy-item, .wy-calculator, .wy-your-machine, .wy-assessment, wy-assessment, .wy-survey, .wy-service-due"

OPENED = """() => {
  document.querySelectorAll('[data-wy-step]').forEach((one) => { one.hidden = false; one.removeAttribute('hidden'); });
  document.querySelectorAll('.wy-step').forEach((one) => one.classList.add('wy-step--open'));
}"""
SHIFTS = """() => {
  window.benchShift = 0; window.benchSlowest = 0;
  new PerformanceObserver((list) => list.getEntries().forEach((one) => {
    if (!one.hadRecentInput) { window.benchShift += one.value; }
  })).observe({type: 'layout-shift', buffered: true});
  new PerformanceObserver((list) => list.getEntries().forEach((one) => {
    if (one.interactionId) { window.benchSlowest = Math.max(window.benchSlowest, one.duration); }
  })).observe({type: 'event', buffered: true, durationThreshold: 16});
}"""
CLIPPED = """() => {
  const lines = Array.from(document.querySelectorAll('.wy-formula')).filter((one) => one.getClientRects().length);
  const clipped = lines.filter((one) => {
    const inner = Array.from(one.querySelectorAll('math, math *')).concat([one]);
    const right = Math.max(...inner.map((part) => part.getBoundingClientRect().right));
    let edge = document.documentElement.clientWidth;
    for (let box = one; box && box !== document.body; box = box.parentElement) {
      const look = getComputedStyle(box).overflowX;
      if (look !== 'visible') { edge = Math.min(edge, box.getBoundingClientRect().left + box.clientWidth); }
    }
    return right > edge + 1;
  });
  return [clipped.length, lines.length];
}"""
GAP = """(tasks) => {
  const shown = (one) => one.checkVisibility();
  const main = document.querySelector('main') || document.body;
  const places = Array.from(main.querySelectorAll(tasks)).filter(shown).map((one) => one.getBoundingClientRect());
  if (!places.length) { return 99; }
  let end = main.querySelector('h1').getBoundingClientRect().top, most = 0;
  places.sort((one, other) => one.top - other.top).forEach((place) => {
    most = Math.max(most, place.top - end);
    end = Math.max(end, place.bottom);
  });
  return most / innerHeight;
}"""
SEEN = """() => {
  const asks = Array.from(document.querySelectorAll('.wy-ask')).filter((one) => one.getClientRects().length);
  if (!asks.length) { return false; }
  const place = asks[0].getBoundingClientRect();
  const bar = document.querySelector('header');
  const covered = bar && ['fixed', 'sticky'].includes(getComputedStyle(bar).position);
  const edge = covered ? bar.getBoundingClientRect() : null;
  const below = edge && edge.top >= innerHeight / 2;
  const top = edge && !below ? edge.bottom : 0, bottom = below ? edge.top : innerHeight;
  return place.top >= top - 1 && Math.min(place.bottom, place.top + innerHeight / 2) <= bottom;
}"""
FIRST = """() => {
  const found = Array.from(document.querySelectorAll('wy-item')).find((one) =>
    one.getClientRects().length && one.querySelector('input[inputmode], input[type=text]'));
  return found ? (found.getBoundingClientRect().bottom + scrollY) / innerHeight : 0;
}"""


def main(folder: Path) -> None:
    """Print each number with what was asked of it."""
    lessons = sorted(path.name for path in folder.glob("[0-9][0-9]-*.html"))
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium())
        print(f"{first_problem_screens(browser, folder):5.1f} screens to the end of the first own sum (asked 1)")
        print(f"{questions_seen(browser, folder):5d} of {PROBLEMS} questions in view when a problem opens or changes")
        counts = [over_lesson(browser, folder / name, CLIPPED) for name in lessons]
        print(f"{sum(one[0] for one in counts):5d} of {sum(one[1] for one in counts)} formula lines clipped (asked 0)")
        gaps = {name: over_lesson(browser, folder / name, GAP, TASKS) for name in lessons}
        worst = max(gaps, key=lambda name: gaps[name])
        print(f"{gaps[worst]:5.1f} screens between two things to do at most, in {worst} (asked 2)")
        for name in (LESSON, HEAVIEST, PRACTICE, "calls.html", "index.html"):
            slowest_ms, shift = touched(browser, folder / name)
            print(f"{slowest_ms:5.0f} ms worst answer to a hand at {SLOWER}x (asked 150); shift {shift:.2f}: {name}")
        for name, asked in (("index.html", 120), (LESSON, 200), (HEAVIEST, 200)):
            print(f"{first_load_kb(browser, folder / name):5.0f} kB packed at first load (asked {asked}): {name}")
        print(f"{sheets(browser, folder / LESSON):5d} sheets of paper: {LESSON} (asked 12)")
        carried = {name: sheets(browser, folder / name, "wy-print-carry") for name in lessons}
        most = max(carried, key=lambda name: carried[name])
        print(f"{carried[most]:5d} sheets to carry at most, of {len(lessons)} lessons: {most} (asked 2)")
        browser.close()


def chromium() -> str | None:
    """Return the browser that is here, as the tests find it."""
    return next((path for path in ("/usr/bin/chromium", "/usr/bin/chromium-browser") if Path(path).exists()), None)


@contextmanager
def opened(browser: Browser, file: Path, *, quiet: bool = True) -> Iterator[Page]:
    """Open a file in a telephone with an empty storage; without `quiet` things may move."""
    moves = "reduce" if quiet else "no-preference"
    context = browser.new_context(viewport=PHONE, reduced_motion=moves, has_touch=True, is_mobile=True)  # type: ignore[arg-type]
    page = context.new_page()
    page.add_init_script(f"({SHIFTS})()")
    page.goto(file.as_uri())
    page.wait_for_load_state("load")
    page.wait_for_timeout(400)
    yield page
    context.close()


def first_problem_screens(browser: Browser, folder: Path) -> float:
    """Return the screens from the top of the start page to the end of the first sum, by lesson 1 if need be."""
    with opened(browser, folder / "index.html") as page:
        at = float(page.evaluate(FIRST))
        if at:
            return at
        place = page.locator(f"main a[href*='{LESSON}']").first.bounding_box()
        way = (place["y"] if place else 0) / PHONE["height"]
    with opened(browser, folder / LESSON) as page:
        page.evaluate(OPENED)
        sums = page.locator("wy-item[item='plate-fuel-an-hour']").first.bounding_box()
        return way + (sums["y"] + sums["height"] if sums else 0) / PHONE["height"]


def questions_seen(browser: Browser, folder: Path) -> int:
    """Return in how many of the problems of mixed practice the question is in view when it appears."""
    seen = 0
    with opened(browser, folder / PRACTICE) as page:
        go_on = re.compile("Next problem|Another problem|Go on", re.IGNORECASE)
        for _ in range(PROBLEMS):
            button = page.get_by_role("button", name=go_on).last
            button.click()
            page.wait_for_timeout(250)
            seen += bool(page.evaluate(SEEN))
    return seen


def over_lesson(browser: Browser, file: Path, question: str, given: object = None) -> Any:
    """Return what a question to a lesson says when all its steps are open."""
    with opened(browser, file) as page:
        page.evaluate(OPENED)
        page.wait_for_timeout(200)
        return page.evaluate(question, given)


def touched(browser: Browser, file: Path) -> tuple[float, float]:
    """Return the slowest answer to a hand in ms, and the layout shift, of a page at a slower machine."""
    with opened(browser, file, quiet=False) as page:
        slow = page.context.new_cdp_session(page)
        slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.reload()
        page.wait_for_timeout(1500)
        for button in page.locator("main button, main summary").all()[:25]:
            if button.is_visible() and button.is_enabled():
                button.click(timeout=3000, force=True)
                page.wait_for_timeout(60)
        page.wait_for_timeout(500)
        return float(page.evaluate("benchSlowest")), float(page.evaluate("benchShift"))


def first_load_kb(browser: Browser, file: Path) -> float:
    """Return what a page loads before anybody touches it, packed, in kB."""
    context = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    page = context.new_page()
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(request.url))
    page.goto(file.as_uri())
    page.wait_for_timeout(1500)
    context.close()
    paths = (Path(unquote(urlparse(address).path)) for address in asked if address.startswith("file:"))
    return sum(len(gzip.compress(path.read_bytes(), mtime=0)) for path in set(paths) if path.is_file()) / 1000


def sheets(browser: Browser, file: Path, choice: str = "") -> int:
    """Return how many sheets of A4 a page is in print, under a choice of printing if it has one."""
    with opened(browser, file) as page:
        page.evaluate("name => name && document.documentElement.classList.add(name)", choice)
        return len(PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True))).pages)


if __name__ == "__main__":
    if len(sys.argv) > 1 and not sys.argv[1].isdigit():
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            build_edition(read_workspace(ROOT), "staff", Path(made))
            main(Path(made))
