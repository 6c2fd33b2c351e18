"""Source files: every fault with its file and line, and no YAML surprise becomes a value."""

from __future__ import annotations

import contextlib
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from warmyard.course.workspace import read_workspace
from warmyard.errors import Place, SourceError
from warmyard.kept import digest_of
from warmyard.sources import Memory, decode, decode_list, parse_document, read_document, remembering
from warmyard.words import own_words


class Tank(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A small struct for these tests."""

    name: str
    litres: float
    place: Place = Place()


@pytest.mark.parametrize("word", ["no", "Yes", "on", "off", "1_000", "12:30", "017", "0x1F", ".inf", "NULL", "~"])
def test_treacherous_words_are_refused_with_their_line(word: str) -> None:
    """A plain word that YAML readers take for something else is refused and its line named."""
    with pytest.raises(SourceError) as caught:
        parse_document(f"name: tank\nlitres: {word}\n", "tank.yaml")
    assert str(caught.value).startswith("tank.yaml:2: ")
    assert "quotes" in caught.value.what_to_do


def test_the_letters_of_the_trade_are_text() -> None:
    """n and N are symbols of formulas, so they need no quotes."""
    assert parse_document("n: N\ny: Y\n", "x.yaml").value == {"n": "N", "y": "Y"}


@pytest.mark.parametrize("word", ["no", "1_000", "12:30"])
def test_the_same_words_in_quotes_are_text(word: str) -> None:
    """In quotes the word is text."""
    assert parse_document(f'name: "{word}"\n', "tank.yaml").value == {"name": word}


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("name: a\nname: b\n", 2, "stands twice"),
        ("a: &x 1\nb: *x\n", 1, "anchor is used twice"),
        ("a: 1\nb: [1, 2\n", 2, "not YAML"),
        ("a: !!python/object:os.system {}\n", 1, "tag"),
        ("a: 1e999\n", 1, "too large"),
        ("a: 99999999999999999999999\n", 1, "too large"),
        ("? [a, b]\n: 1\n", 1, "key is not a word"),
        ("a: " + "[" * 60 + "]" * 60 + "\n", 1, "nested too deep"),
    ],
)
def test_hostile_yaml_is_one_fault_with_its_line(text: str, line: int, says: str) -> None:
    """What is not plain YAML is refused in one sentence that names its line."""
    with pytest.raises(SourceError) as caught:
        parse_document(text, "x.yaml")
    assert caught.value.place.line == line
    assert says in str(caught.value)


def test_a_wrong_type_names_the_line_of_its_field() -> None:
    """The line of a fault is the line of the field, not of the object."""
    faults: list[SourceError] = []
    document = parse_document("tanks:\n- name: day\n  litres: 60\n- name: night\n  litres: much\n", "t.yaml")
    assert [tank.name for tank in decode_list(document, Tank, faults, "tanks")] == ["day"]
    assert [str(fault).split(";")[0] for fault in faults] == ["t.yaml:5: expected a number, found text in litres"]


def test_an_unknown_field_names_its_line() -> None:
    """A misspelt field is found on its own line."""
    faults: list[SourceError] = []
    assert decode(parse_document("name: day\nlitres: 60\ncolour: red\n", "t.yaml"), Tank, faults) is None
    assert faults[0].place.line == 3


def test_a_decoded_object_knows_its_place() -> None:
    """A decoded object keeps its file and the lines of its fields."""
    faults: list[SourceError] = []
    tank = decode(parse_document("# tank\nname: day\nlitres: 60\n", "t.yaml"), Tank, faults)
    assert not faults
    assert (tank.place.file, tank.place.within("litres").line) == ("t.yaml", 3)


def test_a_file_that_is_not_utf8_names_the_line(tmp_path: Path) -> None:
    """Bytes that are not UTF-8 are found on their line."""
    path = tmp_path / "bad.yaml"
    path.write_bytes(b"name: day\nlitres: \xff\n")
    with pytest.raises(SourceError, match=r"bad\.yaml:2: the file is not UTF-8"):
        read_document(path, tmp_path)


@given(st.text(max_size=60))
def test_any_text_is_a_value_or_a_source_error(text: str) -> None:
    """No text at all ends in anything but a value or a SourceError."""
    with contextlib.suppress(SourceError):
        assert parse_document(text, "any.yaml").file == "any.yaml"


@given(st.one_of(st.text(max_size=30), st.integers(-(10**17), 10**17)))
def test_what_yaml_writes_in_quotes_is_read_back(value: str | int) -> None:
    """A value written safely is read back as itself."""
    import yaml

    assert parse_document(
        yaml.safe_dump({"a": value}, default_style='"' if isinstance(value, str) else None), "x"
    ).value == {"a": value}


def test_what_is_remembered_is_what_reading_gives() -> None:
    """The real sources read twice in one memory are those read without, and nothing of a document was changed by it."""
    root = Path(__file__).resolve().parents[1]
    own_words()  # read once in a process, whoever asks first
    memory: Memory = {}
    with remembering(memory):
        first = read_workspace(root)
    before = {key: repr(document.value) for key, document in memory.items()}
    with remembering(memory):
        second = read_workspace(root)
    fresh = read_workspace(root)
    for read in (first, second):
        assert digest_of(list(read.items.values())) == digest_of(list(fresh.items.values()))
        assert digest_of([read.machine, read.register, read.shelf.rules, read.scheme]) == digest_of(
            [fresh.machine, fresh.register, fresh.shelf.rules, fresh.scheme]
        )
        assert [item.place for item in read.items.values()] == [item.place for item in fresh.items.values()]
    assert {key: repr(document.value) for key, document in memory.items()} == before


def test_what_was_not_read_again_is_forgotten() -> None:
    """A memory holds the documents of the last reading, however often somebody saves."""
    memory: Memory = {}
    for text in ("a: 1", "a: 2"):
        with remembering(memory):
            assert parse_document(text, "x.yaml") is parse_document(text, "x.yaml")
    assert [document.value for document in memory.values()] == [{"a": 2}]
