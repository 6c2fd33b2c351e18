"""The record page in Chromium: skills go to another device as a picture or a text, and everything can be erased."""

from __future__ import annotations

import base64
import json
from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser
ANSWERS = """() => { WY.plan.items.concat(WY.plan.items).forEach((item, at) => WY.record.answered(
  {item: item.id, skill: item.skill, right: at % 3 > 0, seconds: 9, tries: 1, hints: 0})); WY.record.aim(2); }"""
STATES = """() => Object.keys(WY.plan.skills).map((skill) => {
  const found = WY.recall.ofSkill(WY.record.load(), skill, '2999-01-01');
  return [skill, found.due, found.answers, found.right];
})"""


def shown(page: Page, site: Path) -> Page:
    """Open the record page with a record, and show its picture."""
    page.goto((site / "staff" / "record.html").as_uri())
    page.evaluate(ANSWERS)
    page.get_by_role("button", name="Show the picture").click()
    expect(page.locator(".wy-move__picture img")).to_be_visible()
    return page


def test_skills_go_to_another_device_by_a_photograph(
    site: Path, browser_page: Page, chromium: Browser, tmp_path: Path
) -> None:
    """A screenshot of the picture, turned and smaller, is read there: same due days, same answers counted, same aim."""
    page = shown(browser_page, site)
    before = page.evaluate(STATES)
    picture = page.evaluate(
        """async () => { const image = document.querySelector('.wy-move__picture img'); await image.decode();
          const canvas = document.createElement('canvas'); canvas.width = 900; canvas.height = 900;
          const drawn = canvas.getContext('2d'); drawn.fillStyle = '#777'; drawn.fillRect(0, 0, 900, 900);
          drawn.translate(450, 450); drawn.rotate(0.12); drawn.drawImage(image, -330, -330, 660, 660);
          return canvas.toDataURL('image/jpeg', 0.8); }"""
    )
    file = tmp_path / "photograph.jpg"
    file.write_bytes(base64.b64decode(picture.split(",")[1]))
    other = chromium.new_context(offline=True).new_page()
    other.goto((site / "staff" / "record.html").as_uri())
    assert not other.evaluate("Boolean(WY.qrCode || WY.readQr)")
    other.get_by_label("Photograph or picture").set_input_files(file)
    expect(other.locator(".wy-move > [role=status]")).to_contain_text("Skills taken over")
    assert other.evaluate(STATES) == before
    assert other.evaluate("WY.record.load().aimed.level") == 2
    other.context.close()


def test_the_text_beside_the_picture_does_the_same(site: Path, browser_page: Page, chromium: Browser) -> None:
    """Pasted into the other page it is read; with one letter wrong it is refused in words and nothing changes."""
    page = shown(browser_page, site)
    page.get_by_text("The same as text").click()
    text = page.locator(".wy-move__text").inner_text()
    other = chromium.new_context().new_page()
    other.goto((site / "staff" / "record.html").as_uri())
    area = other.get_by_label("Or its text")
    area.fill(("A" if text[20] != "A" else "B").join([text[:20], text[21:]]))
    other.get_by_role("button", name="Read the text").click()
    expect(other.locator(".wy-move > [role=status]")).to_contain_text("check sign does not fit")
    assert other.evaluate("Object.keys(WY.record.load().states)") == []
    area.fill(text)
    other.get_by_role("button", name="Read the text").click()
    expect(other.locator(".wy-move > [role=status]")).to_contain_text("Skills taken over")
    assert other.evaluate(STATES) == page.evaluate(STATES)
    other.context.close()


def test_a_picture_without_a_code_is_said(site: Path, browser_page: Page, tmp_path: Path) -> None:
    """Another picture, and a file that is none, each get their sentence."""
    page = browser_page
    page.goto((site / "staff" / "record.html").as_uri())
    page.screenshot(path=tmp_path / "page.png")
    page.get_by_label("Photograph or picture").set_input_files(tmp_path / "page.png")
    expect(page.locator(".wy-move > [role=status]")).to_contain_text("No QR code was found")
    (tmp_path / "none.png").write_text("no picture")
    page.get_by_label("Photograph or picture").set_input_files(tmp_path / "none.png")
    expect(page.locator(".wy-move > [role=status]")).to_contain_text("no picture that this browser opens")


def test_everything_is_erased_after_it_was_saved_and_asked_once_more(
    site: Path, browser_page: Page, tmp_path: Path
) -> None:
    """The first press saves a file that holds all; No keeps all; Yes leaves nothing of this site, photographs too."""
    page = browser_page
    page.goto((site / "staff" / "record.html").as_uri())
    page.evaluate(ANSWERS)
    page.evaluate("""async () => {
      ['mock', 'find:tank', 'find:hare:tank', 'find-machine', 'survey:loss'].forEach(name => WY.store.set(name, '65'));
      localStorage.setItem('other', 'stays');
      const dot = document.createElement('canvas');
      const blob = await new Promise((done) => dot.toBlob(done));
      await WY.photographs.take('find:hare:tank', blob);
    }""")
    count = page.evaluate("WY.record.load().answers.length")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save it and erase everything").click()
    waiting.value.save_as(tmp_path / "saved.json")
    assert len(json.loads((tmp_path / "saved.json").read_text("utf-8"))["answers"]) == count
    asked = page.locator(".wy-move__asked")
    expect(asked).to_contain_text("no way back")
    beside, button = asked.bounding_box(), page.get_by_role("button", name="Yes, erase everything").bounding_box()
    assert beside is not None
    assert button is not None
    assert 0 <= button["y"] - beside["y"] - beside["height"] < 40
    page.keyboard.press("Enter")  # what is pressed twice by a slip keeps everything
    assert page.evaluate("WY.record.load().answers.length") == count
    with page.expect_download():
        page.get_by_role("button", name="Save it and erase everything").press("Enter")
    page.get_by_role("button", name="Yes, erase everything").press("Enter")
    expect(asked).to_contain_text("Everything is erased")
    expect(page.locator("wy-record")).to_contain_text("Nothing is scored yet")
    assert page.evaluate("Object.keys(localStorage)") == ["other"]
    assert page.evaluate("WY.photographs.find('find:hare:tank').then((found) => found === undefined)")
    page.reload()
    assert page.evaluate("WY.record.load().answers.length") == 0


def test_the_page_has_no_fault_that_axe_knows_and_fits_a_phone(site: Path, browser_page: Page) -> None:
    """With the picture shown it passes axe and does not scroll sideways at 390 px."""
    page = browser_page
    page.set_viewport_size({"width": 390, "height": 844})
    shown(page, site)
    assert barriers_on(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_what_was_answered_is_listed_by_day(site: Path, browser_page: Page) -> None:
    """Newest day first and folded; a day opened tells skill, outcome, tries, hints and seconds; no false "nothing"."""
    page = browser_page
    page.goto((site / "staff" / "record.html").as_uri())
    expect(page.locator("[data-wy-days]")).to_contain_text("No problem is answered yet")
    skill, title = page.evaluate("Object.entries(WY.plan.skills)[0]")
    page.evaluate(
        """(skill) => [['2026-01-05', true], ['2026-01-07', false], ['2026-01-05', false]].forEach(([day, right], at) =>
          WY.record.answered({item: 'q', skill, day, right, seconds: 9 + at, tries: 1 + at, hints: at,
            at: Date.parse(day) + at}))""",
        skill,
    )
    days = page.locator("[data-wy-days] details")
    assert days.locator("summary").all_inner_texts() == ["2026-01-07: 0 of 1 right", "2026-01-05: 1 of 2 right"]
    expect(page.locator("[data-wy-days] li:visible")).to_have_count(0)
    days.nth(1).locator("summary").click()
    expect(days.nth(1).locator("li")).to_have_count(2)
    assert [one.split("\n") for one in days.nth(1).locator("li").all_inner_texts()] == [
        [title, "Not right. Tries: 3. Hints: 2. 11 s."],
        [title, "Right. Tries: 1. Hints: 0. 9 s."],
    ]
    expect(page.locator("wy-record")).to_contain_text("Answers kept: 3.")
    page.reload()
    expect(page.locator("wy-record")).not_to_contain_text("Nothing is scored yet")
