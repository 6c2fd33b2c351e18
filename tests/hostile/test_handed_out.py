"""Attacks with what leaves the office: cards, lists, certificates; and names that would be more than names."""

from __future__ import annotations

import csv
import dataclasses
import json
import re
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from demo_records import Demo
from secrets_of_tests import key_from_seed

from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.credential.proof import did_key, verify_proof, with_proof
from warmyard.certify.credential.status import make_status_list, open_status_list, status_of
from warmyard.certify.credential.token import Token, make_token, open_token
from warmyard.certify.demo.cast import NAMES
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.cli.main import main
from warmyard.errors import InputError, VerificationError

OFFICE = key_from_seed(bytes(range(32)))
THIEF = key_from_seed(bytes(range(1, 33)))
PINNED = {OFFICE.id: OFFICE.public}
DAY = date(2027, 3, 1)


def card(**changes: Any) -> Token:
    """Return a card with some fields changed."""
    fields: dict[str, Any] = {
        "c": "c-abc", "n": "Asta Fellweather", "l": 2, "t": "Installer-operator", "a": ("fuel-and-start",),
        "f": "2027-01-01", "u": "2027-12-31", "i": 77, "s": "hollin-edge 1", "k": OFFICE.id,
    }  # fmt: skip
    return Token(**{**fields, **changes})


def status(suspended: tuple[int, ...] = (), on: date = DAY, key: SigningKey = OFFICE) -> str:
    """Return a status list of a day."""
    return make_status_list(suspended, (), entry=9, witness="AAAA-BBBB-CCCC-DDDD", on=on, key=key)


def with_other_payload() -> str:
    """Return a card of another level under the signature of the true one."""
    return make_token(card(l=3), THIEF).split(".")[0] + "." + make_token(card(), OFFICE).split(".")[1]


def not_canonical() -> str:
    """Return a card signed by the office's key over bytes in another order."""
    plain = msgspec.to_builtins(card())
    payload = json.dumps(dict(reversed(plain.items()))).encode()
    signature = envelope.sign(OFFICE, b"warmyard-token-1\n" + payload)
    return f"{envelope.encode_base64url(payload)}.{envelope.encode_base64url(signature)}"


CARDS: dict[str, tuple[Callable[[], object], str]] = {
    "a card signed by a thief": (lambda: open_token(make_token(card(k=THIEF.id), THIEF), PINNED), "issuer"),
    "a card that only names the office's key": (lambda: open_token(make_token(card(), THIEF), PINNED), "signature"),
    "a card with another level under the old signature": (
        lambda: open_token(with_other_payload(), PINNED),
        "signature",
    ),
    "a card in another order of words": (lambda: open_token(not_canonical(), PINNED), "form"),
    "a status list shown as a card": (lambda: open_token(status(), PINNED), "signature"),
    "a card shown as a status list": (lambda: open_status_list(make_token(card(), OFFICE), PINNED), "signature"),
    "a status list signed by a thief": (lambda: open_status_list(status(key=THIEF), PINNED), "issuer"),
    "a card of four thousand characters": (lambda: open_token("A" * 5000 + ".A", PINNED), "form"),
    "a card with a second signature": (lambda: open_token(make_token(card(), OFFICE) + ".AAAA", PINNED), "form"),
    "a padded signature": (lambda: open_token(make_token(card(), OFFICE) + "==", PINNED), "form"),
}


@pytest.mark.parametrize("name", CARDS)
def test_a_card_or_list_is_refused(name: str) -> None:
    """What the office did not sign for this very purpose is refused, and the step is named."""
    attack, step = CARDS[name]
    with pytest.raises(VerificationError) as caught:
        attack()
    assert step in caught.value.step


def test_a_card_printed_before_the_suspension_shows_it(target: Demo) -> None:
    """The paper in the hand stays true; the list of the day says suspended, and a bad word counts from a stale list."""
    token = open_token(make_token(card(), OFFICE), PINNED)
    found = open_status_list(status((77,)), PINNED)
    assert status_of(token.i, found, DAY) == "suspended"
    assert status_of(token.i, found, DAY + timedelta(days=400)) == "suspended"
    assert target.state().count > 0


def test_a_list_from_before_the_suspension_is_not_relied_on_for_long() -> None:
    """An old clean list gives no good word after its days, nor does one from the future."""
    clean = open_status_list(status(), PINNED)
    assert status_of(77, clean, DAY) == "good"
    assert status_of(77, clean, DAY + timedelta(days=8)) == "stale"
    assert status_of(77, clean, DAY - timedelta(days=1)) == "stale"


def credential(target: Demo) -> dict[str, Any]:
    """Return one of the demo's certificates."""
    document: dict[str, Any] = json.loads(next((target.records / "certificates").glob("*.json")).read_text("utf-8"))
    return document


def signed_by_thief(target: Demo) -> dict[str, Any]:
    """Return a certificate signed anew with another key, which it names as its issuer."""
    document = {name: value for name, value in credential(target).items() if name != "proof"}
    document["issuer"] = {**document["issuer"], "id": did_key(THIEF.public)}
    return with_proof(document, THIEF, "2027-03-01T09:00:00+00:00")


def changed(target: Demo, **changes: Any) -> dict[str, Any]:
    """Return a certificate with some parts changed."""
    return {**credential(target), **changes}


CERTIFICATES: dict[str, Callable[[Demo], dict[str, Any]]] = {
    "a certificate of a forged issuer": signed_by_thief,
    "a certificate that runs ten years longer": lambda t: changed(t, validUntil="2099-01-01T00:00:00+00:00"),
    "a certificate without its status entries": lambda t: {
        name: value for name, value in credential(t).items() if name != "credentialStatus"
    },
    "a certificate with another name": lambda t: json.loads(
        json.dumps(credential(t)).replace(
            next(iter(n for n in NAMES.values() if n in json.dumps(credential(t)))), "Eve"
        )
    ),
    "a certificate without a proof": lambda t: {n: v for n, v in credential(t).items() if n != "proof"},
    "a proof of another kind": lambda t: changed(t, proof={**credential(t)["proof"], "cryptosuite": "none"}),
    "a proof for another purpose": lambda t: changed(
        t, proof={**credential(t)["proof"], "proofPurpose": "authentication"}
    ),
    "a proof from another certificate": lambda t: changed(t, id="urn:uuid:00000000-0000-5000-8000-000000000000"),
}


@pytest.mark.parametrize("name", CERTIFICATES)
def test_a_certificate_is_refused(target: Demo, name: str) -> None:
    """Against the pinned key nothing holds but what the office signed; the honest one does."""
    public = target.key("office").public
    verify_proof(credential(target), public)
    with pytest.raises(VerificationError):
        verify_proof(CERTIFICATES[name](target), public)


# ---- Names ----------------------------------------------------------------------------------------------------------

INJECTED = {
    "markup of a page": "<img src=x onerror=alert(1)>",
    "the end of a script": "</script><script>alert(1)</script>",
    "markup of the print": '#read("/etc/passwd") *bold* $x$ @ref',
    "a formula of a spreadsheet": '=HYPERLINK("http://example.invalid","click")',
    "a template": "{{ company.name }}{% raw %}",
    "a quotation that ends an attribute": "\"' onmouseover='x",
    "places for values": "{person} {0} %s",
}


@pytest.mark.parametrize("name", INJECTED)
def test_a_name_stays_a_name(target: Demo, tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Board, registers, certificate and table show it letter by letter; nothing of it is run, filled in or opened."""
    text = INJECTED[name]
    desk = dataclasses.replace(target.desk(), now=target.made)
    enter_person(desk, PersonFile(person="asta", name=text))
    records = ["--records", str(target.records)]
    board = tmp_path / "board.html"
    assert main(["clearance", "--out", str(board), *records]) == 0
    page = board.read_text("utf-8")
    assert "<img src=x" not in page
    assert "<script>alert" not in page
    assert "onmouseover='x" not in page
    assert main(["clearance", "--person", "asta", *records]) == 0
    assert text in capsys.readouterr().out
    assert main(["ledger", "export", "--out", str(tmp_path / "out"), *records]) == 0
    rows = list(csv.reader((tmp_path / "out" / "people.csv").open(encoding="utf-8", newline="")))
    cell = next(row for row in rows if row[0] == "asta")[1]
    assert cell == (f"'{text}" if text.startswith("=") else text)
    assert main(["certificate", "asta", "2", *records]) == 0
    names = [path.name for path in (target.records / "certificates").iterdir()]
    assert all(re.fullmatch(r"c-[a-z2-7]{12}\.(json|pdf|jwt)", each) for each in names)


@pytest.mark.parametrize(
    "text", ["Asta\nFellweather\x00", "Asta\u202eretsA", "\u2028", "Asta\x1b[2J", " ", "\ud800"], ids=ascii
)
def test_a_name_that_cannot_be_read_is_refused(target: Demo, text: str) -> None:
    """Signs that turn the line round, end it, or clear a screen are no part of a name."""
    before = target.state().count
    with pytest.raises(InputError):
        enter_person(target.desk(), PersonFile(person="asta", name=text))
    assert target.state().count == before


FILES = {
    "a key twice": ("fact.json", b'{"person": "dane", "person": "asta", "name": "X"}', "stands twice"),
    "brackets without end in a fact": ("fact.json", b'{"name":' + b"[" * 50_000, "nested deeper"),
    "a YAML key twice": ("fact.yaml", b"name: X\nname: Y\n", "fact.yaml"),
    "laughs without end in YAML": (
        "fact.yaml",
        b"a: &a [x,x,x,x,x,x,x,x,x]\n"
        + b"".join(
            f"{chr(98 + at)}: &{chr(98 + at)} [{','.join(['*' + chr(97 + at)] * 9)}]\n".encode() for at in range(8)
        )
        + b"name: *h\n",
        "fact.yaml",
    ),
    "a Python object in YAML": ("fact.yaml", b"name: !!python/object/apply:os.system ['true']\n", "fact.yaml"),
    "a file of two megabytes": ("fact.yaml", b"#" * 2_100_000, "keep it below"),
    "a path as an id": ("fact.yaml", b"person: ../office\nname: X\n", "small letters, digits and dashes"),
    "a field that nobody knows": ("fact.yaml", b"name: X\nadmin: true\n", "admin"),
    "a picture that is a page": ("fact.yaml", b"name: X\nphotograph: page.html\n", "JPEG or PNG"),
    "a picture that is not there": ("fact.yaml", b"name: X\nphotograph: /etc/no-such-picture\n", "cannot be read"),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_for_the_desk_is_refused(
    target: Demo, tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exit 2 with one sentence, and nothing is entered."""
    file, data, said = FILES[name]
    monkeypatch.chdir(tmp_path)
    Path("page.html").write_text("<script>alert(1)</script>", "utf-8")
    Path(file).write_bytes(data)
    before = target.state().count
    assert main(["enter", "person", file, "--records", str(target.records)]) == 2
    shown = [line for line in capsys.readouterr().err.splitlines() if not line.startswith("demo:")]
    assert len(shown) == 1
    assert said in shown[0]
    assert target.state().count == before
