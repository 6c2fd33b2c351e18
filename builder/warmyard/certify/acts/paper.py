"""A paper issued: key and page are on the disk before its entry, and issuing is an attempt."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from warmyard.certify.acts.desk import Desk, append
from warmyard.certify.exam.adjustments import verify_adjustments
from warmyard.certify.exam.paper import (
    Request,
    about,
    ask_questions,
    cut_of,
    exposure_of,
    numbers_before,
    paper_page,
    seal_questions,
    slip_text,
)
from warmyard.certify.exam.paper_key import PaperKey, key_bytes, key_path
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Paper
from warmyard.certify.ledger.folders import PAPERS
from warmyard.certify.ledger.people import known_person
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.re_sit import history_of, verify_re_sit
from warmyard.course.scheme_model import Level, Part
from warmyard.course.workspace import Workspace
from warmyard.words import speaking


@dataclass(frozen=True, slots=True, kw_only=True)
class Issued:
    """A paper that was issued."""

    paper: str
    part: str
    entry: int
    attempt: int
    page: Path
    slip: Path


def verify_turn(state: State, person: str, level: Level, part: Part, today: date) -> None:
    """Raise InputError when no paper of a part may be issued to a person today."""
    verify_re_sit(level.re_sit, history_of(state, known_person(state, person), level.level, part.id), today)


def issue_paper(desk: Desk, workspace: Workspace, request: Request) -> Issued:
    """Return the paper just issued; raise InputError when the scheme does not allow it, and then write nothing.

    A crash between the files and the entry leaves files of a paper that was never issued, which `mark` refuses.
    """
    with speaking(workspace.words):
        return _issue(desk, workspace, request)


def _issue(desk: Desk, workspace: Workspace, request: Request) -> Issued:
    state, records = desk.state, desk.records
    person, level, part = request.person, request.level, request.part
    verify_turn(state, person, level, part, request.now.date())
    verify_adjustments(state, person, request.adjustments)
    history = history_of(state, person, level.level, part.id)
    attempt = len(history.papers) + 1
    paper = f"paper-{envelope.new_name(12)}"
    before = numbers_before(records, history)
    with speaking(workspace.words):
        asked = ask_questions(records, workspace, request, (paper, str(attempt)), before, exposure_of(state))
    phrase = envelope.new_phrase()
    sealed, plain = seal_questions(asked, phrase, about(paper, request, attempt))
    key = PaperKey(
        salt=envelope.new_secret().hex(), paper=paper, person=person, level=level.level, part=part.id, attempt=attempt,
        sealed=envelope.digest(sealed.box.encode()), cut_percent=cut_of(part), questions=tuple(asked),
    )  # fmt: skip
    with speaking(workspace.words):
        page = paper_page(workspace, request, paper, attempt, len(asked), sealed).encode()
    frozen = key_bytes(key)

    def body(digest: str) -> Paper:
        return Paper(
            adjustments=request.adjustments.codes(), approved_by=request.adjustments.approved_by, side=digest,
            paper=paper, level=level.level, part=part.id, scheme=state.adopted[-1].body.digest,
            page=envelope.digest(page), frozen_key=envelope.digest(frozen), questions=envelope.digest(plain),
            attempt=attempt, minutes=request.minutes, items=tuple(sorted(one.item for one in asked)),
        )  # fmt: skip

    page_path = PAPERS.at(records) / f"{paper}.html"
    slip_path = page_path.with_name(f"{paper}.slip.txt")
    slip = slip_text(workspace, request, paper, len(asked), phrase).encode()
    why = {"because": request.adjustments.because} if request.adjustments else None
    entry = append(
        desk,
        "paper",
        person,
        body,
        side=why,
        files={key_path(records, paper): frozen, page_path: page, slip_path: slip},
    )
    return Issued(
        paper=paper, part=part.id, entry=entry.number, attempt=attempt, page=page_path, slip=slip_path
    )  # fmt: skip
