"""A records folder of invented people, each cleared or not for another reason, made by the functions that the office
uses. Everything here is set for the demo: the names, the days, and the phrase files beside the keys."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from warmyard.certify import filing
from warmyard.certify.bodies import Role
from warmyard.certify.canonical import canonical_bytes
from warmyard.certify.code import code_of
from warmyard.certify.decision import Action, decide
from warmyard.certify.envelope import SigningKey, new_key, new_name, new_phrase, save_key
from warmyard.certify.filing import Desk
from warmyard.certify.hand_in import hand_in
from warmyard.certify.issue import give_certificate, publish_status
from warmyard.certify.ledger import Ledger
from warmyard.certify.observation import FORMAT as FORM_FORMAT
from warmyard.certify.observation import station_digest
from warmyard.certify.observed import file_form
from warmyard.certify.paper import SITTING_FORMAT, Issued, Request, issue_paper
from warmyard.certify.paper_key import Asked, PaperKey, read_key
from warmyard.certify.standing import SURVEILLANCE
from warmyard.certify.state import State
from warmyard.course.model import Level, Part, Station
from warmyard.course.workspace import Workspace
from warmyard.item.check import own_answer
from warmyard.item.marking import mark
from warmyard.item.variant_model import ChoiceKey

STAFF: tuple[tuple[str, str, tuple[Role, ...]], ...] = (
    ("tova", "Tova Lindemark", ("trainer",)),
    ("rune", "Rune Castellan", ("examiner",)),
    ("milo", "Milo Adairson", ("invigilator",)),
    ("ines", "Ines Harrowgate", ("decider",)),
    ("odile", "Odile Brandmoor", ("custodian", "examiner")),
)
CANDIDATES = (
    ("asta", "Asta Fellweather", "cleared"),
    ("bram", "Bram Okonedo-Hale", "expired"),
    ("cleo", "Cleo Marrowby", "suspended"),
    ("dane", "Dane Whitlocke", "station missing"),
    ("edda", "Edda Vossberg", "decider in conflict"),
)
NAMES = {person: name for person, name, _ in (*STAFF, *CANDIDATES)}
DAYS_BEFORE_EXPIRED = 50
MISSES = {"asta": 1, "cleo": 2, "dane": 1}
"""Questions that a candidate gets wrong, never critical ones, so that the figures have something to count."""
FIRST_VIEW = {"asta": {"times-noted": "fail"}}
SECOND_VIEW = {"asta": {"times-noted": "fail"}, "cleo": {"rise-measured": "not-seen"}}
"""Points that the first and the second observer did not pass; who is not in the second was seen by one."""


@dataclass(slots=True)
class _Stage:
    """The demo while it is made."""

    records: Path
    ledger: Ledger
    state: State
    workspace: Workspace
    level: Level
    today: datetime
    keys: dict[str, SigningKey]
    minutes: int = 0
    issued: dict[str, Issued] = field(default_factory=dict)

    def desk(self, days_ago: int) -> Desk:
        """Return the office's desk on a day; every use is a minute later, so that time never goes back."""
        self.minutes += 1
        moment = self.today - timedelta(days=days_ago) + timedelta(minutes=self.minutes)
        return Desk(self.records, self.ledger, self.state, moment, self.keys["office"])


_Step = tuple[int, Callable[[_Stage, Desk], object]]
"""How many days ago, and what was done."""


def make_demo(records: Path, workspace: Workspace, now: datetime) -> State:
    """Fill an empty folder with the demo's ledger, people, papers, sittings and decisions; return what it says.

    Days are counted back from `now`, so that each person is cleared or not for the same reason whenever it is made.
    """
    level = workspace.scheme.levels[0]
    # Early in the day, so that the last step is not in the future.
    today = now.replace(hour=0, minute=0, second=0)
    begun = _months_as_days(level.valid_months) + DAYS_BEFORE_EXPIRED + 60
    keys = {name: _make_key(records, name) for name in ("office", "recovery")}
    opened = today - timedelta(days=begun)
    ledger = Ledger.create(records, keys["office"], keys["recovery"], opened)
    stage = _Stage(records, ledger, ledger.verify(), workspace, level, today, keys)
    filing.file_scheme(stage.desk(begun), workspace.scheme)
    for person, name, roles in STAFF:
        filing.file_person(stage.desk(begun), filing.PersonFile(person=person, name=name, roles=roles))
    keys["ines"] = _make_key(records, "ines")
    keys["odile"] = _make_key(records, "odile")
    for person in ("ines", "odile"):
        filing.file_key(stage.desk(begun), filing.KeyFile(action="add", person=person), keys[person])
    steps = sorted(_all_steps(level), key=lambda step: -step[0])
    for days_ago, step in steps:
        step(stage, stage.desk(days_ago))
    publish_status(records, stage.state, workspace.company, workspace.words, now, keys["office"])
    return ledger.verify()


def _months_as_days(months: int) -> int:
    return months * 31


def _make_key(records: Path, name: str) -> SigningKey:
    """Make a key with its phrase in a file beside it: for the demo only, so that every command can be tried."""
    key, phrase = new_key(), new_phrase()
    path = records / "keys" / f"{name}.pem"
    save_key(key, path, phrase)
    path.with_suffix(".phrase").write_text(phrase + "\n", encoding="ascii")
    return key


def _all_steps(level: Level) -> Iterator[_Step]:
    """Yield what happened to every candidate."""
    expired = _months_as_days(level.valid_months) + DAYS_BEFORE_EXPIRED
    for person, (first, decided) in {"asta": (190, 160), "bram": (expired + 30, expired), "cleo": (290, 260)}.items():
        yield from _whole_way(level, person, first, "tova")
        yield decided, _decided(person, "grant", "grant")
        yield decided, _given(person)
    for years_ago in range(1, level.valid_months // 12):
        yield expired - 365 * years_ago + 5, _surveillance("bram")
    yield 3, _decided("cleo", "suspend", "suspend")
    yield from _trained(level, "dane", 60, "tova")
    yield from _sat(level, "dane", 40)
    yield from _whole_way(level, "edda", 55, "ines")


def _whole_way(level: Level, person: str, first: int, trainer: str) -> Iterator[_Step]:
    """Yield training, papers and stations of one person, the last some 20 days after the first."""
    yield from _trained(level, person, first, trainer)
    yield from _sat(level, person, first - 10)
    for part in level.parts:
        for at, station in enumerate(part.stations):
            yield first - 15 - at // 3, _observed(person, station, "rune", FIRST_VIEW.get(person, {}))
            if person in SECOND_VIEW:
                yield first - 15 - at // 3, _observed(person, station, "odile", SECOND_VIEW[person], "second")


def _trained(level: Level, person: str, first: int, trainer: str) -> Iterator[_Step]:
    def enter(stage: _Stage, desk: Desk) -> None:
        filing.file_person(desk, filing.PersonFile(person=person, name=NAMES[person]))

    yield first, enter
    for wanted in level.prerequisites:
        yield first - 2, _vouched(person, wanted.id, wanted.count, trainer)


def _vouched(person: str, what: str, count: int, by: str) -> Callable[[_Stage, Desk], object]:
    def step(stage: _Stage, desk: Desk) -> object:
        return filing.file_evidence(
            desk,
            filing.EvidenceFile(
                person=person, what=what, level=stage.level.level, count=count, by=by, on=desk.now.date().isoformat(),
                text="Seen and noted for the demo.",
            ),
        )  # fmt: skip

    return step


def _surveillance(person: str) -> Callable[[_Stage, Desk], object]:
    return _vouched(person, SURVEILLANCE, 1, "rune")


def _sat(level: Level, person: str, days_ago: int) -> Iterator[_Step]:
    for part in level.parts:
        if part.kind == "paper":
            yield days_ago, _issued(person, part)
            yield days_ago, _handed_in(person, part)


def _issued(person: str, part: Part) -> Callable[[_Stage, Desk], object]:
    def step(stage: _Stage, desk: Desk) -> None:
        request = Request(
            person=person, level=stage.level, part=part, scheme=stage.workspace.scheme, now=desk.now, signer=desk.signer
        )
        stage.issued[person + part.id] = issue_paper(stage.ledger, stage.state, stage.workspace, request)

    return step


def _handed_in(person: str, part: Part) -> Callable[[_Stage, Desk], object]:
    def step(stage: _Stage, desk: Desk) -> None:
        paper = stage.issued[person + part.id].paper
        key = read_key(stage.records, paper, stage.state.papers[paper].body.frozen_key)
        data = sitting_file(key, desk.now, MISSES.get(person, 0))
        path = stage.records / "sittings" / f"{paper}.json"
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)
        hand_in(
            stage.ledger, stage.state, data, code_of(data), now=desk.now, signer=desk.signer, invigilator="milo"
        )  # fmt: skip

    return step


def sitting_file(key: PaperKey, handed_in: datetime, misses: int = 0) -> bytes:
    """Return the file of a candidate who answers all but so many right: the demo's stand-in for a person at a page."""
    claimed = {
        "started_at": _zulu(handed_in - timedelta(minutes=25)),
        "handed_in_at": _zulu(handed_in),
        "seconds": 1500,
        "resumed": [],
        "left": 0,
    }
    missed = [asked.name for asked in key.questions if not asked.critical and _wrong_answer(asked)][:misses]
    answers = [
        {
            "question": asked.name,
            "response": _wrong_answer(asked) if asked.name in missed else own_answer(asked.variant),
        }
        for asked in key.questions
    ]
    return canonical_bytes(
        {"format": SITTING_FORMAT, "paper": key.paper, "person": key.person, "sealed": key.sealed, "answers": answers,
         "claimed": claimed}
    )  # fmt: skip


def _wrong_answer(asked: Asked) -> dict[str, object]:
    """Return a wrong option that fails nothing at once, or nothing for a question without one."""
    if not isinstance(asked.variant.key, ChoiceKey):
        return {}
    for option in asked.variant.question.options:
        response: dict[str, object] = {"chosen": [option.id]}
        found = mark(asked.variant, response)
        if not found.right and not found.critical_fail:
            return response
    return {}


def _zulu(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _observed(
    person: str, station_id: str, observer: str, seen: Mapping[str, str], role: str = "first"
) -> Callable[[_Stage, Desk], object]:
    def step(stage: _Stage, desk: Desk) -> object:
        station = stage.workspace.stations[station_id]
        form = form_file(station, person, stage.level.level, observer, desk.now, seen, role)
        return file_form(desk, form, None, {station_id: station})

    return step


def form_file(
    station: Station,
    person: str,
    level: int,
    observer: str,
    at: datetime,
    seen: Mapping[str, str] | None = None,
    role: str = "first",
) -> bytes:
    """Return the file of a form on which every point was passed but those in `seen`, marked as they are there."""
    return canonical_bytes(
        {
            "format": FORM_FORMAT,
            "form": f"form-{new_name(12)}",
            "person": person,
            "level": level,
            "station": station.id,
            "points_digest": station_digest(station),
            "role": role,
            "observed_on": at.date().isoformat(),
            "minutes": station.minutes,
            "points": [
                {"id": point.id, "mark": (seen or {}).get(point.id, "pass"), "note": ""} for point in station.points
            ],
            "observer": {"person": observer, "name": NAMES.get(observer, observer)},
        }
    )


def _decided(person: str, action: Action, reason_action: str) -> Callable[[_Stage, Desk], object]:
    def step(stage: _Stage, desk: Desk) -> object:
        reasons = [reason.id for reason in stage.workspace.scheme.reasons if reason.action == reason_action]
        return decide(
            stage.ledger, stage.state, person=person, level=stage.level.level, action=action, by="ines",
            because=reasons[0], on=desk.now.date(), now=desk.now, signer=stage.keys["ines"],
        )  # fmt: skip

    return step


def _given(person: str) -> Callable[[_Stage, Desk], object]:
    def step(stage: _Stage, desk: Desk) -> object:
        return give_certificate(
            stage.ledger, stage.state, person=person, level=stage.level.level, company=stage.workspace.company,
            cautions=stage.workspace.words["shell.cautions"], now=desk.now, signer=desk.signer,
        )  # fmt: skip

    return step
