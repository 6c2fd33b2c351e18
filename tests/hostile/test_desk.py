"""Attacks and slips at the desk, through `warmyard enter`: each is one sentence that says what to do, exit code 2."""

from __future__ import annotations

import base64
import json
from pathlib import Path

import pytest
from demo_records import Demo

from warmyard.certify.demo.files import form_file, portrait_png
from warmyard.certify.ledger.side_files import read_side
from warmyard.cli.main import main
from warmyard.course.workspace import Workspace

STATION = "power-fuel-start-stop"


class Desk:
    """The command line of an office, on a copy of the demo."""

    def __init__(self, target: Demo, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.target, self.folder, self.capsys = target, folder, capsys

    def enter(self, kind: str, text: str | bytes, name: str = "fact.yaml", key: str = "office") -> tuple[int, str]:
        """Return the exit code and what was said."""
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        code = main(["enter", kind, str(path), "--key", key, "--records", str(self.target.records)])
        seen = self.capsys.readouterr()
        return code, seen.out if code == 0 else seen.err

    def number(self, person: str, kind: str) -> int:
        """Return the last entry of a kind about somebody."""
        facts = self.target.state().facts[person]
        return [fact.entry.number for fact in facts if fact.entry.kind == kind][-1]


@pytest.fixture
def desk(target: Demo, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Desk:
    """Give the desk."""
    return Desk(target, tmp_path, capsys)


def appeal(decision: int, stage: str, day: str, by: str = "", person: str = "cleo") -> str:
    """Return the file of an appeal."""
    return f'person: {person}\ndecision: {decision}\nstage: {stage}\non: "{day}"\ntext: t\nby: [{by}]\n'


@pytest.mark.parametrize("name", ["office", "recovery", "papers"])
def test_a_person_by_the_name_of_a_key_of_the_office(desk: Desk, name: str) -> None:
    """Nobody's id takes the place of the office key, the recovery key or the secret of the papers."""
    keys = {path.name: path.read_bytes() for path in (desk.target.records / "keys").iterdir()}
    code, said = desk.enter("person", f"person: {name}\nname: Otto Fitz\n")
    assert (code, "give the person another id" in said) == (2, True)
    assert keys == {path.name: path.read_bytes() for path in (desk.target.records / "keys").iterdir()}


def test_a_log_entered_twice_counts_once(desk: Desk) -> None:
    """The same hours of the same day by the same trainer are refused, in one file or in two."""
    day = desk.target.made.date().isoformat()
    one = f'- {{person: karin, what: supervised-hours, level: 2, by: tova, on: "{day}", count: 7}}\n'
    assert "stands twice in the file" in desk.enter("evidence", one + one)[1]
    assert desk.enter("evidence", one)[0] == 0
    number = desk.target.state().count
    code, said = desk.enter("evidence", one.replace("7", "3") + one)
    assert (code, f"entered already, as entry {number}" in said) == (2, True)
    assert desk.target.state().count == number
    assert desk.enter("evidence", one.replace("count", "text: the afternoon, count"))[0] == 0


def test_an_appeal_has_its_order(desk: Desk) -> None:
    """It is lodged after the decision, once; decided after it was lodged, once; by two who had no part in it."""
    number, today = desk.number("cleo", "decision"), desk.target.made.date().isoformat()
    assert "is open already" in desk.enter("appeal", appeal(number, "lodged", today))[1]
    assert "nobody appeals on 2001-01-01" in desk.enter("appeal", appeal(number, "lodged", "2001-01-01"))[1]
    assert "nobody decided it on 2001" in desk.enter("appeal", appeal(number, "upheld", "2001-01-01", "rune, tova"))[1]
    assert "two people" in desk.enter("appeal", appeal(number, "upheld", today, "rune, rune"))[1]
    assert "ines had a part" in desk.enter("appeal", appeal(number, "upheld", today, "rune, ines"))[1]
    assert desk.enter("appeal", appeal(number, "dismissed", today, "rune, tova"))[0] == 0
    assert "no appeal against entry" in desk.enter("appeal", appeal(number, "upheld", today, "rune, tova"))[1]


def test_an_appeal_decided_by_who_examined(desk: Desk) -> None:
    """Trainers and examiners whom the decision names had a part in it."""
    made = desk.target.made
    grant = next(
        fact for fact in desk.target.state().grants.values() if (made - fact.entry.recorded_at).days < 25
    )  # fmt: skip
    number, person, today = grant.entry.number, grant.entry.person, made.date().isoformat()
    assert desk.enter("appeal", appeal(number, "lodged", today, person=person))[0] == 0
    examiner = grant.body.examiners[0]
    code, said = desk.enter("appeal", appeal(number, "upheld", today, f"{examiner}, milo", person=person))
    assert (code, f"{examiner} had a part in the decision" in said) == (2, True)


def test_somebody_makes_void_what_is_about_himself(desk: Desk) -> None:
    """A custodian's own key makes void no declaration and no failed station of its owner."""
    day = desk.target.made.date().isoformat()
    declared = f'person: odile\non: "{day}"\nabout: [asta]\ntext: sisters\n'
    assert desk.enter("interest", declared, key="odile")[0] == 0
    number = desk.target.state().count
    code, said = desk.enter("void", f"entry: {number}\nbecause: mistake\n", key="odile")
    assert (code, "about himself or herself" in said) == (2, True)
    assert desk.enter("void", f"entry: {number}\nbecause: mistake\n")[0] == 0


def test_one_observer_is_not_two(desk: Desk, small_workspace: Workspace) -> None:
    """The second observer of a performance is another person, whichever form comes first."""
    made = desk.target.made
    plain = json.loads(form_file(small_workspace.stations[STATION], "dane", 2, "rune", made))
    for first, second in (("first", "second"), ("second", "first")):
        person = {"first": "dane", "second": "karin"}[first]
        form = plain | {"person": person, "form": f"form-{first}", "role": first}
        assert desk.enter("observation", json.dumps(form), "form.json")[0] == 0
        form |= {"form": f"form-{first}-again", "role": second}
        code, said = desk.enter("observation", json.dumps(form), "form.json")
        assert (code, f"the {second} observer is another person" in said) == (2, True)


def test_a_form_of_a_level_that_does_not_ask_for_it(desk: Desk, small_workspace: Workspace) -> None:
    """A form that no decision would look at is not filed away in silence."""
    plain = json.loads(form_file(small_workspace.stations[STATION], "dane", 2, "rune", desk.target.made))
    code, said = desk.enter("observation", json.dumps(plain | {"level": 7}), "form.json")
    assert (code, "the scheme has no level 7" in said) == (2, True)


def test_a_photograph_that_no_card_can_show(desk: Desk) -> None:
    """A picture that begins like one and ends at once is refused at the desk, not when the certificate is printed."""
    broken = desk.folder / "broken.jpg"
    broken.write_bytes(b"\xff\xd8\xff\xe0 and so on")
    code, said = desk.enter("person", f"person: asta\nname: Asta Fellweather\nphotograph: {broken}\n")
    assert (code, "save it again as JPEG or PNG" in said) == (2, True)
    whole = desk.folder / "whole.png"
    whole.write_bytes(portrait_png(120))
    assert desk.enter("person", f"person: asta\nname: Asta Fellweather\nphotograph: {whole}\n")[0] == 0
    code, said = desk.enter("person", "person: asta\nname: Asta Fell\nroles: [examiner]\n")
    assert (code, "roles: examiner (before: none)" in said) == (0, True)
    side = read_side(desk.target.records, "asta", desk.target.state().people["asta"].side)
    assert base64.b64decode(str(side["photograph"])) == whole.read_bytes()


@pytest.mark.parametrize(
    ("name", "raw", "said"),
    [
        ("fact.json", b"\xef\xbb\xbf" + b'{"person":"karin","what":"age-18","level":2,"by":"tova","on":"DAY"}', ""),
        ("fact.json", '{"person":"karin"}'.encode("utf-16"), "save it again as UTF-8"),
        ("fact.json", b'{"person":"karin"', "not JSON; correct the file"),
        ("fact.yaml", b'person: karin\r\nwhat: age-18\r\nlevel: 2\r\nby: tova\r\non: "DAY"\r\n', ""),
        (
            "fact.yaml",
            b'person: karin\nwhat: age-18\nlevel: "2"\nby: tova\non: "DAY"\n',
            "expected a whole number, found text in level; write a whole number",
        ),
    ],
)
def test_what_other_editors_write(desk: Desk, name: str, raw: bytes, said: str) -> None:
    """A byte order mark and Windows line ends are no fault; the rest is named in words, not in names of types."""
    made = raw.replace(b"DAY", desk.target.made.date().isoformat().encode())
    code, found = desk.enter("evidence", made, name)
    assert code == (2 if said else 0)
    assert said in found


def test_an_endless_file_is_not_read_to_its_end(desk: Desk) -> None:
    """A device that never ends is refused after the first bytes."""
    assert main(["enter", "person", "/dev/zero", "--records", str(desk.target.records)]) == 2
    assert "too large" in desk.capsys.readouterr().err
