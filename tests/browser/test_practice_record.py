"""The record of an assessment: scored offline, saved, loaded elsewhere, printed; it is practice and says so."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

MakePage = Callable[[list[str], list[str]], str]
ITEMS = ["q-run-on", "q-bund", "q-alarm"]


def answer(page: Page, *, number: str | None = None, alarm: bool = True) -> None:
    """Answer the three questions of the assessment; the alarm rightly or not."""
    for name in ("q-run-on", "q-alarm"):
        box = page.locator(f'wy-item[item="{name}"]')
        right = page.evaluate(f"WY.variants('{name}')[0].key.right[0]")
        chosen = box.locator(f'input[value="{right}"]')
        (chosen if alarm or name != "q-alarm" else box.locator(f'input:not([value="{right}"])').first).check()
    box = page.locator('wy-item[item="q-bund"]')
    ask = " ".join(box.locator(".wy-ask").inner_text().split())
    shown = page.evaluate(
        "ask => WY.variants('q-bund').find(v => v.question.ask.replace(/\\s+/g, ' ') === ask).key.shown", ask
    )
    box.locator("input").fill(shown if number is None else number)


def score(page: Page) -> str:
    """Press the score button and return the line of the result."""
    page.get_by_role("button", name="Score my answers").click()
    return page.locator(".wy-score").inner_text()


def test_an_assessment_is_scored_offline_and_says_that_it_proves_nothing(
    chromium: Browser, make_practice_page: MakePage
) -> None:
    """With the network switched off, three right answers give 100 %, one reason each, and the honest sentence."""
    context = chromium.new_context(offline=True)
    page = context.new_page()
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url.split(":")[0]))
    page.goto(make_practice_page([], ITEMS))
    assert "It proves nothing about you" in page.locator("wy-assessment").inner_text()
    answer(page)
    assert score(page).startswith("100 % on 20")
    assert page.locator(".wy-table tbody tr").count() == 3
    assert page.evaluate("document.activeElement.className") == "wy-score"
    assert set(requests) <= {"file", "data", "blob"}
    context.close()


def test_a_missing_answer_is_pointed_out_before_it_counts(browser_page: Page, make_practice_page: MakePage) -> None:
    """Scored with a blank: it is named, one key leads to it; scored again, it counts as not answered."""
    page = browser_page
    page.goto(make_practice_page([], ITEMS))
    answer(page, number="")
    page.get_by_role("button", name="Score my answers").click()
    assert (
        "Without an answer that can be marked: 1" in page.locator(".wy-assessment-foot .wy-status").first.inner_text()
    )
    page.keyboard.press("Enter")
    assert page.locator('wy-item[item="q-bund"] input').evaluate("node => node === document.activeElement")
    assert page.locator(".wy-score").count() == 0
    page.get_by_role("button", name="Score it anyway").click()
    assert page.locator(".wy-score").inner_text().startswith("67 %")
    assert "Not answered." in page.locator(".wy-table").inner_text()


def test_a_wrong_critical_answer_is_never_made_up_for(browser_page: Page, make_practice_page: MakePage) -> None:
    """Two of three right with the critical one wrong: the result says so beside the share."""
    page = browser_page
    page.goto(make_practice_page([], ITEMS))
    answer(page, alarm=False)
    assert score(page).startswith("67 %")
    assert "Critical questions not right: 1" in page.locator(".wy-result-box").inner_text()


def test_the_record_is_saved_loaded_on_another_device_and_printed(
    browser_page: Page, chromium: Browser, make_practice_page: MakePage, tmp_path: Path
) -> None:
    """The file of one browser is loaded in another one that has no record; the result stands there and prints."""
    page = browser_page
    address = make_practice_page([], ITEMS)
    page.goto(address)
    answer(page)
    line = score(page)
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save my record to a file").click()
    file = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(file)
    saved = json.loads(file.read_text(encoding="utf-8"))
    assert file.name.startswith("practice-record-20")
    assert [one["id"] for one in saved["assessments"]] == ["L08"]
    other = chromium.new_context()
    fresh = other.new_page()
    fresh.goto(address)
    assert fresh.evaluate("WY.record.load().assessments") == []
    answer(fresh, number="")
    fresh.get_by_role("button", name="Score my answers").click()
    fresh.get_by_role("button", name="Score it anyway").click()
    fresh.get_by_label("Load a saved record").set_input_files(file)
    fresh.get_by_text("Scored sets in the file: 1").wait_for()
    assert line in fresh.locator("wy-record").inner_text()
    fresh.evaluate(
        "void (window.print = () => { window.printed = document.querySelector('.wy-print-sheet').innerText; })"
    )
    fresh.emulate_media(media="print")
    fresh.locator(".wy-records button").last.evaluate("node => node.click()")
    printed = fresh.evaluate("window.printed")
    assert line in printed
    assert "It proves nothing about you" in printed
    shown = fresh.evaluate("[...document.body.children].filter(n => n.checkVisibility()).map(n => n.className)")
    assert shown == ["wy-print-sheet"]
    fresh.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert fresh.locator(".wy-print-sheet").count() == 0
    other.close()


def test_a_file_that_is_no_record_is_refused_in_words(
    browser_page: Page, make_practice_page: MakePage, tmp_path: Path
) -> None:
    """Another file is named as what it is not, and the record here stays as it was."""
    page = browser_page
    page.goto(make_practice_page([], ITEMS))
    answer(page)
    score(page)
    before = page.evaluate("JSON.stringify(WY.record.load())")
    file = tmp_path / "other.json"
    file.write_text('{"format": "something"}', encoding="utf-8")
    page.get_by_label("Load a saved record").set_input_files(file)
    page.get_by_text("That file is no practice record").wait_for()
    assert page.evaluate("JSON.stringify(WY.record.load())") == before


def test_a_hostile_record_shows_as_text(browser_page: Page, make_practice_page: MakePage, tmp_path: Path) -> None:
    """Markup in the title of a loaded record is shown as it is written and runs nothing."""
    page = browser_page
    page.goto(make_practice_page([], ITEMS))
    answer(page)
    score(page)
    record = page.evaluate("WY.record.load()")
    record["assessments"][0]["title"] = "<img src=x onerror='window.ran = 1'>"
    record["assessments"][0]["at"] = "2020-01-01T00:00:00Z"
    file = tmp_path / "record.json"
    file.write_text(json.dumps(record), encoding="utf-8")
    page.get_by_label("Load a saved record").set_input_files(file)
    page.get_by_text("Scored sets in the file: 1").wait_for()
    assert "<img src=x" in page.locator("wy-record").inner_text()
    assert page.locator("wy-record img").count() == 0
    assert page.evaluate("window.ran") is None


def test_records_of_two_sites_do_not_mix(browser_page: Page, make_practice_page: MakePage) -> None:
    """The storage of file:// is shared: another site's id keeps another record under the same browser."""
    page = browser_page
    page.goto(make_practice_page([], ITEMS))
    answer(page)
    score(page)
    assert page.evaluate("WY.record.load().assessments.length") == 1
    page.evaluate("WY.site = {id: 'other-yard', version: '1'}")
    assert page.evaluate("WY.record.load().assessments.length") == 0
