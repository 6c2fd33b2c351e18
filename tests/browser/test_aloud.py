"""A lesson is read aloud by a voice of the device: block by block, marked, until it is stopped; no voice, no button."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser
VOICES = """
  const said = (window.said = []);
  const voices = (window.voices = [{localService: true, lang: 'en-GB', name: 'Here'}]);
  class Utterance { constructor(text) { this.text = text; } }
  window.SpeechSynthesisUtterance = Utterance;
  const synthesis = new EventTarget();
  synthesis.getVoices = () => window.voices;
  synthesis.speak = (one) => { said.push(one); };
  synthesis.cancel = () => {};
  Object.defineProperty(window, 'speechSynthesis', {value: synthesis, configurable: true});
"""
ENDS = "() => { const last = window.said[window.said.length - 1]; last.onend && last.onend(); }"


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """Give a page whose device has one voice of its own, which says nothing and keeps what it was given."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    opened = context.new_page()
    opened.add_init_script(VOICES)
    yield opened
    context.close()


def test_a_lesson_is_read_block_by_block_until_it_is_stopped(stepped_lesson: str, page: Page) -> None:
    """The first block is the title, it is marked while it is read, the next follows, and a press ends it."""
    page.goto(stepped_lesson)
    button = page.get_by_role("button", name="Read aloud")
    button.click()
    first = page.evaluate("said[0].text")
    assert page.locator(".wy-aloud-now").inner_text().strip() == first
    page.evaluate(ENDS)
    assert page.evaluate("said.length") >= 2
    assert page.locator(".wy-aloud-now").inner_text().strip() != first
    page.get_by_role("button", name="Stop reading").click()
    expect(page.locator(".wy-aloud-now")).to_have_count(0)
    expect(page.get_by_role("button", name="Read aloud")).to_be_visible()


def test_without_a_voice_of_the_device_there_is_no_button(stepped_lesson: str, page: Page) -> None:
    """A voice of another language, or one that needs a network, reads nothing here; one that comes later does."""
    page.add_init_script("window.voices = [{localService: false, lang: 'en-GB'}, {localService: true, lang: 'fi-FI'}]")
    page.goto(stepped_lesson)
    expect(page.get_by_role("button", name="Read aloud")).to_have_count(0)
    page.evaluate("voices.push({localService: true, lang: 'en_GB'})")
    page.evaluate("speechSynthesis.dispatchEvent(new Event('voiceschanged'))")
    expect(page.get_by_role("button", name="Read aloud")).to_be_visible()


def test_a_long_text_is_read_in_pieces_that_end_with_sentences(stepped_lesson: str, page: Page) -> None:
    """No piece is longer than a voice bears, no word is lost, and pieces end at a full stop where there is one."""
    page.goto(stepped_lesson)
    text = " ".join(["Fuel that leaks stays in the bund."] * 20)
    pieces = page.evaluate("text => WY.aloud.pieces(text)", text)
    assert " ".join(pieces) == text
    assert max(map(len, pieces)) <= 200
    assert all(piece.endswith(".") for piece in pieces)
