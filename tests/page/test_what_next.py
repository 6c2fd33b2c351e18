"""The page's "what next?": it asks the same reasoning, with keyboard alone, at 390 px, and people come first."""

from __future__ import annotations

from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Page, expect

from warmyard.machine.diagnosis import Situation, next_check, suspects
from warmyard.machine.load import load_machine
from warmyard.machine.model import Machine
from warmyard.page.face import face_css
from warmyard.page.what_next import SCRIPTS, machine_script, what_next_html

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def machine(workspace_root: Path) -> Machine:
    """Give the machine of the course."""
    found, faults = load_machine(workspace_root / "course" / "machine", workspace_root)
    assert found is not None, faults
    return found


@pytest.fixture
def page(machine: Machine, browser_page: Page, workspace_root: Path, tmp_path: Path) -> Page:
    """Give the element on a page of its own, opened from a file."""
    runtime = workspace_root / "builder/warmyard/page/runtime"
    scripts = [(runtime / name).read_text("utf-8") for name in SCRIPTS]
    scripts.insert(len(scripts) - 1, machine_script(machine))
    styles = face_css() + "".join((runtime / name).read_text("utf-8") for name in ("wy.css", "machine.css"))
    body = "".join((what_next_html(machine), *(f"<script>{script}</script>" for script in scripts)))
    style = f"<style>body{{background:var(--wy-paper);color:var(--wy-ink)}}{styles}</style>"
    head = f'<meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Van</title>{style}'
    file = tmp_path / "van.html"
    file.write_text(
        f'<!doctype html><html lang="en"><head>{head}</head><body><main>{body}</main></body></html>', "utf-8"
    )
    browser_page.set_viewport_size({"width": 390, "height": 844})
    browser_page.goto(file.as_uri())
    return browser_page


def choose(page: Page, label: str, option: str) -> None:
    """Choose an option by its label."""
    page.get_by_label(label, exact=True).select_option(option)


def test_it_says_what_python_says(machine: Machine, page: Page) -> None:
    """Next check and leading suspect are those of Python, before and after a finding."""
    expect(page.get_by_label("Your level")).to_have_count(1)
    for seen in ({}, {"dip-the-tank": "fuel-above-pick-up"}):
        situation = Situation("spark-no-flame", seen, standing="unplugged" if seen else "by-phone", level=1)
        if seen:
            page.get_by_role("button", name="The dip shows fuel above the pick-up.").press("Enter")
        else:
            choose(page, "What does it do?", "spark-no-flame")
        step = next_check(machine, situation)
        assert step is not None
        expect(page.get_by_role("heading", name=f"Next: {machine.checks[step.check].name}")).to_be_visible()
        first = suspects(machine, situation)[0]
        expect(page.locator(".wy-next-suspects li").first).to_contain_text(first.name)


def test_a_cause_is_found_with_its_remedy(machine: Machine, page: Page) -> None:
    """An empty dip ends the search: the remedy, what makes it fit, and a way back."""
    choose(page, "What does it do?", "spark-no-flame")
    page.get_by_role("button", name="The dip shows fuel below the pick-up").press("Enter")
    mode = machine.modes["tank-empty"]
    for text in (f"Found: {mode.name}", mode.remedy, mode.fit_to_return, mode.safety):
        expect(page.get_by_text(text).first).to_be_visible()
    page.get_by_role("button", name="Take the last one back").press("Enter")
    expect(page.get_by_role("heading", name="Next: Read the gauge and dip the tank")).to_be_visible()


def test_people_come_first(page: Page) -> None:
    """Fumes inside: people out, no suspects and no check, until somebody stands outside with the meter."""
    choose(page, "What does it do?", "fumes-inside")
    answer = page.locator(".wy-next-answer")
    expect(answer).to_contain_text("People out first.")
    assert answer.inner_text().startswith("People out first.")
    expect(page.locator(".wy-next-suspects")).to_have_count(0)
    expect(page.get_by_role("heading", name="Next:")).to_have_count(0)
    choose(page, "Your level", "2")
    choose(page, "Where do you stand?", "people-out-meter-in-hand")
    expect(page.get_by_role("heading", name="Next: Read carbon monoxide outdoors")).to_be_visible()


def test_a_contradiction_is_said(page: Page) -> None:
    """Findings that no single fault shows are named so, and nothing is offered."""
    choose(page, "What does it do?", "spark-no-flame")
    for check, seen in (("look-in-filter-bowl", "A line, with water below it."), ("dip-the-tank", "fuel below the")):
        page.get_by_text("I saw something else").click()
        choose(page, "What did you look at?", check)
        page.locator(".wy-next-fold").get_by_role("button", name=seen).click()
    expect(page.get_by_text("What was seen contradicts itself.")).to_be_visible()
    expect(page.locator(".wy-next-suspects")).to_have_count(0)


def test_it_is_whole_at_390_px_and_accessible(page: Page) -> None:
    """No sideways scroll, no rule of axe broken, in light and in dark."""
    choose(page, "What does it do?", "no-start-on-demand")
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert [one for one in barriers_on(page) if not one.startswith("page-has-heading-one:")] == []
