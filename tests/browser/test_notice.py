"""The sheet of a notice in Chromium from file://: an answer is an id and a tick, saved as the office enters it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, Page, expect
from yard_company import COMPANY

from warmyard.certify.acts.notice import AcknowledgementFile
from warmyard.cli.fact_file import read_fact
from warmyard.page.notice_sheet import NoticeFacts, notice_sheet
from warmyard.words import load_words

pytestmark = pytest.mark.browser

FACTS = NoticeFacts(notice="n-abcdefghij", kind="lesson", title="Fuel <b>& oil</b>", until="2027-04-01")


@pytest.fixture
def sheet(tmp_path: Path, workspace_root: Path) -> str:
    """Give the address of a sheet."""
    words = load_words(workspace_root / "course" / "words.yaml", workspace_root, [])
    path = tmp_path / "notice.html"
    path.write_text(notice_sheet(FACTS, COMPANY, words), "utf-8")
    return path.as_uri()


def test_an_answer_is_saved_as_the_office_enters_it(browser_page: Page, sheet: str, tmp_path: Path) -> None:
    """Without id or tick it says what is missing; with both it saves a file that `enter acknowledgement` takes."""
    browser_page.goto(sheet)
    expect(browser_page.locator("main")).to_contain_text("“Fuel <b>& oil</b>” has changed")
    save = browser_page.get_by_role("button", name="Save my answer")
    save.click()
    expect(browser_page.get_by_role("status")).to_contain_text("Write your id")
    browser_page.get_by_label("Your id in the record").fill(" Asta ")
    save.click()
    expect(browser_page.get_by_role("status")).to_contain_text("Tick the line")
    browser_page.get_by_label("I have read it again").check()
    with browser_page.expect_download() as waiting:
        save.press("Enter")
    path = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(path)
    assert path.name == "n-abcdefghij.asta.json"
    answer = read_fact(path.read_bytes(), path.name, AcknowledgementFile)
    assert answer == AcknowledgementFile(person="asta", notice="n-abcdefghij", on=date.today().isoformat())


def test_with_scripts_blocked_it_says_how_to_answer_on_paper(chromium: Browser, sheet: str) -> None:
    """Nobody is stuck: id, day and signature on the printed sheet do too."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(sheet)
    said = page.locator("main").inner_text()
    context.close()
    assert "To answer on paper" in said
    assert "Answer by 2027-04-01" in said


def test_it_fits_a_phone_and_has_no_barrier(browser_page: Page, sheet: str) -> None:
    """No sideways scroll at 390 px, and nothing that the accessibility rules name."""
    browser_page.set_viewport_size({"width": 390, "height": 800})
    browser_page.goto(sheet)
    assert browser_page.evaluate("document.documentElement.scrollWidth") == 390
    assert barriers_on(browser_page) == []
