"""A lesson goes step by step: one is open, the address names it, and whatever leads into one opens it."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, ViewportSize, expect
from pypdf import PdfReader

pytestmark = pytest.mark.browser
ROOT = Path(__file__).resolve().parents[2]
PHONE: ViewportSize = {"width": 390, "height": 844}
SHIFT = """() => new Promise((done) => {
  let sum = 0;
  new PerformanceObserver((list) => {
    list.getEntries().forEach((one) => { if (!one.hadRecentInput) { sum += one.value; } });
  }).observe({ type: "layout-shift", buffered: true });
  setTimeout(() => done(sum), 500);
})"""


@pytest.fixture
def page(chromium: Browser, stepped_lesson: str) -> Iterator[Page]:
    """Give the lesson opened on a phone."""
    context = chromium.new_context(viewport=PHONE)
    made = context.new_page()
    made.set_default_timeout(10_000)
    made.goto(stepped_lesson)
    yield made
    context.close()


def shown(page: Page) -> list[str]:
    """Return the steps whose heading can be seen."""
    steps = page.locator("section.wy-step")
    return [str(step.get_attribute("data-wy-step")) for step in steps.all() if step.locator("h2").is_visible()]


def test_one_step_is_open_and_the_button_opens_the_next(page: Page) -> None:
    """The address names it, its heading has the keyboard, and Back leads back."""
    assert shown(page) == ["bund"]
    page.locator("section:not([hidden]) [data-wy-done]").press("Enter")
    assert shown(page) == ["run-on"]
    assert page.url.endswith("#step-run-on")
    assert page.evaluate("document.activeElement.textContent") == "Why the fan runs on"
    assert page.locator("[data-wy-place]").inner_text() == "Step 2 of 6"
    page.go_back()
    page.wait_for_function("location.hash === ''")
    page.go_forward()
    assert shown(page) == ["run-on"]
    page.get_by_role("link", name="Back", exact=True).click()
    assert shown(page) == ["bund"]


def test_the_button_says_when_nothing_was_answered(page: Page) -> None:
    """Going on so leaves the step as not begun; one answer makes it seen and the button the main one."""
    way = page.locator("#step-bund [data-wy-done]")
    expect(way).to_have_text("Go on without an answer")
    way.click()
    state = page.locator(".wy-progress li[data-wy-step-of=bund] [data-wy-step-state]")
    expect(state).to_have_attribute("data-wy-is", "")
    page.locator("#step-run-on .wy-step__back").click()
    page.locator("#step-bund").get_by_role("button", name="Show me the answer").first.click()
    expect(way).to_have_text("Done: next step")
    expect(state).to_have_attribute("data-wy-is", "seen")


def test_a_failed_check_leads_back_to_what_teaches_it(page: Page) -> None:
    """What was missed is named with the way to its step, and a critical one stands before the next lesson."""
    page.evaluate("location.hash = '#step-check-yourself'")
    last = page.locator("section.wy-step").last
    last.locator("details.wy-fold > summary").click()
    score = last.locator(".wy-assessment-foot .wy-actions button").first
    score.click()
    score.click()
    ways = last.locator(".wy-result-box .wy-mark a")
    assert {str(way.get_attribute("href")) for way in ways.all()} == {"#step-bund", "#step-run-on"}
    way = last.locator("[data-wy-done]")
    expect(way).to_have_text("First the critical one")
    way.click()
    assert shown(page) == ["run-on"]


def test_after_the_last_problem_the_way_on_is_beside_it(page: Page) -> None:
    """Right: "once more" is quiet, and a link with the words of the step's own button goes on as that one does."""
    box = page.locator("section[data-wy-step]:not([hidden]) wy-item").last
    box.scroll_into_view_if_needed()
    for other in page.locator("section[data-wy-step]:not([hidden]) wy-item").all():
        begin = other.get_by_role("button", name="Open this problem")
        if begin.count():
            begin.click()
        assert page.locator(".wy-way-on").count() == 0
        other.get_by_role("button", name="Show me the answer").click()
    step = page.evaluate("location.hash")
    page.locator(".wy-way-on").click()
    page.wait_for_function("step => location.hash && location.hash !== step", arg=step)
    assert page.locator("section[data-wy-step]:not([hidden])").count() == 1


def test_an_open_step_is_announced_with_its_place(page: Page) -> None:
    """A screen reader hears which step of how many, and the heading."""
    page.locator("section:not([hidden]) [data-wy-done]").click()
    assert page.get_by_role("region", name="Step 2 of 6 Why the fan runs on").count() == 1
    assert page.get_by_role("region", name="Step 1 of 6 What a bund holds").count() == 0


def test_a_place_inside_a_step_opens_it(page: Page, stepped_lesson: str) -> None:
    """A heading, a fold in a step that is closed, and reference under the steps are reached by their address."""
    page.goto(f"{stepped_lesson}#the-gauge")
    assert shown(page) == ["gauge"]
    page.goto(f"{stepped_lesson}#why-so-much")
    assert shown(page) == ["bund"]
    assert page.get_by_text("Rain falls into it.").is_visible()
    page.goto(f"{stepped_lesson}#cautions")
    assert page.get_by_text("Never open the filler hot or powered.").is_visible()


def test_the_list_of_steps_lies_over_the_page(page: Page) -> None:
    """It opens by keyboard, moves nothing, leads to a step and closes by Escape."""
    place = page.locator(".wy-progress summary")
    before = page.locator("section.wy-step h2").first.bounding_box()
    place.press("Enter")
    assert page.locator(".wy-progress ol").is_visible()
    assert page.locator("section.wy-step h2").first.bounding_box() == before
    place.press("Escape")
    assert not page.locator(".wy-progress ol").is_visible()
    place.press("Enter")
    page.locator(".wy-progress a").nth(3).press("Enter")
    assert shown(page) == ["parts"]
    assert not page.locator(".wy-progress ol").is_visible()
    assert page.locator(".wy-progress a[aria-current=step]").get_attribute("href") == "#step-parts"


def test_closed_steps_can_be_found_by_the_browser(page: Page) -> None:
    """They are hidden until found, and one in which the browser finds a word opens."""
    gauge = page.locator("section#step-gauge")
    assert gauge.get_attribute("hidden") == "until-found"
    gauge.evaluate("one => one.dispatchEvent(new Event('beforematch', { bubbles: true }))")
    assert shown(page) == ["gauge"]
    assert page.url.endswith("#step-gauge")


def test_nothing_moves_while_a_lesson_opens(page: Page, stepped_lesson: str) -> None:
    """The first step, and one that the address names, stand where they stand from the start."""
    assert page.evaluate(SHIFT) <= 0.05
    page.goto("about:blank")
    page.goto(f"{stepped_lesson}#step-parts")
    assert page.evaluate(SHIFT) <= 0.05
    assert shown(page) == ["parts"]


def test_without_scripts_all_steps_stand_open(chromium: Browser, stepped_lesson: str) -> None:
    """The lesson is read from top to bottom, and the links between steps lead on."""
    context = chromium.new_context(java_script_enabled=False, viewport=PHONE)
    page = context.new_page()
    page.goto(stepped_lesson)
    assert len(shown(page)) == 6
    assert page.get_by_text("Step 3 of 6").is_visible()
    context.close()


def test_on_paper_all_steps_and_folds_are_open(page: Page) -> None:
    """Every step, what is folded, reference and sources are printed; the ways between steps are not."""
    text = " ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(page.pdf())).pages)
    text = " ".join(unicodedata.normalize("NFKC", text).split())
    for said in ("Step 6 of 6", "Rain falls into it.", "Never open the filler", "Read it from the front."):
        assert said in text
    assert "Done: next step" not in text


def test_on_paper_each_problem_stands_once_with_numbers_in_its_drawing(page: Page) -> None:
    """The scored set prints no problem of a step again; a drawing in a closed step has its numbers, the screen none."""
    text = " ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(page.pdf())).pages)
    asked = " ".join(page.locator("wy-item[item=q-run-on] .wy-ask").first.text_content(timeout=1000).split())  # type: ignore[union-attr]
    assert " ".join(unicodedata.normalize("NFKC", text).split()).count(asked) == 1
    assert page.locator(".wy-print-number").count() == 0
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    points = page.locator("#step-parts .wy-drawing [data-point]:not([data-point=''])").count()
    assert points > 1
    marks = page.locator("#step-parts .wy-print-number")
    assert sorted(marks.all_text_contents()) == [str(number + 1) for number in range(points)]
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert page.locator(".wy-print-number").count() == 0


def test_the_sheet_to_carry_holds_ideas_and_no_problem(page: Page) -> None:
    """Ordered by its button it prints each step's heading and idea, a step of text by its text; no problem, no fold."""
    page.evaluate("window.print = () => { window.ordered = document.documentElement.className; }")
    page.get_by_role("button", name="Print the sheet to carry").click()
    assert "wy-print-carry" in page.evaluate("window.ordered")
    reader = PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True)))
    text = " ".join(unicodedata.normalize("NFKC", " ".join(one.extract_text() for one in reader.pages)).split())
    assert len(reader.pages) <= 2
    assert "Work out what a bund must hold." in text
    assert "Read it from the front." in text
    assert "Rain falls into it." not in text
    assert "Never open the filler" not in text
