"""The page "Am I ready?" in Chromium: what a record says of a level, in words, and the way to practise just that."""

from __future__ import annotations

from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
ANSWERS = """() => WY.plan.items.forEach((item, at) => WY.record.answered(
  {item: item.id, skill: item.skill, right: at % 3 > 0, seconds: 9, tries: 1, hints: 0}))"""


def test_an_empty_record_is_met_kindly(site: Path, browser_page: Page) -> None:
    """Nothing is forecast, nothing is red, and what to do is said."""
    page = browser_page
    page.goto((site / "staff" / "ready-2.html").as_uri())
    box = page.locator("[data-wy-far]")
    expect(box).to_contain_text("No problem is answered yet")
    expect(box).to_contain_text("Not seen yet")
    expect(box.locator(".wy-far__forecast").last).to_contain_text("So far: 0")
    assert "%" not in box.inner_text()


def test_a_record_is_told_cell_by_cell_and_nothing_is_written(site: Path, browser_page: Page) -> None:
    """Every cell of the blueprint says what was tried and how it went; no item is named; the record stays as it is."""
    page = browser_page
    page.goto((site / "staff" / "ready-2.html").as_uri())
    page.evaluate(ANSWERS)
    kept = page.evaluate("JSON.stringify(localStorage)")
    page.reload()
    box = page.locator("[data-wy-far]")
    cells = page.evaluate("WY.plan.papers.filter(p => p.level === 2).reduce((sum, p) => sum + p.cells.length, 0)")
    assert box.locator(".wy-far__paper .wy-far__cell").count() == cells
    expect(box).to_contain_text("Right at once last time")
    expect(page.locator("main")).to_contain_text("Nobody can promise a result")
    text = box.text_content() or ""
    assert not [name for name in page.evaluate("WY.plan.items.map(item => item.id)") if name in text]
    assert page.evaluate("JSON.stringify(localStorage)") == kept


def test_a_link_leads_to_problems_of_that_sort_alone(site: Path, browser_page: Page) -> None:
    """Practice says what it keeps to and asks nothing else; the way back is beside it."""
    page = browser_page
    page.goto((site / "staff" / "ready-2.html").as_uri())
    page.locator(".wy-far__next .wy-far__do").last.click()
    expect(page.locator(".wy-mixed__only")).to_contain_text("Only:")
    place = page.evaluate("location.hash.slice(1)")
    fits = "item => {place} === 'skill-' + item.skill || {place} === 'only-' + item.duty + '-' + item.demand"
    own = page.evaluate(f"WY.plan.items.filter({fits.replace('{place}', repr(place))}).map(item => item.id)")
    for _ in range(4):
        assert page.locator(".wy-mixed__place wy-item").get_attribute("item") in own
        page.get_by_role("button", name="Next problem").click()
    page.get_by_role("link", name="All problems again").click()
    expect(page.locator(".wy-mixed__scope")).to_be_visible()


def test_the_page_has_no_fault_that_axe_knows_and_fits_a_phone(site: Path, browser_page: Page) -> None:
    """With a record and without, it passes axe and does not scroll sideways at 390 px."""
    page = browser_page
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto((site / "staff" / "ready-2.html").as_uri())
    assert barriers_on(page) == []
    page.evaluate(ANSWERS)
    assert barriers_on(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_the_first_screen_of_a_phone_says_how_it_stands_and_what_to_do(site: Path, browser_page: Page) -> None:
    """What was seen, what is open and the forecast stand on top, then three steps at most; the rest waits folded."""
    page = browser_page
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto((site / "staff" / "ready-2.html").as_uri())
    page.evaluate(ANSWERS)
    box = page.locator("[data-wy-far]")
    lines = box.locator(".wy-far__top li").all_inner_texts()
    assert lines[0].startswith("Sorts of problems seen:")
    assert lines[1].startswith("Must be right, and still open:")
    assert "To pass:" in lines[2] or "So far:" in lines[2]
    steps = box.locator(".wy-far__next li")
    assert 1 <= steps.count() <= 3
    assert box.locator("li.wy-far__cell:visible").count() == steps.count()
    for link in box.locator(".wy-far__do").all():
        assert (link.get_attribute("aria-label") or "").startswith(link.text_content() or "-")
    page.emulate_media(media="print")
    expect(box.locator("a:visible")).to_have_count(0)
    assert box.locator("summary").first.evaluate("one => getComputedStyle(one).breakAfter") == "avoid"
