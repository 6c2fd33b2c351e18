"""Facts filed into the ledger: one schema for each kind of file that `warmyard enter` takes, and what becomes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from warmyard.certify.acts.photograph import photograph_of, read_photograph
from warmyard.certify.ledger import bodies, envelope
from warmyard.certify.ledger.admission import countersigned_bytes
from warmyard.certify.ledger.adoption import adopted_scheme, keep_scheme, level_of, load_schemes
from warmyard.certify.ledger.bodies import Code, Day, Id, Role
from warmyard.certify.ledger.entry import Entry
from warmyard.certify.ledger.envelope import SigningKey
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.people import KEPT_FOR_KEYS, LONGEST_NAME, known_person, new_person_id
from warmyard.certify.ledger.sides import drop_side, erase_files, read_side, write_side
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.appeal import decision_of, verify_lodging, verify_outcome
from warmyard.course.model import Scheme
from warmyard.course.scheme_shape import SURVEILLANCE
from warmyard.errors import InputError

LongText = Annotated[str, Meta(min_length=1, max_length=20_000)]


class _File(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What a file for `enter` holds."""


class PersonFile(_File, frozen=True, kw_only=True):
    """A person: without an id a random one is drawn; with the id of somebody entered, name and roles change.

    Roles are all that the person has from now on; a photograph stays until there is another.
    """

    name: Annotated[str, Meta(min_length=1, max_length=LONGEST_NAME)]
    roles: tuple[Role, ...] = ()
    person: Id = ""
    photograph: str = ""
    """A JPEG or PNG file, named from where the command runs."""


class KeyFile(_File, frozen=True, kw_only=True):
    """A key added, retired, replaced or stolen. Without `public` a new key is made and kept in keys/."""

    action: Literal["add", "retire", "replace", "stolen"]
    person: Id = ""
    use: Literal["person", "office", "recovery"] = "person"
    key: bodies.KeyId = ""
    """Which key; needed only when the person has several."""
    public: bodies.Public = ""
    since_entry: bodies.Count = 0


class EvidenceFile(_File, frozen=True, kw_only=True):
    """Evidence for a prerequisite, or a surveillance that was passed."""

    person: Id
    what: Code
    level: bodies.LevelNumber
    on: Day
    by: Id
    count: Annotated[int, Meta(ge=1, le=1_000_000)] = 1
    trained_by: tuple[Id, ...] = ()
    text: LongText = ""


class WaiverFile(_File, frozen=True, kw_only=True):
    """Conflicts of interest that two people accept."""

    person: Id
    level: bodies.LevelNumber
    decider: Id
    conflicts: tuple[bodies.ConflictKind, ...] = ()
    """Of the decider."""
    observers: tuple[Id, ...] = ()
    """Observers who declared an interest in the candidate."""
    because: LongText
    second: Id
    """Who countersigns, with a key of their own."""


class AppealFile(_File, frozen=True, kw_only=True):
    """An appeal against a decision, or its outcome."""

    person: Id
    decision: bodies.Count
    """Number of the decision's entry."""
    stage: Literal["lodged", "upheld", "dismissed"]
    on: Day
    text: LongText
    by: tuple[Id, ...] = ()


class VoidFile(_File, frozen=True, kw_only=True):
    """An entry that counts no longer."""

    entry: bodies.Count
    because: Code


class EraseFile(_File, frozen=True, kw_only=True):
    """A person to be forgotten."""

    person: Id
    because: Code


@dataclass(frozen=True, slots=True)
class Desk:
    """Where a fact is filed: the folder, its ledger as verified, the moment, and whose key signs."""

    records: Path
    ledger: Ledger
    state: State
    now: datetime
    signer: SigningKey


@dataclass(frozen=True, slots=True)
class Filed:
    """The entry that was made, and what to tell the person at the desk."""

    entry: Entry
    say: str


def read_day(text: str, now: datetime) -> date:
    """Return a day; raise InputError when it is none, or lies in the future."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise InputError(f"{text!r} is not a day; write it as 2026-03-31") from None
    if day > now.date():
        raise InputError(f"{day} lies in the future; enter it when it has happened")
    return day


def file_scheme(desk: Desk, scheme: Scheme) -> Filed:
    """Adopt a scheme from now on."""
    digest = keep_scheme(desk.records, scheme)
    if desk.state.adopted and desk.state.adopted[-1].body.digest == digest:
        raise InputError("this very scheme is adopted already")
    body = bodies.SchemeAdopted(scheme=scheme.id, version=scheme.version, digest=digest)
    entry = _append(desk, "scheme", "", body)
    load_schemes(desk.records, desk.state)
    return Filed(entry, f"scheme {scheme.id} {scheme.version} is adopted")


def file_person(desk: Desk, file: PersonFile) -> Filed:
    """Enter a person, or change the name and roles of one."""
    name = " ".join(file.name.split())
    if not name or any(not character.isprintable() for character in name):
        raise InputError("the name holds signs that cannot be printed, or nothing")
    person = file.person or new_person_id()
    if person in KEPT_FOR_KEYS:
        raise InputError(f"{person} is the name of a key of the office; give the person another id, or none")
    if person in desk.state.people:
        known_person(desk.state, person)
    known = photograph_of(desk.records, desk.state, person)
    photograph = read_photograph(Path(file.photograph)) if file.photograph else known
    content: dict[str, Any] = {"name": name, "photograph": photograph} if photograph else {"name": name}
    before = desk.state.people[person].roles if person in desk.state.people else file.roles
    entry = append_with_side(desk, "person", person, content, lambda side: bodies.Person(roles=file.roles, side=side))
    changed = f" (before: {', '.join(before) or 'none'})" if before != file.roles else ""
    return Filed(entry, f"person {person}, roles: {', '.join(file.roles) or 'none'}{changed}")


def file_key(desk: Desk, file: KeyFile, made: SigningKey | None) -> Filed:
    """Enter what became of a key; `made` is the new key where this machine made it."""
    state = desk.state
    person = known_person(state, file.person) if file.use == "person" else ""
    if file.action == "stolen" and not 1 <= file.since_entry <= state.count:
        raise InputError("write since_entry: the first entry that the thief may have signed, 1 when you do not know")
    if file.use != "person" and file.person:
        raise InputError(f"the {file.use} key belongs to nobody; leave person out")
    old = "" if file.action == "add" else _old_key(state, file, person)
    fresh = file.action in ("add", "replace")
    if fresh and not (file.public or made):
        raise InputError("a new key has a public half")
    public = file.public or (envelope.encode_base64url(made.public) if made else "")
    body = bodies.Key(
        action=file.action, use=file.use,
        key=envelope.key_id(envelope.decode_base64url(public)) if fresh else old,
        public=public if fresh else "", replaces=old if file.action == "replace" else "", since_entry=file.since_entry,
    )  # fmt: skip
    entry = _append(desk, "key", person, body)
    say = f"key {body.key} of {person or 'the ' + file.use}: {file.action}"
    if file.action == "stolen" or file.since_entry:
        say += f"; entries to confirm: {', '.join(map(str, entries_to_confirm(state))) or 'none'}"
    return Filed(entry, say)


def _old_key(state: State, file: KeyFile, person: str) -> str:
    held = [key.id for key in state.keys.values() if (key.use, key.owner, key.until_entry) == (file.use, person, 0)]
    if file.key:
        if file.key not in held:
            raise InputError(f"{file.key} is not a key that holds; those are {', '.join(held) or 'none'}")
        return file.key
    if len(held) != 1:
        raise InputError(f"name the key; those that hold are {', '.join(held) or 'none'}")
    return held[0]


def entries_to_confirm(state: State) -> list[int]:
    """Return every entry that was signed with a stolen key after the theft, or with a key added by such a one."""
    return [number for number, fact in sorted(state.by_number.items()) if state.may_be_forged(fact.entry)]


def file_evidence_list(desk: Desk, files: Sequence[EvidenceFile]) -> list[Filed]:
    """Enter several pieces of evidence; all are looked at before the first is entered."""
    seen: set[EvidenceFile] = set()
    for file in files:
        check_evidence(desk, file)
        if file in seen:
            raise InputError(f"{file.what} of {file.person} on {file.on} stands twice in the file; nothing was entered")
        seen.add(file)
    return [file_evidence(desk, file) for file in files]


def check_evidence(desk: Desk, file: EvidenceFile) -> tuple[str, date]:
    """Return person and day of a piece of evidence; raise InputError when it is none that the scheme asks for."""
    _, scheme = adopted_scheme(desk.state)
    level = level_of(scheme, file.level)
    offered = [*(wanted.id for wanted in level.prerequisites), SURVEILLANCE]
    if file.what not in offered:
        raise InputError(f"level {level.level} asks for no {file.what!r}; it asks for {', '.join(offered)}")
    person = known_person(desk.state, file.person)
    for named in (file.by, *file.trained_by):
        if known_person(desk.state, named) == person:
            raise InputError("nobody vouches for himself or herself, or trains himself or herself")
    known = _same_evidence(desk, person, file)
    if known:
        raise InputError(
            f"{file.what} of {person} on {file.on} is entered already, as entry {known}; take it out of the file, or "
            "when it is another, say in text what tells it apart"
        )
    return person, read_day(file.on, desk.now)


def _same_evidence(desk: Desk, person: str, file: EvidenceFile) -> int:
    """Return the entry of the very same evidence: a log that is entered twice would count twice."""
    for fact in desk.state.of(person, bodies.Evidence):
        body = fact.body
        said = (body.what, body.level, body.count, body.by, body.trained_by, fact.entry.effective_on.isoformat())
        if said == (file.what, file.level, file.count, file.by, file.trained_by, file.on):
            text = read_side(desk.records, person, body.side).get("text", "") if body.side else ""
            if text == file.text:
                return fact.entry.number
    return 0


def file_evidence(desk: Desk, file: EvidenceFile) -> Filed:
    """Enter evidence for a prerequisite of the adopted scheme, or a surveillance."""
    person, day = check_evidence(desk, file)

    def body(side: str) -> bodies.Evidence:
        return bodies.Evidence(
            what=file.what, level=file.level, count=file.count, by=file.by, trained_by=file.trained_by, side=side
        )

    if file.text:
        entry = append_with_side(desk, "evidence", person, {"text": file.text}, body, on=day)
    else:
        entry = _append(desk, "evidence", person, body(""), on=day)
    return Filed(entry, f"evidence {file.what} of {person}")


def file_waiver(desk: Desk, file: WaiverFile, second: SigningKey) -> Filed:
    """Enter a waiver, countersigned by another person."""
    state = desk.state
    person, decider, other = (known_person(state, named) for named in (file.person, file.decider, file.second))
    observers = tuple(sorted({known_person(state, named) for named in file.observers}))
    if not (file.conflicts or observers):
        raise InputError("write what is waived: conflicts of the decider, observers who declared an interest, or both")
    if not state.has_role(decider, "decider"):
        raise InputError(f"{decider} is not a decider")
    may = state.has_role(other, "custodian") or state.has_role(other, "decider")
    if other in (person, decider, *observers) or not may:
        raise InputError("a waiver is countersigned by a custodian or another decider, never by those it is about")
    key = state.key_at(second.id)
    if key is None or key.owner != other:
        raise InputError(f"the second key is not one of {other}'s that holds")

    def body(side: str) -> bodies.Waiver:
        blank = bodies.Waiver(
            waiver=f"w-{envelope.new_name(10)}", level=file.level, decider=decider,
            conflicts=tuple(sorted(set(file.conflicts))), observers=observers, side=side,
            countersign=bodies.Countersign(person=other, key=second.id, signature=""),
        )  # fmt: skip
        signature = envelope.encode_base64url(envelope.sign(second, countersigned_bytes(person, blank)))
        signed = bodies.Countersign(person=other, key=second.id, signature=signature)
        return msgspec.structs.replace(blank, countersign=signed)

    entry = append_with_side(desk, "waiver", person, {"because": file.because}, body)
    return Filed(entry, f"waiver for {decider} about {person}, countersigned by {other}")


def file_appeal(desk: Desk, file: AppealFile) -> Filed:
    """Enter an appeal, or how it ended."""
    person, day = known_person(desk.state, file.person), read_day(file.on, desk.now)
    decision = decision_of(desk.state, person, file.decision)
    if file.stage == "lodged":
        verify_lodging(desk.state, decision, day)
    else:
        verify_outcome(desk.state, decision, file.by, day)
    entry = append_with_side(
        desk, "appeal", person, {"text": file.text},
        lambda side: bodies.Appeal(decision=file.decision, stage=file.stage, by=file.by, side=side), on=day,
    )  # fmt: skip
    return Filed(entry, f"appeal of {person} against entry {file.decision}: {file.stage}")


def file_void(desk: Desk, file: VoidFile) -> Filed:
    """Make an entry count no longer."""
    if not 1 <= file.entry <= desk.state.count:
        raise InputError(f"there is no entry {file.entry}")
    entry = _append(desk, "void", "", bodies.Void(entry=file.entry, because=file.because))
    return Filed(entry, f"entry {file.entry} counts no longer")


def file_erase(desk: Desk, file: EraseFile) -> Filed:
    """Forget a person: the entry first, then the files; an interruption is finished by the next entry."""
    person = known_person(desk.state, file.person)
    entry = _append(desk, "erase", person, bodies.Erase(because=file.because))
    gone = erase_files(desk.records, desk.state, person)
    return Filed(
        entry,
        f"{person} is forgotten, {gone} files deleted, certificates that name them among these: write those again. "
        "Copies of this folder, and texts of others that mention them, still do",
    )


def _append(desk: Desk, kind: str, person: str, body: bodies.Body, on: date | None = None) -> Entry:
    return desk.ledger.append(kind, person, body, on or desk.now.date(), desk.now, desk.signer)


def append_with_side(
    desk: Desk,
    kind: str,
    person: str,
    content: dict[str, Any],
    body: Any,
    on: date | None = None,
) -> Entry:
    """Append an entry whose side file is written first, and removed again when the entry is refused.

    An interruption removes nothing: nobody knows then whether the entry stands, and one without its file is broken.
    """
    side = write_side(desk.records, person, kind, content)
    try:
        return _append(desk, kind, person, body(side), on)
    except Exception:
        drop_side(desk.records, person, side)
        raise


def file_observation(desk: Desk, person: str, body: bodies.Observation, content: dict[str, Any], on: date) -> Filed:
    """Enter an observation that was judged; its notes and names go to the side file."""
    known_person(desk.state, person)
    for observer in body.observers:
        known_person(desk.state, observer)
        if not desk.state.has_role(observer, "examiner"):
            raise InputError(f"{observer} is not an examiner; enter the role first")
        if observer == person:
            raise InputError("nobody observes himself or herself")

    def with_side(side: str) -> bodies.Observation:
        return msgspec.structs.replace(body, side=side)

    entry = append_with_side(desk, "observation", person, content, with_side, on=on)
    return Filed(entry, f"station {body.station} of {person}: {'passed' if body.passed else 'not passed'}")


FILES: dict[str, type[_File]] = {
    "person": PersonFile,
    "key": KeyFile,
    "evidence": EvidenceFile,
    "waiver": WaiverFile,
    "appeal": AppealFile,
    "void": VoidFile,
    "erase": EraseFile,
}
"""Kinds whose files have a schema of their own; an observation is a form's file, a scheme a scheme."""


def schema_words(shape: type[msgspec.Struct]) -> Sequence[str]:
    """Return the fields that a file has, the needed ones first."""
    fields = msgspec.structs.fields(shape)
    return [field.name for field in fields if field.required] + [
        f"[{field.name}]" for field in fields if not field.required
    ]
