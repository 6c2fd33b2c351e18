"""The start page in Chromium on a phone: one sum for who is new, what to do now for who was here before."""

from __future__ import annotations

import json
import shutil
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from barriers import barriers_on
from playwright.sync_api import Page, expect

from warmyard.course.workspace import read_workspace
from warmyard.web.build import build_edition

pytestmark = pytest.mark.browser
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
KEY = "wy:small-yard-hire-staff:1:record"
WEEK_AGO = str(date.today() - timedelta(days=7))
START = """---
format: 2
id: staff-start
title: Start
kind: page
---
For you who carry heaters.

```wy-practice
title: One sum
items: [q-bund]
```

```wy-caution
say: Smell fumes? People out first.
```

## How it works

Take the lessons in turn.
"""


@pytest.fixture(scope="module")
def staff(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the staff edition of the small yard, whose start page opens with a sum."""
    yard = shutil.copytree(SMALL_YARD, tmp_path_factory.mktemp("today") / "yard")
    (yard / "course" / "lessons" / "staff" / "index.md").write_text(START, encoding="utf-8")
    lesson = yard / "course" / "lessons" / "staff" / "L08-filter.md"
    lesson.write_text(lesson.read_text(encoding="utf-8").replace("[q-bund, q-run-on", "[q-alarm, q-bund, q-run-on"))
    folder = yard.parent / "staff"
    build_edition(read_workspace(yard), "staff", folder)
    return folder


@pytest.fixture
def phone(staff: Path, browser_page: Page) -> Page:
    """Give the start page on a telephone, with nothing kept."""
    browser_page.set_viewport_size({"width": 390, "height": 844})
    browser_page.goto((staff / "index.html").as_uri())
    return browser_page


def keep(page: Page, record: dict[str, Any]) -> None:
    """Put a record into the browser and open the page again."""
    page.evaluate(f"localStorage.setItem('{KEY}', JSON.stringify({json.dumps(record)}))")
    page.reload()


def answered(*, right: bool) -> dict[str, Any]:
    """Return a record with every problem answered: right twice, or a week ago and the critical one missed."""
    names = [item.id for item in read_workspace(SMALL_YARD).items.values() if item.use == "practice"]
    skills = {item.id: item.skill for item in read_workspace(SMALL_YARD).items.values()}
    days = [WEEK_AGO, str(date.today())] if right else [WEEK_AGO]
    rows = []
    for at, (day, name) in enumerate((day, name) for day in days for name in names):
        good = int(right or name != "q-alarm")
        rows.append([day, 1_700_000_000_000 + at, name, skills[name], "L08", good, good, 9, 1, 0, 0])
    own: dict[str, Any] = {"seen": {}, "own": {}, "states": {}, "assessments": []}
    return {"format": "wy-practice-record-2", **own, "answers": rows}


def test_who_is_new_answers_a_sum_on_the_first_screen(phone: Page) -> None:
    """Question, box, Check and caution lie on the first screen; the sum is marked, and a step is offered."""
    for part in ("wy-item .wy-ask", "wy-item input", "wy-item button[type=submit]", ".wy-caution"):
        box = phone.locator(part).first.bounding_box()
        assert box is not None
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 844
    answer = phone.evaluate("document.querySelector('wy-item').shown.variant.key.shown")
    phone.locator("wy-item input").fill(answer)
    phone.get_by_role("button", name="Check").click()
    expect(phone.locator(".wy-mark")).to_contain_text("Right")
    expect(phone.locator("[data-wy-today] li").first).to_contain_text("Fuel filter")


def test_the_sum_has_other_numbers_on_another_visit(phone: Page) -> None:
    """Eight visits show more than one question."""
    seen = set()
    for _ in range(8):
        seen.add(phone.locator("wy-item .wy-ask").inner_text())
        phone.reload()
    assert len(seen) > 1


def test_who_missed_something_critical_is_led_back_first(phone: Page) -> None:
    """What to do now is the first screen; its first line leads to the step, then comes what is due."""
    keep(phone, answered(right=False))
    rows = phone.locator("[data-wy-today] li")
    assert rows.evaluate_all("rows => rows.map(row => row.dataset.wyKind)")[:2] == ["again", "due"]
    expect(rows.first.locator("a")).to_have_attribute("href", "L08-filter.html")
    expect(phone.locator("[data-wy-sum]")).to_contain_text("30 min")
    expect(phone.locator("[data-wy-lesson]")).to_contain_text("1 again")
    expect(phone.locator(".wy-nav a[data-wy-page=L08]")).to_contain_text("0 of 1 steps again")
    last = rows.last.bounding_box()
    assert last is not None
    assert last["y"] + last["height"] <= 844


def test_what_is_kept_takes_no_time(phone: Page) -> None:
    """A lesson that was right says so in a word and by a sign, and nothing of it is left."""
    keep(phone, answered(right=True))
    expect(phone.locator("[data-wy-lesson]")).to_contain_text("1 kept")
    expect(phone.locator("[data-wy-lesson] .wy-sign--kept")).to_have_count(1)
    expect(phone.locator("[data-wy-left]")).to_have_text("done")


def test_the_start_page_has_no_barrier_and_fits_a_phone(phone: Page) -> None:
    """Axe finds nothing, new or with a record, and nothing scrolls sideways."""
    for record in (None, answered(right=False), answered(right=True)):
        if record:
            keep(phone, record)
        assert barriers_on(phone) == []
        assert phone.evaluate("document.documentElement.scrollWidth") <= 390
