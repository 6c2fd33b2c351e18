"""The learner's record across versions: the golden one of the first site is shown whole, a newer one is left alone."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import msgspec
import pytest
from playwright.sync_api import Page, expect

from warmyard.course.workspace import read_workspace
from warmyard.formats.practice_records import PRACTICE_RECORD
from warmyard.formats.register import bring_up
from warmyard.web.build import build_edition

pytestmark = pytest.mark.browser
TESTS = Path(__file__).resolve().parents[1]
GOLDEN = TESTS / "golden" / "learner-record-1.json"
KEY = "wy:small-yard-hire-staff:1:record"
NEWER = '{"format": "wy-practice-record-3", "cards": [{"skill": "change-the-filter", "ease": 2.5}]}'


@pytest.fixture(scope="module")
def staff(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give today's staff edition of the small yard, with the words that readers see."""
    yard = shutil.copytree(TESTS / "small_yard", tmp_path_factory.mktemp("formats") / "yard")
    shutil.copy(TESTS.parent / "course" / "words.yaml", yard / "course" / "words.yaml")
    folder = yard.parent / "staff"
    build_edition(read_workspace(yard), "staff", folder)
    return folder


def score_blank(page: Page, staff: Path) -> None:
    """Score the assessment of the lesson without an answer, which shows the record and its buttons."""
    page.goto((staff / "L08-filter.html").as_uri())
    if page.locator("wy-assessment details.wy-fold:not([open]) > summary").count():
        page.locator("wy-assessment details.wy-fold > summary").click()
    page.get_by_role("button", name="Score my answers").click()
    page.get_by_role("button", name="Score it anyway").click()


def saved(page: Page, folder: Path) -> str:
    """Return the file that the page saves as the record."""
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save my record to a file").first.click()
    waiting.value.save_as(folder / "saved.json")
    return (folder / "saved.json").read_text("utf-8")


def test_a_record_of_the_first_site_is_shown_whole_and_saved_whole(
    staff: Path, browser_page: Page, tmp_path: Path
) -> None:
    """Loaded from its file: every set with its result, every skill with its state; saved, nothing of it is missing."""
    page = browser_page
    golden: dict[str, Any] = json.loads(GOLDEN.read_text("utf-8"))
    page.goto((staff / "index.html").as_uri())
    page.get_by_label("Load a saved record").set_input_files(GOLDEN)
    expect(page.locator("wy-record")).to_contain_text("Scored sets in the file: 3")
    lines = page.locator("wy-record li").all_inner_texts()
    for one, line in zip(reversed(golden["assessments"]), lines, strict=True):
        right = sum(item["right"] for item in one["items"])
        assert line.startswith(f"{one['title']} – {round(one['share'] * 100)} % on {one['on']}: {right} of ")
    expect(page.locator("wy-record")).to_contain_text("Answers kept: 3.")
    expect(page.locator("wy-record")).to_contain_text("Skills due again today: 2")
    page.evaluate("void (window.print = () => (window.printed = document.querySelector('.wy-print-sheet').innerText))")
    page.locator("wy-record li").nth(1).get_by_role("button").click()
    mock = golden["assessments"][1]
    printed = page.evaluate("window.printed")
    for text in (mock["note"], *(part for item in mock["items"] for part in (item["ask"], item["reason"]))):
        assert text in printed
    score_blank(page, staff)
    found = json.loads(saved(page, tmp_path))
    assert found["assessments"][:-1] == golden["assessments"]
    assert found["format"] == "wy-practice-record-2"
    known = [(row[0], row[5]) for row in found["answers"] if row[3] == "get-people-out" and not row[2]]
    assert known == [("2025-11-04", 0), ("2025-11-06", 1)]


def test_what_the_first_site_kept_is_found_in_its_place(staff: Path, browser_page: Page) -> None:
    """The record in the browser's storage is read as the file is."""
    page = browser_page
    page.goto((staff / "index.html").as_uri())
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [KEY, GOLDEN.read_text("utf-8")])
    page.reload()
    expect(page.locator("wy-record li")).to_have_count(3)
    found = json.loads(page.evaluate("WY.recordFormat.fileText(WY.record.load())"))
    assert found == json.loads(msgspec.json.encode(bring_up(PRACTICE_RECORD, 1, json.loads(GOLDEN.read_text("utf-8")))))


def test_a_newer_record_is_said_in_words_and_stays_as_it_is(staff: Path, browser_page: Page, tmp_path: Path) -> None:
    """Practice, a scored set and a loaded file leave it byte for byte; saving gives it out as it is."""
    page = browser_page
    page.goto((staff / "index.html").as_uri())
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [KEY, NEWER])
    page.goto((staff / "practice.html").as_uri())
    expect(page.locator(".wy-mixed__state")).to_contain_text("was written by a newer course")
    page.get_by_role("button", name="Show me the answer").click()
    score_blank(page, staff)
    record = page.locator("wy-record").first
    expect(record).to_contain_text("nothing from this page is added to it")
    expect(record).not_to_contain_text("Nothing is scored yet")
    record.get_by_label("Load a saved record").set_input_files(GOLDEN)
    expect(record.locator("[role=status]")).to_contain_text("was written by a newer course")
    assert page.evaluate("key => localStorage.getItem(key)", KEY) == NEWER
    assert saved(page, tmp_path) == NEWER


def test_a_newer_file_is_refused_in_words(staff: Path, browser_page: Page, tmp_path: Path) -> None:
    """The record here stays, and the sentence says where to load the file."""
    page = browser_page
    (tmp_path / "newer.json").write_text(NEWER, "utf-8")
    page.goto((staff / "index.html").as_uri())
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [KEY, GOLDEN.read_text("utf-8")])
    page.reload()
    page.get_by_label("Load a saved record").set_input_files(tmp_path / "newer.json")
    expect(page.locator("wy-record [role=status]")).to_contain_text("saved by a newer course than this one")
    expect(page.locator("wy-record li")).to_have_count(3)
    assert page.evaluate("key => localStorage.getItem(key)", KEY) == GOLDEN.read_text("utf-8")


def test_a_full_storage_is_said_where_it_is_seen(staff: Path, browser_page: Page, tmp_path: Path) -> None:
    """With no room left an answer brings one notice with a button; the file that it saves holds the answer."""
    page = browser_page
    page.goto((staff / "practice.html").as_uri())
    page.evaluate(
        """() => { for (let size = 4e6; size >= 1; size = Math.floor(size / 2)) {
          for (let n = 0; n < 3; n += 1) {
            try { localStorage.setItem('full' + size + '-' + n, 'x'.repeat(size)); } catch (full) { break; } } } }"""
    )
    for _ in range(2):
        page.evaluate("WY.record.answered({item: 'q', skill: 's', right: true})")
    expect(page.locator("#wy-record-full")).to_have_count(1)
    expect(page.locator("#wy-record-full")).to_contain_text("no room left for your record")
    assert len(json.loads(saved(page, tmp_path))["answers"]) == 2
