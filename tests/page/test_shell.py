"""The frame of self-contained pages: data that cannot become markup, scripts by hash, words that must be there."""

from __future__ import annotations

import base64
import hashlib
import re
from typing import Any

from warmyard.course.model import Company
from warmyard.markup import element
from warmyard.page.javascript import runtime_text
from warmyard.page.shell import Page, fill_sheet, make_page, policy

WORDS = {"shell.cautions": "Plate first.", "shell.emergency": "Ring", "shell.office": "Office", "paper.title": "Paper"}
COMPANY = Company(
    name='A & B <Hire> "Ltd"', address="Yard", country="england", emergency_phone="01632 960 199",
    office_phone="01632 960 123", technician_phone="07700 900 456", email="a@b.example", verify_address="https://b.example/",
)  # fmt: skip


def page_of(**changes: Any) -> str:
    """Return a small page."""
    facts: dict[str, Any] = {
        "name": "wy-test", "title": "A <b>title</b>", "body": element("p", "<script>x</script>"),
        "scripts": ("WY = {};", "sheet.js"), "data": {"facts": {"name": "</script><script>alert(1)</script>"}},
    }  # fmt: skip
    return make_page(Page(**{**facts, **changes}), COMPANY, WORDS)


def test_scripts_stand_in_the_policy_by_their_hash() -> None:
    """Exactly the inline scripts of the page are allowed; nothing else may run, load, or be sent to."""
    page = page_of()
    scripts = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    assert scripts == ["WY = {};", runtime_text("sheet.js")]
    hashes = [base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in scripts]
    allowed = re.findall(r"sha256-([A-Za-z0-9+/=]+)", page)
    assert allowed == hashes
    assert "default-src &#39;none&#39;" in page
    assert "connect-src" not in page
    assert "self" not in policy(scripts)
    assert "'self'" in policy(scripts, ("status.js",))


def test_texts_and_data_are_never_markup() -> None:
    """Company, title, body values and data with markup in them stay text."""
    page = page_of()
    assert "<Hire>" not in page
    assert "<b>title" not in page
    assert "<script>x" not in page
    assert "alert(1)</script>" not in page


def test_every_page_says_the_cautions_and_the_numbers() -> None:
    """The footer holds the cautions, the emergency number and the office's."""
    page = page_of()
    for text in ("Plate first.", COMPANY.emergency_phone, COMPANY.office_phone):
        assert text in page


def test_a_sheet_escapes_what_fills_it() -> None:
    """A value of a template of sheets/ with markup in it stays text."""
    said = dict.fromkeys(("what", "until", "late", "no_script"), "<script>x</script>")
    assert "<script>" not in fill_sheet("notice", **said)


def test_the_same_page_twice_is_the_same_bytes() -> None:
    """Nothing random and no clock stands in a page's frame."""
    assert page_of() == page_of()
