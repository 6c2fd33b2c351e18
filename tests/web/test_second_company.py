"""A second invented company: the same course with its machines, rules and scheme; nothing of the first stays."""

from __future__ import annotations

import io
import re
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pypdf
import pytest
import yaml
from playwright.sync_api import Page
from printed_page import printed
from selectolax.lexbor import LexborHTMLParser

from warmyard.course.fleet import shown_value
from warmyard.course.proof import read_proved
from warmyard.course.workspace import Workspace
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit
from warmyard.web.build import build_edition

SECOND = Path(__file__).resolve().parents[1] / "second_yard" / "site_config"
OF_THE_FUEL = ("fuel-density", "fuel-net-heat")
"""Values that belong to the fuel and not to a machine: they stand in tables and sources of every company."""
Pages = Mapping[str, LexborHTMLParser]
TELLING_DIGITS = 3
"""A value with fewer digits, such as 10 bar, may stand in any course by chance."""


@pytest.fixture(scope="module")
def root(workspace_root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the real course and bank under the second company's site_config."""
    root = tmp_path_factory.mktemp("second")
    for name in ("course", "quizbank"):
        shutil.copytree(workspace_root / name, root / name)
    shutil.copytree(SECOND, root / "site_config")
    return root


@pytest.fixture(scope="module")
def workspace(root: Path) -> Workspace:
    """Give what the second company's course is made of."""
    return read_proved(root)


@pytest.fixture(scope="module")
def second(root: Path, workspace: Workspace) -> Path:
    """Give both editions of the second company."""
    for edition in ("staff", "customer"):
        build_edition(workspace, edition, root / "site" / edition)
    return root / "site"


@pytest.fixture(scope="module")
def pages(second: Path) -> Pages:
    """Give every page of the second company by its file, parsed once."""
    return {
        path.relative_to(second).as_posix(): LexborHTMLParser(path.read_text(encoding="utf-8"))
        for path in sorted(second.rglob("*.html"))
    }


def sources(root: Path, name: str) -> list[dict[str, Any]]:
    """Return a company's files of one kind as plain YAML."""
    return [yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted((root / "site_config").glob(name))]


def texts(second: Path) -> Iterator[tuple[str, str]]:
    """Yield every file of the built sites that a reader may see, but for the theme's own scripts."""
    for path in sorted(second.rglob("*")):
        name = path.relative_to(second).as_posix()
        if path.suffix in (".html", ".js", ".json", ".svg", ".webmanifest") and "/assets/javascripts/" not in name:
            yield name, path.read_text(encoding="utf-8")


def whole(word: str) -> re.Pattern[str]:
    """Return a pattern of a word that is not part of a longer one."""
    return re.compile(rf"(?<![A-Za-z0-9.]){re.escape(word)}(?![A-Za-z0-9])")


def test_no_name_and_no_number_to_call_of_the_first_company_stays(second: Path, workspace_root: Path) -> None:
    """Neither company, addresses, telephone numbers, machines nor serials stand in any page, script or list."""
    (company,) = sources(workspace_root, "company.yaml")
    phones = [company[name] for name in ("emergency_phone", "office_phone", "technician_phone")]
    names = {company["name"], company["name"].split()[0], company["email"].split("@")[1], *phones}
    names |= {phone.replace(" ", "") for phone in phones}
    for sheet in sources(workspace_root, "fleet/*.yaml"):
        names |= {sheet["id"], sheet["name"], sheet["name"].split()[0], sheet["serial"]}
    left = [
        f"{file}: {name}"
        for file, text in texts(second)
        for name in sorted(names)
        if name in text and whole(name).search(text)
    ]
    assert left == []


def test_no_value_of_a_sheet_of_the_first_company_stays(pages: Pages, workspace_root: Path) -> None:
    """No page shows a value with three telling digits that only a machine of the first company has."""
    own = {
        value
        for path in (SECOND / "fleet").glob("*.yaml")
        for value in yaml.safe_load(path.read_text())["values"].values()
    }
    values = {
        shown_value(value)
        for sheet in sources(workspace_root, "fleet/*.yaml")
        for field, value in sheet["values"].items()
        if field not in OF_THE_FUEL and value not in own
        if len(re.sub(r"\D", "", value.split()[0]).strip("0")) >= TELLING_DIGITS
    }
    assert len(values) > 10
    left = []
    for name, page in pages.items():
        assert page.root is not None
        text = " ".join(page.root.text(separator=" ").replace("\xa0", " ").split())
        left += [
            f"{name}: {value}"
            for value in sorted(values)
            if value in text and re.search(rf"(?<![0-9.]){re.escape(value)}(?![0-9A-Za-z/])", text)
        ]
    assert left == []


def test_every_value_shown_is_the_second_company_s(pages: Pages, workspace: Workspace) -> None:
    """Values of sheets and rules in the pages are those of its machine and of its country."""
    sheet = next(iter(workspace.sheets.values()))
    seen = 0
    for page in pages.values():
        for tag in page.css("[data-wy-sheet]"):
            field = str(tag.attributes["data-wy-sheet"])
            if field in sheet.values:
                assert tag.text().replace("\xa0", " ") == shown_value(sheet.values[field])
                seen += 1
        for tag in page.css("[data-wy-rule]"):
            rule = workspace.rules[str(tag.attributes["data-wy-rule"])]
            shown = rule.value if isinstance(rule.value, str) else f"{plain_number(rule.value)} {show_unit(rule.unit)}"
            assert tag.text().replace("\xa0", " ") == shown.strip()
            seen += 1
    assert seen > 50


def test_scheme_and_mock_paper_are_the_second_company_s(second: Path) -> None:
    """The mock paper has its name, cut and time."""
    html = (second / "staff" / "mock-paper.html").read_text(encoding="utf-8")
    plan = (second / "staff" / "assets" / "wy" / "data" / "practice-plan.js").read_text(encoding="utf-8")
    assert "Site operator" in html
    assert '"cut":80' in plan
    assert '"minutes":25' in plan


def test_its_cards_carry_its_numbers(second: Path, workspace_root: Path) -> None:
    """The PDF of the customer's cards, A4 and A5, names the second company, its telephones and its emergency number."""
    (first,) = sources(workspace_root, "company.yaml")
    own = yaml.safe_load((SECOND / "company.yaml").read_text(encoding="utf-8"))
    for paper, width in (("a5", 148), ("a4", 210)):
        sheet = pypdf.PdfReader(io.BytesIO((second / "customer" / f"card-{paper}.pdf").read_bytes()))
        text = " ".join(" ".join(page.extract_text() for page in sheet.pages).replace("\ufb01", "fi").split())
        assert {round(float(page.mediabox.width) / 72 * 25.4) for page in sheet.pages} == {width}
        assert all(own[name] in text for name in ("name", "emergency_phone", "technician_phone"))
        assert "Call 199." in text
        assert not any(first[name] in text for name in ("name", "emergency_phone", "technician_phone"))


@pytest.mark.browser
def test_the_survey_of_a_job_is_one_sheet_for_each_machine(
    second: Path, workspace: Workspace, browser_page: Page
) -> None:
    """Whatever machine is chosen, every step is worked out and the survey fits on one sheet; a cold tent fits too."""
    browser_page.goto((second / "staff" / "aid-size-a-job.html").as_uri())
    survey = browser_page.locator(".wy-survey")
    for sheet in workspace.sheets.values():
        survey.get_by_label("Machine", exact=True).select_option(sheet.name)
        count, text = printed(browser_page)
        assert (count, sheet.name in text) == (1, True)
        assert " steps are worked out. " in text
    ends = [row.locator("td").all_inner_texts() for row in survey.locator(".wy-survey__ends tbody tr").all()]
    for button, end in ((0, ends[0]), (-1, ends[1])):
        survey.locator("[data-wy-line]").nth(button).click()
        assert survey.locator(".wy-survey__answers dd").all_inner_texts() == end
    survey.get_by_label("temperature wanted inside").fill("89")
    count, text = printed(browser_page)
    assert count == 1
    assert "no number of these heaters reaches this temperature" in text
    assert text.count("Waits for: step") > 5
