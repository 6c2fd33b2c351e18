"""Steps put in order and parts pointed at: by finger, mouse and keys, from file://."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page
from practice_page import MakePage, first_key, give_order, item, press, right_answer_is_said

pytestmark = pytest.mark.browser


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
    assert box.locator(".wy-order-step--placed button").first.get_attribute("aria-pressed") == "true"
    assert "Placed as number 1" in str(box.locator(".wy-order-step--placed button").first.get_attribute("aria-label"))
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


def covered_parts(box: Locator) -> list[str]:
    """Return the numbers whose line ends beside its part, or whose ring lies over another ring or a small part."""
    found: list[str] = box.evaluate(
        """box => {
            const rect = node => node.getBoundingClientRect();
            const rings = [...box.querySelectorAll(".wy-marker")];
            const ends = [...box.querySelectorAll(".wy-mark-lines circle")].map(rect);
            const parts = rings.map(ring => rect(box.querySelector(`[data-point="${ring.dataset.for}"]`)));
            const meet = (one, other) => {
                const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
                const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
                return across > 2 && down > 2 ? across * down : 0;
            };
            return rings.filter((ring, at) => {
                const own = rect(ring);
                const part = box.querySelector(`[data-point="${ring.dataset.for}"]`);
                const end = new DOMPoint((ends[at].left + ends[at].right) / 2, (ends[at].top + ends[at].bottom) / 2);
                const shapes = [part, ...part.querySelectorAll("*")].filter(one => one.getTotalLength);
                const touched = shapes.some(shape => {
                    const at = end.matrixTransform(shape.getScreenCTM().inverse());
                    const length = shape.getTotalLength();
                    const near = [...Array(401).keys()].map(one => shape.getPointAtLength((length * one) / 400));
                    return shape.isPointInFill(at) || near.some(one => Math.hypot(one.x - at.x, one.y - at.y) < 4);
                });
                const beside = !meet(ends[at], parts[at]) || (shapes.length > 0 && !touched);
                const over = rings.some(other => other !== ring && meet(own, rect(other)) > 40);
                const small = parts.filter(part => part.width < 60 && part.height < 60);
                const hides = small.some(part => meet(own, part) > 0.5 * part.width * part.height);
                return beside || over || hides;
            }).map(ring => ring.textContent);
        }"""
    )
    return found


def test_a_picture_point_with_the_keyboard_and_by_pointing(browser_page: Page, make_practice_page: MakePage) -> None:
    """The list beside the drawing chooses like the number in it; each number leads to its part and hides nothing."""
    page = browser_page
    page.goto(make_practice_page(["q-filter-point"], []))
    box = item(page, "q-filter-point")
    right = first_key(page, "q-filter-point")["right"][0]
    assert covered_parts(box) == []
    box.locator(f'.wy-marker[data-for="{right}"]').click()
    assert box.locator(f'input[value="{right}"]').is_checked()
    box.locator("input:not(:checked)").first.focus()
    page.keyboard.press("Space")
    assert not box.locator(f'input[value="{right}"]').is_checked()
    while not box.locator(f'input[value="{right}"]').is_checked():
        page.keyboard.press("ArrowDown")
    assert "wy-marker--chosen" in str(box.locator(f'.wy-marker[data-for="{right}"]').get_attribute("class"))
    places = box.locator(".wy-marker").evaluate_all("rings => rings.map(one => one.style.cssText)")
    page.keyboard.press("Enter")
    assert right_answer_is_said(box)
    assert box.locator(".wy-marker").evaluate_all("rings => rings.map(one => one.style.cssText)") == places
