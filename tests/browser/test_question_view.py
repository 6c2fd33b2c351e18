"""The question stands in view when a problem opens or changes, on a phone, and every answer can be typed there."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect
from practice_page import KINDS, MakePage, open_all

pytestmark = pytest.mark.browser
WIDTH, HEIGHT = 390, 844


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    """Give a page with a finger for a pointer."""
    context = chromium.new_context(viewport={"width": WIDTH, "height": HEIGHT}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.set_default_timeout(10_000)
    faults: list[str] = []
    page.on("pageerror", lambda problem: faults.append(str(problem)))
    yield page
    context.close()
    assert not faults, f"the page raised: {faults}"


def is_in_view(ask: Locator) -> bool:
    """Say whether the first line of a question is on the screen and nothing lies over it."""
    found: bool = ask.evaluate(
        """node => {
            const line = node.getClientRects()[0];
            const top = document.elementFromPoint(line.left + 4, line.top + 4);
            return line.top >= 0 && line.top + 24 <= innerHeight && node.contains(top);
        }"""
    )
    return found


def is_soon_in_view(ask: Locator) -> bool:
    """Say whether a question whose problem is still fetched comes into view by itself."""
    for _ in range(60):
        ask.page.wait_for_timeout(30)
        if is_in_view(ask):
            return True
    return False


def next_problem(page: Page) -> None:
    """Scroll to the foot, as somebody who has read the steps, and go on."""
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    page.get_by_role("button", name="Next problem").click()


@pytest.mark.parametrize("who", ["phone", "browser_page"])
def test_mixed_practice_shows_each_next_question(site: Path, request: pytest.FixtureRequest, who: str) -> None:
    """Twenty of twenty, with a finger and with keys."""
    page: Page = request.getfixturevalue(who)
    page.set_viewport_size({"width": WIDTH, "height": HEIGHT})
    page.goto((site / "staff" / "practice.html").as_uri())
    shown = []
    for _ in range(20):
        next_problem(page)
        shown.append(is_soon_in_view(page.locator("[data-wy-mixed] .wy-ask")))
    assert shown == [True] * 20


def test_every_kind_of_problem_shows_its_question_when_it_opens_and_changes(
    phone: Page, make_practice_page: MakePage
) -> None:
    """Opened by its button and drawn anew, each of the six kinds: the question is seen, and the focus is in its box."""
    phone.goto(make_practice_page(KINDS, []))
    for name in KINDS:
        box = phone.locator(f'wy-item[item="{name}"]')
        begin = box.get_by_role("button", name="Open this problem")
        if begin.count():
            begin.click()
            assert is_in_view(box.locator(".wy-ask")), name
        phone.evaluate("box => { window.scrollTo(0, 0); box.show(true); }", box.element_handle())
        assert is_in_view(box.locator(".wy-ask")), name
        assert box.evaluate("box => box.contains(document.activeElement)"), name
        assert phone.evaluate("document.activeElement.tagName") == "P", "a finger gets no keyboard over the question"


def test_a_header_that_stays_covers_no_question(phone: Page, make_practice_page: MakePage) -> None:
    """Whatever stands at the top of the page and stays there, the question stands below it."""
    phone.goto(make_practice_page(KINDS, []))
    phone.evaluate(
        """() => {
            const head = document.createElement("div");
            head.style = "position: fixed; inset: 0 0 auto; height: 70px; background: grey; z-index: 9";
            const clock = document.createElement("p");
            clock.style = "position: sticky; top: 70px; height: 40px; margin: 0; background: red; z-index: 8";
            document.body.prepend(head, clock);
        }"""
    )
    box = phone.locator("wy-item").nth(2)
    box.get_by_role("button", name="Open this problem").click()
    assert is_in_view(box.locator(".wy-ask"))


def test_the_mock_paper_shows_its_first_question(site: Path, phone: Page) -> None:
    """The first question of a paper stands in view when the time starts."""
    phone.goto((site / "staff" / "mock-paper.html").as_uri())
    phone.get_by_role("button", name="Draw a paper").click()
    phone.wait_for_selector(".wy-mock__list .wy-ask")
    assert is_in_view(phone.locator(".wy-mock__list .wy-ask").first)


def test_the_keys_type_what_a_number_pad_lacks(phone: Page, make_practice_page: MakePage) -> None:
    """Comma, minus, stroke, space and the units of the question, 48 px each; the own keyboard is one tap away."""
    phone.goto(make_practice_page(["q-bund"], []))
    box = phone.locator("wy-item")
    for key in ("1", "2", ",", "5", "Take the last sign away", "7", "L"):
        box.get_by_role("button", name=key, exact=True).tap()
    assert box.locator("input").input_value() == "12,7 L"
    small = box.locator(".wy-key").evaluate_all(
        "keys => keys.filter(one => one.offsetWidth < 48 || one.offsetHeight < 48).map(one => one.textContent)"
    )
    assert small == []
    assert {"-", "/", "Space"} <= {str(key.get_attribute("aria-label")) for key in box.locator(".wy-key").all()}
    assert box.locator("input").get_attribute("inputmode") == "none"
    box.get_by_role("button", name="Use the phone's keyboard").tap()
    assert box.locator("input").get_attribute("inputmode") == "text"
    expect(box.locator("input")).to_be_focused()


def test_the_keys_begin_a_new_answer_after_a_refused_one(phone: Page, make_practice_page: MakePage) -> None:
    """The first number replaces the old answer; the next ones add to it; a unit alone keeps the number."""
    phone.goto(make_practice_page(["q-bund"], []))
    box = phone.locator("wy-item")
    for key in ("4", "8", "Check", "1", "2"):
        box.get_by_role("button", name=key, exact=True).tap()
    assert box.locator("input").input_value() == "12"


def test_a_desktop_has_no_keys_in_its_way(browser_page: Page, make_practice_page: MakePage) -> None:
    """Where no finger points there is no keypad."""
    browser_page.goto(make_practice_page(["q-bund"], []))
    assert browser_page.locator(".wy-keypad").count() == 0


def test_an_assessment_names_what_it_did_not_understand(phone: Page, make_practice_page: MakePage) -> None:
    """Which answer and which unit: the question by its beginning, a way to it, and the same in what is scored."""
    phone.goto(make_practice_page([], ["q-bund", "q-run-on"]))
    open_all(phone)
    phone.locator(".wy-number input").fill("5 x")
    phone.get_by_role("button", name="Score my answers").click()
    status = phone.locator(".wy-assessment-foot .wy-status")
    expect(status).to_contain_text("I do not know the unit “x”")
    expect(status.locator("li")).to_have_count(2)
    status.locator(".wy-link").first.click()
    assert is_in_view(phone.locator(".wy-ask").first)
    phone.get_by_role("button", name="Score it anyway").click()
    expect(phone.locator(".wy-table")).to_contain_text("Your answer was not understood")
