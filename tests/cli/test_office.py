"""The commands on the record, from the demo: what they say, what they refuse, and their exit codes."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.ledger.witness import witness_text
from warmyard.cli.main import main


class Desk:
    """The command line on one records folder."""

    def __init__(self, demo: Demo, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.demo, self.folder, self.capsys = demo, tmp_path, capsys

    def run(self, *words: str) -> tuple[int, str, str]:
        """Run a command; return its exit code, what it printed, and what it complained."""
        self.capsys.readouterr()
        code = main([*words, "--records", str(self.demo.records)])
        seen = self.capsys.readouterr()
        return code, seen.out, "\n".join(line for line in seen.err.splitlines() if not line.startswith("demo:"))

    def file(self, text: str, name: str = "fact.yaml") -> str:
        """Write a file for `enter` and return its name."""
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    def refused(self, *words: str) -> str:
        """Run a command that must be refused with one sentence and nothing entered; return the sentence."""
        before = self.demo.open()[1].count
        code, out, err = self.run(*words)
        assert (code, out, err.count("\n")) == (2, "", 0)
        assert self.demo.open()[1].count == before
        return err


@pytest.fixture
def desk(demo: Demo, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Desk:
    """Give the command line on a copy of the demo."""
    return Desk(demo, tmp_path, capsys)


def test_the_board_names_who_goes_and_why_the_others_do_not(desk: Desk) -> None:
    """Those who hold the level go; the others do not, each with a first reason."""
    code, out, _ = desk.run("clearance", "--json", "--activity", "fuel-and-start")
    found = {answer["person"]: answer for answer in json.loads(out)}
    assert code == 0
    assert {person for person, answer in found.items() if answer["may_go_alone"]} == {
        "asta", "mirel", "odile", "otis", "rune", "sten", "tarn", "ulla",
    }  # fmt: skip
    reasons = {person: answer["reason"] for person, answer in found.items()}
    assert reasons["asta"] == ""
    for person, word in {"bram": "expired", "cleo": "suspended", "dane": "station", "edda": "Ines Harrowgate"}.items():
        assert word in reasons[person]
    assert set(found["asta"]) == {"person", "activity", "may_go_alone", "until", "reason", "next_due"}


def test_the_board_is_asked_for_a_day_a_person_an_activity(desk: Desk) -> None:
    """The day before the grant no, on it yes; one person and one activity is one answer."""
    begins = next(desk.demo.open()[1].of("asta", _decision())).entry.counts_from(restricts=False)
    for day, may in ((begins - timedelta(days=1), False), (begins, True)):
        words = ("--on", day.isoformat(), "--person", "asta", "--activity", "hand-over", "--json")
        _, out, _ = desk.run("clearance", *words)
        assert [answer["may_go_alone"] for answer in json.loads(out)] == [may]


def _decision() -> type:
    from warmyard.certify.ledger.bodies import Decision

    return Decision


def test_the_printed_board_carries_the_witness(desk: Desk) -> None:
    """The HTML board holds every candidate, the witness digest and the cautions, and no script."""
    path = desk.folder / "board.html"
    code, out, _ = desk.run("clearance", "--out", str(path))
    text = path.read_text("utf-8")
    assert (code, out.strip()) == (0, str(path))
    assert witness_text(desk.demo.open()[1].tip) in text
    for name in ("Asta Fellweather", "Edda Vossberg", "people out first"):
        assert name in text
    assert "<script" not in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("clearance", "--on", "tomorrow"), "2026-03-31"),
        (("clearance", "--on", "2026-02-30"), "day"),
        (("clearance", "--on", "20260301"), "day"),
        (("clearance", "--person", "nobody"), "nobody with the id"),
        (("clearance", "--person", "../asta"), "person id"),
        (("clearance", "--activity", "dance"), "no activity"),
        (("clearance", "--out", "/dev/null/board.html"), "cannot be written"),
        (("decide", "edda", "2", "grant", "--by", "tova", "--because", "requirements-met"), "not a decider"),
        (("decide", "edda", "2", "grant", "--by", "ghost", "--because", "requirements-met"), "nobody with the id"),
        (("decide", "edda", "2", "grant", "--by", "ines", "--because", "requirements-met"), "may not decide"),
        (("decide", "edda", "two", "grant", "--by", "ines", "--because", "requirements-met"), "not a level"),
        (("decide", "edda", "9", "grant", "--by", "ines", "--because", "requirements-met"), "no level 9"),
        (("decide", "asta", "2", "promote", "--by", "ines", "--because", "x"), "invalid choice"),
        (("decide", "asta", "2", "suspend", "--by", "ines", "--because", "spite"), "no reason to suspend"),
        (("decide", "asta", "2", "suspend", "--because", "incident-under-review"), "--by"),
        (("certificate", "bram", "2"), "expired"),
        (("certificate", "dane", "2"), "holds no certificate"),
        (("ledger", "witness", "--witness", "AAAA-AAAA-AAAA-AAAA"), "belongs to"),
        (("ledger", "verify", "--witness", "short"), "16 or more"),
        (("ledger", "open"), "already"),
        (("enter", "person", "/nowhere.yaml"), "cannot be read"),
        (("enter", "wish", "/nowhere.yaml"), "invalid choice"),
    ],
)
def test_what_is_refused_is_one_sentence(desk: Desk, words: tuple[str, ...], said: str) -> None:
    """A wrong call is exit 2, one sentence, and nothing is entered."""
    assert said in desk.refused(*words)


REFUSED_FILES = {
    "an unknown field": ("person", "name: Ann Other\nage: 7\n", "age"),
    "a missing field": ("person", "roles: []\n", "name"),
    "an unknown role": ("person", "name: Ann Other\nroles: [king]\n", "king"),
    "an id with capitals": ("person", "name: Ann Other\nperson: Ann\n", "small letters"),
    "an id as a path": ("person", "name: Ann Other\nperson: ../ann\n", "small letters"),
    "an id too long": ("person", f"name: Ann Other\nperson: {'a' * 41}\n", "small letters"),
    "a name of nothing": ("person", 'name: "  "\n', "name"),
    "a name that turns the line": ("person", 'name: "Ann\\u202eOther"\n', "printed"),
    "a key twice": ("person", "name: Ann\nname: Ben\n", "twice"),
    "not YAML": ("person", "name: [\n", "YAML"),
    "a list": ("person", "- name\n", "named fields"),
    "a tag": ("person", "name: !!python/object:os.system x\n", "tag"),
    "a photograph that is none": ("person", "name: Ann\nphotograph: /etc/passwd\n", "JPEG or PNG"),
    "evidence that nobody asks for": (
        "evidence", "person: dane\nwhat: charm\nlevel: 2\nby: tova\non: \"2026-01-05\"\n", "asks for no"),
    "evidence from the future": (
        "evidence", "person: dane\nwhat: age-18\nlevel: 2\nby: tova\non: \"2999-01-05\"\n", "future"),
    "evidence on no day": ("evidence", "person: dane\nwhat: age-18\nlevel: 2\nby: tova\non: \"2026-13-05\"\n", "day"),
    "evidence of nothing": (
        "evidence", "person: dane\nwhat: refuellings\nlevel: 2\nby: tova\non: \"2026-01-05\"\ncount: 0\n", "1"),
    "vouching for oneself": (
        "evidence", "person: dane\nwhat: age-18\nlevel: 2\nby: dane\non: \"2026-01-05\"\n", "himself"),
    "an entry that is not there": ("void", "entry: 999\nbecause: x\n", "no entry 999"),
    "an entry that cannot be void": ("void", "entry: 1\nbecause: x\n", "cannot be made void"),
    "a stolen key since never": ("key", "action: stolen\nperson: ines\n", "since_entry"),
    "a person who is not there": ("erase", "person: nobody\nbecause: left\n", "nobody with the id"),
    "an appeal against nothing": (
        "appeal", "person: cleo\ndecision: 3\nstage: lodged\non: \"2026-01-05\"\ntext: x\n", "no decision"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED_FILES)
def test_a_file_that_is_refused(desk: Desk, name: str) -> None:
    """A file with something wrong is exit 2, one sentence, and nothing is entered or left behind."""
    kind, text, said = REFUSED_FILES[name]
    people = sorted(path.name for path in (desk.demo.records / "people").rglob("*"))
    assert said in desk.refused("enter", kind, desk.file(text))
    assert sorted(path.name for path in (desk.demo.records / "people").rglob("*")) == people


def test_json_and_yaml_say_the_same(desk: Desk) -> None:
    """A fact is entered from JSON as from YAML; strict JSON refuses a key twice and a null."""
    body = '{"name": "Ann Other", "roles": ["examiner"], "person": "ann"}'
    code, said = desk.run("enter", "person", desk.file(body, "a.json"))[:2]
    assert code == 0
    assert re.fullmatch(r"entry \d+: person ann, roles: examiner\n", said)
    assert "twice" in desk.refused("enter", "person", desk.file('{"name":"A","name":"B"}', "b.json"))
    assert "empty" in desk.refused("enter", "person", desk.file('{"name":null}', "c.json"))


def test_a_person_without_an_id_gets_a_random_one(desk: Desk) -> None:
    """The id says nothing about the person."""
    _, out, _ = desk.run("enter", "person", desk.file("name: Ann Other\n"))
    person = out.split()[3].rstrip(",")
    assert person.startswith("p-")
    assert len(person) == 12
    assert "ann" not in person


def test_a_new_decider_gets_a_key_and_decides(desk: Desk) -> None:
    """Person, key and decision from the command line: the phrase is shown once, and a certificate follows."""
    desk.run("enter", "person", desk.file("name: Vera Dunmore\nperson: vera\nroles: [decider]\n"))
    code, out, _ = desk.run("enter", "key", desk.file("action: add\nperson: vera\n"))
    phrase = desk.file(out.split("write it down now: ")[1].split()[0], "phrase")
    words = ("decide", "edda", "2", "grant", "--by", "vera", "--because", "requirements-met")
    assert "phrase" in desk.refused(*words)
    code, out, _ = desk.run(*words, "--phrase-file", phrase)
    assert (code, "grant" in out) == (0, True)
    code, out, _ = desk.run("certificate", "edda", "2")
    assert code == 0
    assert all(Path(line).is_file() for line in out.splitlines()[:2])
    assert "open" in desk.refused(
        "decide",
        "edda",
        "2",
        "suspend",
        "--by",
        "vera",
        "--because",
        "incident-under-review",
        "--phrase-file",
        desk.file("AAAA-AAAA-AAAA-AAAA-AAAA", "x"),
    )


def test_erased_means_that_the_name_is_in_no_file(desk: Desk) -> None:
    """After `enter erase` no byte of the folder holds the name, and the ledger verifies."""
    desk.run("enter", "person", desk.file('person: asta\nname: "Asta Fellweather-Novak"\n'))
    desk.run("certificate", "asta", "2")
    assert found(desk.demo.records, b"Fellweather")
    code, out, _ = desk.run("enter", "erase", desk.file("person: asta\nbecause: left\n"))
    assert (code, "forgotten" in out) == (0, True)
    assert found(desk.demo.records, b"Fellweather") == []
    assert desk.run("ledger", "verify")[0] == 0
    assert "erased" in desk.refused("clearance", "--person", "asta")


def test_an_examiner_is_erased_too(desk: Desk) -> None:
    """Names of staff stand in certificates and forms; after erasure they do so no more."""
    desk.run("certificate", "asta", "2")
    desk.run("enter", "erase", desk.file("person: rune\nbecause: left\n"))
    assert found(desk.demo.records, b"Castellan") == []
    code, _, _ = desk.run("certificate", "asta", "2")
    assert code == 0
    assert found(desk.demo.records, b"Castellan") == []


def found(folder: Path, name: bytes) -> list[str]:
    """Return the files whose bytes hold a name; a PDF is read as its reader sees it."""
    import pypdf

    holding = []
    for path in folder.rglob("*"):
        if path.is_file():
            raw = path.read_bytes()
            if path.suffix == ".pdf":
                raw += "".join(page.extract_text() for page in pypdf.PdfReader(path).pages).encode()
            if name in raw:
                holding.append(path.name)
    return holding


def test_an_interrupted_erasure_is_finished(desk: Desk) -> None:
    """When the files are still there after the entry, the next entry deletes them."""
    kept = desk.folder / "kept"
    (desk.demo.records / "people" / "dane").rename(kept)
    kept.rename(desk.demo.records / "people" / "dane")
    import shutil

    shutil.copytree(desk.demo.records / "people" / "dane", kept)
    desk.run("enter", "erase", desk.file("person: dane\nbecause: left\n"))
    shutil.copytree(kept, desk.demo.records / "people" / "dane")
    desk.run("enter", "person", desk.file("name: Somebody Else\n"))
    assert not (desk.demo.records / "people" / "dane").exists()


def test_the_export_makes_formulas_harmless(desk: Desk) -> None:
    """A name that a spreadsheet would run is exported with an apostrophe; the calendar holds ids only."""
    desk.run("enter", "person", desk.file('person: dane\nname: "=HYPERLINK(1)"\n'))
    out = desk.folder / "export"
    assert desk.run("ledger", "export", "--out", str(out))[0] == 0
    assert ",'=HYPERLINK(1)," in (out / "people.csv").read_text("utf-8")
    assert {path.name for path in out.iterdir()} == {
        "entries.csv", "people.csv", "certificates.csv", "evidence.csv", "interests.csv", "csv-metadata.json",
        "due.ics",
    }  # fmt: skip
    calendar = (out / "due.ics").read_text("utf-8")
    assert "SUMMARY:asta: surveillance of level 2" in calendar
    assert "Fellweather" not in calendar
    code, text, _ = desk.run("ledger", "export")
    assert (code, len(text.splitlines())) == (0, desk.demo.open()[1].count)


def test_a_new_office_opens_its_own_ledger(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`ledger open` makes keys with phrases shown once, and a ledger that verifies; there is no phrase file."""
    records = tmp_path / "office"
    assert main(["ledger", "open", "--records", str(records)]) == 0
    out = capsys.readouterr().out
    assert out.count("shown once") == 2
    assert sorted(path.name for path in (records / "keys").iterdir()) == ["office.pem", "recovery.pem"]
    assert main(["ledger", "verify", "--records", str(records)]) == 0
    assert main(["clearance", "--records", str(records)]) == 2
    assert "no scheme is adopted" in capsys.readouterr().err


def test_a_demo_is_made_once(desk: Desk) -> None:
    """A folder that holds something is not written over."""
    assert "not empty" in desk.refused("demo")


def test_a_list_of_evidence_is_entered_whole_or_not_at_all(desk: Desk) -> None:
    """One file may hold several pieces of evidence; one that is wrong keeps the others out."""
    good = '- {person: dane, what: refuellings, level: 2, by: tova, on: "2026-01-05", count: 2}\n'
    assert "asks for no" in desk.refused("enter", "evidence", desk.file(good + good.replace("refuellings", "charm")))
    assert "twice" in desk.refused("enter", "evidence", desk.file(good + good.replace("count: 2", "count: 2, on: x")))
    three = "".join(good.replace("01-05", f"01-0{day}") for day in (5, 6, 7))
    code, out, _ = desk.run("enter", "evidence", desk.file(three))
    assert (code, len(out.splitlines())) == (0, 3)
