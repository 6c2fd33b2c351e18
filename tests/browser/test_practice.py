"""Practice in a real browser from file://: keyboard only, small screen, light and dark, helped and not punished."""

from __future__ import annotations

from typing import Any

import pytest
from barriers import barriers_on
from playwright.sync_api import Locator, Page, expect
from practice_page import KINDS, MakePage, open_all

pytestmark = pytest.mark.browser


def tab_to(page: Page, target: Locator, *, limit: int = 60) -> None:
    """Press Tab until the target has the focus; fail where the keyboard never gets there."""
    for _ in range(limit):
        if target.evaluate("node => node === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"the keyboard never reaches {target}")


def item(page: Page, name: str) -> Locator:
    """Return an item's box."""
    return page.locator(f'wy-item[item="{name}"]')


def first_key(page: Page, name: str) -> dict[str, Any]:
    """Return the key of the variant that the page shows first."""
    found: dict[str, Any] = page.evaluate(f"WY.variants('{name}')[0].key")
    return found


def press(page: Page, box: Locator, button: str) -> None:
    """Reach a button of an item with the keyboard and press Enter."""
    tab_to(page, box.get_by_role("button", name=button, exact=True))
    page.keyboard.press("Enter")


def right_answer_is_said(box: Locator) -> bool:
    """Say whether the feedback begins with the word for right."""
    return box.locator(".wy-mark--good").inner_text().startswith("Right")


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


def test_ordering_with_the_keyboard_only(browser_page: Page, make_practice_page: MakePage) -> None:
    """Enter places a step, the focus stays with it, arrow keys move it, and where it stands is announced."""
    page = browser_page
    page.goto(make_practice_page(["q-filter-order"], []))
    box = item(page, "q-filter-order")
    reference = first_key(page, "q-filter-order")["reference"]
    for step in reversed(reference):
        button = box.locator(f'li[data-id="{step}"] button')
        button.focus()
        page.keyboard.press("Enter")
        assert button.evaluate("node => node === document.activeElement")
        for _ in reference:
            page.keyboard.press("ArrowUp")
        assert button.evaluate("node => node === document.activeElement")
    assert "Now 1 of 4" in page.locator("#wy-said").inner_text()
    press(page, box, "Check")
    assert right_answer_is_said(box)


def test_a_broken_rule_is_named_with_its_reason(browser_page: Page, make_practice_page: MakePage) -> None:
    """An order with a step left is no answer; with the last step first, two steps are named and marked."""
    page = browser_page
    page.goto(make_practice_page(["q-filter-order"], []))
    box = item(page, "q-filter-order")
    reference = first_key(page, "q-filter-order")["reference"]
    wrong = [reference[-1], *reference[:-1]]
    for step in wrong[:-1]:
        box.locator(f'li[data-id="{step}"] button').click()
    press(page, box, "Check")
    assert "Give every step its place first." in box.locator(".wy-mark").inner_text()
    box.locator(f'li[data-id="{wrong[-1]}"] button').click()
    press(page, box, "Check")
    said = box.locator(".wy-mark").inner_text()
    assert "must come before" in said or "fails at once" in said
    if "fails at once" not in said:
        give_order(page, box, [*reversed(reference)])
        press(page, box, "Check")
    assert box.locator(".wy-order-step--broken").count() >= 2


def give_order(page: Page, box: Locator, order: list[str]) -> None:
    """Place the steps in an order, whatever stood there before."""
    while box.locator(".wy-order-step--placed").count():
        box.locator(".wy-order-step--placed button").first.click()
    for step in order:
        box.locator(f'li[data-id="{step}"] button').click()


def order_of(box: Locator) -> list[str]:
    """Return the placed steps from top to bottom."""
    found: list[str] = box.locator(".wy-order-step--placed").evaluate_all("rows => rows.map(row => row.dataset.id)")
    return found


def test_a_step_takes_one_tap_and_can_be_taken_out_and_undone(browser_page: Page, make_practice_page: MakePage) -> None:
    """As many taps as steps; again takes out; Undo gives the order back; the text is as wide as a phone lets it be."""
    page = browser_page
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(make_practice_page(["q-filter-order"], []))
    box = item(page, "q-filter-order")
    reference = first_key(page, "q-filter-order")["reference"]
    for step in reference:
        box.locator(f'li[data-id="{step}"] button').click()
    assert order_of(box) == reference
    box.locator(f'li[data-id="{reference[1]}"] button').click()
    assert order_of(box) == [reference[0], *reference[2:]]
    box.get_by_role("button", name="Undo").click()
    assert order_of(box) == reference
    assert min(box.locator(".wy-order-text").evaluate_all("all => all.map(one => one.offsetWidth)")) >= 250
    press(page, box, "Check")
    assert right_answer_is_said(box)


def test_a_placed_step_is_dragged_to_its_place(browser_page: Page, make_practice_page: MakePage) -> None:
    """With the mouse: the last placed step is pulled above the first, and is not taken out by that."""
    page = browser_page
    page.goto(make_practice_page(["q-filter-order"], []))
    box = item(page, "q-filter-order")
    reference = first_key(page, "q-filter-order")["reference"]
    for step in [*reference[1:], reference[0]]:
        box.locator(f'li[data-id="{step}"] button').click()
    first = box.locator(f'li[data-id="{reference[1]}"]').bounding_box()
    held = box.locator(f'li[data-id="{reference[0]}"]').bounding_box()
    assert first
    assert held
    page.mouse.move(held["x"] + 60, held["y"] + 10)
    page.mouse.down()
    page.wait_for_timeout(30)
    page.mouse.move(first["x"] + 60, first["y"] + 40, steps=4)
    page.mouse.move(first["x"] + 60, first["y"] + 2, steps=4)
    page.mouse.up()
    assert order_of(box) == reference


def test_a_picture_point_with_the_keyboard_and_by_pointing(browser_page: Page, make_practice_page: MakePage) -> None:
    """The list beside the drawing chooses like the number in it, and each number lies within its part."""
    page = browser_page
    page.goto(make_practice_page(["q-filter-point"], []))
    box = item(page, "q-filter-point")
    right = first_key(page, "q-filter-point")["right"][0]
    for point in ("p1", "p2", "p3"):
        part = box.locator(f'[data-point="{point}"]').bounding_box()
        marker = box.locator(f'.wy-marker[data-for="{point}"]').bounding_box()
        assert part
        assert marker
        middle = marker["x"] + marker["width"] / 2
        assert part["x"] - 20 <= middle <= part["x"] + part["width"] + 20
    box.locator(f'.wy-marker[data-for="{right}"]').click()
    assert box.locator(f'input[value="{right}"]').is_checked()
    box.locator("input:not(:checked)").first.focus()
    page.keyboard.press("Space")
    assert not box.locator(f'input[value="{right}"]').is_checked()
    while not box.locator(f'input[value="{right}"]').is_checked():
        page.keyboard.press("ArrowDown")
    assert "wy-marker--chosen" in str(box.locator(f'.wy-marker[data-for="{right}"]').get_attribute("class"))
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
    note = box.locator("button + .wy-case-note")
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
