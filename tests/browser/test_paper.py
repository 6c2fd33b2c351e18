"""A sitting as a candidate does it: in Chromium from file://, by keyboard, through a crash, handed in, marked."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from barriers import barriers_on
from demo_records import Demo
from playwright.sync_api import Browser, BrowserContext, Page

from warmyard.certify.exam.paper_key import PaperKey, read_key
from warmyard.certify.ledger.ledger import Ledger
from warmyard.cli.main import main
from warmyard.item.variant_model import CaseKey, ChoiceKey, NumberKey, OrderKey, PointKey

pytestmark = pytest.mark.browser
CANDIDATE = "edda"


@dataclass(slots=True)
class Desk:
    """A demo office, and what it issued to one candidate."""

    records: Path
    paper: Path
    phrase: str
    key: PaperKey

    def mark(self, file: Path, code: str) -> int:
        """Return the exit code of `warmyard mark`."""
        return main(["mark", str(file), "--code", code, "--records", str(self.records), "--json"])


@pytest.fixture(scope="module")
def demo_records(tmp_path_factory: pytest.TempPathFactory, demo_made: Demo) -> Path:
    """Give a copy of the small demo's records folder: its one paper holds every kind of question."""
    folder = tmp_path_factory.mktemp("office") / "records"
    shutil.copytree(demo_made.records, folder)
    return folder


@pytest.fixture(scope="module")
def desk(demo_records: Path) -> Desk:
    """Give a paper that the command issued to a candidate of the demo."""
    known = set((demo_records / "papers").glob("*.html"))
    assert main(["paper", "--level", "2", "--person", CANDIDATE, "--records", str(demo_records)]) == 0
    (paper,) = set((demo_records / "papers").glob("*.html")) - known
    slip = paper.with_suffix(".slip.txt").read_text(encoding="utf-8")
    fact = Ledger.open(demo_records).verify().papers[paper.stem]
    phrase = re.search(r"Phrase +(\S+)", slip)
    assert phrase
    return Desk(demo_records, paper, phrase.group(1), read_key(demo_records, paper.stem, fact.body.frozen_key))


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    """Give a browser profile of its own, in which storage lives from page to page."""
    made = chromium.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    made.set_default_timeout(15_000)
    yield made
    made.close()


def open_page(context: BrowserContext, desk: Desk) -> Page:
    """Return the paper opened from its file; whatever it asks for besides itself fails the test."""
    page = context.new_page()
    page.on("pageerror", lambda problem: pytest.fail(str(problem)))
    page.on(
        "request", lambda asked: None if asked.url.startswith(("file:", "data:", "blob:")) else pytest.fail(asked.url)
    )
    page.goto(desk.paper.as_uri())
    return page


def start(page: Page, phrase: str) -> None:
    """Type the phrase and open the paper, by keyboard; the box has the focus."""
    page.keyboard.type(phrase.lower().replace("-", " "))
    page.keyboard.press("Enter")
    page.wait_for_selector("#wy-heading")


def tab_to(page: Page, wanted: str) -> None:
    """Press Tab until the element with the focus is the wanted one."""
    for _ in range(400):
        page.keyboard.press("Tab")
        if page.evaluate("wanted => document.activeElement.matches(wanted)", wanted):
            return
    pytest.fail(f"the keyboard does not reach {wanted}")


def answer(page: Page, key: Any) -> None:
    """Answer the question on the page rightly, with the keyboard alone."""
    match key:
        case ChoiceKey():
            for at, name in enumerate(key.right):
                first = page.locator(".wy-question input").first
                if first.get_attribute("type") == "radio":
                    tab_to(page, ".wy-question input[type=radio]")
                    choose_radio(page, name)
                else:
                    tab_to(page, f".wy-question input[value={name}]")
                    page.keyboard.press("Space")
                    if at + 1 < len(key.right):
                        page.locator("#wy-heading").focus()
        case NumberKey():
            tab_to(page, ".wy-question input[type=text]")
            page.keyboard.type(f"{key.value:.10g}")
            if key.verdict:
                tab_to(page, ".wy-question input[type=radio]")
                choose_radio(page, key.verdict)
        case OrderKey():
            put_in_order(page, list(key.reference))
        case PointKey():
            tab_to(page, ".wy-question input[type=radio]")
            choose_radio(page, key.right[0])
        case CaseKey():
            walk(page, key.best)
            tab_to(page, ".wy-conclude select")
            choose_option(page, key.cause)
            if key.behind:
                tab_to(page, ".wy-conclude select")
                choose_option(page, key.behind)
            if page.locator(".wy-conclude input[type=radio]").count():
                tab_to(page, ".wy-conclude input[type=radio]")
                choose_radio(page, key.fit)


def walk(page: Page, steps: tuple[str, ...]) -> None:
    """Walk through a fault case with the keyboard alone: moves of the ladder, and checks."""
    for step in steps:
        page.locator("#wy-heading").focus()
        if step.startswith("to:"):
            tab_to(page, ".wy-next select")
            choose_option(page, step)
        else:
            tab_to(page, ".wy-next input[type=radio]")
            choose_radio(page, step)
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")


def choose_radio(page: Page, value: str) -> None:
    """Move through a group of radio buttons with the arrow keys until the wanted one is chosen."""
    page.keyboard.press("Space")
    for _ in range(200):
        if page.evaluate("document.activeElement.value") == value:
            return
        page.keyboard.press("ArrowDown")
    pytest.fail(f"the arrow keys do not reach {value}")


def choose_option(page: Page, value: str) -> None:
    """Move through a select box with the arrow keys until the wanted option is chosen."""
    for _ in range(120):
        if page.evaluate("document.activeElement.value") == value:
            return
        page.keyboard.press("ArrowDown")
    pytest.fail(f"the arrow keys do not reach {value}")


def put_in_order(page: Page, wanted: list[str]) -> None:
    """Place the steps one after the other with Enter."""
    for step in wanted:
        page.locator("#wy-heading").focus()
        tab_to(page, f'.wy-order-step[data-id="{step}"] button')
        page.keyboard.press("Enter")


def press(page: Page, name: str) -> None:
    """Press a button by keyboard."""
    page.get_by_role("button", name=name, exact=True).focus()
    page.keyboard.press("Enter")


def sit(page: Page, desk: Desk, names: list[str]) -> None:
    """Answer the named questions in the order of the paper."""
    for at, asked in enumerate(desk.key.questions):
        if asked.name in names:
            page.locator(f"#wy-go-{at}").focus()
            page.keyboard.press("Enter")
            assert page.inner_text("#wy-heading") == f"Question {at + 1} of {len(desk.key.questions)}"
            answer(page, asked.variant.key)


def hand_in(page: Page, folder: Path) -> tuple[Path, str]:
    """Hand in; return the saved file and the code on the screen."""
    press(page, "Go to handing in")
    with page.expect_download() as download:
        press(page, "Hand in now")
    file = folder / download.value.suggested_filename
    download.value.save_as(file)
    return file, page.inner_text("#wy-code")


def test_a_sitting_by_keyboard_through_a_crash_is_marked_by_its_code(
    desk: Desk, context: BrowserContext, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Half answered, the browser dies; the same file and phrase go on; handed in, marked, and only once."""
    names = [asked.name for asked in desk.key.questions]
    page = open_page(context, desk)
    start(page, desk.phrase)
    sit(page, desk, names[:4])
    page.wait_for_function("() => document.getElementById('wy-answered').textContent.startsWith('4 of')")
    page.wait_for_timeout(400)
    page.close(run_before_unload=False)

    page = open_page(context, desk)
    assert "was begun on this machine" in page.inner_text("main")
    stored = page.evaluate("JSON.stringify(Object.assign({}, localStorage))")
    assert "q01" not in stored
    start(page, desk.phrase)
    assert page.inner_text("#wy-answered") == f"4 of {len(names)} answered"
    sit(page, desk, names[4:])
    file, code = hand_in(page, tmp_path)
    page.close()

    record = json.loads(file.read_bytes())
    assert [answer["question"] for answer in record["answers"]] == names
    assert len(record["claimed"]["resumed"]) == 1
    capsys.readouterr()
    assert desk.mark(file, "AAAA-AAAA-AAAA-AAAA") == 3
    assert desk.mark(file, code) == 0
    outcome = json.loads(capsys.readouterr().out)
    assert (outcome["right"], outcome["of"], outcome["passed"]) == (len(names), len(names), True)
    assert desk.mark(file, code) == 0
    again = json.loads(capsys.readouterr().out)
    assert (again["already"], again["entry"]) == (True, outcome["entry"])
    record["answers"][0]["response"] = {"text": "1"}
    file.write_text(json.dumps(record), encoding="utf-8")
    assert desk.mark(file, code) == 3
    assert "irregularity" in capsys.readouterr().err

    page = open_page(context, desk)
    start_again = page.get_by_role("button", name="Open the paper and go on")
    page.keyboard.type(desk.phrase)
    start_again.click()
    page.wait_for_selector("#wy-code")
    assert page.inner_text("#wy-code") == code


def test_nothing_is_read_before_the_phrase(desk: Desk, context: BrowserContext) -> None:
    """The page shows no question, says so for a short and for a wrong phrase, and keeps no plain text in storage."""
    page = open_page(context, desk)
    asks = [asked.variant.question.ask for asked in desk.key.questions]
    assert not any(ask[:40] in page.content() for ask in asks)
    page.keyboard.type("ABCD")
    page.keyboard.press("Enter")
    assert "too short" in page.inner_text(".wy-status")
    page.fill("#wy-phrase", "AAAA-BBBB-CCCC-DDDD-EEEE")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.wy-status').textContent.includes('does not open')")
    assert not any(ask[:40] in page.content() for ask in asks)


def test_an_edited_paper_does_not_open(desk: Desk, context: BrowserContext, tmp_path: Path) -> None:
    """The open part is bound into the seal: with another candidate's id the right phrase opens nothing."""
    page = open_page(context, desk)
    edited = tmp_path / "edited.html"
    edited.write_text(desk.paper.read_text("utf-8").replace(f'"person":"{CANDIDATE}"', '"person":"asta"'), "utf-8")
    page.goto(edited.as_uri())
    page.fill("#wy-phrase", desk.phrase)
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('.wy-status').textContent.includes('does not open')")


def test_an_edited_script_does_not_run(desk: Desk, context: BrowserContext, tmp_path: Path) -> None:
    """Scripts run by their hash: one that was changed leaves the page with its first words."""
    edited = tmp_path / "edited.html"
    text = desk.paper.read_text("utf-8")
    assert "WY.whenReady(start);" in text
    edited.write_text(text.replace("WY.whenReady(start);", "WY.whenReady(start);;"), "utf-8")
    page = context.new_page()
    page.goto(edited.as_uri())
    assert page.locator("#wy-phrase").count() == 0
    assert "scripts" in page.inner_text("main")


def test_without_a_secure_context_it_says_so(desk: Desk, context: BrowserContext) -> None:
    """On a plain http address there is no crypto.subtle: the page says in words what to do instead."""
    page = context.new_page()
    page.route("http://yard.example/*", lambda route: route.fulfill(path=desk.paper, content_type="text/html"))
    page.goto("http://yard.example/paper.html")
    assert "plain http address does not work" in page.inner_text("main")


def test_a_typed_number_is_helped_not_judged(desk: Desk, context: BrowserContext) -> None:
    """What can mean two numbers gets help with writing; nothing tells whether the number is right."""
    at = next(at for at, asked in enumerate(desk.key.questions) if isinstance(asked.variant.key, NumberKey))
    page = open_page(context, desk)
    start(page, desk.phrase)
    if page.locator("#wy-code").count():
        pytest.fail("storage is shared between tests")
    page.locator(f"#wy-go-{at}").click()
    page.locator(".wy-question input[type=text]").fill("12,500")
    page.keyboard.press("Tab")
    assert "12.5" in page.inner_text(".wy-question .wy-status")
    page.locator(".wy-question input[type=text]").fill("12.5")
    page.keyboard.press("Tab")
    assert page.inner_text(".wy-question .wy-status") == ""


@pytest.mark.parametrize("where", ["at a question", "before handing in"])
def test_time_runs_out_by_the_monotonic_clock(desk: Desk, context: BrowserContext, where: str) -> None:
    """When the minutes are over the questions close and only handing in is left; the wall clock does not matter."""
    page = context.new_page()
    page.add_init_script(
        "window.skip = 0; const real = performance.now.bind(performance); performance.now = () => real() + window.skip;"
    )
    page.goto(desk.paper.as_uri())
    start(page, desk.phrase)
    if where == "before handing in":
        press(page, "Go to handing in")
    page.evaluate("window.skip = 31 * 60000")
    page.wait_for_selector("#wy-over")
    assert page.get_by_role("button").all_inner_texts() == ["Hand in now"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_barrier_is_found(desk: Desk, chromium: Browser, scheme: Any) -> None:
    """axe finds nothing on the cover, on any question, and before handing in."""
    context = chromium.new_context(color_scheme=scheme)
    page = open_page(context, desk)
    found = barriers_on(page)
    start(page, desk.phrase)
    for at in range(len(desk.key.questions)):
        page.locator(f"#wy-go-{at}").click()
        found += barriers_on(page)
    press(page, "Go to handing in")
    found += barriers_on(page)
    context.close()
    assert found == []


def test_it_fits_a_phone(desk: Desk, chromium: Browser) -> None:
    """At 390 px no question scrolls sideways."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = open_page(context, desk)
    start(page, desk.phrase)
    for at in range(len(desk.key.questions)):
        page.locator(f"#wy-go-{at}").click()
        page.wait_for_timeout(50)
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
    context.close()
