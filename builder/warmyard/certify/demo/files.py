"""Files that people hand in, as the demo makes them: the sitting of a candidate at a page, the form of an observer."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from warmyard.certify.exam.observation import station_digest
from warmyard.certify.exam.paper_key import Asked, PaperKey
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.envelope import new_name
from warmyard.course.model import Station
from warmyard.formats.forms import OBSERVATION
from warmyard.formats.papers import SITTING
from warmyard.item.check import own_answer
from warmyard.item.kind_table import marking_of
from warmyard.item.marking import mark


def sitting_file(key: PaperKey, handed_in: datetime, wrong_percent: int = 0, critical_misses: int = 0) -> bytes:
    """Return the file of a candidate who answers a share in percent wrong, and of the critical ones a number."""
    misses = wrong_percent * len(key.questions) // 100
    claimed = {
        "started_at": _zulu(handed_in - timedelta(minutes=25)),
        "handed_in_at": _zulu(handed_in),
        "seconds": 1500,
        "resumed": [],
        "left": 0,
    }
    wrong = {asked.name: answer for asked in key.questions if (answer := _wrong_answer(asked)) is not None}
    missed = [asked.name for asked in key.questions if asked.name in wrong and not asked.critical][:misses]
    missed += [asked.name for asked in key.questions if asked.name in wrong and asked.critical][:critical_misses]
    answers = [
        {"question": asked.name, "response": wrong[asked.name] if asked.name in missed else own_answer(asked.variant)}
        for asked in key.questions
        if asked.name not in missed or wrong[asked.name]
    ]
    return canonical_bytes(
        {"format": SITTING.label, "paper": key.paper, "person": key.person, "sealed": key.sealed, "answers": answers,
         "claimed": claimed}
    )  # fmt: skip


def _wrong_answer(asked: Asked) -> dict[str, object] | None:
    """Return a wrong option, or a number that a slip gives; nothing where every wrong answer fails at once.

    Other kinds are left out, which is wrong too: an empty response.
    """
    question, key = asked.variant.question, asked.variant.key
    missing = marking_of(key).missing
    if missing is None:
        return {}
    marks = [(response, mark(asked.variant, response)) for response in missing(question, key)]
    return next((response for response, found in marks if not found.right and not found.critical_fail), None)


def portrait_png(shade: int) -> bytes:
    """Return a drawn head and shoulders, 90 by 120 points, in place of a photograph; `shade` is 0 (dark) to 255."""
    rows = [bytes([0, *(_portrait_point(x, y, shade) for x in range(90))]) for y in range(120)]
    chunks = ((b"IHDR", struct.pack(">IIBBBBB", 90, 120, 8, 0, 0, 0, 0)), (b"IDAT", zlib.compress(b"".join(rows), 9)),
              (b"IEND", b""))  # fmt: skip
    packed = (
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data)) for name, data in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


def _portrait_point(x: int, y: int, shade: int) -> int:
    head = ((x - 45) / 22) ** 2 + ((y - 46) / 28) ** 2 <= 1
    shoulders = ((x - 45) / 42) ** 2 + ((y - 122) / 44) ** 2 <= 1
    return shade if head else shade // 2 if shoulders else 230


def _zulu(moment: datetime) -> str:
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def form_file(
    station: Station,
    person: str,
    level: int,
    observer: str,
    at: datetime,
    seen: Mapping[str, str] | None = None,
    role: str = "first",
    name: str = "",
) -> bytes:
    """Return the file of a form on which every point was passed but those in `seen`, marked as they are there."""
    return canonical_bytes(
        {
            "format": OBSERVATION.label,
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
            "observer": {"person": observer, "name": name or observer},
        }
    )
