"""A wrong answer gets its reason and another try; hints come a rung at a time; formula and sheet are a tap away."""

from __future__ import annotations

from typing import Any

import pytest
from barriers import barriers_on
from playwright.sync_api import Locator, Page, expect
from practice_page import KINDS, MakePage, open_all

pytestmark = pytest.mark.browser


def only(page: Page, make: MakePage, name: str) -> tuple[Locator, dict[str, Any]]:
    """Open a page with one problem; return its box and the key of what is shown."""
    page.goto(make([name], []))
    page.evaluate("() => { WY.record.answered = (facts) => (window.noted = window.noted || []).push(facts); }")
    key: dict[str, Any] = page.evaluate(f"WY.variants('{name}')[0].key")
    return page.locator(f'wy-item[item="{name}"]'), key


def check(box: Locator) -> None:
    """Press Check."""
    box.get_by_role("button", name="Check", exact=True).click()


def noted(page: Page) -> list[dict[str, Any]]:
    """Return what the record was told."""
    found: list[dict[str, Any]] = page.evaluate("window.noted || []")
    return found


def test_a_slip_is_named_first_and_the_key_comes_after_the_second_try(
    browser_page: Page, make_practice_page: MakePage
) -> None:
    """The slip's sentence without the answer, the same box open; then right: two tries are noted, once."""
    box, key = only(browser_page, make_practice_page, "q-bund")
    slip = key["slips"][-1]
    box.locator("input").fill(str(slip["value"]))
    check(box)
    said = box.locator(".wy-mark").inner_text()
    assert slip["say"] in said
    assert key["shown"] not in said
    assert box.locator(".wy-worked-steps").count() == 0
    assert noted(browser_page) == []
    expect(box.locator("input")).to_be_focused()
    box.locator("input").fill(key["shown"])
    check(box)
    assert box.locator(".wy-mark--good").count() == 1
    (facts,) = noted(browser_page)
    assert (facts["right"], facts["tries"], facts["hints"], facts["shown"]) == (True, 2, 0, False)
    assert (facts["item"], facts["skill"], facts["share"]) == ("q-bund", "change-the-filter", 1)
    assert facts["seconds"] >= 0


def test_the_same_answer_twice_is_one_try(browser_page: Page, make_practice_page: MakePage) -> None:
    """Check pressed again on what was wrong gives nothing away; a second wrong one ends it with the key."""
    box, key = only(browser_page, make_practice_page, "q-bund")
    box.locator("input").fill("1 L")
    for _ in range(3):
        check(box)
    assert key["shown"] not in box.inner_text()
    box.locator("input").fill("2 L")
    check(box)
    assert key["shown"] in box.locator(".wy-mark").inner_text()
    assert noted(browser_page)[0]["tries"] == 2


def test_the_first_key_after_a_refused_answer_begins_anew(browser_page: Page, make_practice_page: MakePage) -> None:
    """48 refused and 12 typed is 12, not 4812; what cannot be read stays to be mended."""
    box, _ = only(browser_page, make_practice_page, "q-bund")
    box.locator("input").fill("48")
    check(box)
    browser_page.keyboard.type("12")
    assert box.locator("input").input_value() == "12"
    box, _ = only(browser_page, make_practice_page, "q-bund")
    box.locator("input").fill("48 bananas")
    check(box)
    browser_page.keyboard.press("End")
    browser_page.keyboard.type("!")
    assert box.locator("input").input_value() == "48 bananas!"


def test_a_wrong_first_try_outlives_the_page(browser_page: Page, make_practice_page: MakePage) -> None:
    """Wrong once and the page loaded again: the record has it, as one wrong answer with one try."""
    browser_page.goto(make_practice_page(["q-bund"], []))
    box = browser_page.locator('wy-item[item="q-bund"]')
    box.locator("input").fill("1 L")
    check(box)
    browser_page.reload()
    kept = browser_page.evaluate("WY.record.load().answers")
    assert [(one["item"], one["right"], one["tries"]) for one in kept] == [("q-bund", False, 1)]


def test_an_answer_that_cannot_be_read_is_marked_until_it_is_changed(
    browser_page: Page, make_practice_page: MakePage
) -> None:
    """The box says that it is invalid and why; the next key takes that away."""
    box, _ = only(browser_page, make_practice_page, "q-bund")
    field = box.locator("input")
    field.fill("twelve")
    check(box)
    assert field.get_attribute("aria-invalid") == "true"
    why = browser_page.locator(f"#{field.get_attribute('aria-describedby')}")
    assert "twelve" in why.inner_text()
    field.fill("12 L")
    assert field.get_attribute("aria-invalid") is None


def test_a_lost_decimal_point_is_told(browser_page: Page, make_practice_page: MakePage) -> None:
    """Ten or a hundred times the answer: the digits are right."""
    box, key = only(browser_page, make_practice_page, "q-bund")
    taken = [slip["value"] for slip in key["slips"]]
    factor = next(one for one in (100, 10) if all(abs(key["value"] * one - slip) > slip * 0.05 for slip in taken))
    box.locator("input").fill(str(key["value"] * factor))
    check(box)
    assert "decimal point is not" in box.locator(".wy-mark").inner_text()


def test_a_factor_of_a_thousand_is_named(browser_page: Page, make_practice_page: MakePage) -> None:
    """A thousand times the answer is told as that."""
    box, key = only(browser_page, make_practice_page, "q-bund")
    box.locator("input").fill(str(key["value"] * 1000))
    check(box)
    assert "a thousand times" in box.locator(".wy-mark").inner_text()


def test_a_rounded_answer_is_told_to_be_too_rough(browser_page: Page, make_practice_page: MakePage) -> None:
    """2 for 2.28 is no slip, it lacks a figure; 1 for it is not near."""
    browser_page.goto(make_practice_page(["q-bund"], []))
    said = browser_page.evaluate(
        """() => ["2", "1", "2.2"].map(text => {
            const key = { value: 2.28, unit: "L", tolerance: 0.05, slips: [] };
            const variant = { key: key };
            return WY.kinds.numeric.retry(variant, { text: text }, { share: 0 });
        })"""
    )
    assert [text.startswith("Too rough") for text in said] == [True, False, False]


def test_a_wrong_option_is_crossed_out_with_its_reason(browser_page: Page, make_practice_page: MakePage) -> None:
    """It cannot be chosen again; the second wrong one shows the key."""
    box, key = only(browser_page, make_practice_page, "q-run-on")
    right = key["right"][0]
    wrong = box.locator(f'input:not([value="{right}"])')
    first = str(wrong.first.get_attribute("value"))
    wrong.first.check()
    check(box)
    assert key["why"][first] in box.locator(".wy-mark").inner_text()
    assert box.locator(f'input[value="{first}"]').is_disabled()
    assert box.locator(".wy-option--right").count() == 0
    box.locator(f'input:not([value="{right}"]):not([disabled])').first.check()
    check(box)
    assert box.locator(".wy-option--right").count() == 1


def test_hints_come_a_rung_at_a_time_and_are_counted(browser_page: Page, make_practice_page: MakePage) -> None:
    """In words, the formula with words for its letters, the first step with the numbers; the answer stays hidden."""
    box, key = only(browser_page, make_practice_page, "q-bund")
    for number in (1, 2, 3):
        box.get_by_role("button", name=f"Hint {number} of 3").click()
        assert box.locator(".wy-hint").count() == number
    words, formula, step = box.locator(".wy-hint").all()
    assert words.inner_text().startswith("You look for:")
    assert formula.locator(".wy-in-words").count() == 1
    assert formula.locator(".wy-letters li").count() >= 2
    assert step.locator("math").count() >= 1
    assert box.get_by_role("button", name="Hint").count() == 0
    box.locator("input").fill(key["shown"])
    check(box)
    assert [(one["hints"], one["right"]) for one in noted(browser_page)] == [(3, True)]


def test_the_formula_is_one_tap_away_and_noted(browser_page: Page, make_practice_page: MakePage) -> None:
    """Opened, it counts as one hint."""
    box, key = only(browser_page, make_practice_page, "q-bund")
    box.get_by_text("The formula, in words").click()
    expect(box.locator(".wy-panel .wy-in-words").first).to_be_visible()
    browser_page.wait_for_timeout(50)
    box.locator("input").fill(key["shown"])
    check(box)
    assert noted(browser_page)[0]["hints"] == 1


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_ends_and_is_noted_once(browser_page: Page, make_practice_page: MakePage, name: str) -> None:
    """All hints taken and the answer asked for: noted as shown, with the hints, and not as right."""
    box, _ = only(browser_page, make_practice_page, name)
    taken = 0
    while box.get_by_role("button", name="Hint").count() and taken < 9:
        box.get_by_role("button", name="Hint").click()
        taken += 1
    box.get_by_role("button", name="Show me the answer").click()
    (facts,) = noted(browser_page)
    assert (facts["shown"], facts["right"], facts["hints"]) == (True, False, taken)


def test_axe_finds_nothing_between_the_tries(browser_page: Page, make_practice_page: MakePage) -> None:
    """A hint, a crossed-out option and an open formula are as accessible as the rest, and fit 390 px."""
    page = browser_page
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(make_practice_page(KINDS, []))
    open_all(page)
    hints = page.get_by_role("button", name="Hint 1 of")
    while hints.count():
        hints.first.click()
    page.get_by_text("The formula, in words").first.click()
    box = page.locator('wy-item[item="q-run-on"]')
    box.locator("input").first.check()
    check(box)
    assert barriers_on(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
