"""Everything that the record says about a candidate for a level, as the evidence page of the decider shows it.

What is missing stands first, and it is what `decide` would refuse for: both ask `assess`.
"""

from __future__ import annotations

import base64
import binascii
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any

from warmyard.certify.ledger.bodies import (
    Appeal,
    Decision,
    Evidence,
    Irregularity,
    Observation,
    Paper,
    Sitting,
    Waiver,
)
from warmyard.certify.ledger.people import people_with
from warmyard.certify.ledger.state import Fact
from warmyard.certify.ledger.witness import witness_text
from warmyard.certify.report.candidate import Candidate
from warmyard.certify.report.examinations import Exams
from warmyard.certify.rules.appeal import decision_of, open_appeal
from warmyard.certify.rules.assessment import Assessment, assess, irregularity_text
from warmyard.certify.rules.conflict import Conflict, conflicts, waiver_for
from warmyard.certify.rules.interest import has_declared
from warmyard.certify.rules.judge import used_waivers
from warmyard.course.scheme_shape import HELD_LEVEL
from warmyard.page.evidence_page import EvidencePage, Line, Table

PICTURES = ((b"\xff\xd8\xff", "jpeg"), (b"\x89PNG\r\n\x1a\n", "png"))


def make_evidence_page(ask: Candidate) -> EvidencePage:
    """Return the page; raise VerificationError when a side file is not what was entered."""
    found = assess(ask.state, ask.level, ask.person, ask.on)
    exams = Exams(ask, found.evidence)
    deciders = _deciders(ask, found)
    nobody = () if any(not line.look for line in deciders.lines) else (ask.say("nobody"),)
    tables = (
        deciders, _identity(ask), _prerequisites(ask, found), exams.sittings(), exams.stations(), _people(ask),
        _irregularities(ask), _decisions(ask),
    )  # fmt: skip
    adopted = ask.state.adopted[-1].body
    return EvidencePage(
        title=ask.say("title"), name=ask.name(ask.person), photograph=_photograph(ask), tables=tables,
        subtitle=(
            ask.name(ask.person), ask.say("level", level=ask.level.level, name=ask.level.name),
            ask.say("day", day=ask.on),
        ),
        intro=ask.say(
            "intro", entries=ask.state.count, witness=witness_text(ask.state.tip), scheme=adopted.scheme,
            version=adopted.version,
        ),
        missing_head=ask.say("missing"), missing=(*ask.told(found.missing), *nobody),
        nothing_missing=ask.say("nothing"),
        notes_head=ask.say("notes"),
        notes=(*ask.told(found.notes), *_open_appeals(ask), *_undeclared(ask, found), *exams.notes()),
        sign_head=ask.say("sign"), sign=ask.heads("sign_decision", "sign_name"),
    )  # fmt: skip


def _open_appeals(ask: Candidate) -> Iterator[str]:
    for fact in ask.state.of(ask.person, Appeal):
        if open_appeal(ask.state, decision_of(ask.state, ask.person, fact.body.decision)) is fact:
            yield ask.say("note_appeal", decision=fact.body.decision, entry=fact.entry.number)


def _undeclared(ask: Candidate, found: Assessment) -> Iterator[str]:
    """Yield who decides or observed and has no recent declaration of interests: this stops nothing."""
    seen = [fact for fact in ask.state.of(ask.person, Observation) if fact.entry.number in found.evidence]
    observers = [observer for fact in seen for observer in fact.body.observers]
    months = ask.scheme.declare_months
    for role, people in (("decider", people_with(ask.state, "decider")), ("observer", observers)):
        for person in dict.fromkeys(people):
            if person != ask.person and not has_declared(ask.state, person, ask.on, months):
                yield ask.say(f"note_undeclared_{role}", name=ask.name(person), months=months)


def _photograph(ask: Candidate) -> str:
    text = ask.side(ask.state.people[ask.person].side).get("photograph")
    try:
        data = base64.b64decode(text, validate=True) if isinstance(text, str) else b""
    except binascii.Error:
        return ""
    return next((f"data:image/{kind};base64,{text}" for start, kind in PICTURES if data.startswith(start)), "")


def _deciders(ask: Candidate, assessed: Assessment) -> Table:
    lines, used = [], used_waivers(ask.state, ask.person)
    for decider in people_with(ask.state, "decider"):
        found = conflicts(ask.state, decider, ask.person, ask.on, ask.scheme.conflict_months, assessed.evidence)
        level, after = ask.level.level, ask.state.count + 1
        waiver = waiver_for(ask.state, decider, ask.person, level, found, after, used) if found else None
        why = list(_conflicts_said(ask, found))
        if waiver:
            because = ask.side(waiver.body.side).get("because", "")
            why.append(ask.say("decider_waived", entry=waiver.entry.number, because=because))
        bars = [ask.say("decider_self")] if decider == ask.person else []
        bars += [] if ask.state.person_keys(decider) else [ask.say("decider_key")]
        may = not bars and (not found or waiver is not None)
        answer = ask.say("may_yes" if may else "may_no")
        lines.append(Line(cells=([ask.name(decider)], [answer], [*bars, *why]), look="" if may else "bad"))
    note = ask.say("deciders_note", months=ask.scheme.conflict_months)
    heads = ask.heads("decider", "may", "why")
    return Table(title=ask.say("deciders"), heads=heads, lines=lines, empty=ask.say("deciders_none"), note=note)


def _conflicts_said(ask: Candidate, found: Iterable[Conflict]) -> Iterator[str]:
    """Yield a sentence for each conflict; what was done on one day stands once, with all its entries."""
    together: dict[tuple[str, date, str], list[str]] = {}
    for each in found:
        together.setdefault((each.kind, each.on, each.observer), []).append(str(each.entry))
    for (kind, on, observer), entries in together.items():
        said = ask.say("decider_conflict", kind=ask.say(kind), on=on, entries=", ".join(entries))
        yield ask.say("observer_conflict", name=ask.name(observer), what=said) if observer else said


def _identity(ask: Candidate) -> Table:
    since = ask.state.by_number[ask.state.people[ask.person].since_entry]
    photograph = ask.say("photograph_yes" if _photograph(ask) else "photograph_no")
    lines = [
        Line(cells=([ask.say("identity_entered")], [ask.entry(since)])),
        Line(cells=([ask.say("identity_photograph")], [photograph])),
    ]
    for fact in ask.facts():
        if isinstance(fact.body, Sitting) and fact.body.level == ask.level.level:
            by = fact.body.invigilator
            who = ask.say("invigilator", name=ask.name(by)) if by else ask.say("identity_nobody")
            what = ask.say("identity_sitting", paper=fact.body.paper)
            lines.append(Line(cells=([what], [ask.entry(fact), who]), look="" if by else "bad"))
    return Table(title=ask.say("identity"), heads=ask.heads("fact", "found"), lines=lines, empty="")


def _prerequisites(ask: Candidate, assessed: Assessment) -> Table:
    lines = []
    for found in assessed.found.prerequisites:
        wanted, look = found.wanted, "bad" if found.missing else ""
        if HELD_LEVEL.match(wanted.id):
            answer = ask.say("not_held" if found.missing else "held")
            lines.append(Line(cells=([wanted.text], ["1"], [answer], []), look=look))
            continue
        mine = [
            fact
            for fact in ask.facts()
            if isinstance(fact.body, Evidence) and (fact.body.what, fact.body.level) == (wanted.id, ask.level.level)
        ]
        proofs = [_proof(ask, fact, assessed.evidence) for fact in mine]
        lines.append(Line(cells=([wanted.text], [str(wanted.count)], [str(found.have)], proofs), look=look))
    heads = ask.heads("asked", "needed", "found", "proofs")
    return Table(title=ask.say("prerequisites"), heads=heads, lines=lines, empty=ask.say("prerequisites_none"))


def _proof(ask: Candidate, fact: Fact[Evidence], evidence: tuple[int, ...]) -> str:
    body = fact.body
    taught = ", ".join(map(ask.name, body.trained_by))
    text = ask.side(body.side).get("text", "")
    said = ask.say(
        "proof", entry=ask.entry(fact), count=body.count, by=ask.name(body.by),
        trained=ask.say("proof_trained", names=taught) if taught else "",
        text=ask.say("proof_text", text=text) if text else "",
    )  # fmt: skip
    counts, look = ask.counting(fact, evidence)
    return f"{said} [{counts}]" if look else said


def _people(ask: Candidate) -> Table:
    did: dict[str, dict[str, list[int]]] = {}

    def note(person: str, what: str, fact: Fact[Any]) -> None:
        if person:
            did.setdefault(person, {}).setdefault(what, []).append(fact.entry.number)

    for fact in ask.facts():
        body = fact.body
        if fact.entry.number in ask.state.voided:
            continue
        match body:
            case Evidence():
                for person in dict.fromkeys((body.by, *body.trained_by)):
                    note(person, "did_trained", fact)
            case Observation():
                for person in body.observers:
                    note(person, "did_observed", fact)
            case Sitting() | Paper():
                note(body.invigilator, "did_invigilated", fact)
            case Decision():
                note(body.decider, "did_decided", fact)
    lines = []
    for person, found in did.items():
        roles = ", ".join(ask.say(f"role_{role}") for role in ask.state.people[person].roles) or ask.say("no_roles")
        acts = [ask.say(what, entries=", ".join(map(str, entries))) for what, entries in found.items()]
        lines.append(Line(cells=([ask.name(person)], [roles], acts)))
    heads = ask.heads("person", "roles", "did")
    return Table(title=ask.say("people"), heads=heads, lines=lines, empty=ask.say("people_none"))


def _irregularities(ask: Candidate) -> Table:
    lines = []
    for fact in ask.state.of(ask.person, Irregularity):
        what = [*ask.told([irregularity_text(fact.body)]), *_texts(ask.side(fact.body.side))]
        lines.append(Line(cells=([ask.entry(fact)], [fact.body.paper], what), look="bad"))
    heads = (ask.say("seen_on"), ask.say("paper"), ask.say("what"))
    return Table(title=ask.say("irregularities"), heads=heads, lines=lines, empty=ask.say("irregularities_none"))


def _texts(side: Mapping[str, Any]) -> list[str]:
    return [str(side[name]) for name in ("text", "because") if side.get(name)]


def _decisions(ask: Candidate) -> Table:
    lines = []
    for fact in ask.facts():
        body = fact.body
        if isinstance(body, Decision):
            what = ask.say("decided", level=body.level, action=ask.say(f"action_{body.action}"))
            because, by = [_reason(ask, body)], [ask.name(body.decider)]
        elif isinstance(body, Appeal):
            what = ask.say("appeal", decision=body.decision, stage=ask.say(f"stage_{body.stage}"))
            because, by = _texts(ask.side(body.side)), [ask.name(each) for each in body.by]
        elif isinstance(body, Waiver):
            what = _waived(ask, body)
            because, by = _texts(ask.side(body.side)), [ask.name(body.countersign.person)]
        else:
            continue
        void = fact.entry.number in ask.state.voided
        about = [what, ask.counting(fact, ())[0]] if void else [what]
        lines.append(Line(cells=([ask.entry(fact)], about, because, by), look="faded" if void else ""))
    heads = ask.heads("seen_on", "what", "because", "by")
    return Table(title=ask.say("decisions"), heads=heads, lines=lines, empty=ask.say("decisions_none"))


def _waived(ask: Candidate, body: Waiver) -> str:
    """Return for whom two people accepted a conflict, and which."""
    found = [ask.say("waiver_kind", kind=ask.say(kind)) for kind in body.conflicts]
    found += [
        ask.say("observer_conflict", name=ask.name(each), what=ask.say("waiver_kind", kind=ask.say("declared")))
        for each in body.observers
    ]
    return ask.say("waiver", name=ask.name(body.decider), kinds="; ".join(found))


def _reason(ask: Candidate, body: Decision) -> str:
    scheme = ask.state.schemes.get(body.scheme)
    texts = {reason.id: reason.text for reason in scheme.reasons} if scheme else {}
    return texts.get(body.because, body.because)
