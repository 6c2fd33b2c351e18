"""`warmyard work` as a person calls it: values, refusals, JSON, steps, fuels, sheets, countries."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from warmyard.cli.main import main

CASES = json.loads((Path(__file__).parents[1] / "contract" / "formulas.json").read_text("utf-8"))["cases"]


@pytest.fixture(autouse=True)
def _in_the_workspace(workspace_root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(workspace_root)


def words(case: dict[str, dict[str, str]]) -> list[str]:
    """Return a contract case as words of a command line."""
    return [f"{symbol}={text}" for symbol, text in case["inputs"].items()]


@pytest.mark.parametrize(
    "case", [case for case in CASES if "issue 2" in case.get("source", "")], ids=lambda one: one["id"]
)
def test_values(case: dict[str, dict[str, str]], capsys: pytest.CaptureFixture[str]) -> None:
    """One JSON object with id, value, unit, steps and source."""
    assert main(["work", str(case["id"]), *words(case), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert set(found) == {"id", "value", "unit", "steps", "source"}
    assert found["value"] == pytest.approx(case["value"], rel=1e-4)
    assert found["unit"]
    assert len(found["steps"]) >= 3
    assert found["source"]


@pytest.mark.parametrize("case", [case for case in CASES if "refused" in case][:25], ids=lambda one: str(one)[:60])
def test_refusals(case: dict[str, dict[str, str]], capsys: pytest.CaptureFixture[str]) -> None:
    """Exit 2, one sentence on the error stream, nothing at all on the other."""
    assert main(["work", str(case["id"]), *words(case), "--json"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert str(case["refused"]) in said.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["nozzle-flop", "q_r=1"], "did you mean nozzle-flow"),
        (["nozzle-flow", "q_r"], "is not symbol=value"),
        (["nozzle-flow", "=1"], "is not symbol=value"),
        (["nozzle-flow", "q_r=1", "q_r=2", "p=10"], "q_r is given twice"),
        (["nozzle-heat-input", "fuel=coal", "q_r=1", "p=10"], "there is no fuel 'coal'"),
        (["nozzle-flow", "sheet=none"], "there is no machine 'none'"),
        (["tent-area", "sheet=plover-45"], "takes nothing from a machine's sheet"),
        (["containment", "V_1=205", "N=4", "--country", "mars"], "there are no rules for the country 'mars'"),
        (["service-due", "last=soon"], "is not a date"),
        (["check-order", "p=0.5"], "c is missing"),
    ],
)
def test_wrong_calls(arguments: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A wrong call is one sentence and exit 2."""
    assert main(["work", *arguments]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert says in said.err


def test_text_with_steps(capsys: pytest.CaptureFixture[str]) -> None:
    """The value with its unit and meaning, the steps, and how the source is known."""
    assert main(["work", "nozzle-flow", "q_r=1", "p=10 bar", "--steps"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("q = 1.2043 US gal/h   (flow at the set pressure)\n")
    assert "  q = 1 US gal/h × √(10 bar / 6.895 bar)" in out
    assert "(confirmed by independent computation)" in out


def test_values_from_memory_say_so(capsys: pytest.CaptureFixture[str]) -> None:
    """What nobody has checked is marked."""
    assert main(["work", "flexible-duct-factor", "r_c=30", "D=400"]) == 0
    assert "from memory, not yet checked against a source" in capsys.readouterr().out


def test_a_warning_stands_on_the_error_stream(capsys: pytest.CaptureFixture[str]) -> None:
    """The value is printed, the note beside it."""
    assert main(["work", "flue-loss", "t_f=220", "t_a=20", "O2=14"]) == 0
    said = capsys.readouterr()
    assert said.out.startswith("q_A = ")
    assert said.err.startswith("note: Above 13 % oxygen")


def test_a_fuel_and_a_sheet_fill_symbols(capsys: pytest.CaptureFixture[str]) -> None:
    """What is typed comes before the sheet, the sheet before its fuel."""
    assert main(["work", "nozzle-heat-input", "fuel=gas-oil", "q_r=1.35", "p=10", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["value"] == pytest.approx(61.3, abs=0.1)
    assert main(["work", "run-time", "sheet=plover-45", "x_u=60", "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)["value"]
    assert main(["work", "run-time", "sheet=plover-45", "x_u=60", "V_r=0", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["value"] > whole


def test_plans(capsys: pytest.CaptureFixture[str]) -> None:
    """The date of a service and an order of checks answer too."""
    service = ["last=2025-10-01", "interval_h=500", "interval_months=12", "per_day=10"]
    assert main(["work", "service-due", *service, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["value"], found["unit"]) == ("2025-11-20", "date")
    assert main(["work", "check-order", "p=0.45,0.30,0.17,0.08", "c=10,20,4,2", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["value"] == pytest.approx(18.96)
    assert found["order"] == [1, 3, 4, 2]


def test_list_shows_every_id(capsys: pytest.CaptureFixture[str]) -> None:
    """All formulas and both plans, one a line."""
    assert main(["work", "list"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) >= 85
    assert any(line.startswith("service-due") for line in lines)


def test_a_broken_formula_gives_no_number(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A relation that is not proved answers nothing: exit 1, file and line."""
    (tmp_path / "site_config").mkdir()
    folder = tmp_path / "course" / "formulas"
    folder.mkdir(parents=True)
    source = Path(__file__).parents[2] / "course" / "formulas" / "sound.yaml"
    (folder / "sound.yaml").write_text(source.read_text("utf-8").replace("2*c*log10(r/r_1)", "2*c*log10(r)"), "utf-8")
    monkeypatch.chdir(tmp_path)
    assert main(["work", "noise-at-distance", "L_1=85", "N=2", "r=10"]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert re.match(r"course/formulas/sound\.yaml:\d+: it takes log10 of m; .*", said.err)


def test_it_answers_on_any_console(workspace_root: Path) -> None:
    """A console that knows no degree sign gets the answer all the same."""
    done = subprocess.run(
        [sys.executable, "-m", "warmyard.cli", "work", "air-density", "t=20", "--steps"],
        cwd=workspace_root, env={"PYTHONIOENCODING": "cp1252", "PATH": ""}, capture_output=True, check=True,
    )  # fmt: skip
    assert "20 °C" in done.stdout.decode("utf-8")
