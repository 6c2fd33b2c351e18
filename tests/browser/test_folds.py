"""Sets of problems are folded, so that a lesson can be overseen: by keyboard, on paper, without scripts."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

pytestmark = pytest.mark.browser
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"


@pytest.fixture(scope="module")
def lesson(small_site: Path) -> Path:
    """Give a lesson of the small yard, built."""
    return small_site / "staff" / "L08-filter.html"


@pytest.fixture(params=[True, False], ids=["scripts-on", "scripts-off"])
def page(request: pytest.FixtureRequest, chromium: Browser, lesson: Path) -> Iterator[Page]:
    """Give the lesson opened, with scripts and without."""
    context = chromium.new_context(java_script_enabled=request.param)
    made = context.new_page()
    made.set_default_timeout(10_000)
    made.goto(lesson.as_uri())
    yield made
    context.close()


def test_a_set_opens_by_keyboard_and_says_before_what_it_asks_for(page: Page) -> None:
    """Closed, the button names problems and minutes; Enter shows the first problem, and closes it again."""
    button = page.locator(".wy-practice summary").first
    assert "problem" in button.inner_text()
    assert "minutes" in button.inner_text()
    problem = page.locator(".wy-practice .wy-ask").first
    assert not problem.is_visible()
    for is_open in (True, False):
        button.press("Enter")
        assert problem.is_visible() == is_open


def test_the_assessment_is_folded_with_its_button_to_score(page: Page) -> None:
    """What scores the set and what was scored stand in the fold, not below a closed one."""
    score = page.locator(".wy-assessment-foot button").first
    assert not score.is_visible()
    page.locator("wy-assessment summary").first.press("Enter")
    assert page.locator("wy-assessment .wy-ask").first.is_visible()
    assert score.is_visible() == (score.count() == 1)


def test_on_paper_every_set_is_open(chromium: Browser, lesson: Path) -> None:
    """A lesson printed as it was opened asks everything, and prints no button to open it."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(lesson.as_uri())
    asks = page.eval_on_selector_all(".wy-practice .wy-ask", "all => all.map(one => one.textContent)")
    text = "".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(page.pdf())).pages)
    context.close()
    bare = "".join(unicodedata.normalize("NFKC", text).split())
    assert asks
    assert [ask for ask in asks if "".join(ask.split()) not in bare] == []
    assert "Open:" not in text


def test_a_phone_is_shown_what_is_on_the_page(chromium: Browser, lesson: Path) -> None:
    """On a narrow screen, where the list at the side is missing, a fold at the head leads to every part."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(lesson.as_uri())
    page.locator(".wy-on-page summary").press("Enter")
    links = page.locator(".wy-on-page a")
    assert links.count() == page.locator(".wy-page > h2[id]").count()
    for link in links.all():
        box = link.bounding_box()
        assert box is not None
        assert box["height"] >= 44
        assert page.locator(str(link.get_attribute("href"))).count() == 1
    context.close()
