"""Due dates as a calendar file (RFC 5545): surveillance, renewal, expiry, notices to answer. Ids only, no names.

Each event keeps its UID for ever, so that a calendar which reads the file again moves the event instead of adding one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from warmyard.certify.ledger.state import State
from warmyard.certify.rules.judge import standing
from warmyard.certify.rules.notice import changed_text, touched_by, until_of
from warmyard.words.sentence import retold, sentence

LONGEST_LINE_OCTETS = 75
LAST_DAY = date.max - timedelta(days=1)
RENEWAL_BEFORE = timedelta(days=60)
"""How long before the end a renewal is called due (set for the demo; the scheme says only: before the end)."""
PRODUCT = "-//Warmyard//due dates//EN"


@dataclass(frozen=True, slots=True)
class Due:
    """One day on which something falls due."""

    uid: str
    day: date
    summary: str


def due_dates(state: State, on: date) -> Iterator[Due]:
    """Yield what falls due for every certificate that has not ended, and for every notice without an answer."""
    for grant in state.grants.values():
        person, body = grant.entry.person, grant.body
        found = standing(state, grant, on)
        if found.withdrawn is not None or found.until < on or state.people[person].erased:
            continue
        if found.surveillance_on < found.until:
            yield Due(
                f"{body.certificate}-surveillance", found.surveillance_on,
                sentence("due.surveillance", person=person, level=body.level),
            )  # fmt: skip
        renewal = max(found.begins_on, found.until - RENEWAL_BEFORE)
        said = sentence("due.renewal", person=person, level=body.level, day=found.until)
        yield Due(f"{body.certificate}-renewal", renewal, said)
        said = sentence("due.expiry", person=person, level=body.level)
        yield Due(f"{body.certificate}-expiry", found.until, said)
    for notice in state.view().notices():
        for touched in touched_by(state, notice, on):
            if touched.answered_on is None:
                yield Due(
                    f"{notice.body.notice}-{touched.person}", until_of(notice),
                    sentence("due.notice", person=touched.person, changed=changed_text(notice.body)),
                )  # fmt: skip


def calendar_text(dues: Iterator[Due], words: Mapping[str, str], now: datetime) -> str:
    """Return a calendar file of whole-day events, each line at most 75 octets long and ended by CR LF."""
    stamp = now.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"]
    for due in sorted(dues, key=lambda each: (each.day, each.uid)):
        lines += [
            "BEGIN:VEVENT",
            f"UID:{escaped(due.uid)}@warmyard.invalid",
            f"DTSTAMP:{stamp}",
            f"DTSTART;VALUE=DATE:{due.day:%Y%m%d}",
            f"DTEND;VALUE=DATE:{min(due.day, LAST_DAY) + timedelta(days=1):%Y%m%d}",
            f"SUMMARY:{escaped(retold(words, due.summary))}",
            "TRANSP:TRANSPARENT",
            "END:VEVENT",
        ]
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def escaped(text: str) -> str:
    """Return a TEXT value (RFC 5545, 3.3.11): backslash, semicolon, comma and line end escaped, no control left."""
    text = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    text = text.replace("\r\n", "\\n").replace("\r", "\\n").replace("\n", "\\n")
    return "".join(sign for sign in text if sign == "\t" or (ord(sign) >= 32 and ord(sign) != 127))


def folded(line: str) -> str:
    """Return a content line folded (RFC 5545, 3.1): at most 75 octets of UTF-8 a line, no character cut in two."""
    parts, part, size = [], "", 0
    for sign in line:
        octets = len(sign.encode("utf-8", "replace"))
        if size + octets > LONGEST_LINE_OCTETS:
            parts.append(part)
            part, size = " ", 1
        part, size = part + sign, size + octets
    return "\r\n".join([*parts, part])
