"""A survey on its page: the head is asked once, all steps follow, nothing old stands, and it prints on one sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, Locator, Page
from printed_page import printed

pytestmark = pytest.mark.browser
SURVEY = "staff/aid-bunds.html"


def opened(page: Page, site: Path, name: str = SURVEY) -> Locator:
    """Open a page and return its survey."""
    page.goto((site / name).as_uri())
    return page.locator(".wy-survey")


def outputs(survey: Locator) -> list[str]:
    """Return what every step says."""
    return survey.locator(".wy-survey__output").all_inner_texts()


def step(survey: Locator, name: str) -> Locator:
    """Return one step."""
    return survey.locator(f"[data-wy-step={name}]")


def test_all_results_stand_at_once_and_follow_the_machine(site: Path, browser_page: Page) -> None:
    """The first machine's results stand there without a press; another machine changes every one that rests on it."""
    survey = opened(browser_page, site)
    assert outputs(survey) == ["71.5 L", "78.7 L", "2.41 US gal/h"]
    survey.get_by_label("Machine", exact=True).select_option("Stoat 60")
    assert outputs(survey) == ["116 L", "127 L", "2.41 US gal/h"]
    assert survey.locator(".wy-survey__answers").inner_text().endswith("127 L")
    assert "data sheet of Stoat 60" in step(survey, "inner").inner_text()


def test_the_head_changes_everything_below(site: Path, browser_page: Page) -> None:
    """A number in another unit is read, and every step that takes it follows; so do its inputs."""
    survey = opened(browser_page, site)
    survey.get_by_label("pressure on the gauge").fill("20 bar")
    assert outputs(survey)[2] == "3.41 US gal/h"
    assert "20\u00a0bar" in step(survey, "flow").locator(".wy-survey__inputs").inner_text()
    survey.get_by_label("share of one tank").first.fill("200")
    assert outputs(survey)[:2] == ["130 L", "143 L"]


def test_a_refusal_lets_the_later_steps_wait(site: Path, browser_page: Page) -> None:
    """The step says the formula's own words, the next one what it waits for; no old number is left anywhere."""
    survey = opened(browser_page, site)
    survey.get_by_label("share of one tank").first.fill("50")
    refused, waits, stands = outputs(survey)
    assert refused == "w_1, share of one tank, must lie between 100 % and 200 %; 50 % does not"
    assert waits == "Waits for: step 1, What a bund must hold"
    box = survey.get_by_label("share of one tank").first
    assert box.get_attribute("aria-invalid") == "true"
    assert survey.locator(f"#{box.get_attribute('aria-describedby')}").inner_text() == (
        "It must lie between 100 % and 200 %; 50 % does not."
    )
    assert stands == "2.41 US gal/h"
    assert "78.7" not in survey.inner_text()
    assert survey.locator(".wy-survey__standing").inner_text() == "1 of 3 steps are worked out; 1 wait."


def test_what_cannot_be_read_is_said_at_its_box(site: Path, browser_page: Page) -> None:
    """A box with a wrong text says so, and the steps wait for it by its name; emptied it stays empty."""
    survey = opened(browser_page, site)
    box = survey.get_by_label("pressure on the gauge")
    box.fill("ten")
    assert box.get_attribute("aria-invalid") == "true"
    assert "ten" in survey.locator(".wy-survey__problem").nth(1).inner_text()
    assert outputs(survey)[2] == "Waits for: pressure on the gauge"
    box.fill("")
    box.press("Tab")
    assert box.input_value() == ""
    assert box.get_attribute("aria-invalid") == "true"
    assert outputs(survey)[2] == "Waits for: pressure on the gauge"


def test_the_example_is_called_one_until_something_is_changed(site: Path, browser_page: Page) -> None:
    """The page begins with figures that nobody measured, and says so; the first own figure takes the line away."""
    survey = opened(browser_page, site)
    example = survey.get_by_text("are an example")
    assert example.is_visible()
    survey.get_by_label("pressure on the gauge").fill("20")
    assert example.is_hidden()


def test_an_input_is_written_over_marked_and_put_back(site: Path, browser_page: Page) -> None:
    """By keyboard: the fold is opened, a number typed, it is marked by hand, and one press puts it back."""
    survey = opened(browser_page, site)
    outer = step(survey, "outer")
    outer.locator("summary").focus()
    browser_page.keyboard.press("Enter")
    browser_page.keyboard.press("Tab")
    browser_page.keyboard.press("Control+A")
    browser_page.keyboard.type("200 L")
    assert outputs(survey)[1] == "220 L"
    assert "by hand" in outer.locator(".wy-survey__input--hand").inner_text()
    assert survey.locator(".wy-survey__input--hand").count() == 1
    outer.get_by_role("button", name="Put back: volume of one tank").focus()
    browser_page.keyboard.press("Enter")
    assert outputs(survey)[1] == "78.7 L"
    assert survey.locator(".wy-survey__input--hand").count() == 0
    assert outer.locator("summary").evaluate("it => it === document.activeElement")


def test_another_machine_takes_its_own_sheet(site: Path, browser_page: Page) -> None:
    """What was written over the sheet of one machine does not stand for another; the rest stays as it was written."""
    survey = opened(browser_page, site)
    for name, text in (("inner", "100 L"), ("flow", "1")):
        step(survey, name).locator("summary").click()
        step(survey, name).locator("input").first.fill(text)
    assert outputs(survey) == ["110 L", "121 L", "1.20 US gal/h"]
    survey.get_by_label("Machine", exact=True).select_option("Stoat 60")
    assert outputs(survey) == ["116 L", "127 L", "1.20 US gal/h"]


def test_the_working_has_the_numbers_of_the_moment(site: Path, browser_page: Page) -> None:
    """On request a step shows its formula with the numbers put in, and the result with more figures."""
    survey = opened(browser_page, site)
    working = step(survey, "inner").locator(".wy-survey__working")
    assert not working.is_visible()
    step(survey, "inner").locator("summary").click()
    survey.get_by_label("Machine", exact=True).select_option("Stoat 60")
    assert working.locator("li").count() == 4
    assert working.locator("li").nth(1).locator("mn").all_text_contents() == ["110", "105"]
    assert working.locator("li").nth(2).locator("mn").all_text_contents() == ["1.1", "105"]
    assert working.locator("li").last.locator("mn").all_text_contents() == ["115.5"]


def test_it_is_kept_for_its_page_and_can_begin_again(site: Path, browser_page: Page) -> None:
    """Opened again the survey stands as it was left; it begins again at a press, and another brings it back."""
    survey = opened(browser_page, site)
    survey.get_by_label("Machine", exact=True).select_option("Stoat 60")
    survey.get_by_label("pressure on the gauge").fill("20")
    left = outputs(survey)
    browser_page.reload()
    assert outputs(survey) == left
    survey.get_by_role("button", name="Start again").click()
    assert outputs(survey)[2] == "2.41 US gal/h"
    survey.get_by_role("button", name="Bring back what stood here").click()
    assert outputs(survey) == left
    opened(browser_page, site, "staff/aid-tank.html")
    assert browser_page.get_by_label("Machine", exact=True).input_value() == "hare"


def test_what_changed_is_said_once(site: Path, browser_page: Page) -> None:
    """A reader that speaks hears the answers a moment after the last key, not at each."""
    survey = opened(browser_page, site)
    survey.get_by_label("Machine", exact=True).select_option("Stoat 60")
    said = browser_page.locator("#wy-said")
    said.get_by_text("127 L").wait_for(state="attached")
    assert said.inner_text() == "All 3 steps are worked out. Volume that the bund holds: 127 L."


def test_it_prints_as_one_sheet(site: Path, browser_page: Page) -> None:
    """The head, every step with its result, what was written by hand, and lines for site, date and name."""
    survey = opened(browser_page, site)
    survey.get_by_label("Machine", exact=True).select_option("Stoat 60")
    step(survey, "flow").locator("summary").click()
    step(survey, "flow").locator("input").first.fill("1")
    count, text = printed(browser_page)
    assert count == 1
    for word in ("Site", "Date", "Name", "Stoat 60", "116 L", "127 L", "1.20 US gal/h", "by hand", "Two bunds"):
        assert word in text
    for word in ("Start again", "Put back", "see the working", "Search"):
        assert word not in text


def test_with_scripts_off_it_is_a_form_for_paper(site: Path, chromium: Browser) -> None:
    """Every step stands there with its formula, where its inputs come from, and room for what is written in."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    survey = opened(page, site)
    assert survey.locator(".wy-survey__step math").count() == 3
    assert "step 1" in step(survey, "outer").inner_text()
    assert "data sheet of the machine" in step(survey, "inner").inner_text()
    assert "Scripts are off" in (survey.locator("noscript").text_content() or "")
    assert survey.locator(".wy-survey__output .wy-survey__blank").count() == 3
    context.close()


def test_the_boxes_of_an_aid_follow_its_machine(site: Path, browser_page: Page) -> None:
    """Chosen once at the head, the machine fills boxes and texts; a result follows, a box by hand is put back."""
    browser_page.goto((site / "staff/aid-tank.html").as_uri())
    box, result = browser_page.get_by_label("volume of one tank"), browser_page.locator(".wy-calculator__result").first
    browser_page.get_by_role("button", name="Work it out").first.click()
    assert result.inner_text() == "volume that the bund holds: 71.5 L"
    browser_page.get_by_label("Machine", exact=True).select_option("Stoat 60")
    assert box.input_value() == "105"
    assert result.inner_text() == "volume that the bund holds: 116 L"
    said = browser_page.locator("p", has_text="The tank holds").inner_text().replace("\u00a0", " ")
    assert said == "The tank holds 105 L, the other machine's 105 L."
    box.fill("200")
    assert result.inner_text() == "volume that the bund holds: 220 L"
    browser_page.get_by_role("button", name="Put back: volume of one tank").click()
    assert result.inner_text() == "volume that the bund holds: 116 L"
    assert box.input_value() == "105"
    assert "data sheet of Stoat 60" in browser_page.locator(".wy-calculator__row").nth(1).inner_text()
    browser_page.reload()
    assert browser_page.get_by_label("volume of one tank").input_value() == "105"


def test_a_due_date_follows_what_is_typed(site: Path, browser_page: Page) -> None:
    """Once worked out, a date never stands beside numbers that it does not come from."""
    browser_page.goto((site / "staff/aid-tank.html").as_uri())
    block = browser_page.locator("[data-wy-service-due]")
    for name, text in (("last", "2026-01-15"), ("used_h", "0")):
        block.locator(f"[name={name}]").fill(text)
    block.get_by_role("button", name="Work it out").click()
    before = block.locator(".wy-calculator__result").inner_text()
    block.locator("[name=per_day]").fill("24")
    assert "2026-01-31" in block.locator(".wy-calculator__result").inner_text()
    assert "2026-01-31" not in before


@pytest.mark.parametrize("width_px", [390, 1280])
def test_opened_and_refused_it_has_no_barrier(site: Path, browser_page: Page, width_px: int) -> None:
    """With every fold open, an input by hand, a refusal and a box that cannot be read, axe finds nothing."""
    browser_page.set_viewport_size({"width": width_px, "height": 844})
    survey = opened(browser_page, site)
    for summary in survey.locator("summary").all():
        summary.click()
    step(survey, "flow").locator("input").first.fill("1")
    survey.get_by_label("share of one tank").first.fill("50")
    survey.get_by_label("pressure on the gauge").fill("ten")
    assert barriers_on(browser_page) == []
    assert browser_page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
