"""Habits that a machine can see: the top level, pins with their hashes, reasons, dates, and commands that exist."""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from types import ModuleType

import pytest

from warmyard.cli.main import VERBS

ROOT = Path(__file__).resolve().parents[1]
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "builder", "course", "quizbank", "site_config", "tests"}
FOLDERS = {
    "builder", "course", "quizbank", "tests", "site_config", r"\.github",
    "cli", "web", "certify", "measure", "page", "item", "formula", "machine", "formats", "rules", "words",
}  # fmt: skip
"""What a path of ours begins with: folders of the checkout, and of the package as DEVELOPERS names them."""
TEXTS = ("README.md", "DEVELOPERS.md", *(f".github/{name}.md" for name in ("CONTRIBUTING", "CHANGELOG", "SECURITY")))
USUAL = {
    "lesson in steps",
    "formula", "unit", "symptom", "country", "chart", "verb",
    "card", "export", "item kind", "entry kind", "fence", "language",
    "rule of a country", "field of a data sheet", "state, stop or law of the machine", "word on a page",
}  # fmt: skip
PINNED = re.compile(r"^([a-z0-9-]+)==(\S+)((?: ;[^\\\n]*)?) \\\n((?:    --hash=sha256:[0-9a-f]{64}(?: \\)?\n)+)", re.M)


def text_of(name: str) -> str:
    """Return one of the files of the top level or of .github."""
    return (ROOT / name).read_text("utf-8")


@pytest.fixture(scope="module")
def start() -> ModuleType:
    """Give builder/start.py as a module."""
    spec = importlib.util.spec_from_file_location("start", ROOT / "builder" / "start.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def pinned(extra: str) -> dict[str, set[str]]:
    """Return name and versions of each package in a file of pins that has its hashes."""
    found: dict[str, set[str]] = {}
    for name, version, _, _ in PINNED.findall(text_of(f"builder/pins/{extra}.txt")):
        found.setdefault(name, set()).add(version)
    return found


def requirements() -> list[str]:
    """Return everything that pyproject.toml asks for: to build, to run, and for the extras."""
    project = tomllib.loads(text_of("pyproject.toml"))
    extras = project["project"]["optional-dependencies"].values()
    return [*project["build-system"]["requires"], *project["project"]["dependencies"], *(r for e in extras for r in e)]


def normal(name: str) -> str:
    """Return the name of a package as the registry compares it."""
    return re.sub(r"[-_.]+", "-", name).lower()


def test_the_visible_top_level_is_what_it_was() -> None:
    """Of all that is committed, nothing but the eight known names and dot files stands at the top."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode:  # an archive, not a clone: then only what a build leaves behind may stand there too
        names = {each.name for each in ROOT.iterdir()} - {"site", "build", "node_modules"}
    else:
        names = {line.partition("/")[0] for line in listed.stdout.splitlines()}
    assert {name for name in names if not name.startswith(".")} == TOP_LEVEL


@pytest.mark.parametrize("extra", ["site", "test", "outside", "pins"])
def test_every_requirement_is_pinned_with_hashes(start: ModuleType, extra: str) -> None:
    """What pyproject.toml asks for stands in the file of pins at that very version, with a hash."""
    there = pinned(extra)
    lacking = [
        wanted
        for wanted in start.asked_for(extra)
        if wanted.partition("==")[2] not in there.get(normal(wanted.partition("==")[0]), set())
    ]
    assert lacking == [], "run python3 builder/start.py pins"


@pytest.mark.parametrize("extra", ["site", "test", "outside", "pins"])
def test_no_pin_is_without_a_hash(extra: str) -> None:
    """Every line of a file of pins that names a package is followed by at least one hash."""
    text = text_of(f"builder/pins/{extra}.txt")
    assert len(PINNED.findall(text)) == len(re.findall(r"^[A-Za-z0-9]", text, re.M)) > 0


@pytest.mark.parametrize("extra", ["site", "outside"])
def test_the_files_of_pins_agree(extra: str) -> None:
    """A package that stands in two files has the same versions in both."""
    ours, theirs = pinned(extra), pinned("test")
    assert {name for name in ours.keys() & theirs.keys() if ours[name] != theirs[name]} == set()


def test_a_requirement_that_nobody_pinned_is_named(start: ModuleType) -> None:
    """Another version, or a package that no file of pins names, is told before anything is installed."""
    text = text_of("builder/pins/site.txt").replace("segno==", "segno==9").replace("\nrfc8785==", "\n# rfc8785==")
    assert [wanted.partition("==")[0] for wanted in start.not_pinned("site", text)] == ["rfc8785", "segno"]


def test_a_wrong_hash_stops_with_a_sentence(
    start: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A package whose bytes are not those of the hash is refused, in words that say what to do."""
    package = tmp_path / "thing-1.0-py3-none-any.whl"
    package.write_bytes(b"not what was pinned")
    (tmp_path / "site.txt").write_text(f"thing @ {package.as_uri()} --hash=sha256:{'0' * 64}\n", "utf-8")
    monkeypatch.setattr(start, "ROOT", tmp_path)
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--dry-run", "--require-hashes", "--requirement"]
    said = start.install_pinned([*command, tmp_path / "site.txt"])
    assert said.startswith("a package that was fetched is not the one that site.txt names")
    assert "Got" in capsys.readouterr().err


def test_every_dependency_has_its_reason() -> None:
    """Each package that pyproject.toml names stands in the table of DEVELOPERS.md with a reason."""
    rows = re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", text_of("DEVELOPERS.md").partition("## Dependencies")[2], re.M)
    reasons = {normal(name): why for names, why in rows for name in names.split(", ")}
    without = {name for name in (normal(each.partition("==")[0]) for each in requirements()) if not reasons.get(name)}
    assert without == set()


def test_every_decision_has_its_day() -> None:
    """Each decision begins with a title in bold and the day on which it was made."""
    decisions = [line for line in text_of("DEVELOPERS.md").partition("## Decisions")[2].splitlines() if line]
    assert len(decisions) > 40
    undated = [line[:60] for line in decisions if not re.match(r"\*\*.+?\.\*\* \(20\d\d-[01]\d-[0-3]\d\) ", line)]
    assert undated == []


def commands(text: str) -> set[tuple[str, ...]]:
    """Return what a text tells its reader to type: program and words, from code lines and code in a sentence."""
    fenced = [line for block in re.findall(r"^```\n(.*?)^```", text, re.M | re.S) for line in block.splitlines()]
    typed = [*fenced, *re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```", "", text, flags=re.M | re.S))]
    called = [re.match(r"(?:\.venv/bin/)?(warmyard|python3 builder/start\.py) ([^#]*)", each) for each in typed]
    return {(found[1], *found[2].split()) for found in called if found}


@pytest.mark.parametrize("name", TEXTS)
def test_what_a_reader_is_told_to_type_exists(start: ModuleType, name: str) -> None:
    """Every verb, command and option in the texts for readers is one that the program has."""
    unknown = []
    for program, word, *rest in commands(text_of(name)):
        if program == "warmyard":
            known = word in VERBS or (word in ("--help", "--version") and not rest)
            source = "".join(file.read_text("utf-8") for file in (ROOT / "builder/warmyard/cli").glob("*.py"))
        else:
            source = start.USAGE
            known = word in re.findall(r"[a-z]+", source)
        options = [each for each in rest if re.fullmatch(r"--[a-z-]+", each)]
        if not known or any(option not in source for option in options):
            unknown.append(" ".join((program, word, *rest)))
    assert unknown == []


@pytest.mark.parametrize("name", TEXTS)
def test_every_file_that_a_text_names_is_there(name: str) -> None:
    """A path of ours in the texts for readers leads to something; capitals stand for what the reader names."""
    named = re.findall(rf"`((?:{'|'.join(sorted(FOLDERS))})/[\w./-]+)`", text_of(name))
    paths = [path for path in named if not re.search(r"\b[A-Z]+\b", path) or path.startswith(".github")]
    links: list[str] = re.findall(r"\]\(([^)#:]+)\)", text_of(name))
    rooms = (ROOT, ROOT / "builder" / "warmyard", ROOT / "builder" / "warmyard" / "certify")
    gone = [path for path in paths if not any((room / path).exists() for room in rooms)]
    assert [*gone, *(link for link in links if not (ROOT / name).parent.joinpath(link).exists())] == []


def test_usual_changes_have_a_recipe() -> None:
    """CONTRIBUTING has a recipe for each usual change."""
    assert {title.lower() for title in re.findall(r"^### (.+)$", text_of(".github/CONTRIBUTING.md"), re.M)} == USUAL
