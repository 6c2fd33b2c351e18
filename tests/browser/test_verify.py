"""The verify page in Chromium from file://: what it says about every card that somebody may hold up at a gate."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from barriers import barriers_on
from playwright.sync_api import Browser, Page
from yard_company import COMPANY

from warmyard.certify.credential.status import make_status_list, status_script
from warmyard.certify.credential.token import Token, make_token
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.page.verify_page import FILE_NAME, STATUS_FILE, make_verify_page
from warmyard.words import load_words

pytestmark = pytest.mark.browser

TODAY = date.today()
KEY = envelope.new_key()
STRANGER = envelope.new_key()
SUSPENDED, WITHDRAWN, GOOD = 5, 6, 7


def days(count: int) -> str:
    """Return a day so many days from today, as tokens write it."""
    return (TODAY + timedelta(days=count)).isoformat()


def card(
    place: int = GOOD, *, key: SigningKey = KEY, first: int = 0, last: int = 200, name: str = "Asta Example"
) -> str:
    """Return the token of a card."""
    token = Token(
        c="cert-k3v7", n=name, l=2, t="Installer-operator", a=("fuel-and-start",), f=days(first), u=days(last),
        i=place, s="hollin-edge 1", k=key.id,
    )  # fmt: skip
    return make_token(token, key)


def status(
    *, key: SigningKey = KEY, age_days: int = 0, entry: int = 70, suspended: tuple[int, ...] = (SUSPENDED,)
) -> str:
    """Return status.js."""
    on = TODAY - timedelta(days=age_days)
    made = make_status_list(suspended, (WITHDRAWN,), entry=entry, witness="ABCD-EFGH-IJKL-MNOP", on=on, key=key)
    return status_script(made)


@dataclass(slots=True)
class Gate:
    """A published folder, and a browser that looks at it."""

    folder: Path
    page: Page

    def publish(self, words: Any, script: str | None, keys: tuple[bytes, ...] = (KEY.public,)) -> None:
        """Put page and list into the folder."""
        pinned = [envelope.encode_base64url(key) for key in keys]
        titles = {"fuel-and-start": "Fuel, start and stop a heater"}
        (self.folder / FILE_NAME).write_text(make_verify_page(COMPANY, words, titles, pinned), encoding="utf-8")
        if script is not None:
            (self.folder / STATUS_FILE).write_text(script, encoding="utf-8")

    def verdict(self, token: str) -> str:
        """Return the heading of the verdict on a token."""
        self.page.goto("about:blank")
        self.page.goto(f"{(self.folder / FILE_NAME).as_uri()}#{token}")
        return self.page.inner_text(".wy-verdict h2")


@pytest.fixture(scope="module")
def words(workspace_root: Path) -> dict[str, str]:
    """Give the words of the course."""
    return dict(load_words(workspace_root / "course" / "words.yaml", workspace_root, []))


@pytest.fixture
def gate(chromium: Browser, tmp_path: Path, words: dict[str, str]) -> Iterator[Gate]:
    """Give a folder with the page and a fresh list; what the page asks for outside its folder fails the test."""
    context = chromium.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.on("pageerror", lambda problem: pytest.fail(str(problem)))
    page.on(
        "request", lambda asked: None if asked.url.startswith(("file:", "data:", "about:")) else pytest.fail(asked.url)
    )
    made = Gate(tmp_path, page)
    made.publish(words, status())
    yield made
    context.close()


CASES: dict[str, tuple[Callable[[], str], str]] = {
    "valid": (card, "Valid today"),
    "suspended": (lambda: card(SUSPENDED), "Suspended"),
    "withdrawn": (lambda: card(WITHDRAWN), "Withdrawn"),
    "expired": (lambda: card(first=-400, last=-1), "Past its last day"),
    "last-day": (lambda: card(first=-400, last=0), "Valid today"),
    "not-yet": (lambda: card(first=1), "Not valid yet"),
    "unknown-key": (lambda: card(key=STRANGER), "Not one of our cards"),
    "cut-short": (lambda: card()[:-3], "Not a whole card"),
    "no-signature": (lambda: card().split(".")[0], "Not a whole card"),
    "nonsense": (lambda: "hello", "Not a whole card"),
    "status-as-card": (lambda: re.findall(r'"(.*)"', status())[0], "Not a whole card"),
    "percent": (lambda: "%E0%A4%A", "Not a whole card"),
}


@pytest.mark.parametrize("case", CASES)
def test_a_card_is_told_in_words(gate: Gate, case: str) -> None:
    """Each kind of card gets its own words; only a card that holds is called valid."""
    make, wanted = CASES[case]
    assert gate.verdict(make()) == wanted


@pytest.mark.parametrize("at", [10, 60, 120])
def test_one_changed_character_is_found(gate: Gate, at: int) -> None:
    """A character changed in the payload or the signature: not a whole card, and nothing of it is shown."""
    token = card()
    changed = token[:at] + ("A" if token[at] != "A" else "B") + token[at + 1 :]
    assert gate.verdict(changed) in ("Not a whole card", "Not one of our cards")
    assert "Asta Example" not in gate.page.inner_text("body")


def test_nothing_of_a_strangers_card_is_shown(gate: Gate) -> None:
    """A self-made card with a key of its own shows no name, only that it is not ours and whom to ring."""
    gate.verdict(card(key=STRANGER))
    assert "Asta Example" not in gate.page.inner_text("body")
    assert gate.page.get_attribute(".wy-ring a", "href") == "tel:01632960123"


def test_a_stale_list_is_told(gate: Gate, words: dict[str, str]) -> None:
    """A list past its day: a good card is not called valid and both days are shown; a bad word is still believed."""
    gate.publish(words, status(age_days=8))
    assert gate.verdict(card()) == "List too old"
    assert days(-8) in gate.page.inner_text(".wy-verdict")
    assert days(-1) in gate.page.inner_text(".wy-verdict")
    assert gate.verdict(card(WITHDRAWN)) == "Withdrawn"
    assert gate.verdict(card(SUSPENDED)) == "Suspended"


def test_a_list_from_the_future_is_not_relied_on(gate: Gate, words: dict[str, str]) -> None:
    """A list dated tomorrow means a wrong clock somewhere: not valid."""
    gate.publish(words, status(age_days=-1))
    assert gate.verdict(card()) == "List too old"


@pytest.mark.parametrize(
    ("script", "wanted"),
    [
        (None, "No list at hand"),
        (lambda: status(key=STRANGER), "List of somebody else"),
        (lambda: status().replace('WY.status = "', 'WY.status = "A'), "List was changed"),
        (lambda: f'var WY = WY || {{}};\nWY.status = "{card()}";', "List was changed"),
    ],
)
def test_without_a_true_list_no_card_is_valid(gate: Gate, words: dict[str, str], script: Any, wanted: str) -> None:
    """No list, another company's, an altered one, a card in its place: the card is sound, but not called valid."""
    (gate.folder / STATUS_FILE).unlink()
    gate.publish(words, script() if script else None)
    assert gate.verdict(card()) == wanted


def test_a_newer_list_from_a_stick_counts_and_an_older_one_does_not(gate: Gate, tmp_path: Path) -> None:
    """A list that suspends is loaded by hand; after it an older list does not bring the card back."""
    assert gate.verdict(card()) == "Valid today"
    newer, older = tmp_path / "newer.js", tmp_path / "older.js"
    newer.write_text(status(entry=80, suspended=(GOOD,)), encoding="utf-8")
    older.write_text(status(entry=60, suspended=()), encoding="utf-8")
    gate.page.set_input_files("#wy-list", newer)
    gate.page.wait_for_function("() => document.querySelector('.wy-verdict h2').textContent === 'Suspended'")
    gate.page.set_input_files("#wy-list", older)
    gate.page.wait_for_timeout(300)
    assert gate.page.inner_text(".wy-verdict h2") == "Suspended"


def test_an_older_list_of_the_same_entries_does_not_bring_a_card_back(gate: Gate, words: Any, tmp_path: Path) -> None:
    """A day that passes suspends too, without an entry: of two lists of the same ledger the later day's holds."""
    gate.publish(words, status(suspended=(GOOD,)))
    assert gate.verdict(card(first=-9)) == "Suspended"
    older = tmp_path / "older.js"
    older.write_text(status(age_days=3, suspended=()), encoding="utf-8")
    gate.page.set_input_files("#wy-list", older)
    gate.page.wait_for_timeout(300)
    assert gate.page.inner_text(".wy-verdict h2") == "Suspended"


def test_a_name_is_shown_as_it_is(gate: Gate) -> None:
    """Markup in a name is text."""
    gate.verdict(card(name="<img src=x onerror=alert(1)> Åsa"))
    assert "<img src=x onerror=alert(1)> Åsa" in gate.page.inner_text(".wy-card-facts")
    assert gate.page.locator(".wy-card-facts img").count() == 0


def test_a_code_can_be_pasted(gate: Gate) -> None:
    """The whole address, as a phone copies it, goes into the box; broken over lines it still counts."""
    gate.page.goto((gate.folder / FILE_NAME).as_uri())
    token = card()
    gate.page.fill("#wy-token", f"https://verify.hollin-edge.example/verify.html#{token[:90]}\n{token[90:]}")
    gate.page.keyboard.press("Tab")
    gate.page.keyboard.press("Enter")
    assert gate.page.inner_text(".wy-verdict h2") == "Valid today"


def test_a_page_without_a_key_checks_nothing(gate: Gate, words: dict[str, str]) -> None:
    """A company that has not pinned its key gets a page that says so."""
    gate.publish(words, status(), ())
    assert gate.verdict(card()) == "No key in this page"


def test_an_older_office_key_may_stay_pinned(gate: Gate, words: dict[str, str]) -> None:
    """After a change of keys both are pinned, and cards of either hold."""
    gate.publish(words, status(), (STRANGER.public, KEY.public))
    assert gate.verdict(card()) == "Valid today"
    assert gate.verdict(card(key=STRANGER)) == "Valid today"


def test_with_scripts_blocked_it_says_whom_to_ring(chromium: Browser, gate: Gate) -> None:
    """No script runs: the page says that it cannot check, and gives the number."""
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{(gate.folder / FILE_NAME).as_uri()}#{card()}")
    text = page.inner_text("main")
    assert "cannot check the card" in text
    assert "01632 960 123" in text
    context.close()


def test_on_a_plain_http_address_it_says_so(gate: Gate) -> None:
    """Where the browser has no WebCrypto the page says what to do."""
    browser = gate.page.context.browser
    assert browser is not None
    context = browser.new_context()
    page = context.new_page()
    file = gate.folder / FILE_NAME
    page.route("http://yard.example/**", lambda route: route.fulfill(path=file, content_type="text/html"))
    page.goto(f"http://yard.example/verify.html#{card()}")
    assert page.inner_text(".wy-verdict h2") == "This browser cannot check it"
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_barrier_is_found(gate: Gate, chromium: Browser, scheme: Any) -> None:
    """axe finds nothing on a good and a bad verdict, and a phone does not scroll sideways."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, color_scheme=scheme)
    page = context.new_page()
    found = []
    for token in (card(), card(SUSPENDED), card(key=STRANGER), ""):
        page.goto("about:blank")
        page.goto(f"{(gate.folder / FILE_NAME).as_uri()}#{token}")
        page.wait_for_selector("form")
        found += barriers_on(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
    context.close()
    assert found == []
