"""The page of the scheme: everything that the scheme says stands on it, and nothing that it does not."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

import msgspec
import pytest
from bs4 import BeautifulSoup, Tag

from warmyard.course.model import Station
from warmyard.course.scheme_model import Level, Scheme
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.kept import Book
from warmyard.web.blocks import Writer
from warmyard.web.drawn import DrawBook
from warmyard.web.notes import Notes
from warmyard.web.scheme_page import scheme_page

ROOT = Path(__file__).resolve().parents[2]
SECOND = ROOT / "tests" / "second_yard" / "site_config"


@pytest.fixture(scope="module")
def ours() -> Workspace:
    """Give the real workspace."""
    return read_workspace(ROOT)


@pytest.fixture(scope="module")
def second(tmp_path_factory: pytest.TempPathFactory) -> Workspace:
    """Give the real course under the second company's site_config."""
    root = tmp_path_factory.mktemp("second")
    for name in ("course", "quizbank"):
        shutil.copytree(ROOT / name, root / name)
    shutil.copytree(SECOND, root / "site_config")
    return read_workspace(root)


def page_of(workspace: Workspace, scheme: Scheme | None = None) -> BeautifulSoup:
    """Return the page of a workspace, or of another scheme in it."""
    changed = workspace if scheme is None else replaced(workspace, scheme)
    writer = Writer(changed, "staff", "scheme", DrawBook(changed, Book()), "", Notes(changed.sources, changed.words))
    return BeautifulSoup(scheme_page(writer), "html.parser")


def replaced(workspace: Workspace, scheme: Scheme) -> Workspace:
    """Return the workspace with another scheme."""
    return replace(workspace, scheme=scheme)


def text_of(part: BeautifulSoup | Tag | None) -> str:
    """Return the words of a page or of a part of it, with plain spaces."""
    assert part is not None
    return " ".join(part.get_text(" ").replace("\xa0", " ").split())


def section(page: BeautifulSoup, id_: str) -> str:
    """Return the words from a heading to the next one of its level."""
    heading = page.find(id=id_)
    assert isinstance(heading, Tag)
    words = []
    for each in heading.find_next_siblings():
        if isinstance(each, Tag) and each.name == heading.name:
            break
        words.append(text_of(each))
    return " ".join(words)


def cells(page: BeautifulSoup, label: str) -> dict[str, list[str]]:
    """Return the rows of a table, each by its row heading."""
    frame = page.find(True, attrs={"aria-label": label})
    assert isinstance(frame, Tag)
    rows = [row for row in frame.find_all("tr") if row.find("td")]
    return {text_of(row.find("th")): [text_of(cell) for cell in row.find_all("td")] for row in rows}


def said_of_level(level: Level, stations: Mapping[str, Station]) -> list[str]:
    """Return what a page must say of a level."""
    said = [f"Level {level.level}: {level.name}", level.scope.strip(), level.renewal, level.lapse, level.re_sit.text]
    said += [level.surveillance.text, f"Every {level.surveillance.every_months} month", f"{level.valid_months} months"]
    said += [f"{level.surveillance.grace_days} days of grace", f"After {level.re_sit.wait_days} days"]
    said += [f"at most {level.re_sit.attempts} papers of a part in {level.re_sit.within_months} months"]
    for wanted in level.prerequisites:
        said.append(wanted.text + (f": {wanted.count} or more" if wanted.count > 1 else ""))
    for part in level.parts:
        said.append(part.title)
        if part.cut:
            said += [part.cut.method, part.cut.adopted_by]
        for name in part.stations:
            said.append(stations[name].title)
            said += [point.look for point in stations[name].points if point.critical]
    return [text.rstrip(".") for text in said]


@pytest.mark.parametrize("whose", ["ours", "second"])
def test_everything_that_the_scheme_says_stands_on_the_page(whose: str, request: pytest.FixtureRequest) -> None:
    """Head, activities, levels with all their parts, reasons with codes, conflict, notices, appeals and conduct."""
    workspace: Workspace = request.getfixturevalue(whose)
    scheme, text = workspace.scheme, text_of(page_of(workspace))
    wanted = [scheme.title, scheme.owner, scheme.job_analysis, scheme.claim, *scheme.conduct]
    wanted += [date.fromisoformat(scheme.job_analysis_on).strftime("%B %Y"), f"Version {scheme.version}"]
    wanted += [activity.title for activity in scheme.activities]
    wanted += [words for reason in scheme.reasons for words in (reason.text, reason.id)]
    wanted += [words for level in scheme.levels for words in said_of_level(level, workspace.stations)]
    wanted += [f"in the last {scheme.conflict_months} months", f"has {scheme.notice_days} days to read it again"]
    wanted += [f"against a decision within {scheme.appeals.within_days} days", scheme.appeals.by]
    wanted += [f"decided within {scheme.appeals.decided_within_days} days"]
    assert [words for words in wanted if " ".join(words.split()) not in text] == []


def test_an_activity_is_alone_at_the_levels_that_allow_it(ours: Workspace) -> None:
    """Each row says for each level whether it allows the work alone."""
    rows = cells(page_of(ours), "Activities and levels")
    assert rows == {
        activity.title: ["alone" if activity.id in level.activities else "not alone" for level in ours.scheme.levels]
        for activity in ours.scheme.activities
    }
    assert {"alone", "not alone"} == {cell for row in rows.values() for cell in row}


def test_parts_have_minutes_items_and_their_cut_in_words(ours: Workspace) -> None:
    """A row of a part: minutes, items counted from its blueprint, cut, that it is provisional, judges and error."""
    for level in ours.scheme.levels:
        rows = cells(page_of(ours), f"Parts of level {level.level}")
        assert len(rows) == len(level.parts)
        for part in level.parts:
            assert part.cut is not None
            paper = part.kind == "paper"
            items = str(sum(row.count for row in part.blueprint)) if paper else f"{len(part.stations)} stations"
            cut = f"{part.cut.percent:g} %" + (", provisional" if part.cut.provisional else "")
            found = rows[part.title]
            assert found[:3] == [str(part.minutes), items, cut]
            assert found[-2:] == [str(part.cut.judges), f"{part.cut.standard_error:g} %"]


def test_the_blueprint_is_counted_by_duty_and_by_demand(second: Workspace) -> None:
    """Of the second company's eight items two are of the flue: one to know, one to judge, a quarter of all."""
    rows = cells(page_of(second), "Items of level 2 by duty")
    assert rows[second.duties["flue"].title] == ["1", "–", "1", "2", "25 %"]
    assert rows["All duties"] == ["1", "4", "3", "8", "100 %"]
    assert rows["Share"] == ["12 %", "50 %", "38 %", "100 %", ""]


def with_critical(scheme: Scheme, *counts: int) -> Scheme:
    """Return the scheme with its first level alone, whose papers hold so many critical items."""
    left = list(counts)
    level = scheme.levels[0]
    parts = tuple(
        msgspec.structs.replace(part, critical_items=(left.pop(0) if left else 0) if part.kind == "paper" else 0)
        for part in level.parts
    )
    return msgspec.structs.replace(scheme, levels=(msgspec.structs.replace(level, parts=parts),))


def test_the_price_of_the_critical_rule_stands_beside_it(ours: Workspace) -> None:
    """Eight critical items in a form: 1 - 0.95^8 = 0.337, 1 - 0.99^8 = 0.077, worked by hand; for each paper too."""
    page = page_of(ours, with_critical(ours.scheme, 5, 3))
    said = section(page, "critical-2")
    assert "The whole form has 8 critical items" in said
    assert "makes up for a miss" in said
    assert "so to fail although able, is 33.7 % ; at 99 % an item it is 7.7 %" in said
    rows = list(cells(page, "Critical items of level 2").values())
    assert rows == [["5", "22.6 %", "4.9 %"], ["3", "14.3 %", "3.0 %"], ["8", "33.7 %", "7.7 %"]]


def test_another_critical_set_has_another_price(ours: Workspace, second: Workspace) -> None:
    """Two critical items cost 9.8 percent (1 - 0.9025); a level without any says so and prints no figure."""
    assert "9.8 %" in section(page_of(second), "critical-2")
    none = section(page_of(ours, with_critical(ours.scheme)), "critical-2")
    assert "No paper of this level has a critical item" in none
    assert "although able" not in none


def test_how_far_two_papers_may_lie_apart_stands_there_when_it_is_set(ours: Workspace) -> None:
    """The sentence on parallel papers has the scheme's figure; a scheme without one says nothing of it."""

    def page(percent: float | None) -> BeautifulSoup:
        return page_of(ours, msgspec.structs.replace(ours.scheme, parallel_percent=percent))

    assert "two papers of a part are at most 1.5 % apart" in section(page(1.5), "parts-2")
    assert "only just able" not in text_of(page(None))


def test_a_renewal_names_what_is_asked_again(ours: Workspace, second: Workspace) -> None:
    """The parts and stations of the renewal and how long it still does; a scheme without one asks every part."""
    level = ours.scheme.levels[0]
    wanted = level.renews_with
    assert wanted is not None
    said = text_of(page_of(ours))
    again = [part.title for part in level.parts if part.id in wanted.parts]
    again += [
        "station " + ours.stations[name].title
        for part in level.parts
        for name in part.stations
        if name in wanted.stations
    ]
    assert f"Asked again: {'; '.join(again)}. Up to 6 months after the end." in said
    assert "Asked again: every part." in text_of(page_of(second))


def test_a_final_cut_is_not_called_provisional(second: Workspace) -> None:
    """A scheme whose cuts are final has the word nowhere; the second company's two are counted."""
    assert "2 of its 2 cuts are provisional" in section(page_of(second), "not")
    (level,) = second.scheme.levels
    parts = tuple(
        msgspec.structs.replace(part, cut=part.cut and msgspec.structs.replace(part.cut, provisional=False))
        for part in level.parts
    )
    scheme = msgspec.structs.replace(second.scheme, levels=(msgspec.structs.replace(level, parts=parts),))
    assert "rovisional" not in text_of(page_of(second, scheme))


def test_the_page_is_the_staff_s_alone_and_the_navigation_leads_to_it(built: Path) -> None:
    """The staff's start page leads to it; the customer's edition has no such page."""
    start = BeautifulSoup((built / "staff" / "index.html").read_text(encoding="utf-8"), "html.parser")
    assert [link.get_text(strip=True) for link in start.select(".wy-nav a[href='scheme.html']")] == ["The scheme"]
    assert (built / "staff" / "scheme.html").is_file()
    assert not (built / "customer" / "scheme.html").exists()
