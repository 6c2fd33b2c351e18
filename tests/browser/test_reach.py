"""Both editions in the sun, with cold fingers, enlarged, and for readers whom movement makes ill."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from barriers import ENHANCED, barriers_on
from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
PAGES = (
    "staff/index.html",
    "staff/L08-filter.html",
    "staff/practice.html",
    "staff/van.html",
    "staff/coverage.html",
    "customer/index.html",
    "customer/alarm.html",
    "customer/before-you-call.html",
    "customer/card-start.html",
)
STEADY = (
    *("staff/L08-filter.html", "staff/index.html", "staff/practice.html", "staff/mock-paper.html"),
    *("staff/aid-tank.html", "staff/van.html", "customer/index.html", "customer/alarm.html"),
)
"""A page of every kind that scripts fill or change while it loads."""
SMALLEST_PX = 48
TOO_SMALL = """smallest => {
    for (const fold of document.querySelectorAll("details")) fold.open = true;
    const said = [];
    for (const one of document.querySelectorAll("a[href], button, input, select, textarea, summary")) {
        const inText = one.matches(".wy-source-mark")
            || one.matches("a:not([href^='tel:'])") && getComputedStyle(one).display === "inline"
            && one.parentElement.textContent.trim().length > one.textContent.trim().length;
        const target = one.closest("label") || one;
        const box = target.getBoundingClientRect();
        const seen = one.getClientRects().length && box.right > 0 && getComputedStyle(one).opacity !== "0";
        if (seen && !inText && box.height < smallest) said.push(`${one.outerHTML.slice(0, 90)}: ${box.height} px`);
    }
    return said;
}"""
COVERED = """() => {
    const one = document.activeElement, bar = document.querySelector(".wy-top").getBoundingClientRect();
    if (one.closest(".wy-top") || one === document.body) return [];
    const box = one.getBoundingClientRect();
    return box.bottom > bar.top && box.height < bar.top ? [one.outerHTML.slice(0, 90)] : [];
}"""
SHIFTS = """
    globalThis.shifted = 0;
    new PerformanceObserver(list => list.getEntries().forEach(one => globalThis.shifted += one.value))
        .observe({type: "layout-shift", buffered: true});
"""


def test_the_switch_of_colours_leads_to_bright_sun(site: Path, chromium: Browser) -> None:
    """The first press gives bright sun and says so, and every text of every kind of page stands out seven to one."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    page = context.new_page()
    faults: list[str] = []
    for name in PAGES:
        page.goto((site / name).as_uri())
        if page.locator("html").get_attribute("data-wy-look") != "sun":
            page.get_by_title("Switch to bright sun").click()
            assert page.get_by_role("status").first.inner_text() == "Bright sun"
        assert page.locator("html").get_attribute("data-wy-look") == "sun"
        page.wait_for_timeout(200)
        faults += [f"{name}: {one}" for one in barriers_on(page, ENHANCED)]
    context.close()
    assert faults == []


def test_a_device_that_asks_for_contrast_gets_it(site: Path, chromium: Browser) -> None:
    """Where the device asks for more contrast, ink is black and lines are as dark as ink, without a choice."""
    context = chromium.new_context(contrast="more")
    page = context.new_page()
    page.goto((site / "customer/alarm.html").as_uri())
    style = page.evaluate("['--wy-ink', '--wy-line'].map(n => getComputedStyle(document.body).getPropertyValue(n))")
    context.close()
    assert [value.strip() for value in style] == ["#000000", "#000000"]


@pytest.fixture(scope="module")
def telephone(chromium: Browser) -> Iterator[Page]:
    """Give one page of a telephone for all tests that only look."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    yield context.new_page()
    context.close()


@pytest.fixture(scope="module")
def enlarged(chromium: Browser) -> Iterator[Page]:
    """Give one page at twice the size, on a device that asks for rest, for all tests that only look."""
    context = chromium.new_context(
        viewport={"width": 640, "height": 450}, device_scale_factor=2, reduced_motion="reduce"
    )
    yield context.new_page()
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_what_a_finger_must_hit_is_large_enough(site: Path, telephone: Page, name: str) -> None:
    """On a telephone what to tap is 48 px high, numbers to ring too, folds opened; a link in a line may be less."""
    telephone.goto((site / name).as_uri())
    telephone.wait_for_timeout(200)
    assert telephone.evaluate(TOO_SMALL, SMALLEST_PX - 0.5) == []


@pytest.mark.parametrize("name", PAGES)
def test_enlarged_to_200_percent_nothing_is_cut_or_moves(site: Path, enlarged: Page, name: str) -> None:
    """At twice the size a page of 1280 px scrolls one way only; nothing moves where the device asks for rest."""
    enlarged.goto((site / name).as_uri())
    enlarged.wait_for_timeout(200)
    wider = enlarged.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    moving = enlarged.evaluate(
        """() => [...document.querySelectorAll("*")].filter(one => {
            const style = getComputedStyle(one);
            return parseFloat(style.transitionDuration) > 0 || parseFloat(style.animationDuration) > 0;
        }).map(one => one.outerHTML.slice(0, 80))"""
    )
    assert wider <= 0
    assert moving == []


def test_the_bar_at_the_foot_covers_nothing_that_is_chosen(site: Path, chromium: Browser) -> None:
    """On a telephone the bar lies at the foot; what the keyboard stands on scrolls clear of it."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto((site / "customer/before-you-call.html").as_uri())
    covered = []
    for _ in range(40):
        page.keyboard.press("Tab")
        covered += page.evaluate(COVERED)
    context.close()
    assert covered == []


def test_what_is_closed_is_passed_by_and_what_opens_is_reached_by_keyboard(site: Path, chromium: Browser) -> None:
    """On a telephone with keys no closed board is stepped into; a button opens it, Escape leads back to the button."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    page = context.new_page()
    page.goto((site / "staff/index.html").as_uri())
    stops = []
    for _ in range(8):
        page.keyboard.press("Tab")
        stops.append(page.evaluate("document.activeElement.ariaLabel || document.activeElement.textContent.trim()"))
        assert page.evaluate("document.activeElement.closest('.wy-nav, .wy-search') === null")
    assert {"Pages", "Search", "As this device"} <= set(stops)
    for name, inside in (("Pages", ".wy-nav"), ("Search", ".wy-search")):
        opener = page.get_by_role("button", name=name)
        opener.focus()
        page.keyboard.press("Enter")
        page.wait_for_timeout(300)
        assert opener.get_attribute("aria-expanded") == "true"
        assert page.evaluate("inside => document.activeElement.closest(inside) !== null", inside)
        page.keyboard.press("Escape")
        page.wait_for_timeout(300)
        assert opener.get_attribute("aria-expanded") == "false"
        assert opener.evaluate("node => node === document.activeElement")
    context.close()


def test_a_wide_table_says_that_it_goes_on(site: Path, chromium: Browser) -> None:
    """A table wider than the screen says so and takes the keyboard; one that fits is no stop on the way."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto((site / "staff/coverage.html").as_uri())
    wide = page.locator(".wy-scroll:has(table)").first
    assert page.locator(".wy-scroll + .wy-wide").first.is_visible()
    assert wide.get_attribute("tabindex") == "0"
    assert wide.get_attribute("aria-label")
    page.set_viewport_size({"width": 1600, "height": 844})
    page.wait_for_timeout(200)
    assert page.locator(".wy-wide").count() == 0
    assert wide.get_attribute("tabindex") is None
    context.close()


@pytest.mark.parametrize("width", [390, 1280])
def test_a_page_does_not_jump_while_it_loads(site: Path, chromium: Browser, width: int) -> None:
    """What is read stays where it is: half of what the Layout Instability draft still calls good is too much."""
    context = chromium.new_context(viewport={"width": width, "height": 844})
    page = context.new_page()
    page.add_init_script(SHIFTS)
    for name in STEADY:
        page.goto((site / name).as_uri())
        page.wait_for_timeout(300)
        assert page.evaluate("globalThis.shifted") <= 0.05, name
    context.close()


def test_a_device_with_its_own_colours_keeps_edges_and_drawings(site: Path, chromium: Browser) -> None:
    """In forced colours drawings take the device's ink, and a label keeps an edge where its ground is gone."""
    context = chromium.new_context(forced_colors="active")
    page = context.new_page()
    page.goto((site / "staff/L08-filter.html").as_uri())
    assert page.evaluate("getComputedStyle(document.body).getPropertyValue('--wy-ink').trim()") == "CanvasText"
    edges = page.eval_on_selector_all(".wy-tag", "all => all.map(one => getComputedStyle(one).borderBottomWidth)")
    context.close()
    assert edges
    assert all(edge != "0px" for edge in edges)
