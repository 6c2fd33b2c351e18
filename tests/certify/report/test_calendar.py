"""The calendar file, read by a strict reader of our own written from the rules of RFC 5545."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from demo_records import Demo
from hypothesis import given
from hypothesis import strategies as st

from warmyard.certify.acts.notice import NoticeFile, enter_notice
from warmyard.certify.demo.cast import NAMES
from warmyard.certify.report.calendar import Due, calendar_text, escaped, folded
from warmyard.certify.rules.notice import touched_by
from warmyard.cli.main import main
from warmyard.words import own_words

# 3.1: contentline = name *(";" param) ":" value; 3.3.11: what may follow a backslash.
CONTENT = re.compile(
    r'([A-Z][A-Z0-9-]*)((?:;[A-Z0-9-]+=(?:"[^"\x00-\x08\x0a-\x1f\x7f]*"|[^";:,\x00-\x1f\x7f]*))*):(.*)'
)
ESCAPE = re.compile(r"\\(.?)", re.DOTALL)
MOMENT = re.compile(r"\d{8}T\d{6}Z")
NOW = datetime(2027, 3, 1, 9, 30, tzinfo=UTC)


class NotACalendarError(Exception):
    """The bytes break a rule of RFC 5545."""


@dataclass
class Component:
    """A component with its properties in order."""

    name: str
    properties: list[tuple[str, str, str]] = field(default_factory=list)
    parts: list[Component] = field(default_factory=list)

    def one(self, name: str) -> str:
        """Return the value of a property that stands there exactly once."""
        found = [value for given_name, _, value in self.properties if given_name == name]
        if len(found) != 1:
            raise NotACalendarError(f"{self.name}: {len(found)} times {name}")
        return found[0]


def content_lines(data: bytes) -> Iterator[str]:
    """Yield unfolded content lines; 3.1: CRLF ends each line, 75 octets at most, folds begin with one blank."""
    if not data.endswith(b"\r\n") or re.search(rb"(?<!\r)\n|\r(?!\n)", data):
        raise NotACalendarError("a line end that is not CR LF")
    line: str | None = None
    for raw in data[:-2].split(b"\r\n"):
        if len(raw) > 75:
            raise NotACalendarError(f"a line of {len(raw)} octets")
        text = raw.decode("utf-8")
        if text[:1] in (" ", "\t"):
            if line is None:
                raise NotACalendarError("a fold before the first line")
            line += text[1:]
            continue
        if line is not None:
            yield line
        line = text
    assert line is not None
    yield line


def read_text_value(value: str) -> str:
    """Return a TEXT value, 3.3.11: a backslash is followed by one of five; no bare ; or , and no control."""
    if re.search(r"(?<!\\)(?:\\\\)*[;,]", value) or re.search(r"[\x00-\x08\x0a-\x1f\x7f]", value):
        raise NotACalendarError(f"not TEXT: {value!r}")

    def one(match: re.Match[str]) -> str:
        if match.group(1) not in ("\\", ";", ",", "n", "N"):
            raise NotACalendarError(f"not an escape: {match.group(0)!r}")
        return "\n" if match.group(1) in "nN" else match.group(1)

    return ESCAPE.sub(one, value)


def read_calendar(data: bytes) -> Component:
    """Return the VCALENDAR; raise NotACalendarError for anything that RFC 5545 does not allow."""
    root = Component("")
    open_ones = [root]
    for line in content_lines(data):
        match = CONTENT.fullmatch(line)
        if match is None:
            raise NotACalendarError(f"not a content line: {line!r}")
        name, parameters, value = match.groups()
        if name == "BEGIN":
            fresh = Component(value)
            open_ones[-1].parts.append(fresh)
            open_ones.append(fresh)
        elif name == "END":
            if open_ones.pop().name != value or not open_ones:
                raise NotACalendarError(f"END:{value} in the wrong place")
        else:
            open_ones[-1].properties.append((name, parameters, value))
    if len(open_ones) != 1 or [part.name for part in root.parts] != ["VCALENDAR"] or root.properties:
        raise NotACalendarError("not one VCALENDAR")
    calendar = root.parts[0]
    # 3.6: VERSION and PRODID once; 3.6.1: UID and DTSTAMP once in every event; 3.8.4.7: a UID is there once.
    if calendar.one("VERSION") != "2.0" or not calendar.one("PRODID"):
        raise NotACalendarError("no version or product")
    uids = [event.one("UID") for event in calendar.parts]
    if len(set(uids)) != len(uids) or not all(MOMENT.fullmatch(event.one("DTSTAMP")) for event in calendar.parts):
        raise NotACalendarError("a UID twice, or a stamp that is no UTC moment")
    for event in calendar.parts:
        days = [datetime.strptime(event.one(name), "%Y%m%d").date() for name in ("DTSTART", "DTEND")]
        if days[1] <= days[0]:
            raise NotACalendarError("an event ends before it begins")
    return calendar


def events(data: bytes) -> dict[str, tuple[date, str]]:
    """Return UID -> day and summary."""
    return {
        event.one("UID"): (
            datetime.strptime(event.one("DTSTART"), "%Y%m%d").date(), read_text_value(event.one("SUMMARY")),
        )
        for event in read_calendar(data).parts
    }  # fmt: skip


ANY_TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc"]) | st.sampled_from('\n;,\\:"ü€😀'), max_size=200)


@given(ANY_TEXT)
def test_any_text_comes_back(text: str) -> None:
    """Whatever a summary holds, the strict reader reads it back, and no line is longer than 75 octets."""
    data = calendar_text(iter([Due("c-1-expiry", date(2027, 4, 1), text)]), own_words(), NOW).encode()
    assert events(data)["c-1-expiry@warmyard.invalid"] == (date(2027, 4, 1), text)


@pytest.mark.parametrize("size", [74, 75, 76, 149, 150, 151])
@pytest.mark.parametrize("sign", ["x", "ü", "€", "😀"])
def test_a_line_is_folded_at_75_octets(sign: str, size: int) -> None:
    """Lines are filled to the last octet that fits, and no character is cut."""
    lines = folded(sign * size).split("\r\n")
    octets = len(sign.encode())
    assert all(75 - octets < len(line.encode()) <= 75 for line in lines[:-1])
    assert "".join([lines[0], *(line[1:] for line in lines[1:])]) == sign * size


def test_escapes_are_those_of_the_standard() -> None:
    """The example values of RFC 5545, 3.3.11, the way they stand there."""
    said = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert escaped(said) == "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."
    assert escaped("a;b,c\\d\r\ne\x00\x7f") == "a\\;b\\,c\\\\d\\ne"


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data.replace(b"\r\n", b"\n"),
        lambda data: data.replace(b"VERSION:2.0\r\n", b""),
        lambda data: data.replace(b"SUMMARY:", b"SUMMARY:" + b"x" * 80),
        lambda data: data.replace(b"END:VCALENDAR\r\n", b""),
        lambda data: data.replace(b"UID:", b"UID;"),
        lambda data: data + data,
    ],
)
def test_the_reader_is_strict(spoil: object) -> None:
    """A file that breaks a rule is refused, so that the reader's word counts."""
    data = calendar_text(iter([Due("c-1-expiry", date(2027, 4, 1), "ends")]), own_words(), NOW).encode()
    assert callable(spoil)
    with pytest.raises(NotACalendarError):
        read_calendar(spoil(data))


def test_the_demo_has_its_dates(demo: Demo, tmp_path: Path) -> None:
    """Who holds a certificate has surveillance, renewal and expiry; the expired one has none; nobody is named."""
    out = tmp_path / "due.ics"
    assert main(["clearance", "--calendar", str(out), "--records", str(demo.records)]) == 0
    found = events(out.read_bytes())
    _, state = demo.open()
    asta = next(name for name, grant in state.grants.items() if grant.entry.person == "asta")
    bram = next(name for name, grant in state.grants.items() if grant.entry.person == "bram")
    kinds = {uid.removeprefix(f"{asta}-").partition("@")[0] for uid in found if uid.startswith(asta)}
    assert kinds == {"surveillance", "renewal", "expiry"}
    assert not [uid for uid in found if uid.startswith(bram)]
    assert found[f"{asta}-expiry@warmyard.invalid"][0] == date.fromisoformat(state.grants[asta].body.until)
    assert not [name for name in NAMES.values() if name in out.read_text("utf-8")]


def test_uids_stay_and_a_notice_gets_its_own(demo: Demo, tmp_path: Path) -> None:
    """Made again on another day, each date keeps its UID; a notice adds one for each person whom it touches."""
    out = tmp_path / "due.ics"
    words = ["clearance", "--calendar", str(out), "--records", str(demo.records)]
    assert main(words) == 0
    before = events(out.read_bytes())
    tomorrow = (demo.made + timedelta(days=1)).date().isoformat()
    assert main([*words, "--on", tomorrow]) == 0
    assert events(out.read_bytes()) == before
    desk = demo.desk()
    enter_notice(desk, NoticeFile(changed="rule:clearance"), "0" * 64)
    _, state = demo.open()
    touched = touched_by(state, state.view().notices()[-1], demo.made.date())
    assert main([*words, "--on", tomorrow]) == 0
    fresh = {uid: what for uid, what in events(out.read_bytes()).items() if uid not in before}
    assert {"asta", "cleo"} <= {each.person for each in touched}
    assert sorted(summary for _, summary in fresh.values()) == sorted(
        f"{each.person}: must have read the rule clearance again" for each in touched
    )


def test_a_folder_that_is_not_there(demo: Demo, capsys: pytest.CaptureFixture[str]) -> None:
    """A calendar that cannot be written is refused in one sentence."""
    assert main(["clearance", "--calendar", "/no/such/folder/due.ics", "--records", str(demo.records)]) == 2
    assert "no such folder" in capsys.readouterr().err
