"""A paper: drawn by the blueprint, with the candidate's own numbers, sealed, its key frozen.

What `warmyard paper` leaves in the records folder:
  papers/PAPER.html           the paper: open part, and the questions sealed. No key, no answer, no hash of one.
  papers/PAPER.slip.txt       the invigilator's slip with the phrase; it travels apart from the paper.
  keys-of-papers/PAPER.json   the frozen key, of which the ledger holds the digest. Never leaves the office.
  keys/papers.secret          32 random bytes, made at the first paper; who has them can predict papers.
"""

from __future__ import annotations

import base64
import os
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import msgspec

from warmyard.certify.exam.adjustments import NONE, Adjustments, adjustment_sentences, slip_lines
from warmyard.certify.exam.blueprint import draw_part
from warmyard.certify.exam.paper_key import Asked, nameless, read_key
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.folders import KEYS
from warmyard.certify.ledger.state import State
from warmyard.certify.rules.re_sit import History
from warmyard.course.scheme import asked_of, fit_for
from warmyard.course.scheme_model import Level, Part, Scheme
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError, VerificationError
from warmyard.formats.papers import PAPER, SITTING
from warmyard.item.chance import chance_for, start_of
from warmyard.item.model import Item
from warmyard.item.variant import make_variant
from warmyard.item.variant_model import Question, Variant
from warmyard.page.paper_sheet import PaperFacts, SealedQuestions, paper_sheet
from warmyard.page.words import need_words

SECRET = "papers.secret"
OTHER_NUMBERS_TRIES = 20
"""How often a seed is drawn again when it gives the numbers of an earlier paper of the same person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """Who is to sit what, and when it is issued."""

    person: str
    level: Level
    part: Part
    scheme: Scheme
    now: datetime
    adjustments: Adjustments = NONE

    @property
    def minutes(self) -> int:
        """The time of this candidate's paper, extra time included."""
        return self.adjustments.minutes(self.part.minutes)


def paper_parts(level: Level, named: str | None) -> list[Part]:
    """Return the parts of a level that are sat on paper, or the named one."""
    parts = [part for part in level.parts if part.kind == "paper"]
    if named is None:
        return parts
    chosen = [part for part in parts if part.id == named]
    if not chosen:
        raise InputError(f"level {level.level} has no paper {named}; papers are {', '.join(part.id for part in parts)}")
    return chosen


def exposure_of(state: State) -> Counter[str]:
    """Return item -> in how many papers it was given out; papers of people who were erased count too."""
    return Counter(item for paper in state.papers.values() for item in paper.body.items)


def about(paper: str, request: Request, attempt: int) -> str:
    """Return what the seal is bound to: paper.js says the same from the open part, so an edited one does not open."""
    parts = (PAPER.label, paper, request.person, str(request.level.level), request.part.id, str(attempt))
    return "|".join(parts)


def cut_of(part: Part) -> str:
    """Return the cut of a part as its key holds it, in percent; raise InputError when none is adopted."""
    if part.cut is None:
        raise InputError(f"the part {part.id} has no adopted cut; adopt a scheme that has one")
    return f"{part.cut.percent:.10g}"


# ---- Drawing -----------------------------------------------------------------------------------------------------


def office_secret(records: Path) -> bytes:
    """Return the secret behind all papers of this office; it is made at the first paper, readable by its owner only."""
    path = KEYS.at(records) / SECRET
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
                file.write(envelope.new_secret().hex())
        except FileExistsError:
            pass
    try:
        secret = bytes.fromhex(path.read_text(encoding="ascii").strip())
    except (OSError, ValueError):
        raise InputError(f"keys/{SECRET} cannot be read; bring it back from your copy") from None
    if len(secret) != 32:
        raise InputError(f"keys/{SECRET} does not hold 32 bytes; bring it back from your copy")
    return secret


def ask_questions(
    records: Path,
    workspace: Workspace,
    request: Request,
    own: tuple[str, str],
    before: Mapping[str, set[str]],
    exposure: Mapping[str, int],
) -> list[Asked]:
    """Return the questions in the order of the paper, each with its key, drawn with the candidate's own numbers."""
    secret = office_secret(records)
    names = (request.scheme.id, str(request.level.level), request.part.id, request.person, *own)
    chance = chance_for(start_of("blueprint"), envelope.seed(secret, *names))
    limit = request.scheme.exposure_limit
    skills, fit = asked_of(request.level, workspace.skills), fit_for(request.level, workspace.items)
    items = draw_part(
        request.part, skills, fit, chance, exposure, limit=limit,
        parallel_percent=request.scheme.parallel_percent,
    )  # fmt: skip
    asked = []
    for at, item in enumerate(items):
        seed, variant = _other_numbers(item, workspace, secret, names, before.get(item.id, set()))
        name = f"q{at + 1:02}"
        asked.append(
            Asked(
                name=name, item=item.id, duty=workspace.skills[item.skill].duty, critical=item.critical, seed=seed,
                variant=nameless(variant, name),
            )
        )  # fmt: skip
    return asked


def _other_numbers(
    item: Item, workspace: Workspace, secret: bytes, names: Sequence[str], before: set[str]
) -> tuple[int, Variant]:
    """Return a seed and its variant, other than in the person's earlier papers as far as the item has other numbers."""
    for again in range(OTHER_NUMBERS_TRIES):
        seed = envelope.seed(secret, *names, item.id, str(again))
        variant = make_variant(item, seed, workspace.surroundings)
        if _numbers(variant.question) not in before:
            break
    return seed, variant


def _numbers(question: Question) -> str:
    return question.ask + "".join(f"|{given.id}={given.text}" for given in question.given) + question.drawing


def numbers_before(records: Path, history: History) -> dict[str, set[str]]:
    """Return item id -> the numbers that it had in earlier papers of this person; a lost key file is no hindrance."""
    found: dict[str, set[str]] = {}
    for fact in history.papers:
        try:
            key = read_key(records, fact.body.paper, fact.body.frozen_key)
        except VerificationError:
            continue  # only freshness is lost here; marking that paper will say what is wrong with its key
        for asked in key.questions:
            found.setdefault(asked.item, set()).add(_numbers(asked.variant.question))
    return found


# ---- What is written -----------------------------------------------------------------------------------------------


def seal_questions(asked: list[Asked], phrase: str, bound_to: str) -> tuple[SealedQuestions, bytes]:
    """Return the sealed questions, and the bytes that were sealed: questions only, never a key."""
    questions = [{"name": one.name, "question": one.variant.question} for one in asked]
    plain = msgspec.json.encode({"questions": questions})
    sealed = envelope.seal(phrase, plain, bound_to.encode())
    text = [base64.b64encode(part).decode("ascii") for part in (sealed.salt, sealed.nonce, sealed.box)]
    return SealedQuestions(salt=text[0], nonce=text[1], box=text[2], rounds=sealed.rounds), plain


def paper_page(
    workspace: Workspace, request: Request, paper: str, attempt: int, count: int, sealed: SealedQuestions
) -> str:
    """Return the page of a paper; nothing in it marks."""
    level, part = request.level, request.part
    facts = PaperFacts(
        format=PAPER.label, sitting_format=SITTING.label, paper=paper, person=request.person, level=level.level,
        level_name=level.name, part=part.id, part_title=part.title, attempt=attempt, count=count,
        minutes=request.minutes, cut_percent=cut_of(part), conduct=request.scheme.conduct, sealed=sealed,
        adjusted=adjustment_sentences(request.adjustments, part.minutes, workspace.words),
    )  # fmt: skip
    return paper_sheet(facts, workspace.company, workspace.words)


def slip_text(workspace: Workspace, request: Request, paper: str, count: int, phrase: str) -> str:
    """Return the invigilator's slip as plain text to print; the candidate's name is written on it by hand."""
    text = need_words(workspace.words, ("paper.slip",))["paper.slip"]
    return text.format(
        company=workspace.company.name, paper=paper, person=request.person, level=request.level.level,
        level_name=request.level.name, part=request.part.title, count=count, minutes=request.minutes,
        adjusted=slip_lines(request.adjustments, request.part.minutes, workspace.words),
        issued_on=request.now.date().isoformat(), phrase=phrase,
    )  # fmt: skip
