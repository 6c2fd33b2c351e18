"""Cards to turn over: one at a time, the label of a part hidden until then, what was not known again before the end."""

from __future__ import annotations

from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, Locator, Page, expect

pytestmark = pytest.mark.browser
PAGE = "staff/decks.html"


def deck(page: Page, site: Path, name: str) -> Locator:
    """Open the page and return one deck."""
    page.goto((site / PAGE).as_uri())
    return page.locator(f"[data-wy-deck={name}]")


def test_every_card_is_shown_once_where_all_are_known(site: Path, browser_page: Page) -> None:
    """A card shows its front, turns on a press, and the deck ends when each was known."""
    sounds = deck(browser_page, site, "sounds")
    seen = []
    for _ in range(2):
        expect(sounds.locator("dd:visible")).to_have_count(0)
        seen.append(sounds.locator("dt:visible").inner_text())
        sounds.get_by_role("button", name="Turn the card").click()
        expect(sounds.locator("dd:visible")).to_have_count(1)
        sounds.get_by_role("button", name="I knew it").click()
    assert sorted(seen) == ["A crackle", "A fan"]
    expect(sounds.get_by_role("status")).to_have_text("All 2 known.")


def test_a_card_that_was_not_known_comes_again(site: Path, browser_page: Page) -> None:
    """After "Not yet" the same card is the last of the deck, and counts only when it is known."""
    sounds = deck(browser_page, site, "sounds")
    missed = sounds.locator("dt:visible").inner_text()
    for answer in ("Not yet", "I knew it"):
        sounds.get_by_role("button", name="Turn the card").click()
        sounds.get_by_role("button", name=answer).click()
    assert sounds.locator("dt:visible").inner_text() == missed
    expect(sounds.get_by_role("status")).to_have_text("1 of 2 known.")


def test_a_part_is_ringed_and_its_label_waits_for_the_turn(site: Path, browser_page: Page) -> None:
    """The ring lies on the named point of the drawing; the words of the drawing are hidden until the card is turned."""
    parts = deck(browser_page, site, "parts")
    card = parts.locator(".wy-deck__card:visible")
    ring = parts.locator(".wy-deck__ring").bounding_box()
    part = browser_page.locator(f"[id='{card.get_attribute('data-wy-ring')}']").bounding_box()
    assert ring is not None
    assert part is not None
    assert ring["x"] <= part["x"] + part["width"] / 2 <= ring["x"] + ring["width"]
    assert ring["y"] <= part["y"] + part["height"] / 2 <= ring["y"] + ring["height"]
    drawing = parts.locator("svg").first
    drawing.evaluate("svg => svg.append(document.createElementNS('http://www.w3.org/2000/svg', 'text'))")
    seen = "text => getComputedStyle(text).visibility"
    assert drawing.locator("text").evaluate(seen) == "hidden"
    parts.get_by_role("button", name="Turn the card").click()
    assert drawing.locator("text").evaluate(seen) == "visible"


def test_the_keyboard_goes_through_a_deck(site: Path, browser_page: Page) -> None:
    """Enter turns a card and takes it as known: the place of the keyboard stays with the deck."""
    sounds = deck(browser_page, site, "sounds")
    sounds.get_by_role("button", name="Turn the card").focus()
    for _ in range(4):
        browser_page.keyboard.press("Enter")
    expect(sounds.get_by_role("status")).to_have_text("All 2 known.")
    expect(sounds.get_by_role("button", name="Once more")).to_be_focused()


def test_the_page_holds_no_barrier(site: Path, browser_page: Page) -> None:
    """Nothing bars a reader while a card stands turned."""
    deck(browser_page, site, "sounds").get_by_role("button", name="Turn the card").click()
    assert barriers_on(browser_page) == []


def test_without_scripts_both_sides_stand_in_a_list(site: Path, chromium: Browser) -> None:
    """A reader whose browser runs no scripts reads every card with its answer."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / PAGE).as_uri())
    assert page.locator("[data-wy-deck=sounds] dd:visible").all_inner_texts()[0] == "The spark."
    context.close()


def test_what_was_known_is_kept_until_the_deck_is_begun_once_more(site: Path, browser_page: Page) -> None:
    """Opened again the deck goes on with the rest; when all are known it waits for "Once more"."""
    sounds = deck(browser_page, site, "sounds")
    first = sounds.locator("dt:visible").inner_text()
    sounds.get_by_role("button", name="Turn the card").click()
    sounds.get_by_role("button", name="I knew it").click()
    browser_page.reload()
    expect(sounds.get_by_role("status")).to_have_text("1 of 2 known.")
    assert sounds.locator("dt:visible").inner_text() != first
    sounds.get_by_role("button", name="Turn the card").click()
    sounds.get_by_role("button", name="I knew it").click()
    browser_page.reload()
    expect(sounds.get_by_role("status")).to_have_text("All 2 known.")
    sounds.get_by_role("button", name="Once more").click()
    expect(sounds.get_by_role("status")).to_have_text("0 of 2 known.")


def test_on_a_phone_the_turn_is_in_view_and_the_first_drawing_comes_first(site: Path, browser_page: Page) -> None:
    """At 390 by 844 the button lies on the screen with the drawing's top; no leader line crosses the ring in front."""
    browser_page.set_viewport_size({"width": 390, "height": 844})
    parts = deck(browser_page, site, "parts")
    first = parts.locator(".wy-deck__drawing").first
    first.scroll_into_view_if_needed()
    expect(first).to_be_visible()
    button = parts.get_by_role("button", name="Turn the card").bounding_box()
    assert button is not None
    assert button["y"] + button["height"] <= 844
    drawing = first.locator("svg")
    drawing.evaluate("svg => svg.append(document.createElementNS('http://www.w3.org/2000/svg', 'path'))")
    path = drawing.locator(":scope > path").last
    path.evaluate("one => one.setAttribute('class', 'wy-d-lead')")
    seen = "one => getComputedStyle(one).visibility"
    assert path.evaluate(seen) == "hidden"
    parts.get_by_role("button", name="Turn the card").click()
    assert path.evaluate(seen) == "visible"
