"""Papers: drawn exactly, with own numbers, sealed, and without a key, an answer or a hash of one."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import json
import re
from collections import Counter
from datetime import timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest
from secrets_of_tests import open_sealed

from warmyard.certify.acts.paper import Issued
from warmyard.certify.exam.paper import about, office_secret, paper_parts
from warmyard.certify.exam.paper_key import PaperKey, nameless, read_key
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Sitting
from warmyard.certify.ledger.schemes import level_of
from warmyard.errors import InputError, VerificationError
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import CaseKey, ChoiceKey, NumberKey, OrderKey, PointKey, Question
from warmyard.item.words import marking_words

BASE64 = re.compile(r"[A-Za-z0-9+/=_-]{24,}")


def open_part(page: str) -> dict[str, Any]:
    """Return the open part of a paper: what anybody can read in its file."""
    found = re.search(r'<script type="application/json" id="wy-data-paper">(.*?)</script>', page, re.DOTALL)
    assert found
    facts: dict[str, Any] = json.loads(found.group(1))
    return facts


def sealed_box(sealed: dict[str, Any]) -> envelope.Sealed:
    """Return the box as the open part of a paper writes it."""
    salt, nonce, box = (base64.b64decode(sealed[name]) for name in ("salt", "nonce", "box"))
    return envelope.Sealed(salt, nonce, box, sealed["rounds"])


def phrase_of(issued: Issued) -> str:
    """Return the phrase as it stands on the slip."""
    found = re.search(r"Phrase +(\S+)", issued.slip.read_text(encoding="utf-8"))
    assert found
    return found.group(1)


def unsealed(issued: Issued) -> list[dict[str, Any]]:
    """Return the questions inside a paper, opened with the phrase of its slip as the page opens them."""
    facts = open_part(issued.page.read_text(encoding="utf-8"))
    sealed = facts["sealed"]
    box = sealed_box(sealed)
    bound_to = "|".join(str(facts[name]) for name in ("format", "paper", "person", "level", "part", "attempt"))
    questions: list[dict[str, Any]] = json.loads(open_sealed(phrase_of(issued), box, bound_to.encode()))["questions"]
    return questions


def key_of(office: Any, issued: Issued) -> PaperKey:
    """Return the frozen key, compared with the digest in the ledger."""
    fact = office.ledger.verify().papers[issued.paper]
    return read_key(office.records, issued.paper, fact.body.frozen_key)


def test_two_papers_of_one_person_are_two_entries_with_other_numbers(office: Any) -> None:
    """Each has its own entry and digests, and every item that draws numbers draws others."""
    first = office.issue()
    # A bank of just these items, or the second paper would ask others, less exposed.
    asked = {one.item for one in key_of(office, first).questions}
    few = {name: item for name, item in office.workspace.items.items() if name in asked}
    office.workspace = dataclasses.replace(office.workspace, items=few)
    second = office.issue()
    assert second.entry == first.entry + 1
    assert (first.attempt, second.attempt) == (1, 2)
    bodies = [office.ledger.verify().papers[one.paper].body for one in (first, second)]
    for name in ("page", "frozen_key", "questions"):
        assert getattr(bodies[0], name) != getattr(bodies[1], name)
    numbers = [
        {asked.item: asked.variant.question.given for asked in key_of(office, one).questions} for one in (first, second)
    ]
    shared = [item for item in numbers[0] if numbers[0][item] and item in numbers[1]]
    assert shared
    assert all(numbers[0][item] != numbers[1][item] for item in shared)


def test_two_people_have_other_numbers(office: Any) -> None:
    """The seed of a question is made from the person, so a neighbour's numbers help nobody."""
    keys = [key_of(office, office.issue(person)) for person in ("ann", "ben")]
    seeds = [{asked.item: asked.seed for asked in key.questions} for key in keys]
    assert not set(seeds[0].values()) & set(seeds[1].values())


def test_the_blueprint_is_met_exactly(office: Any) -> None:
    """Counts by duty and demand, and the critical items, are those of the adopted scheme."""
    workspace = office.workspace
    part = paper_parts(level_of(workspace.scheme, 2), None)[0]
    asked = key_of(office, office.issue()).questions
    items = [workspace.items[one.item] for one in asked]
    cells = Counter((workspace.skills[item.skill].duty, item.demand) for item in items)
    wanted: Counter[tuple[str, str]] = Counter()
    for row in part.blueprint:
        wanted[row.duty, row.demand] += row.count
    assert cells == wanted
    assert sum(item.critical for item in items) == part.critical_items
    assert all(item.use == "exam" for item in items)
    assert not any(one.id in other.enemies for one in items for other in items)


def secrets_of(key: PaperKey) -> set[str]:
    """Return texts that would give an answer away: worked steps, reasons, the answer as it is printed, slips."""
    found: set[str] = {key.salt}
    for asked in key.questions:
        answer = asked.variant.key
        found.add(str(asked.seed))
        if isinstance(answer, NumberKey):
            found.update((*answer.steps, repr(answer.value), *(slip.say for slip in answer.slips)))
        if isinstance(answer, ChoiceKey | PointKey | NumberKey):
            found.update(text for text in answer.why.values() if text)
        if isinstance(answer, OrderKey):
            found.update(text for text in answer.reasons.values() if text)
        if isinstance(answer, CaseKey):
            found.update((*answer.best_reasons, *answer.forbidden_reasons.values()))
    # What a check of a case finds is in the question: the page shows it when the check is chosen.
    shown = {text for asked in key.questions for text in findings_of(asked.variant.question)}
    return {text for text in found if len(text) > 8} - set(marking_words().values()) - shown


def findings_of(question: Question) -> set[str]:
    """Return what the checks of a fault case find, as the page shows it when one is chosen."""
    return set() if question.case is None else {check.sees for check in question.case.checks}


def hashes_of(key: PaperKey) -> set[str]:
    """Return hashes of every right answer, plain and with the names that a page has at hand."""
    rights: set[str] = set()
    for asked in key.questions:
        answer = asked.variant.key
        if isinstance(answer, NumberKey):
            rights.update((answer.shown, repr(answer.value), f"{answer.value:g}", answer.verdict))
        elif isinstance(answer, ChoiceKey | PointKey):
            rights.update(answer.right)
        elif isinstance(answer, OrderKey):
            rights.update((",".join(answer.reference), json.dumps(answer.reference)))
        else:
            rights.update((answer.cause, answer.behind, answer.fit))
    texts = {mixed for right in rights for mixed in (right, f"{key.paper}{right}", f"{right}{key.paper}")}
    digests = [make(text.encode()) for text in texts for make in (hashlib.sha256, hashlib.sha1, hashlib.md5)]
    return {shown for found in digests for shown in (found.hexdigest(), base64.b64encode(found.digest()).decode())}


def test_no_key_answer_or_hash_of_one_is_in_the_file_or_the_sealed_questions(office: Any) -> None:
    """Neither the file nor what the phrase opens holds a worked step, a reason, an answer's value, or a hash of one."""
    issued = office.issue()
    key = key_of(office, issued)
    page, inside = issued.page.read_text(encoding="utf-8"), json.dumps(unsealed(issued), ensure_ascii=False)
    for text in secrets_of(key) | hashes_of(key):
        assert text not in page
        assert text not in inside
    for item in {asked.item for asked in key.questions} | {phrase_of(issued), key.salt}:
        assert item not in page
        assert item not in inside
    names = set(Question.__struct_fields__)
    for asked in unsealed(issued):
        assert set(asked) == {"name", "question"}
        assert set(asked["question"]) <= names
        assert not {"seed", "skill", "critical"} & {
            name for name, value in asked["question"].items() if value not in (0, "", False)
        }


def test_an_answer_cannot_be_read_off_the_options(office: Any) -> None:
    """Options stand under plain letters in drawn order, whatever the author called them, and the key still fits."""
    workspace = office.workspace
    for item in workspace.items.values():
        variant = make_variant(item, 7, workspace.surroundings)
        bare = nameless(variant, "q01")
        assert [option.text for option in bare.question.options] == [o.text for o in variant.question.options]
        if isinstance(bare.key, ChoiceKey):
            assert isinstance(variant.key, ChoiceKey)
            assert [option.id for option in bare.question.options] == list("abcdefgh")[: len(bare.question.options)]
            text = {option.id: option.text for option in variant.question.options}
            bare_text = {option.id: option.text for option in bare.question.options}
            assert [bare_text[id] for id in bare.key.right] == [text[id] for id in variant.key.right]
            assert set(bare.key.why.values()) == set(variant.key.why.values())


def test_questions_cannot_be_read_before_the_phrase(office: Any) -> None:
    """No question's text stands in the file, and without the phrase or with an edited open part it does not open."""
    issued = office.issue()
    page = issued.page.read_text(encoding="utf-8")
    for asked in unsealed(issued):
        assert asked["question"]["ask"][:40] not in page
    facts = open_part(page)
    sealed = facts["sealed"]
    box = sealed_box(sealed)
    good = f"{facts['format']}|{facts['paper']}|ann|2|{facts['part']}|1".encode()
    with pytest.raises(VerificationError):
        open_sealed("AAAA-AAAA-AAAA-AAAA-AAAA", box, good)
    with pytest.raises(VerificationError):
        open_sealed(phrase_of(issued), box, good.replace(b"ann", b"ben"))


def test_the_page_asks_the_network_for_nothing(office: Any) -> None:
    """Policy without sources, no address but the drawings' namespace, no source attribute, no mark of an item."""
    page = office.issue().page.read_text(encoding="utf-8")
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
    assert policy
    assert policy.group(1).startswith("default-src &#39;none&#39;; script-src &#39;sha256-")
    assert "unsafe-eval" not in policy.group(1)
    outside = set(re.findall(r"https?://[^\s\"'<>)]+", page))
    assert outside <= {"http://www.w3.org/2000/svg"}
    assert not re.search(r"<(script|img|link|iframe)[^>]*\b(src|href)=(?!\"data:,\")", page)


def test_the_slip_is_the_only_place_of_the_phrase(office: Any) -> None:
    """100 bits, on the slip, in no other file of the records folder."""
    issued = office.issue()
    phrase = phrase_of(issued)
    assert len(envelope.plain_phrase(phrase)) == 20
    holding = [path for path in office.records.rglob("*") if path.is_file() and phrase.encode() in path.read_bytes()]
    assert holding == [issued.slip]
    assert issued.paper in issued.slip.read_text(encoding="utf-8")


def test_a_changed_key_is_found(office: Any) -> None:
    """A key file of which one byte was changed, or that is missing, marks nothing."""
    issued = office.issue()
    path: Path = office.records / "keys-of-papers" / f"{issued.paper}.json"
    digest = office.ledger.verify().papers[issued.paper].body.frozen_key
    data = path.read_bytes()
    path.write_bytes(data.replace(b'"cut_percent":"80"', b'"cut_percent":"10"'))
    with pytest.raises(VerificationError, match="changed after the paper was issued"):
        read_key(office.records, issued.paper, digest)
    path.unlink()
    with pytest.raises(VerificationError, match="is not there"):
        read_key(office.records, issued.paper, digest)


def enter_outcome(office: Any, issued: Issued, now: Any, *, passed: bool) -> None:
    """Enter a sitting with the outcome that a test wants."""
    body = Sitting(
        paper=issued.paper, level=2, part="knowledge", record=envelope.digest(issued.paper.encode()), passed=passed,
        right=8 if passed else 2, of=8, cut_percent="75",
    )  # fmt: skip
    office.ledger.append("sitting", "ann", body, now.date(), now, office.key)


def test_the_scheme_allows_three_papers_in_twelve_months(office: Any) -> None:
    """The fourth is refused with the day from which it is allowed, and nothing is written."""
    start = office.ledger.verify().last_recorded_at
    for days in (0, 10, 20):
        office.issue(now=start + timedelta(days=days))
    before = sorted(office.records.rglob("*"))
    with pytest.raises(InputError, match=r"3 papers in 12 months and 3 were issued.*2028-03-01"):
        office.issue(now=start + timedelta(days=30))
    assert sorted(office.records.rglob("*")) == before
    assert office.issue(now=start + timedelta(days=367)).attempt == 4


def test_after_a_fail_the_scheme_wants_a_wait(office: Any) -> None:
    """Six days after the fail: refused with the day; seven days after: issued."""
    start = office.ledger.verify().last_recorded_at
    enter_outcome(office, office.issue(now=start), start, passed=False)
    with pytest.raises(InputError, match=r"7 days in between.*2027-03-08"):
        office.issue(now=start + timedelta(days=6))
    assert office.issue(now=start + timedelta(days=7)).attempt == 2


def test_a_pass_ends_the_series(office: Any) -> None:
    """After a pass the count begins anew, for the renewal."""
    start = office.ledger.verify().last_recorded_at
    office.issue(now=start)
    office.issue(now=start)
    enter_outcome(office, office.issue(now=start), start, passed=True)
    assert office.issue(now=start).attempt == 4


def test_nobody_unknown_gets_a_paper(office: Any) -> None:
    """Somebody who is not entered is refused before anything is drawn."""
    with pytest.raises(InputError, match="enter the person first"):
        office.issue("zoe")
    assert not (office.records / "papers").exists()


def test_the_secret_is_kept_and_wanted_whole(office: Any) -> None:
    """The office secret is made once, readable by its owner only; a damaged one stops papers."""
    secret = office_secret(office.records)
    assert office_secret(office.records) == secret
    path = office.records / "keys" / "papers.secret"
    assert path.stat().st_mode & 0o077 == 0
    path.write_text("abcd", encoding="ascii")
    with pytest.raises(InputError, match=r"papers\.secret"):
        office.issue()


def test_a_refused_entry_leaves_no_paper(office: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the ledger cannot be written, page, slip and key are taken away again."""

    def refuse(*_: object) -> None:
        raise InputError("nothing was entered")

    monkeypatch.setattr(office.ledger, "append", refuse)
    with pytest.raises(InputError, match="nothing was entered"):
        office.issue()
    assert not [path for name in ("papers", "keys-of-papers") for path in (office.records / name).iterdir()]


def test_frozen_keys_survive_a_round_through_their_file(office: Any) -> None:
    """Every kind of item comes back from its key file as it went in."""
    workspace = office.workspace
    for item in workspace.items.values():
        variant = make_variant(item, 3, workspace.surroundings)
        assert msgspec.json.decode(msgspec.json.encode(variant), type=type(variant)) == variant
    assert about.__doc__
