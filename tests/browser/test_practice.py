"""Practice in a real browser from file://: keyboard only, small screen, light and dark, helped and not punished."""

from __future__ import annotations

from typing import Any

import pytest
from barriers import barriers_on
from playwright.sync_api import Locator, Page, expect
from practice_page import KINDS, MakePage, first_key, give_order, item, open_all, press, right_answer_is_said, tab_to

pytestmark = pytest.mark.browser


def test_choice_and_number_with_the_keyboard_only(browser_page: Page, make_practice_page: MakePage) -> None:
    """Arrow keys choose, Enter checks, the focus goes to new numbers, and Enter gives them."""
    page = browser_page
    page.goto(make_practice_page(["q-run-on", "q-bund"], []))
    box = item(page, "q-run-on")
    right = first_key(page, "q-run-on")["right"][0]
    tab_to(page, box.locator("input").first)
    page.keyboard.press("Space")
    for _ in range(3):
        if box.locator(f'input[value="{right}"]').is_checked():
            break
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert right_answer_is_said(box)
    box = item(page, "q-bund")
    asked = box.locator(".wy-ask").inner_text()
    tab_to(page, box.locator("input"))
    page.keyboard.type(first_key(page, "q-bund")["shown"])
    page.keyboard.press("Enter")
    assert right_answer_is_said(box)
    assert page.evaluate("document.activeElement.textContent") == "Another one, with new numbers"
    page.keyboard.press("Enter")
    assert box.locator(".wy-ask").inner_text() != asked
    assert box.locator("input").evaluate("node => node === document.activeElement")


def test_a_reading_with_the_keyboard_only(browser_page: Page, make_practice_page: MakePage) -> None:
    """The instrument has a text alternative without the answer; the answer is typed with its unit."""
    page = browser_page
    page.goto(make_practice_page(["q-gauge"], []))
    box = item(page, "q-gauge")
    shown = first_key(page, "q-gauge")["shown"]
    assert shown not in str(box.locator("svg").get_attribute("aria-label"))
    tab_to(page, box.locator("input"))
    page.keyboard.type(shown)
    page.keyboard.press("Enter")
    assert right_answer_is_said(box)


def walk(page: Page, box: Locator, steps: list[str]) -> None:
    """Take the steps of a fault case with the keyboard."""
    for step in steps:
        if step.startswith("to:"):
            moves = box.get_by_label("Change where you stand")
            tab_to(page, moves)
            moves.select_option(step)
            press(page, box, "Go there")
        else:
            box.locator(f'input[value="{step}"]').focus()
            page.keyboard.press("Space")
            press(page, box, "Do this check")


def test_a_fault_case_with_the_keyboard_only(browser_page: Page, make_practice_page: MakePage) -> None:
    """The best way is walked, minutes and findings are shown, the cause is named, and both ways stand side by side."""
    page = browser_page
    page.goto(make_practice_page(["q-case"], []))
    box = item(page, "q-case")
    key = first_key(page, "q-case")
    walk(page, box, key["best"])
    assert box.locator(".wy-log li").count() == len(key["best"])
    assert f"{key['best_minutes']:g} minutes used" in box.locator(".wy-standing").inner_text()
    cause = box.get_by_label("The cause", exact=True)
    tab_to(page, cause)
    cause.select_option(key["cause"])
    if key["fit"]:
        box.locator(f'input[value="{key["fit"]}"]').focus()
        page.keyboard.press("Space")
    press(page, box, "Check")
    assert right_answer_is_said(box)
    assert box.locator(".wy-ways").inner_text().count("The best way") == 1


def test_an_open_case_prints_its_checks_and_lines(browser_page: Page, make_practice_page: MakePage) -> None:
    """Every check stands there to tick, and what is chosen from a list on the screen is a line to write on."""
    page = browser_page
    page.goto(make_practice_page(["q-case"], []))
    box = item(page, "q-case")
    page.emulate_media(media="print")
    checks = box.locator(".wy-next .wy-option")
    assert checks.count() > 1
    assert all(check.is_visible() for check in checks.all())
    assert box.locator(".wy-conclude select").first.is_visible()
    assert not box.get_by_role("button", name="Do this check").is_visible()


def test_an_unsafe_check_ends_the_case_and_is_explained(browser_page: Page, make_practice_page: MakePage) -> None:
    """A check that needs more than where one stands ends the case at once, with the reason."""
    page = browser_page
    page.goto(make_practice_page(["q-case"], []))
    box = item(page, "q-case")
    case = page.evaluate("WY.variants('q-case')[0].question.case")
    minutes_down = case["ladder"][case["standings"][1]["id"]]
    unsafe = next(check["id"] for check in case["checks"] if minutes_down.get(check["needs"]) != 0)
    walk(page, box, [f"to:{case['standings'][1]['id']}", unsafe])
    said = box.locator(".wy-mark").inner_text()
    assert said.startswith("Stop: a critical fail.")
    assert "before it was safe" in said
    assert box.get_by_role("button", name="Once more").is_visible()


def test_what_cannot_be_done_from_here_is_said_and_free(browser_page: Page, make_practice_page: MakePage) -> None:
    """From the telephone nothing is touched: the page says so, no minute is used, and the case goes on."""
    page = browser_page
    page.goto(make_practice_page(["q-case"], []))
    box = item(page, "q-case")
    case = page.evaluate("WY.variants('q-case')[0].question.case")
    minutes_down = case["ladder"][case["starts_at"]]
    walk(page, box, [next(check["id"] for check in case["checks"] if minutes_down.get(check["needs"]) != 0)])
    assert box.locator(".wy-case-note").inner_text().startswith("Cannot be done from here:")
    assert "0 minutes used" in box.locator(".wy-standing").inner_text()
    assert box.locator(".wy-log li").count() == 0
    assert box.get_by_role("button", name="Do this check").is_visible()


def test_what_a_step_showed_stands_where_the_reader_is(browser_page: Page, make_practice_page: MakePage) -> None:
    """On a telephone the log is a screen away: a refusal and a result stand in view, right under the button."""
    page = browser_page
    page.set_viewport_size({"width": 390, "height": 700})
    page.goto(make_practice_page(["q-case"], []))
    box = item(page, "q-case")
    case = page.evaluate("WY.variants('q-case')[0].question.case")
    minutes = case["ladder"][case["starts_at"]]
    refused = next(check["id"] for check in case["checks"] if minutes.get(check["needs"]) != 0)
    walk(page, box, [refused])
    note = box.locator(".wy-next__do + .wy-case-note")
    expect(note).to_be_in_viewport(ratio=1)
    assert box.locator(f'input[value="{refused}"]').is_checked()
    move = f"to:{case['standings'][1]['id']}"
    walk(page, box, [move])
    expect(box.locator(".wy-row + .wy-case-note")).to_contain_text("Made ready:")
    made = page.evaluate("document.getElementById('wy-said').textContent")
    assert made == box.locator(".wy-case-note").inner_text()


@pytest.mark.parametrize(
    ("typed", "helped"),
    [
        ("", "The box is empty"),
        ("12,5 x", "I do not know the unit “x”"),
        ("1,250", "can mean two numbers"),
        ("about ten", "is not a number"),
        ("100 bar", "is a pressure, but a volume is asked"),
    ],
)
def test_what_is_no_answer_is_helped_and_not_punished(
    browser_page: Page, make_practice_page: MakePage, typed: str, helped: str
) -> None:
    """Blank, comma, letters, a foreign unit: a sentence, the same numbers, no steps, nothing in the record."""
    page = browser_page
    page.goto(make_practice_page(["q-bund"], []))
    box = item(page, "q-bund")
    asked = box.locator(".wy-ask").inner_text()
    box.locator("input").fill(typed)
    page.keyboard.press("Enter")
    assert helped in box.locator(".wy-mark").inner_text()
    assert box.locator(".wy-worked-steps").count() == 0
    assert box.locator(".wy-ask").inner_text() == asked
    assert box.locator("input").evaluate("node => node === document.activeElement")
    assert page.evaluate("WY.record.load().answers") == []


def test_a_slip_is_named_and_the_steps_hold_the_numbers(browser_page: Page, make_practice_page: MakePage) -> None:
    """An answer that equals a slip says what was done wrong; the steps open; the skill is noted as missed."""
    page = browser_page
    page.goto(make_practice_page(["q-bund"], []))
    box = item(page, "q-bund")
    slip = first_key(page, "q-bund")["slips"][-1]
    for wrong in ("1 L", str(slip["value"])):
        box.locator("input").fill(wrong)
        page.keyboard.press("Enter")
    assert slip["say"] in box.locator(".wy-mark").inner_text()
    assert box.locator(".wy-worked-steps[open] math").count() >= 2
    assert page.evaluate("WY.record.load().answers.map(a => [a.skill, a.right])") == [["change-the-filter", False]]


def test_shown_without_an_answer_counts_as_missed(browser_page: Page, make_practice_page: MakePage) -> None:
    """Whoever asks for the answer gets it with the steps, and meets the skill again."""
    page = browser_page
    page.goto(make_practice_page(["q-bund"], []))
    box = item(page, "q-bund")
    press(page, box, "Show me the answer")
    assert first_key(page, "q-bund")["shown"] in box.locator(".wy-mark").inner_text()
    assert page.evaluate("WY.recall.isDue(WY.record.load(), 'change-the-filter', '2999-01-01')") is True


@pytest.mark.parametrize("answered", [False, True], ids=["asked", "answered"])
def test_a_small_screen_never_scrolls_sideways(
    browser_page: Page, make_practice_page: MakePage, answered: bool
) -> None:
    """At 390 and at 320 px all six kinds fit, before and after the answer is shown."""
    page = browser_page
    page.goto(make_practice_page(KINDS, ["q-bund"]))
    open_all(page)
    if answered:
        show_all_answers(page)
    for width in (390, 320):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_one_problem_of_a_set_is_open_and_an_answer_opens_the_next(
    browser_page: Page, make_practice_page: MakePage
) -> None:
    """A long set is short to scroll: each problem shows its question, one its answers; Enter opens any other."""
    page = browser_page
    page.goto(make_practice_page(["q-run-on", "q-bund", "q-alarm"], []))
    waiting = page.get_by_role("button", name="Open this problem")
    assert waiting.count() == 2
    assert item(page, "q-alarm").locator(".wy-ask").is_visible()
    press(page, item(page, "q-run-on"), "Show me the answer")
    assert item(page, "q-bund").locator("input").is_visible()
    assert waiting.count() == 1
    press(page, item(page, "q-alarm"), "Open this problem")
    assert page.evaluate("document.activeElement.closest('wy-item').getAttribute('item')") == "q-alarm"


def show_all_answers(page: Page) -> None:
    """Press the button that shows the answer in every item."""
    buttons = page.get_by_role("button", name="Show me the answer")
    for _ in range(buttons.count()):
        buttons.first.click()
    assert buttons.count() == 0


def test_what_was_answered_is_told_in_words_where_it_stands(browser_page: Page, make_practice_page: MakePage) -> None:
    """Right and wrong are said by a sign and a word at each option, box and step, and no verdict is said twice."""
    page = browser_page
    page.goto(make_practice_page(["q-run-on", "q-bund", "q-filter-order"], []))
    page.evaluate("document.querySelectorAll('wy-item').forEach(box => box.begin && box.begin(false))")
    box = item(page, "q-run-on")
    right = first_key(page, "q-run-on")["right"][0]
    for _ in range(2):
        box.locator(f'input:not([value="{right}"]):not([disabled])').first.check()
        press(page, box, "Check")
    assert box.locator(".wy-option--wrong .wy-told").inner_text() == "✗ Not right"
    assert box.locator(".wy-option--right .wy-told").inner_text() == "✓ Right, and not chosen"
    box = item(page, "q-bund")
    for typed, told in ((["2 L", "1 L"], "✗ Not right"), ([first_key(page, "q-bund")["shown"]], "✓ Right")):
        page.evaluate("box => { box.at = 0; box.show(false); }", box.element_handle())
        for text in typed:
            box.locator("input").fill(text)
            press(page, box, "Check")
        assert box.locator(".wy-field .wy-told").inner_text() == told
        assert box.locator(".wy-mark").inner_text().count("ight") == 1
    box = item(page, "q-filter-order")
    reference = first_key(page, "q-filter-order")["reference"]
    for order in ([*reference[1:], reference[0]], [*reversed(reference)]):
        give_order(page, box, order)
        press(page, box, "Check")
    assert "✗ Breaks a rule" in box.locator(".wy-order-step--broken").first.inner_text()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(browser_page: Page, make_practice_page: MakePage, scheme: Any) -> None:
    """No accessibility violation in light or dark, with all kinds asked, answered, and an assessment scored."""
    page = browser_page
    page.emulate_media(color_scheme=scheme)
    page.goto(make_practice_page(KINDS, ["q-run-on", "q-alarm"]))
    assert barriers_on(page) == []
    open_all(page)
    assert barriers_on(page) == []
    show_all_answers(page)
    page.get_by_role("button", name="Score my answers").click()
    page.get_by_role("button", name="Score it anyway").click()
    assert barriers_on(page) == []


def test_without_scripts_the_questions_can_still_be_read(chromium: Any, make_practice_page: MakePage) -> None:
    """With scripts off every question, option and drawing stands there, with a word on what to do."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(make_practice_page(KINDS, []))
    text = page.locator("body").inner_text()
    context.close()
    assert "switch scripts on" in text
    assert "It cools the exchanger" in text
    assert "Read the pump gauge" in text
