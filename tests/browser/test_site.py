"""The built site in Chromium, from file://: no outside request, search, both colour schemes, 390 px, no scripts."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request
from pypdf import PdfReader

pytestmark = pytest.mark.browser
SMALL_YARD = Path(__file__).resolve().parents[1] / "small_yard"
PAGES = (
    "staff/index.html",
    "staff/L08-filter.html",
    "staff/aid-bunds.html",
    "staff/aid-tank.html",
    "staff/emergency.html",
    "staff/telephone.html",
    "staff/formulas.html",
    "staff/machines.html",
    "staff/scheme.html",
    "customer/index.html",
    "customer/alarm.html",
    "customer/before-you-call.html",
    "customer/card-start.html",
    "customer/pocket.html",
)
LOCAL = ("file:", "data:", "blob:")


class Watched:
    """A page that keeps what it asked for and what it complained of."""

    def __init__(self, context: BrowserContext) -> None:
        self.page: Page = context.new_page()
        self.page.set_default_timeout(10_000)
        self.asked: list[str] = []
        self.complaints: list[str] = []
        self.page.on("request", self._ask)
        self.page.on("console", self._complain)
        self.page.on("pageerror", lambda problem: self.complaints.append(str(problem)))

    def _ask(self, request: Request) -> None:
        self.asked.append(request.url)

    def _complain(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)


@pytest.fixture(scope="module")
def watched(chromium: Browser) -> Iterator[Watched]:
    """Give one watched page for all tests that only look."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    yield Watched(context)
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_opens_from_a_file_and_asks_for_nothing_outside(site: Path, watched: Watched, name: str) -> None:
    """Every request is file:, data: or blob:, and the console is silent."""
    watched.asked.clear()
    watched.complaints.clear()
    watched.page.goto((site / name).as_uri())
    watched.page.wait_for_timeout(200)
    assert watched.asked
    assert [address for address in watched.asked if not address.startswith(LOCAL)] == []
    assert watched.complaints == []
    policy = watched.page.locator("meta[http-equiv='Content-Security-Policy']").get_attribute("content")
    assert policy is not None
    assert policy.startswith("default-src 'none'")


def test_the_policy_stops_what_the_scan_cannot_see(site: Path, watched: Watched) -> None:
    """A script that builds an outside address is stopped by the policy of the page."""
    watched.page.goto((site / "staff/index.html").as_uri())
    tried = watched.page.evaluate(
        """() => new Promise(done => {
            document.addEventListener("securitypolicyviolation", event => done(event.effectiveDirective));
            const image = new Image(); image.src = "http" + "://127.0.0.1:9/a.png";
            setTimeout(() => done("nothing stopped it"), 3000);
        })"""
    )
    assert tried == "img-src"


@pytest.mark.parametrize(("edition", "word"), [("staff", "bund"), ("customer", "heater")])
def test_search_finds_a_word_from_a_file(site: Path, watched: Watched, edition: str, word: str) -> None:
    """Typing a word into the search lists pages that hold it; following one leads there."""
    page = watched.page
    page.goto((site / edition / "index.html").as_uri())
    page.keyboard.press("Control+k")
    page.locator(".wy-search__input").press_sequentially(word, delay=30)
    page.locator(".wy-search__link").first.wait_for()
    assert word in page.locator(".wy-search__list").inner_text().lower()
    page.locator(".wy-search__link").first.click()
    page.wait_for_load_state()
    assert page.url.startswith((site / edition).as_uri())


def test_nothing_of_the_search_is_loaded_before_somebody_looks(site: Path, watched: Watched) -> None:
    """Box and index come with the first opening; count and hits are told, arrows move, Escape leads back."""
    page = watched.page
    watched.asked.clear()
    page.goto((site / "staff/index.html").as_uri())
    page.wait_for_timeout(200)
    assert not [address for address in watched.asked if "search" in address]
    opener = page.get_by_role("button", name="Search")
    opener.click()
    box = page.get_by_role("searchbox", name="Search")
    box.fill("bund")
    page.locator(".wy-search__link").first.wait_for()
    assert any(address.endswith("search_index.js") for address in watched.asked)
    assert page.get_by_role("dialog").get_by_role("status").inner_text().endswith("places found")
    assert page.locator(".wy-search__list mark").first.inner_text().lower().startswith("bund")
    for key, stands in (("ArrowDown", 0), ("ArrowDown", 1), ("ArrowUp", 0)):
        page.keyboard.press(key)
        assert page.locator(".wy-search__link").nth(stands).evaluate("node => node === document.activeElement")
    page.keyboard.press("ArrowUp")
    assert box.evaluate("node => node === document.activeElement")
    page.keyboard.press("Escape")
    assert opener.evaluate("node => node === document.activeElement")
    assert not page.get_by_role("dialog").is_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_are_accessible_and_never_scroll_sideways(site: Path, chromium: Browser, scheme: str) -> None:
    """axe finds nothing on any kind of page, and 390 px is wide enough; opened so, and made wide afterwards."""
    context = chromium.new_context(color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    faults: list[str] = []
    for name in PAGES:
        page.set_viewport_size({"width": 390, "height": 844})
        page.goto((site / name).as_uri())
        for width in (390, 1280):
            page.set_viewport_size({"width": width, "height": 844})
            page.wait_for_timeout(250)
            wider = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
            if wider > 0:
                faults.append(f"{name}: {wider} px wider than a screen of {width} px")
            faults += [f"{name}: {width} px: {one}" for one in barriers_on(page)]
    context.close()
    assert faults == []


def test_the_customer_s_edition_works_with_scripts_off(site: Path, chromium: Browser) -> None:
    """Without scripts: three doors, the steps behind the first, and the looks before a call, opened by hand."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "customer/index.html").as_uri())
    doors = page.locator(".wy-door a")
    assert doors.count() == 3
    box = doors.first.bounding_box()
    assert box is not None
    assert box["y"] < 400
    doors.first.click()
    assert page.get_by_text("Get everybody out.", exact=True).is_visible()
    page.goto((site / "customer/before-you-call.html").as_uri())
    assert not page.get_by_text("Look at the fuel gauge.").is_visible()
    page.locator("summary").first.click()
    assert page.get_by_text("Look at the fuel gauge.").is_visible()
    context.close()


def test_a_calculator_computes_and_refuses_in_words(site: Path, watched: Watched) -> None:
    """The calculator starts from the sheet, computes with the country's rule, and says what would be right."""
    page = watched.page
    page.goto((site / "staff/L08-filter.html").as_uri())
    block = page.locator(".wy-calculator")
    volume = block.get_by_label("volume of one tank")
    assert volume.input_value() == "65"
    block.get_by_role("button", name="Work it out", exact=True).click()
    assert block.locator(".wy-calculator__result").inner_text() == "volume that the bund holds: 71.5 L"
    volume.fill("12,5 L")
    assert block.locator(".wy-calculator__result").inner_text() == "volume that the bund holds: 13.8 L"
    volume.fill("a dozen")
    assert "a dozen" in block.locator(".wy-calculator__result").inner_text()
    assert volume.get_attribute("aria-invalid") == "true"
    volume.fill("1 m3")
    assert block.locator(".wy-calculator__result").inner_text() == "volume that the bund holds: 1100 L"


def test_boxes_have_borders_that_can_be_seen(site: Path, watched: Watched) -> None:
    """Every box to write in has a border of two pixels."""
    page = watched.page
    page.goto((site / "staff/L08-filter.html").as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true; })")
    for item in page.locator("wy-item").all():
        item.scroll_into_view_if_needed()
    page.locator("wy-assessment form, .wy-assessment form").last.wait_for()
    boxes = page.locator(".wy-content input[type=text]")
    assert boxes.count() >= 4
    for box in boxes.all():
        style = box.evaluate("box => [getComputedStyle(box).borderTopWidth, getComputedStyle(box).borderTopStyle]")
        assert style == ["2px", "solid"]


def test_what_was_found_on_the_own_machine_is_still_there(site: Path, chromium: Browser) -> None:
    """A value written down is there when the page is opened again."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto((site / "staff/L08-filter.html").as_uri())
    box = page.locator("[data-wy-find]").first
    box.fill("70 L")
    box.press("Tab")
    page.reload()
    assert page.locator("[data-wy-find]").first.input_value() == "70 L"
    context.close()


@pytest.mark.parametrize(("size", "wanted_mm"), [("a5", (148, 210)), ("a4", (210, 297))])
def test_a_card_prints_on_one_sheet(site: Path, chromium: Browser, size: str, wanted_mm: tuple[int, int]) -> None:
    """Printed, the card page is one sheet of the size asked for, with its lines, telephone numbers and cautions."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto((site / "customer/card-start.html").as_uri())
    page.evaluate("window.print = () => {}")
    page.locator(f"[data-wy-print={size}]").click()
    sheets = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    context.close()
    assert len(sheets) == 1
    assert tuple(round(float(side) / 72 * 25.4) for side in sheets[0].mediabox[2:]) == wanted_mm
    text = " ".join(unicodedata.normalize("NFKC", sheets[0].extract_text()).split())
    assert "Turn it on at its own switch." in text
    assert "01632 960002" in text
    assert "The plate and the instructions of your machine come first." in text
    assert "Search" not in text


def test_the_pocket_file_prints_from_its_first_sheet_with_folds_open(site: Path, chromium: Browser) -> None:
    """The first sheet holds the first doors, and what is folded on the screen stands on paper."""
    page = chromium.new_page()
    page.goto((site / "customer/pocket.html").as_uri())
    folded = page.locator("details li").first.text_content() or ""
    sheets = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    page.close()
    texts = ["".join(unicodedata.normalize("NFKC", sheet.extract_text()).split()) for sheet in sheets]
    assert len(texts[0]) > 200
    assert folded.split()
    assert "".join(folded.split())[:20] in "".join(texts)
