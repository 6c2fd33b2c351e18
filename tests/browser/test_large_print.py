"""Large print for customers: what is read on a telephone has 18 px or more, what is printed 12 pt, cards 14 pt."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
PAGES = ("index", "alarm", "before-you-call", "card-start", "pocket")
SIZES = """() => [...document
  .querySelectorAll('.wy-page p, .wy-page li, .wy-page h2, .wy-page h2 a, .leaf p, .leaf li')]
  .filter(e => e.offsetParent && !e.closest('.wy-card__foot, .wy-card__code, .wy-sources, .wy-tag, pre'))
  .filter(e => [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
  .map(e => [parseFloat(getComputedStyle(e).fontSize), e.textContent.trim().slice(0, 60)])"""
LINES = "() => [...document.querySelectorAll('.wy-card__lines li')].map(e => parseFloat(getComputedStyle(e).fontSize))"
SCREEN_PX = 18
PRINT_PX = 12 * 96 / 72
CARD_PX = 14 * 96 / 72
"""Common advice for clear and large print (from memory): 12 pt at least, 14 pt where it is read from a distance."""


@pytest.fixture(scope="module")
def customer(small_site: Path) -> Path:
    """Give the customer edition of the small yard; its styles are those of every company."""
    return small_site / "customer"


@pytest.mark.parametrize("name", PAGES)
def test_letters_are_large_on_a_telephone(customer: Path, module_page: Page, name: str) -> None:
    """No text of a customer's page is smaller than 18 px at 390 px width."""
    module_page.set_viewport_size({"width": 390, "height": 844})
    module_page.goto((customer / f"{name}.html").as_uri())
    sizes = module_page.evaluate(SIZES)
    assert sizes
    assert [found for found in sizes if found[0] < SCREEN_PX] == []


@pytest.mark.parametrize("name", PAGES)
def test_letters_are_large_on_paper(customer: Path, module_page: Page, name: str) -> None:
    """Printed, no text is smaller than 12 pt, and the lines of a card than 14 pt."""
    module_page.goto((customer / f"{name}.html").as_uri())
    module_page.emulate_media(media="print")
    try:
        sizes = module_page.evaluate(SIZES)
        lines = module_page.evaluate(LINES)
    finally:
        module_page.emulate_media(media="screen")
    assert [found for found in sizes if found[0] < PRINT_PX - 0.01] == []
    assert [size for size in lines if size < CARD_PX - 0.01 and name != "pocket"] == []
