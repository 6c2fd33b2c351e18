"""The public emergency numbers of a country: links that dial, on every page that names them."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Browser

from warmyard.course.rules import check_rules, load_rules
from warmyard.errors import SourceError

SMALLEST_PX = 44


def test_every_page_that_names_the_public_numbers_dials_them(customer_site: Path) -> None:
    """999 and 112 are links wherever the number stands, cards and telephone questions included, without a mark."""
    naming = set()
    for path in customer_site.rglob("*.html"):
        page = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
        for named in page.select("[data-wy-rule=emergency-number]"):
            naming.add(path.name)
            assert [link["href"] for link in named.find_all("a")] == ["tel:999", "tel:112"], path.name
            after = named.next_sibling
            assert getattr(after, "name", None) != "a", f"{path.name}: a source mark stands at the number"
    assert naming >= {
        "index.html", "emergency.html", "card.html", "07-fire.html", "before-you-call.html", "pocket.html",
    }  # fmt: skip


@pytest.mark.browser
@pytest.mark.parametrize("name", ["emergency.html", "index.html", "card.html", "pocket.html"])
def test_a_cold_thumb_can_tap_them(customer_site: Path, chromium: Browser, name: str) -> None:
    """On a telephone each number is at least 44 px high and wide."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto((customer_site / name).as_uri())
    page.wait_for_timeout(200)
    boxes = [link.bounding_box() for link in page.locator("a[href='tel:999']").all() if link.is_visible()]
    context.close()
    assert boxes
    for box in boxes:
        assert box is not None
        assert min(box["height"], box["width"]) >= SMALLEST_PX - 0.5, (name, box)


def test_a_telephone_rule_without_a_number_is_a_fault(tmp_path: Path) -> None:
    """A country whose public number is a word is told where."""
    (tmp_path / "nowhere.yaml").write_text(
        'rules:\n  - {id: emergency-number, value: "call Bob", unit: "", telephone: true, source: s, known: demo,\n'
        '     means: "public number"}\n'
    )
    faults: list[SourceError] = []
    countries = load_rules(tmp_path, tmp_path, faults)
    assert faults == []
    assert [str(fault) for fault in check_rules(countries)] == [
        "nowhere.yaml:2: the rule emergency-number is a telephone number and its value holds none; write it"
    ]
