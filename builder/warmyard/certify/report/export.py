"""The record for other tools: registers as CSV with a description (W3C CSV on the Web), due dates as a calendar file.

A cell that a spreadsheet could take for a formula is made harmless. The ledger itself is exported as its records, one
signed JSON text a line.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from warmyard.certify.ledger.bodies import Evidence, Interest, Observation, Paper, Sitting
from warmyard.certify.ledger.entry import moment_text
from warmyard.certify.ledger.files import write_whole
from warmyard.certify.ledger.people import names
from warmyard.certify.ledger.state import State
from warmyard.certify.report.calendar import calendar_text, due_dates
from warmyard.certify.rules.interest import declaration
from warmyard.certify.rules.judge import standing
from warmyard.words.sentence import retold, sentence

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
Cell = str | int | bool | date


@dataclass(frozen=True, slots=True)
class RegisterTable:
    """One table: columns with their CSV on the Web type, and rows."""

    name: str
    title: str
    columns: Sequence[tuple[str, str]]
    rows: Sequence[Sequence[Cell]]


def harmless(cell: Cell) -> str:
    """Return a cell as text that no spreadsheet reads as a formula: an apostrophe before = + - @, tab or line end."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    text = str(cell)
    return f"'{text}" if isinstance(cell, str) and text.startswith(_FORMULA_STARTS) else text


def csv_text(register: RegisterTable, words: Mapping[str, str]) -> str:
    """Return a register as CSV (RFC 4180) with a header line; the names of columns are for programs and stay."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow([name for name, _ in register.columns])
    writer.writerows([harmless(_told(words, cell)) for cell in row] for row in register.rows)
    return stream.getvalue()


def _told(words: Mapping[str, str], cell: Cell) -> Cell:
    return retold(words, cell) if isinstance(cell, str) else cell


def registers(records: Path, state: State, on: date) -> list[RegisterTable]:
    """Return the registers of a day: entries, people, certificates, evidence, interests."""
    named = names(records, state)
    return [
        _entries(state),
        _people(state, named),
        _certificates(state, named, on),
        _evidence(state),
        _interests(state, on),
    ]


def _entries(state: State) -> RegisterTable:
    rows = [
        (number, moment_text(entry.recorded_at), entry.effective_on, entry.kind, entry.person, entry.key, entry.digest,
         number in state.voided)
        for number, entry in ((number, fact.entry) for number, fact in sorted(state.by_number.items()))
    ]  # fmt: skip
    columns = [("number", "integer"), ("recorded_at", "dateTime"), ("effective_on", "date"), ("kind", "string"),
               ("person", "string"), ("key", "string"), ("sha256", "string"), ("void", "boolean")]  # fmt: skip
    return RegisterTable("entries", sentence("register.entries"), columns, rows)


def _people(state: State, named: Mapping[str, str]) -> RegisterTable:
    rows = [
        (member.id, "" if member.erased else named.get(member.id, member.id), " ".join(member.roles), member.erased)
        for member in state.people.values()
    ]
    columns = [("person", "string"), ("name", "string"), ("roles", "string"), ("erased", "boolean")]
    return RegisterTable("people", sentence("register.people"), columns, rows)


def _certificates(state: State, named: Mapping[str, str], on: date) -> RegisterTable:
    rows = []
    for grant in state.grants.values():
        found = standing(state, grant, on, named)
        person = grant.entry.person
        name = "" if state.people[person].erased else named.get(person, person)
        rows.append(
            (grant.body.certificate, person, name, grant.body.level, found.begins_on, found.until,
             found.surveillance_on, not found.why_not, found.why_not)
        )  # fmt: skip
    columns = [("certificate", "string"), ("person", "string"), ("name", "string"), ("level", "integer"),
               ("begins_on", "date"), ("until", "date"), ("surveillance_on", "date"), ("good", "boolean"),
               ("why_not", "string")]  # fmt: skip
    return RegisterTable("certificates", sentence("register.certificates", day=on), columns, rows)


def _evidence(state: State) -> RegisterTable:
    rows: list[Sequence[Cell]] = []
    for number, fact in sorted(state.by_number.items()):
        body, entry = fact.body, fact.entry
        what: str | None = None
        outcome: Cell = ""
        if isinstance(body, Evidence):
            what, outcome = body.what, body.count
        elif isinstance(body, Observation):
            what = sentence("register.station", station=body.station)
            outcome = sentence("register.passed" if body.passed else "register.not_passed")
        elif isinstance(body, Sitting):
            what = sentence("register.sitting", part=body.part)
            outcome = sentence("register.right_of", right=body.right, of=body.of)
        elif isinstance(body, Paper):
            what = sentence("register.paper", part=body.part)
            outcome = sentence("register.attempt", attempt=body.attempt)
        if what is not None:
            rows.append((number, entry.person, entry.effective_on, body.level, what, outcome, number in state.voided))
    columns = [("entry", "integer"), ("person", "string"), ("on", "date"), ("level", "integer"), ("what", "string"),
               ("outcome", "string"), ("void", "boolean")]  # fmt: skip
    return RegisterTable("evidence", sentence("register.evidence"), columns, rows)


def _interests(state: State, on: date) -> RegisterTable:
    rows = []
    for number, fact in sorted(state.by_number.items()):
        if isinstance(fact.body, Interest):
            person = fact.entry.person
            held = declaration(state, person, on)
            holds = held is not None and held.entry.number == number
            about = " ".join(fact.body.about)
            rows.append((number, person, fact.entry.effective_on, about, holds, number in state.voided))
    columns = [("entry", "integer"), ("person", "string"), ("on", "date"), ("about", "string"), ("holds", "boolean"),
               ("void", "boolean")]  # fmt: skip
    return RegisterTable("interests", sentence("register.interests", day=on), columns, rows)


def description(found: Iterable[RegisterTable], words: Mapping[str, str]) -> str:
    """Return the CSV on the Web description of registers: title and type of every column."""
    tables = [
        {
            "url": f"{register.name}.csv",
            "dc:title": retold(words, register.title),
            "tableSchema": {
                "columns": [{"name": name, "titles": name, "datatype": kind} for name, kind in register.columns]
            },
        }
        for register in found
    ]
    return json.dumps({"@context": "http://www.w3.org/ns/csvw", "tables": tables}, indent=2) + "\n"


def export_record(records: Path, state: State, out: Path, words: Mapping[str, str], now: datetime) -> list[Path]:
    """Write the registers, their description and the calendar into a folder, and return the files."""
    found = registers(records, state, now.date())
    texts = {f"{register.name}.csv": csv_text(register, words) for register in found}
    texts["csv-metadata.json"] = description(found, words)
    texts["due.ics"] = calendar_text(due_dates(state, now.date()), words, now)
    for name, text in texts.items():
        write_whole(out / name, text.encode())
    return [out / name for name in texts]


def record_lines(state: State) -> Iterable[str]:
    """Yield the ledger's records, one signed JSON text each, in order."""
    for _, fact in sorted(state.by_number.items()):
        yield fact.entry.record.decode("utf-8")
