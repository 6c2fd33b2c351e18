"""A lesson that is cut into steps: sections with their problems, folds, reference under them, and steps in the plan."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from warmyard.course.proof import read_proved
from warmyard.course.workspace import Workspace
from warmyard.web.build import build_edition
from warmyard.web.packs import plan_script
from warmyard.web.site import Site

ROOT = Path(__file__).resolve().parents[2]
LESSON = "course/lessons/staff/bunds.md"


@pytest.fixture(scope="module")
def stepped(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    """Give the small yard with a lesson that is cut into steps."""
    yard = tmp_path_factory.mktemp("stepped") / "yard"
    shutil.copytree(ROOT / "tests" / "small_yard", yard)
    shutil.copy(ROOT / "tests" / "shared" / "stepped_lesson.md", yard / LESSON)
    return read_proved(yard)


@pytest.fixture(scope="module")
def page(stepped: Workspace, tmp_path_factory: pytest.TempPathFactory) -> BeautifulSoup:
    """Give its page, built."""
    site = tmp_path_factory.mktemp("site")
    build_edition(stepped, "staff", site)
    return BeautifulSoup((site / "bunds.html").read_text("utf-8"), "html.parser")


def test_each_step_is_a_section_that_names_its_problems(page: BeautifulSoup) -> None:
    """Every step has its id in the address and the record, its place among the others, and a way on and back."""
    sections = page.select("section.wy-step")
    assert [section["data-wy-step"] for section in sections] == [
        "bund", "run-on", "order", "parts", "gauge", "check-yourself",
    ]  # fmt: skip
    assert [section["id"] for section in sections] == [f"step-{section['data-wy-step']}" for section in sections]
    assert sections[0]["data-wy-items"] == "q-bund"
    assert sections[5]["data-wy-items"] == "q-bund q-run-on"
    assert "Step 3 of 6" in sections[2].get_text(" ")
    ways = [[link["href"] for link in section.select(".wy-step__ways a")] for section in sections]
    assert ways[0] == ["#step-run-on"]
    assert ways[1] == ["#step-order", "#step-bund"]
    assert ways[5] == ["index.html", "#step-gauge"]


def test_the_scene_stands_in_the_first_step_before_its_heading(page: BeautifulSoup) -> None:
    """What happened to somebody is read before anything is taught."""
    first = page.select_one("section.wy-step")
    assert first is not None
    text = first.get_text(" ")
    assert text.index("somebody slipped in it") < text.index("What a bund holds")
    assert text.index("What a bund holds") < text.index("Work out what a bund must hold.")


def test_a_fold_closes_over_its_heading_and_ends_at_the_next(page: BeautifulSoup) -> None:
    """The heading is in the summary with why one may want it, the text below it in the fold, the next step outside."""
    fold = page.select_one("section#step-bund details.wy-folded")
    assert fold is not None
    assert fold.summary is not None
    assert fold.summary.get_text(" ", strip=True) == "Why so much Where the share comes from."
    assert "Rain falls into it." in fold.get_text()
    assert fold.find("wy-item") is None


def test_reference_stands_folded_under_the_steps(page: BeautifulSoup) -> None:
    """Cautions in full lie in no step, and the page's sources are folded too."""
    reference = page.select_one(".wy-references details.wy-reference")
    assert reference is not None
    assert reference.find_parent(class_="wy-step") is None
    assert "Never open the filler hot or powered." in reference.get_text()
    assert page.select_one("section.wy-sources details") is not None
    assert page.find("wy-part") is None


def test_problems_of_a_step_stand_open(page: BeautifulSoup) -> None:
    """A step opens by itself, so its practice is in no fold; the scored set is begun by its button."""
    assert page.select(".wy-practice")
    assert not page.select(".wy-practice details.wy-fold")
    assert page.select("wy-assessment details.wy-fold")


def test_the_plan_names_the_steps_of_each_lesson(stepped: Workspace) -> None:
    """Id, title, idea, minutes and problems; a lesson that is not cut into steps has none."""
    script = plan_script(stepped, "staff")
    plan = json.loads(script[script.index("{", script.index("plan")) : script.rindex("}") + 1])
    lessons = {lesson["id"]: lesson for lesson in plan["lessons"]}
    assert lessons["L08"]["steps"] == []
    first, second, *_ = lessons["bunds"]["steps"]
    assert first == {
        "id": "bund", "title": "What a bund holds", "idea": "Work out what a bund must hold.", "minutes": 3,
        "items": ["q-bund"],
    }  # fmt: skip
    assert second["items"] == ["q-run-on"]


def test_a_lesson_of_an_older_format_is_shown_as_it_was(stepped: Workspace) -> None:
    """Without steps there is no section of one, and the page loads no script for them."""
    site = Site(stepped, "staff")
    site.markdown("L08-filter.md")
    finished = site.content("L08-filter.md", "<p>wyblock0000end</p>")
    assert "data-wy-step" not in finished.html
    assert not [script for script in finished.meta["wy_scripts"] if script.endswith("steps.js")]
