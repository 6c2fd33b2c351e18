"""`warmyard suspects` as a person types it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from warmyard.cli.main import main


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Run the command and return code, output and complaint."""
    code = main(["suspects", *words])
    said = capsys.readouterr()
    return code, said.out, said.err


def test_the_json_of_the_contract(capsys: pytest.CaptureFixture[str]) -> None:
    """Suspects with id, weight, name; next with check, minutes, precondition; say: nothing else."""
    code, out, _ = run(capsys, "spark-no-flame", "--json")
    found = json.loads(out)
    assert code == 0
    assert set(found) == {"suspects", "next", "say"}
    assert all(set(one) == {"id", "weight", "name"} for one in found["suspects"])
    weights = [one["weight"] for one in found["suspects"]]
    assert sum(weights) == pytest.approx(1, abs=1e-9)
    assert weights == sorted(weights, reverse=True)
    assert found["next"] == {"check": "dip-the-tank", "minutes": 5.0, "precondition": "unplugged"}
    assert "dip the tank" in found["say"]


def test_what_was_seen_and_where_you_stand(capsys: pytest.CaptureFixture[str]) -> None:
    """--saw, --context and --from all move the answer."""
    words = ("spark-no-flame", "--saw", "dip-the-tank=fuel-above-pick-up", "--context", "filter-changed")
    _, out, _ = run(capsys, *words, "--from", "unplugged", "--level", "2", "--json")
    found = json.loads(out)
    assert found["suspects"][0]["id"] == "air-at-bowl-seal"
    assert found["next"] == {"check": "look-in-filter-bowl", "minutes": 5.0, "precondition": "stopped-and-cool"}


def test_nobody_is_sent_above_the_lowest_level_unasked(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a level the answer is for level 1: a new hire is sent to nothing with tools."""
    words = ("spark-no-flame", "--saw", "dip-the-tank=fuel-above-pick-up", "--json")
    new_hire, fitter = (json.loads(run(capsys, *words, *level)[1])["next"] for level in ((), ("--level", "3")))
    assert new_hire["check"] == "look-at-the-fuel-tap"
    assert fitter["check"] == "look-in-filter-bowl"


def test_a_machine_of_the_fleet_says_where_its_tank_lies(capsys: pytest.CaptureFixture[str]) -> None:
    """Under a tank above the pump a seal drips; with the tank below it draws air: the sheet decides."""
    above, below = (
        json.loads(run(capsys, "flame-lost", "--machine", name, "--json")[1])["suspects"]
        for name in ("curlew-70", "heron-110")
    )
    share = [next(one["weight"] for one in found if one["id"] == "air-at-bowl-seal") for found in (above, below)]
    assert share[0] < share[1] / 5


def test_a_contradiction(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing explains both: an empty list, no next check, a sentence, exit 0."""
    words = ("spark-no-flame", "--saw", "dip-the-tank=below-pick-up", "--saw", "look-in-filter-bowl=water-line")
    code, out, _ = run(capsys, *words, "--json")
    found = json.loads(out)
    assert (code, found["suspects"], found["next"]) == (0, [], None)
    assert "contradicts" in found["say"]


@pytest.mark.parametrize(
    ("symptom", "first"), [("fumes-inside", "People out first."), ("tingle-from-casing", "Nobody touches it.")]
)
def test_emergencies_speak_first(capsys: pytest.CaptureFixture[str], symptom: str, first: str) -> None:
    """The first words are about people, and there is no check to make."""
    _, out, _ = run(capsys, symptom, "--json")
    found = json.loads(out)
    assert found["say"].startswith(first)
    assert found["next"] is None
    _, text, _ = run(capsys, symptom)
    assert text.startswith(first)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("spark",), "near ones are"),
        (("dead", "--saw", "dip=empty"), "there is no check 'dip'; near ones are dip-the-tank"),
        (("dead", "--saw", "dip-the-tank"), "is not CHECK=OUTCOME"),
        (("dead", "--saw", "dip-the-tank=wet"), "there is no outcome of dip-the-tank 'wet'"),
        (("dead", "--saw", "dip-the-tank=below-pick-up", "--saw", "dip-the-tank=fuel-above-pick-up"), "given twice"),
        (("dead", "--context", "rain"), "there is no context 'rain'"),
        (("dead", "--machine", "gull-9"), "there is no machine 'gull-9'"),
        (("dead", "--from", "roof"), "there is no precondition 'roof'"),
        (("dead", "--level", "-2"), "a level is a whole number"),
        ((), "see warmyard suspects --help"),
    ],
)
def test_a_wrong_call_is_one_sentence(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], says: str) -> None:
    """Exit 2, one line on stderr, nothing on stdout, no traceback."""
    code, out, err = run(capsys, *words)
    assert (code, out) == (2, "")
    assert says in err
    assert err.count("\n") == 1


def test_it_answers_on_any_console(workspace_root: Path) -> None:
    """A console that knows no UTF-8 gets the answer all the same."""
    found = subprocess.run(
        [sys.executable, "-m", "warmyard.cli", "suspects", "spark-no-flame"],
        cwd=workspace_root,
        env={"PYTHONIOENCODING": "cp1252", "PATH": ""},
        capture_output=True,
        check=False,
    )
    assert found.returncode == 0
    assert b"Tank empty" in found.stdout
    assert found.stderr == b""
