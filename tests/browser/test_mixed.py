"""Mixed practice and the mock paper from file:// in Chromium, and a record that is older than the course."""

from __future__ import annotations

import json
import re
import shutil
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from unittest.mock import ANY

import pytest
from barriers import barriers_on
from playwright.sync_api import Dialog, Page, expect

from warmyard.course.workspace import read_workspace
from warmyard.web.build import build_edition
from warmyard.web.packs import PLAN

pytestmark = pytest.mark.browser
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
KEY = "wy:small-yard-hire-staff:1:record"
WEEK_AGO = str(date.today() - timedelta(days=7))
OLD: dict[str, Any] = {
    "format": "wy-practice-record-1",
    "written_by": "an older course",
    "skills": {
        "gone-skill": {"missed": WEEK_AGO, "days": []},
        "clean-filter": {"missed": WEEK_AGO, "days": [WEEK_AGO], "ease": 2.5},
    },
    "assessments": [
        {
            "id": "lesson-that-is-gone",
            "title": "An old lesson",
            "on": WEEK_AGO,
            "at": f"{WEEK_AGO}T10:00:00Z",
            "share": 0.5,
            "mood": {"tired": True},
            "items": [
                {"item": "item-that-is-gone", "seed": 2, "share": 0.5, "right": False, "ask": "Old?", "reason": ""}
            ],
        }
    ],
}


@pytest.fixture(scope="module")
def staff(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the staff edition of the small yard, with the words that readers see."""
    yard = shutil.copytree(SMALL_YARD, tmp_path_factory.mktemp("mixed") / "yard")
    shutil.copy(SMALL_YARD.parents[1] / "course" / "words.yaml", yard / "course" / "words.yaml")
    folder = yard.parent / "staff"
    build_edition(read_workspace(yard), "staff", folder)
    return folder


def kept(page: Page) -> dict[str, Any]:
    """Return the record as a file would hold it."""
    found: dict[str, Any] = json.loads(page.evaluate("WY.recordFormat.fileText(WY.record.load())"))
    return found


def name_of_due_skill() -> str:
    """Return a skill that practice items of the small yard ask."""
    return next(item.skill for item in read_workspace(SMALL_YARD).items.values() if item.use == "practice")


def test_mixed_practice_runs_with_the_keyboard_alone(staff: Path, browser_page: Page) -> None:
    """Due first; the answer given up with the keyboard counts as missed; Next brings a problem and the focus to it."""
    page = browser_page
    skill = name_of_due_skill()
    due = {"format": OLD["format"], "skills": {skill: {"missed": WEEK_AGO, "days": []}}, "assessments": []}
    page.goto((staff / "practice.html").as_uri())
    page.evaluate(f"localStorage.setItem('{KEY}', JSON.stringify({json.dumps(due)}))")
    page.reload()
    expect(page.locator(".wy-mixed__about")).to_contain_text("Comes back today")
    page.get_by_role("button", name="Show me the answer").focus()
    page.keyboard.press("Enter")
    assert [(row[0], row[5]) for row in kept(page)["answers"] if row[3] == skill][1:] == [(str(date.today()), 0)]
    expect(page.locator(".wy-mixed__state")).to_contain_text("Answered in this sitting: 1")
    for _ in range(3):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == "Next problem":
            break
    expect(page.get_by_role("button", name="Next problem")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(".wy-mixed__about")).to_contain_text("In turn")
    assert page.evaluate("document.activeElement.closest('wy-item') !== null")


def test_the_pages_have_no_fault_that_axe_knows_and_fit_a_phone(staff: Path, browser_page: Page) -> None:
    """Both pages pass axe, with a question open, and do not scroll sideways at 390 px."""
    page = browser_page
    page.set_viewport_size({"width": 390, "height": 844})
    for name in ("practice", "mock-paper"):
        page.goto((staff / f"{name}.html").as_uri())
        if name == "mock-paper":
            page.get_by_role("button", name="Draw a paper").click()
        expect(page.locator(".wy-ask").first).to_be_visible()
        assert barriers_on(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_a_mock_paper_is_timed_marked_and_kept(staff: Path, browser_page: Page) -> None:
    """When the time is up the paper is handed in; part, critical set and cut are said, and the record keeps them."""
    page = browser_page
    page.clock.install()
    page.goto((staff / "mock-paper.html").as_uri())
    expect(page.locator("main")).to_contain_text("proves nothing")
    page.get_by_role("button", name="Draw a paper").click()
    expect(page.locator(".wy-mock__time")).to_contain_text("30 min")
    page.clock.fast_forward("31:00")
    result = page.locator(".wy-result-box")
    expect(result).to_contain_text("70 % is needed: you did not reach it.")
    expect(result).to_contain_text("This level has other parts too: Stations.")
    record = kept(page)
    assert [one["id"] for one in record["assessments"]] == ["mock-2-paper-2"]
    assert "70 % is needed" in record["assessments"][0]["note"]
    page.reload()
    assert kept(page) == record


def test_a_mock_paper_in_progress_outlives_a_reload(staff: Path, browser_page: Page) -> None:
    """Answers and time are kept without a question; the paper is offered again, and once handed in no more."""
    page = browser_page
    page.clock.install()
    page.goto((staff / "mock-paper.html").as_uri())
    page.get_by_role("button", name="Draw a paper").click()
    typed = page.locator(".wy-mock__list input[type=text]").first
    typed.fill("12")
    typed.blur()
    asked = page.locator(".wy-mock__list .wy-ask").all_inner_texts()
    page.clock.fast_forward("10:00")
    page.reload()
    expect(page.locator(".wy-mock__kept")).to_contain_text("20 minutes are left")
    page.get_by_role("button", name="Go on with it").click()
    assert page.locator(".wy-mock__list .wy-ask").all_inner_texts() == asked
    expect(page.locator(".wy-mock__list input[type=text]").first).to_have_value("12")
    expect(page.locator(".wy-mock__time")).to_contain_text("20 min")
    for _ in range(2):
        page.get_by_role("button", name="Hand in").click()
    expect(page.locator(".wy-score")).to_be_visible()
    page.reload()
    expect(page.get_by_role("button", name="Draw a paper").first).to_be_visible()
    expect(page.locator(".wy-mock__kept")).to_have_count(0)


def test_each_start_button_is_named_with_its_paper(staff: Path, browser_page: Page) -> None:
    """No two buttons of the page share a name, and each begins with the words that are seen on it."""
    page = browser_page
    page.goto((staff / "mock-paper.html").as_uri())
    buttons = page.locator(".wy-mock__paper button")
    expect(buttons.first).to_be_visible()
    names = [one.get_attribute("aria-label") or "" for one in buttons.all()]
    titles = page.locator(".wy-mock__paper h3").all_inner_texts()
    assert len(set(names)) == len(names)
    for name, seen, title in zip(names, buttons.all_inner_texts(), titles, strict=True):
        assert name == f"{seen}: {title}"


def test_a_running_mock_paper_is_alone_and_names_what_is_open(staff: Path, browser_page: Page) -> None:
    """No second paper starts, leaving is asked about where it cannot be kept, and what is open is named."""
    page = browser_page
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.on("dialog", stay)
    page.goto((staff / "mock-paper.html").as_uri())
    start = page.get_by_role("button", name="Draw a paper")
    starts = start.count()
    start.first.click()
    expect(page.locator(".wy-mock__time")).to_contain_text("min")
    expect(start.and_(page.locator(":visible"))).to_have_count(0)
    typed = page.locator(".wy-mock__list input[type=text]").first
    typed.fill("twelve")
    typed.blur()
    expect(page.locator(".wy-mock__list .wy-mark")).to_contain_text("not a number that can be read")
    page.get_by_role("button", name="Hand in").click()
    link = page.locator(".wy-mock .wy-status .wy-link").first
    expect(link).to_contain_text("Question 1 of")
    link.click()
    expect(page.locator(".wy-mock__list :focus")).to_have_count(1)
    page.evaluate("WY.store.set = () => false")
    page.evaluate("location.href = 'index.html'")
    page.wait_for_timeout(300)
    assert asked == ["beforeunload"]
    page.get_by_role("button", name="Hand in anyway").click()
    expect(start.and_(page.locator(":visible"))).to_have_count(starts - 1)


def test_a_cell_that_practice_cannot_fill_is_said(staff: Path, browser_page: Page, tmp_path: Path) -> None:
    """A scheme that wants more than the bank has: the page names the cell, and the outcome says that it was shorter."""
    site = Path(shutil.copytree(staff, tmp_path / "staff"))
    plan = site / PLAN
    plan.write_text(plan.read_text(encoding="utf-8").replace('"count":2', '"count":99'), encoding="utf-8")
    page = browser_page
    page.goto((site / "mock-paper.html").as_uri())
    expect(page.locator(".wy-mock")).to_contain_text("99 wanted")
    page.get_by_role("button", name="Draw a paper").click()
    for _ in range(2):
        page.get_by_role("button", name="Hand in").click()
    expect(page.locator(".wy-result-box")).to_contain_text("shorter than the real one")


def test_a_record_older_than_the_course_is_kept_whole(staff: Path, browser_page: Page) -> None:
    """Lessons, items and fields that the course no longer knows stay; pages work on; a new score joins them."""
    page = browser_page
    page.goto((staff / "index.html").as_uri())
    page.evaluate(f"localStorage.setItem('{KEY}', JSON.stringify({json.dumps(OLD)}))")
    page.reload()
    expect(page.locator("wy-record")).to_contain_text("An old lesson")
    page.goto((staff / "practice.html").as_uri())
    page.get_by_role("button", name="Show me the answer").click()
    record = kept(page)
    assert record["written_by"] == OLD["written_by"]
    assert [row[:6] for row in record["answers"] if row[3] == "gone-skill"] == [
        [WEEK_AGO, ANY, "", "gone-skill", "", 0]
    ]
    assert record["skills"] == {"clean-filter": {"ease": 2.5}}
    old, new = OLD["assessments"][0], record["assessments"][0]
    assert {**new, "items": [{**new["items"][0]}]} == {**old, "items": [{**old["items"][0], "critical": False}]}


def test_a_site_that_keeps_otherwise_finds_what_an_older_one_kept(staff: Path, browser_page: Page) -> None:
    """A higher version of the storage reads the older one's record, and writes under its own key."""
    page = browser_page
    page.goto((staff / "index.html").as_uri())
    page.evaluate(f"localStorage.setItem('{KEY}', JSON.stringify({json.dumps(OLD)}))")
    page.evaluate("WY.site.version = '3'")
    assert page.evaluate("WY.record.load().assessments.length") == 1
    page.evaluate("WY.record.keep(WY.record.load())")
    newer = page.evaluate(f"localStorage.getItem('{KEY.replace(':1:', ':3:')}')")
    assert json.loads(newer)["written_by"] == OLD["written_by"]
    assert json.loads(page.evaluate(f"localStorage.getItem('{KEY}')")) == OLD


def test_a_lesson_opens_with_questions_from_earlier_ones(
    workspace_root: Path, browser_page: Page, tmp_path: Path
) -> None:
    """Only the second lesson asks; Ask me brings questions of the first one's skills, and the keyboard goes to them."""
    yard = Path(shutil.copytree(SMALL_YARD, tmp_path / "yard"))
    shutil.copy(workspace_root / "course" / "words.yaml", yard / "course" / "words.yaml")
    lesson = (yard / "course" / "lessons" / "staff" / "L08-filter.md").read_text(encoding="utf-8")
    second = re.sub(r"(?m)^id: .*$", "id: L09", lesson, count=1).split("\n```", 1)[0]
    (yard / "course" / "lessons" / "staff" / "L09-again.md").write_text(second, encoding="utf-8")
    build_edition(read_workspace(yard), "staff", tmp_path / "staff")
    page = browser_page
    page.goto((tmp_path / "staff" / "L08-filter.html").as_uri())
    assert page.locator("[data-wy-retrieval]").count() == 0
    page.goto((tmp_path / "staff" / "L09-again.html").as_uri())
    page.locator("[data-wy-retrieval]").get_by_role("button", name="Ask me").press("Enter")
    expect(page.locator("[data-wy-retrieval] wy-item")).to_have_count(3)
    assert page.evaluate("document.activeElement.closest('[data-wy-retrieval] wy-item') !== null")


def test_a_session_ends_after_ten_with_what_was_gained(staff: Path, browser_page: Page) -> None:
    """Ten given up: the end counts them, names what comes back, and leads to what to do now; ten more may follow."""
    page = browser_page
    page.goto((staff / "practice.html").as_uri())
    for _ in range(10):
        page.get_by_role("button", name="Show me the answer").click()
        page.locator("[data-wy-mixed] > .wy-actions button").click()
    expect(page.locator(".wy-mixed__place h2")).to_have_text("0 of 10 right")
    expect(page.locator(".wy-mixed__place")).to_contain_text("Comes back tomorrow:")
    expect(page.get_by_role("link", name="What to do now")).to_have_attribute("href", "index.html")
    page.get_by_role("button", name="Ten more").click()
    expect(page.locator(".wy-ask").first).to_be_visible()


def test_practice_begins_with_the_problem_that_the_address_names(staff: Path, browser_page: Page) -> None:
    """The sum of the start page is the first problem; what follows is mixed."""
    browser_page.goto((staff / "practice.html").as_uri() + "#ask-q-bund")
    expect(browser_page.locator("wy-item")).to_have_attribute("item", "q-bund")


def test_nothing_is_not_due_while_something_critical_is_to_be_learnt_again(staff: Path, browser_page: Page) -> None:
    """After a critical miss of today no page says that nothing is due; right again, it does."""
    page = browser_page
    page.goto((staff / "practice.html").as_uri())
    answer = {"item": "q-alarm", "skill": "get-people-out", "tries": 1}
    for right, says in ((False, "Critical problems to learn again first: 1."), (True, "Nothing is due today.")):
        count = 0 if right else 1
        page.evaluate(f"WY.record.answered({json.dumps({**answer, 'right': right})})")
        expect(page.locator(".wy-mixed__state")).to_have_text(says)
        page.goto((staff / "index.html").as_uri())
        expect(page.locator("wy-record")).to_contain_text(says)
        expect(page.locator("[data-wy-kind=again]")).to_have_count(count)
        page.goto((staff / "practice.html").as_uri())
