"""The observer's form in Chromium from file://: nothing is saved half done, and what is saved is read and judged."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, Page
from yard_company import COMPANY

from warmyard.certify.exam.observation import ObservationForm, StationOutcome, judge, read_observation, station_digest
from warmyard.course.model import Station, StationPoint
from warmyard.page.observation_form import FormFacts, observation_form
from warmyard.words import load_words

pytestmark = pytest.mark.browser

STATION = Station(
    id="filter-change", title="Change the filter", minutes=20, levels=(2,), setting="Outdoors, cold, <unplugged>.",
    cut_percent=50, skills=("change-the-filter",),
    points=(
        StationPoint(id="cold", look="Waits until it is cold", critical=True),
        StationPoint(id="bag", look="Bags the old element"),
        StationPoint(id="log", look="Writes it down"),
    ),
)  # fmt: skip


@pytest.fixture
def form(chromium: Browser, tmp_path: Path, workspace_root: Path) -> Iterator[Page]:
    """Give the form opened from its file at tablet size."""
    words = load_words(workspace_root / "course" / "words.yaml", workspace_root, [])
    facts = FormFacts(
        format="warmyard-observation-1", form="form-abc", person="ann", level=2, level_name="Installer-operator",
        station=STATION, points_digest=station_digest(STATION),
    )  # fmt: skip
    file = tmp_path / "form.html"
    file.write_text(observation_form(facts, COMPANY, words), encoding="utf-8")
    context = chromium.new_context(viewport={"width": 820, "height": 1180}, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.on("pageerror", lambda problem: pytest.fail(str(problem)))
    page.on(
        "request", lambda asked: None if asked.url.startswith(("file:", "data:", "blob:")) else pytest.fail(asked.url)
    )
    page.goto(file.as_uri())
    yield page
    context.close()


def set_mark(page: Page, point: str, label: str) -> None:
    """Mark one point with the keyboard."""
    page.locator(f"#point-{point}").get_by_label(label, exact=True).focus()
    page.keyboard.press("Space")


def sign(page: Page) -> None:
    """Fill in who observed."""
    page.fill("input[name=name]", "Eve Example")
    page.fill("input[name=person]", "eve")
    page.fill("input[name=minutes]", "18")


def save(page: Page, folder: Path) -> tuple[ObservationForm, StationOutcome]:
    """Sign and save; return the form as the office reads it with its code, and its outcome."""
    with page.expect_download() as download:
        page.get_by_role("button", name="Sign and save").click()
    file = folder / download.value.suggested_filename
    download.value.save_as(file)
    code = page.inner_text(".wy-code")
    found = read_observation(file.read_bytes(), code)
    assert json.loads(file.read_bytes())["form"] == "form-abc"
    return found, judge(found, STATION)


def test_a_form_is_filled_saved_and_judged(form: Page, tmp_path: Path) -> None:
    """All points marked by keyboard with a note: what the office reads is what was marked."""
    set_mark(form, "cold", "Pass")
    set_mark(form, "bag", "Not seen")
    set_mark(form, "log", "Pass")
    form.locator("#point-bag").get_by_label("Note").fill("a guest stood in the way")
    sign(form)
    found, outcome = save(form, tmp_path)
    assert [(point.id, point.mark, point.note) for point in found.points] == [
        ("cold", "pass", ""), ("bag", "not-seen", "a guest stood in the way"), ("log", "pass", ""),
    ]  # fmt: skip
    assert (found.observer.person, found.minutes, found.role, outcome.passed) == ("eve", 18, "first", True)


def test_what_is_missing_is_named_and_reached(form: Page) -> None:
    """Saving a form that is not finished says what is missing and puts the focus there, one thing after another."""
    save_button = form.get_by_role("button", name="Sign and save")
    save_button.click()
    assert "Waits until it is cold" in form.inner_text(".wy-status")
    assert form.evaluate("document.activeElement.closest('fieldset').id") == "point-cold"
    for point in ("cold", "bag", "log"):
        set_mark(form, point, "Pass")
    for name, value, said in (
        ("name", "Eve", "name"),
        ("person", "Eve E", "person id"),
        ("person", "eve", "person id"),
    ):
        save_button.click()
        assert said in form.inner_text(".wy-status")
        form.fill(f"input[name={name}]", value)
        assert form.inner_text(".wy-status") == ""
    form.fill("input[name=minutes]", "soon")
    save_button.click()
    assert "whole number" in form.inner_text(".wy-status")


def test_a_stop_is_recorded_and_can_be_taken_back(form: Page, tmp_path: Path) -> None:
    """Stopping wants a reason and is never a pass; pressed by mistake it leaves no trace."""
    for point in ("cold", "bag", "log"):
        set_mark(form, point, "Pass")
    sign(form)
    form.get_by_role("button", name="I stopped the work at once").click()
    form.get_by_role("button", name="Sign and save").click()
    assert "why" in form.inner_text(".wy-status")
    form.get_by_label("What was about to happen").fill("The filler was opened hot.")
    found, outcome = save(form, tmp_path)
    assert (found.stopped, outcome.passed) == ("The filler was opened hot.", False)
    form.get_by_role("button", name="Back to the form").click()
    form.get_by_role("button", name="Pressed by mistake").click()
    found, outcome = save(form, tmp_path)
    assert (found.stopped, outcome.passed) == (None, True)


def test_a_flat_battery_loses_nothing(form: Page) -> None:
    """Marks, notes and a stop are there again when the same form is opened again on the same tablet."""
    set_mark(form, "cold", "Fail")
    form.locator("#point-cold").get_by_label("Note").fill("opened it warm")
    form.get_by_role("button", name="I stopped the work at once").click()
    form.reload()
    assert form.locator("#point-cold").get_by_label("Fail", exact=True).is_checked()
    assert form.locator("#point-cold").get_by_label("Note").input_value() == "opened it warm"
    assert "Stopped by the observer" in form.inner_text("main")


def test_no_barrier_is_found(form: Page) -> None:
    """axe finds nothing on the form, in light and dark, and a phone does not scroll sideways."""
    found = []
    for scheme in ("light", "dark"):
        form.emulate_media(color_scheme=scheme)
        found += barriers_on(form)
    assert found == []
    form.set_viewport_size({"width": 390, "height": 844})
    assert form.evaluate("document.documentElement.scrollWidth") <= 390
