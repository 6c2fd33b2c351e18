"""What `warmyard check` finds in a formula: file, line, what, what to do."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from warmyard.errors import InputError, SourceError
from warmyard.formula.check import allowed_difference, boundary_inputs
from warmyard.formula.register import Register, check_register, load_register

SOUND = """\
- id: air-mass
  title: Mass of air
  gives: {symbol: rho, unit: kg/m3, means: density}
  needs:
    - {symbol: m, unit: kg, means: mass of the air, range: [0, 100]}
    - {symbol: V, unit: m3, means: volume of the air, range: [0.1, 100]}
  relation: m/V
  slips:
    - {id: upside-down, relation: "(1/144)*m/V", say: You turned it over.}
  worked:
    - {inputs: {m: 12, V: 10}, result: 1.2, within: 0.1 %, source: hand-worked, known: confirmed, outside: true}
  source: definition
  known: confirmed
"""


def faults_of(tmp_path: Path, text: str, rules: dict[str, tuple[float, str, str]] | None = None) -> list[SourceError]:
    """Return every fault of one formula file."""
    folder = tmp_path / "course" / "formulas"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "air.yaml").write_text(text, "utf-8")
    register, faults = load_register(folder, tmp_path, rules or {})
    return faults + check_register(register)


def test_the_course_has_no_fault(register: Register) -> None:
    """Every formula of the course is proved, searched, worked and round-tripped."""
    assert [str(fault) for fault in check_register(register)] == []


def test_a_sound_formula_has_no_fault(tmp_path: Path) -> None:
    """The formula that the cases below break is sound."""
    assert faults_of(tmp_path, SOUND) == []


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ("relation: m/V", "relation: m", 7, "the relation gives kg, but gives says kg/m3; correct the relation or"),
        ("unit: kg, means: mass", "unit: L, means: mass", 7, "but gives says kg/m3"),
        ("unit: kg/m3,", "unit: kg/m4,", 3, "there is no unit kg/m4"),
        ("relation: m/V", "relation: m/V*3600", 7, "3600 looks like a unit conversion"),
        ("relation: m/V", "relation: m/W", 7, "it uses W, which is not among its symbols"),
        ("relation: m/V", "relation: open(m)", 7, "is not allowed in a relation"),
        ("[0.1, 100]", "[0, 100]", 7, "divides by V, which is not above 0; add a refusal in words"),
        ("relation: m/V", "relation: m/V*sqrt(1 - m/m)", 7, "add a refusal in words"),
        ("[0, 100]", "[100, 0]", 5, "runs backwards"),
        ("[0, 100]", "[-5, 100]", 5, "holds negative values; start it at 0, or mark the symbol signed"),
        (", range: [0, 100]", "", 5, "the symbol m has no range"),
        ("means: mass of the air", 'means: ""', 5, "has no meaning in words"),
        (
            "result: 1.2",
            "result: 1.3",
            11,
            "the worked value of hand-worked is 1.3000 kg/m³, the relation gives 1.2000",
        ),
        ("within: 0.1 %", "within: near", 11, "is neither a share such as 1 %"),
        ("m: 12,", "m: 12 bar,", 11, "the worked value cannot be computed"),
        (", outside: true", "", 10, "no worked value of air-mass comes from outside"),
        ("(1/144)*m/V", "m/V", 9, "never differs from the right answer"),
        ("(1/144)*m/V", "m*V", 9, "the relation gives kg m3"),
        ("id: air-mass", "id: Air Mass", 1, "is not a plain id"),
        ("symbol: V,", "symbol: pi,", 6, "stands twice or is reserved"),
        ("relation: m/V", "relation: m/V\n  inverse_of: [nothing]", 8, "there is no formula nothing"),
        ("  known: confirmed\n", "  known: guessed\n", 13, "known is 'guessed'"),
    ],
)
def test_each_fault_has_its_line_and_words(tmp_path: Path, old: str, new: str, line: int, says: str) -> None:
    """One fault, at the line where it stands, with what to do."""
    assert old in SOUND
    found = [str(fault) for fault in faults_of(tmp_path, SOUND.replace(old, new, 1))]
    assert any(one.startswith(f"course/formulas/air.yaml:{line}: ") and says in one for one in found), found


def test_three_faults_in_one_run(tmp_path: Path) -> None:
    """All faults come at once, from several formulas and files."""
    folder = tmp_path / "course" / "formulas"
    folder.mkdir(parents=True)
    for at, (old, new) in enumerate([("m/V\n", "m\n"), ("1.2,", "9,"), ("[0.1, 100]", "[0, 100]")]):
        text = SOUND.replace("air-mass", f"air-mass-{at}").replace(old, new, 1)
        (folder / f"{at}.yaml").write_text(text, "utf-8")
    register, faults = load_register(folder, tmp_path, {})
    assert faults == []
    assert {fault.place.file for fault in check_register(register)} == {f"course/formulas/{at}.yaml" for at in range(3)}


def test_an_id_twice_and_a_rule_that_is_not_there(tmp_path: Path) -> None:
    """A second formula of one id, and a rule that no country gives, are faults."""
    assert any("stands twice" in str(fault) for fault in faults_of(tmp_path, SOUND + SOUND))
    ruled = SOUND.replace("range: [0.1, 100]}", "range: [0.1, 100], rule: volume}")
    assert any("no country's rule has the id volume" in str(fault) for fault in faults_of(tmp_path, ruled))
    assert faults_of(tmp_path, ruled, {"volume": (10000.0, "L", "somewhere")}) == []
    wrong = faults_of(tmp_path, ruled, {"volume": (10.0, "kg", "somewhere")})
    assert any("the rule volume does not fit" in str(fault) for fault in wrong)


def test_boundaries_meet_two_at_a_time(register: Register) -> None:
    """The search tries a ridge as low as the eaves, and a warm-up of exactly the steady rise's bounds."""
    tent = list(boundary_inputs(register.formulas["tent-area"]))
    assert any(one["h_e"] == one["h_r"] for one in tent)
    assert any(one["h_e"] == 30 and one["h_r"] == 0.1 for one in tent)


@pytest.mark.parametrize(
    ("id", "refusal"),
    [
        ("warm-up-time", "never reached"),
        ("flue-loss", "fresh air"),
        ("time-to-co", "deadliest case"),
        ("cool-down-time", "not cooling"),
        ("availability", "Both times"),
        ("run-time", "never empties"),
        ("heaters-per-transformer", "without load"),
        ("temperature-rise", "no air moving"),
    ],
)
def test_a_refusal_taken_out_is_missed(workspace_root: Path, tmp_path: Path, id: str, refusal: str) -> None:
    """Without its refusal in words a formula accepts an input with no finite number, and the search finds it."""
    texts = [path.read_text("utf-8") for path in (workspace_root / "course" / "formulas").glob("*.yaml")]
    blocks = [block for text in texts for block in text.split("\n\n") if f"- id: {id}\n" in block + "\n"]
    (block,) = blocks
    lines = [line for line in block.splitlines() if not (line.strip().startswith("- {when:") and refusal in line)]
    text = "\n".join(line for line in lines if not line.startswith("  inverse_of"))
    text = re.sub(r"  refuse:\n(?!    -)", "", text)
    assert text != block
    found = faults_of(tmp_path, text[text.index("- id:") :] + "\n")
    assert any("accepts" in str(fault) for fault in found), [str(fault) for fault in found]


def test_a_broken_inverse_is_found(workspace_root: Path, tmp_path: Path) -> None:
    """A round trip that does not come back names both numbers."""
    text = (workspace_root / "course" / "formulas" / "supply.yaml").read_text("utf-8")
    broken = text.replace("relation: z*I*L/U\n", "relation: z*I*L/U*(1 + L/L/1000)\n")
    assert broken != text
    found = faults_of(tmp_path, broken, {"earth-limit": (0.1, "ohm", "x")})
    assert any("the round trip through" in str(fault) for fault in found)


def test_tolerances() -> None:
    """A share of the value, or an absolute difference."""
    assert allowed_difference("1 %", 50) == 0.5
    assert allowed_difference("0.05", 50) == 0.05
    for wrong in ("", "-1", "nan", "1 % %"):
        with pytest.raises(InputError):
            allowed_difference(wrong, 1)
