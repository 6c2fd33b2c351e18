"""Cards as PDF, A5 and A4, and the code that leads to the customer's pages."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import msgspec
import pypdf
import pytest
import segno
from markupsafe import Markup

from warmyard.course.fences.card import CardNode
from warmyard.course.proof import read_proved
from warmyard.course.workspace import Workspace, read_workspace
from warmyard.errors import SourceErrors
from warmyard.web.build import build_edition
from warmyard.web.card_sheets import card_pages, card_sheets, site_code
from warmyard.web.cards import write_card

MILLIMETRES = {"a5": (148, 210), "a4": (210, 297)}
ADDRESS = "https://heater.small-yard.example/"


def replaced(address: str) -> Workspace:
    """Return the small yard, a dataclass, with an address."""
    workspace = read_workspace(Path(__file__).resolve().parents[1] / "small_yard")
    company = msgspec.structs.replace(workspace.company, site_address=address)
    return replace(workspace, shelf=replace(workspace.shelf, company=company))


@pytest.mark.parametrize("paper", ["a5", "a4"])
def test_each_card_is_one_sheet_with_every_line_and_number(paper: str) -> None:
    """The sheet has the paper's size; title, lines, both telephone numbers and the caution can be read back."""
    workspace = replaced(ADDRESS)
    pages = card_pages(page for page in workspace.lessons.values() if page.edition == "customer")
    made = card_sheets(workspace, pages, workspace.words)
    (body,) = (content for name, content in made.items() if name.endswith(f"-{paper}.pdf"))
    sheet = pypdf.PdfReader(io.BytesIO(body))
    assert len(sheet.pages) == len(pages[0].blocks)
    for page, block in zip(sheet.pages, pages[0].blocks, strict=True):
        assert tuple(round(float(size) / 72 * 25.4) for size in page.mediabox[2:]) == MILLIMETRES[paper]
        text = " ".join(page.extract_text().replace("\ufb01", "fi").split())
        assert isinstance(block.node, CardNode)
        assert block.node.title in text
        assert workspace.company.emergency_phone in text
        assert workspace.company.technician_phone in text
        assert ADDRESS in text


def test_the_sheets_have_no_day() -> None:
    """The same sources give the same bytes."""
    workspace = replaced("")
    pages = card_pages(workspace.lessons.values())
    assert card_sheets(workspace, pages, workspace.words) == card_sheets(workspace, pages, workspace.words)


def test_the_code_is_that_of_the_address_and_scales() -> None:
    """As many modules across as the standard's code of this text, quiet zone included, and a viewBox."""
    drawing = str(site_code(replaced(ADDRESS).company))
    modules = segno.make(ADDRESS, error="m", micro=False).symbol_size(scale=4, border=4)[0]
    assert f'viewBox="0 0 {modules} {modules}"' in drawing


def test_cards_and_pocket_file_carry_the_code_only_when_there_is_an_address(built: Path, tmp_path: Path) -> None:
    """A company that names none has no code; one that names it has it on every card and once in the pocket file."""
    assert "wy-card__code" not in (built / "customer" / "card-start.html").read_text(encoding="utf-8")
    build_edition(replaced(ADDRESS), "customer", tmp_path / "customer")
    card = (tmp_path / "customer" / "card-start.html").read_text(encoding="utf-8")
    pocket = (tmp_path / "customer" / "pocket.html").read_text(encoding="utf-8")
    assert card.count("wy-card__code") == card.count('class="wy-card"')
    assert pocket.count('class="site-code"') == 1
    assert "card-start-a5.pdf" in card
    assert ".pdf" not in pocket


def test_an_address_without_https_is_refused(yard: Path) -> None:
    """A telephone would not keep such pages; the fault names the line's field."""
    company = yard / "site_config" / "company.yaml"
    company.write_text(
        company.read_text(encoding="utf-8") + "\nsite_address: http://heater.example/\n", encoding="utf-8"
    )
    with pytest.raises(SourceErrors, match="begin it with https"):
        read_proved(yard)


def test_a_sheet_in_a_lesson_is_no_card_for_a_heater() -> None:
    """What a lesson gives to fill in has no telephone numbers, no code and no paper of its own."""
    company = replaced(ADDRESS).company
    words = {
        "shell.emergency": "Ring",
        "shell.technician": "Trouble:",
        "cautions-plate": "Plate.",
        "cautions-people": "People.",
    }
    hung = write_card("Start", [Markup("Look.")], company, words)
    sheet = write_card("Start", [Markup("Look.")], company, words, hung=False)
    for part in (company.emergency_phone, "wy-card__code", "data-wy-print"):
        assert part in hung
        assert part not in sheet
