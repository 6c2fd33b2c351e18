"""What the reader finds on a machine: judged against its sheet, kept with its photograph, one machine at a time."""

from __future__ import annotations

import base64
from collections.abc import Iterator
from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, Locator, Page, ViewportSize, expect

pytestmark = pytest.mark.browser
PHONE: ViewportSize = {"width": 390, "height": 844}
RED_DOT = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAUAAAAFCAYAAACNbyblAAAAHElEQVQI12P4//8/w38GIAXDIBKE0DHxgljNBAAO9TXL0Y4OHwAAAABJRU5ErkJggg=="
)
"""A picture of five by five points."""


@pytest.fixture
def page(site: Path, chromium: Browser) -> Iterator[Page]:
    """Give the lesson of the small yard on a telephone, with an empty storage."""
    context = chromium.new_context(viewport=PHONE)
    opened = context.new_page()
    opened.goto((site / "staff/L08-filter.html").as_uri())
    yield opened
    context.close()


def row(page: Page) -> Locator:
    """Return the row of the tank."""
    return page.locator(".wy-find").first


def said(page: Page, value: str) -> str:
    """Write a value into the row of the tank, and return what the page says of it."""
    row(page).locator("input[type=text]").fill(value)
    row(page).locator("input[type=text]").press("Tab")
    return row(page).locator("[data-wy-find-says]").inner_text()


def test_a_value_is_held_against_the_sheet_of_the_machine(page: Page) -> None:
    """What fits is said to fit, what differs is shown beside the sheet, and another machine judges anew."""
    assert "fits the data sheet of Hare 45" in said(page, "65")
    assert "the data sheet of Hare 45 says 65 L" in said(page, "105 L")
    page.get_by_label("Which machine").select_option("Stoat 60")
    assert "fits the data sheet of Stoat 60" in said(page, "0.105 m3")


def test_a_value_that_no_heater_has_is_refused(page: Page) -> None:
    """A slip of the unit is named with what can be; what is no number is told in the marker's words."""
    assert said(page, "65 m3").startswith("65000 L cannot be right: a heater of this kind has 5 to 3000 L.")
    said(page, "a lot")
    assert row(page).locator("input[type=text]").get_attribute("aria-invalid") == "true"


def test_a_machine_without_a_sheet_is_only_noted(page: Page) -> None:
    """A machine that is not in the list has nothing to compare with, and the page says so."""
    page.get_by_label("Which machine").select_option("A machine that is not in this list")
    assert said(page, "80") == "Noted: 80 L. There is no data sheet here to compare it with."


def test_each_machine_keeps_its_own_values(page: Page) -> None:
    """What was written for one machine does not stand at another, and is there again when the page is opened."""
    said(page, "65")
    page.get_by_label("Which machine").select_option("Stoat 60")
    said(page, "104")
    page.reload()
    expect(page.get_by_label("Which machine")).to_have_value("stoat")
    assert row(page).locator("input[type=text]").input_value() == "104"
    page.get_by_label("Which machine").select_option("Hare 45")
    assert row(page).locator("input[type=text]").input_value() == "65"
    own = page.evaluate("JSON.parse(WY.recordFormat.fileText(WY.record.load())).own")
    assert {machine: [one["value"] for one in fields.values()] for machine, fields in own.items()} == {
        "hare": ["65"],
        "stoat": ["104"],
    }


def test_a_photograph_stays_on_the_device_until_it_is_removed(page: Page) -> None:
    """A picture taken for a value is shown, is there after a reload, and goes when its button is pressed."""
    row(page).locator("input[type=file]").set_input_files(
        {"name": "plate.png", "mimeType": "image/png", "buffer": RED_DOT}
    )
    expect(row(page).locator("img")).to_be_visible()
    page.reload()
    expect(row(page).locator("img")).to_be_visible()
    row(page).get_by_role("button", name="Remove the photograph").click()
    expect(row(page).locator("img")).to_have_count(0)
    page.reload()
    expect(row(page).get_by_role("button", name="Take a photograph")).to_be_visible()
    expect(row(page).locator("img")).to_have_count(0)


def test_a_wide_photograph_stays_in_its_box(page: Page) -> None:
    """A picture far wider than the screen is shown no wider than its row, and the page does not scroll sideways."""
    picture = page.evaluate(
        """() => { const canvas = document.createElement('canvas'); canvas.width = 1600; canvas.height = 500;
        return canvas.toDataURL('image/png').split(',')[1]; }"""
    )
    row(page).locator("input[type=file]").set_input_files(
        {"name": "plate.png", "mimeType": "image/png", "buffer": base64.b64decode(picture)}
    )
    shown, box = row(page).locator("img"), row(page)
    expect(shown).to_be_visible()
    shown.evaluate("image => image.decode()")
    inner, outer = shown.bounding_box(), box.bounding_box()
    assert inner is not None
    assert outer is not None
    assert outer["width"] / 2 < inner["width"] <= outer["width"]
    assert inner["x"] + inner["width"] <= outer["x"] + outer["width"]
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_a_file_that_is_no_picture_is_told_and_loses_nothing(page: Page) -> None:
    """Where a file cannot be read as a picture the page says what to do, and the value stays."""
    said(page, "65")
    row(page).locator("input[type=file]").set_input_files(
        {"name": "plate.png", "mimeType": "image/png", "buffer": b"no picture"}
    )
    expect(row(page).get_by_text("keep the picture in your own album")).to_be_visible()
    assert row(page).locator("input[type=text]").input_value() == "65"


def test_the_rows_hold_no_barrier(page: Page) -> None:
    """With a value that differs and a photograph nothing bars a reader."""
    said(page, "105")
    assert barriers_on(page) == []


def test_on_a_telephone_one_machine_stands_at_a_time(site: Path, page: Page) -> None:
    """The sheet of the first machine fills the screen; another is chosen, or named by the address."""
    page.goto((site / "staff/machines.html").as_uri())
    table = page.locator(".wy-sheets")
    heads = table.locator("thead th:visible")
    assert heads.all_inner_texts()[1:] == ["Hare 45"]
    page.get_by_label("Machine", exact=True).select_option("Stoat 60")
    assert heads.all_inner_texts()[1:] == ["Stoat 60"]
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    box = page.locator(".wy-scroll:has(> .wy-sheets)")
    assert box.evaluate("box => box.scrollHeight <= box.clientHeight + 1")
    page.set_viewport_size({"width": 390, "height": 200})
    page.get_by_label("Machine", exact=True).select_option("All machines")
    expect(box).to_have_attribute("tabindex", "0")
    assert box.evaluate("box => box.clientHeight < innerHeight")
    page.set_viewport_size({"width": 390, "height": 844})
    page.get_by_label("Machine", exact=True).select_option("Stoat 60")
    page.emulate_media(media="print")
    expect(heads).to_have_count(3)
    expect(page.get_by_label("Machine", exact=True)).to_be_hidden()
    page.emulate_media(media="screen")
    page.goto((site / "staff/machines.html").as_uri() + "#machine-hare")
    assert heads.all_inner_texts()[1:] == ["Hare 45"]
    page.set_viewport_size({"width": 1280, "height": 900})
    expect(heads).to_have_count(3)
