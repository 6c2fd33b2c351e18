"""What can happen to somebody in the demo: each step goes through the function that the office uses for it."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import TypeAlias

from warmyard.certify.acts.appeal import AppealFile, enter_appeal
from warmyard.certify.acts.certificate import give_certificate
from warmyard.certify.acts.decision import decide
from warmyard.certify.acts.desk import Desk
from warmyard.certify.acts.evidence import EvidenceFile, enter_evidence
from warmyard.certify.acts.hand_in import hand_in
from warmyard.certify.acts.interest import InterestFile, enter_interest
from warmyard.certify.acts.key import KeyFile, enter_key
from warmyard.certify.acts.notice import AcknowledgementFile, NoticeFile, enter_acknowledgement, enter_notice
from warmyard.certify.acts.observation import enter_form
from warmyard.certify.acts.paper import Issued, issue_paper
from warmyard.certify.acts.person import PersonFile, enter_person
from warmyard.certify.acts.waiver import WaiverFile, enter_waiver
from warmyard.certify.demo.files import form_file, portrait_png, sitting_file
from warmyard.certify.exam.adjustments import NONE, Adjustments
from warmyard.certify.exam.paper import Request
from warmyard.certify.exam.paper_key import read_key
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Decision
from warmyard.certify.ledger.code import code_of
from warmyard.certify.ledger.envelope import SigningKey, new_key, new_phrase, save_key
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.folders import KEYS, SITTINGS
from warmyard.certify.ledger.ledger import Ledger
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.asking import Action
from warmyard.course.scheme_model import Level, Part
from warmyard.course.scheme_shape import HELD_LEVEL
from warmyard.course.workspace import Workspace


@dataclass(slots=True)
class Stage:
    """The demo while it is made."""

    records: Path
    ledger: Ledger
    workspace: Workspace
    today: datetime
    keys: dict[str, SigningKey]
    minutes: int = 0
    issued: dict[tuple[str, int, str], Issued] = field(default_factory=dict)

    @property
    def state(self) -> State:
        """What the ledger says by now."""
        return self.ledger.state

    def desk(self, days_ago: int) -> Desk:
        """Return the office's desk on a day; every use is a minute later, so that time never goes back."""
        self.minutes += 1
        moment = self.today - timedelta(days=days_ago) + timedelta(minutes=self.minutes)
        return Desk(self.ledger, moment, self.keys["office"])


Do: TypeAlias = Callable[[Stage, Desk], object]
Step: TypeAlias = tuple[int, Do]
"""How many days ago, and what was done."""


def make_key(records: Path, name: str) -> SigningKey:
    """Make a key with its phrase in a file beside it: for the demo only, so that every command can be tried."""
    key, phrase = new_key(), new_phrase()
    path = KEYS.at(records) / f"{name}.pem"
    save_key(key, path, phrase)
    path.with_suffix(".phrase").write_text(phrase + "\n", encoding="ascii")
    return key


def entered(person: str, name: str, shade: int) -> Do:
    """Return the step that enters a candidate, with a drawn head in place of a photograph."""

    def step(_: Stage, desk: Desk) -> object:
        with tempfile.TemporaryDirectory() as folder:
            portrait = Path(folder) / "portrait.png"
            portrait.write_bytes(portrait_png(shade))
            return enter_person(desk, PersonFile(person=person, name=name, photograph=str(portrait)))

    return step


def trained(
    level: Level, person: str, days_ago: int, trainer: str, counts: Mapping[str, int] | None = None
) -> Iterator[Step]:
    """Yield the evidence for every prerequisite of a level; `counts` has less of some, 0 for nothing."""
    for wanted in level.prerequisites:
        count = (counts or {}).get(wanted.id, wanted.count)
        if count and not HELD_LEVEL.match(wanted.id):
            yield days_ago, vouched(level, person, wanted.id, count, trainer)


def vouched(level: Level, person: str, what: str, count: int, by: str) -> Do:
    """Return the step that enters one piece of evidence of that day."""

    def step(_: Stage, desk: Desk) -> object:
        file = EvidenceFile(
            person=person, what=what, level=level.level, count=count, by=by, on=desk.now.date().isoformat(),
            text="Seen and noted for the demo.",
        )  # fmt: skip
        return enter_evidence(desk, file)

    return step


def sat(
    level: Level,
    person: str,
    days_ago: int,
    misses: Mapping[str, tuple[int, int]] | None = None,
    adjustments: Adjustments = NONE,
) -> Iterator[Step]:
    """Yield every paper of a level, issued and handed in; `misses` says by part how many in a hundred were wrong."""
    for part in level.parts:
        if part.kind == "paper":
            yield days_ago, issued(level, person, part, adjustments)
            yield days_ago, handed_in(level, person, part, *(misses or {}).get(part.id, (0, 0)))


def issued(level: Level, person: str, part: Part, adjustments: Adjustments = NONE) -> Do:
    """Return the step that issues one paper."""

    def step(stage: Stage, desk: Desk) -> None:
        request = Request(
            person=person, level=level, part=part, scheme=stage.workspace.scheme, now=desk.now, adjustments=adjustments,
        )  # fmt: skip
        made = issue_paper(desk, stage.workspace, request)
        stage.issued[person, level.level, part.id] = made

    return step


def handed_in(level: Level, person: str, part: Part, wrong_percent: int = 0, critical_misses: int = 0) -> Do:
    """Return the step that hands in the paper issued last, with a share in percent of the questions wrong."""

    def step(stage: Stage, desk: Desk) -> None:
        paper = stage.issued[person, level.level, part.id].paper
        key = read_key(stage.records, paper, stage.state.papers[paper].body.frozen_key)
        data = sitting_file(key, desk.now, wrong_percent, critical_misses)
        write_whole(SITTINGS.at(stage.records) / f"{paper}.json", data)
        hand_in(desk, data, code_of(data), invigilator="milo")

    return step


def observed(
    level: Level, person: str, station_id: str, observer: str, seen: Mapping[str, str], role: str = "first"
) -> Do:
    """Return the step that enters an observer's form: all points passed but those in `seen`."""

    def step(stage: Stage, desk: Desk) -> object:
        station = stage.workspace.stations[station_id]
        form = form_file(station, person, level.level, observer, desk.now, seen, role)
        return enter_form(desk, form, None, {station_id: station})

    return step


def decided(level: Level, person: str, action: Action, because: str, begins_in_days: int = 0) -> Do:
    """Return the step that enters a decision of Ines."""

    def step(stage: Stage, desk: Desk) -> object:
        return decide(
            stage.ledger, stage.state, person=person, level=level.level, action=action, by="ines", because=because,
            on=desk.now.date() + timedelta(days=begins_in_days), now=desk.now, signer=stage.keys["ines"],
        )  # fmt: skip

    return step


def given(level: Level, person: str) -> Do:
    """Return the step that writes a certificate."""

    def step(stage: Stage, desk: Desk) -> object:
        return give_certificate(
            stage.ledger, stage.state, person=person, level=level.level, company=stage.workspace.company,
            words=stage.workspace.words, now=desk.now, signer=desk.signer,
        )  # fmt: skip

    return step


def waived(level: Level, person: str) -> Do:
    """Return the step that lets Ines decide although she trained the person, countersigned by Odile."""

    def step(stage: Stage, desk: Desk) -> object:
        file = WaiverFile(
            person=person, level=level.level, decider="ines", conflicts=("trained",), second="odile",
            because="The only decider taught two days of the course; Odile has read the whole file.",
        )  # fmt: skip
        return enter_waiver(desk, file, stage.keys["odile"])

    return step


def declared(person: str, about: tuple[str, ...] = ()) -> Do:
    """Return the step that enters a declaration of interests of that day."""

    def step(_: Stage, desk: Desk) -> object:
        why = "A member of the household." if about else ""
        file = InterestFile(person=person, about=about, on=desk.now.date().isoformat(), text=why)
        return enter_interest(desk, file)

    return step


def appealed(person: str) -> Do:
    """Return the step that lodges an appeal against the last decision about somebody."""

    def step(stage: Stage, desk: Desk) -> object:
        last = list(stage.state.of(person, Decision))[-1].entry.number
        file = AppealFile(
            person=person, decision=last, stage="lodged", on=desk.now.date().isoformat(),
            text="I was not on that site; the log has the wrong initials.",
        )  # fmt: skip
        return enter_appeal(desk, file)

    return step


def told_to_read(level: Level) -> Do:
    """Return the step that tells the holders of a level to read the first lesson again."""

    def step(stage: Stage, desk: Desk) -> object:
        lesson = next(page for page in stage.workspace.lessons.values() if page.front.kind == "lesson")
        source = envelope.digest((stage.workspace.root / lesson.place.file).read_bytes())
        file = NoticeFile(changed=f"lesson:{lesson.id}", levels=(level.level,))
        return enter_notice(desk, file, source)

    return step


def answered(person: str) -> Do:
    """Return the step that enters somebody's answer to the notice of the demo."""

    def step(stage: Stage, desk: Desk) -> object:
        notice = next(iter(stage.state.notices))
        file = AcknowledgementFile(person=person, notice=notice, on=desk.now.date().isoformat())
        return enter_acknowledgement(desk, file)

    return step


def key_stolen(person: str, since_decision_about: str) -> Do:
    """Return the step that reports a key stolen before a decision, and gives its owner a new one."""

    def step(stage: Stage, desk: Desk) -> None:
        since = list(stage.state.of(since_decision_about, Decision))[-1].entry.number
        lost = stage.keys[person]
        report = KeyFile(action="stolen", person=person, key=lost.id, since_entry=since)
        enter_key(desk, report, None)
        stage.keys[person] = make_key(stage.records, person)
        enter_key(desk, KeyFile(action="add", person=person), stage.keys[person])

    return step
