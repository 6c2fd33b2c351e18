"""The book: what was made once is given again, and whatever was lost, changed or made by other code is made anew."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from warmyard import cores
from warmyard.errors import Place
from warmyard.kept import LARGE_BYTES, Book, digest_of

SIZES = {"small": 10, "large": LARGE_BYTES}


def fill(file: Path, content: bytes, code: str = "code") -> list[str]:
    """Make something of two parts in a book; return how often it had to be made."""
    made = []

    def make() -> bytes:
        made.append("made")
        return content

    book = Book(file, code)
    assert book.made("thing", ["a", 1], make) == content
    assert book.made("thing", ["a", 1], make) == content
    book.close()
    return made


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_it_is_made_once(tmp_path: Path, size: int) -> None:
    """A second book in the same file gives it again; other code, or other parts, make it anew."""
    file, content = tmp_path / "a.book", b"x" * size
    assert fill(file, content) == ["made"]
    assert fill(file, content) == []
    assert fill(file, content, "other code") == ["made"]
    assert Book(file, "other code").get(f"thing {digest_of(['a', 2])}") is None


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
@pytest.mark.parametrize("damage", ["flipped", "short", "empty", "gone", "folder"])
def test_a_damaged_file_is_not_believed(tmp_path: Path, size: int, damage: str) -> None:
    """One bit of any file of the book: what it held is made again, and kept again where it can be."""
    file, content = tmp_path / "a.book", b"x" * size
    fill(file, content)
    for path in [path for path in tmp_path.rglob("*") if path.is_file()]:
        good = path.read_bytes()
        path.unlink()
        if damage == "folder":
            path.mkdir()
        elif damage != "gone":
            changed = {"flipped": good[:-1] + bytes([good[-1] ^ 1]), "short": good[:-3], "empty": b""}[damage]
            path.write_bytes(changed)
        assert fill(file, content) == ["made"], path.name
        if path.is_dir():
            path.rmdir()
            fill(file, content)


def test_what_nobody_asked_for_is_dropped(tmp_path: Path) -> None:
    """The book and the folder beside it do not grow with every change."""
    file = tmp_path / "a.book"
    for at in range(3):
        book = Book(file, "code")
        book.made("thing", [at], lambda: b"y" * LARGE_BYTES)
        book.made("thing", ["small", at], lambda: b"z")
        book.close()
    assert len(list((tmp_path / "a.large").iterdir())) == 1
    assert Book(file, "code").get(f"thing {digest_of([0])}") is None


def test_a_folder_that_takes_no_file_is_no_error(tmp_path: Path) -> None:
    """A file stands where the folder should be: all is made each time."""
    (tmp_path / "shut").write_text("no folder")
    assert fill(tmp_path / "shut" / "a.book", b"x" * LARGE_BYTES) == ["made"]
    assert fill(tmp_path / "shut" / "a.book", b"x" * LARGE_BYTES) == ["made"]


def test_only_a_check_without_a_fault_is_kept() -> None:
    """A fault is told each time; a clean answer is not asked for again."""
    book, asked = Book(), []

    def check(faults: list[str]) -> list[str]:
        asked.append(faults)
        return faults

    assert book.sound("x", [1], lambda: check(["fault"])) == ["fault"]
    assert book.sound("x", [1], lambda: check([])) == []
    assert book.sound("x", [1], lambda: check(["never asked"])) == []
    assert asked == [["fault"], []]


@dataclass(frozen=True)
class Part:
    """A part with a place."""

    name: str
    place: Place


class Whole(msgspec.Struct, frozen=True):
    """An object of parts."""

    parts: tuple[Part, ...]
    sizes: dict[str, float]


def test_a_place_does_not_count_and_everything_else_does() -> None:
    """A line further down is the same thing; another name, number, order or type is not."""

    def whole(name: str = "a", line: int = 1, sizes: dict[str, float] | None = None) -> str:
        return digest_of(Whole((Part(name, Place("f.yaml", line)),), sizes or {"x": 1.0, "y": 2.0}))

    assert whole(line=1) == whole(line=9)
    others = [whole("b"), whole(sizes={"x": 1.0, "y": 2.5}), whole(sizes={"y": 2.0, "x": 1.0}), digest_of(["a"])]
    assert len({whole(), *others}) == 5
    with pytest.raises(TypeError, match="function has no plain form"):
        digest_of([digest_of])


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-5, 5) | st.text("ab", max_size=2) | st.binary(max_size=2),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("ab", max_size=2), inner, max_size=3),
    max_leaves=6,
)


@given(VALUES, VALUES)
def test_two_values_have_one_digest_only_if_they_say_the_same(one: object, other: object) -> None:
    """A list is never taken for a mapping, a text for bytes, nothing for an empty list."""
    assert (digest_of(one) == digest_of(other)) == (repr(one) == repr(other))


def test_what_another_process_asked_for_is_kept_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Shared among cores, a second run asks only: nothing of the first is dropped, and what is made anew replaces."""
    monkeypatch.setattr(cores, "cores_here", lambda: 2)
    file = tmp_path / "a.book"
    numbers = range(6)

    def made(number: int, book: Book) -> bytes:
        return book.made("thing", [number], lambda: b"first")

    for _ in range(3):
        book = Book(file, "code")
        book.fill([partial(made, number, book) for number in numbers])
        book.close()
        assert all(Book(file, "code").get(f"thing {digest_of([number])}") == b"first" for number in numbers)
    book = Book(file, "code")
    keys = [f"thing {digest_of([number])}" for number in numbers]
    assert [book.get(key) for key in keys] == [b"first"] * len(keys)
    book.fill([partial(book.put, key, b"second") for key in keys])
    assert [book.get(key) for key in keys] == [b"second"] * len(keys)
