"""What customers read: reading age at most eleven, short sentences, letters large enough, a small pocket file."""

from __future__ import annotations

from pathlib import Path

import pytest
import reading
from bs4 import BeautifulSoup

from warmyard.web.pocket import LARGEST_BYTES

OLDEST_YEARS = 11
"""Issue 5: no page asks for more; the common advice for public information is 9 to 11 (common practice, no source)."""
LONGEST_WORDS = 20
MEAN_WORDS = 10
CUSTOMER_PAGES = sorted(
    path.stem for path in (Path(__file__).parents[2] / "course" / "lessons" / "customer").glob("*.md")
)


def test_the_measure_agrees_with_known_sentences() -> None:
    """24 syllables in 13 words give grade 11.3; six words of one syllable give -1.4.

    The sentences and their counts are well-known examples of the formula (from memory); the grades follow by hand.
    """
    hard = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    assert sum(map(reading.syllables, reading.words(hard))) == 24
    assert reading.grade([hard]) == pytest.approx(11.26, abs=0.01)
    assert reading.grade(["The cat sat on the mat."]) == pytest.approx(0.39 * 6 + 11.8 - 15.59)


def test_a_list_and_a_colon_end_a_sentence_and_marks_are_not_read() -> None:
    """What is read is what stands in the body of the page, line by line."""
    html = (
        '<main><p>Stop: get out.<sup class="wy-source-mark">1</sup></p><ul><li>One</li><li>Two <b>three</b></li></ul>'
        '<p class="wy-known">from memory</p></main>'
    )
    assert reading.sentences(html) == ["Stop", "get out.", "One", "Two three"]


@pytest.mark.parametrize("name", [*CUSTOMER_PAGES, "pocket"])
def test_every_page_of_the_customer_reads_at_eleven(customer_site: Path, name: str) -> None:
    """Grade and five years at most eleven; no sentence beyond twenty words, ten on average."""
    found = reading.sentences((customer_site / f"{name}.html").read_text(encoding="utf-8"))
    assert len(found) > 5
    assert reading.reading_age(found) <= OLDEST_YEARS
    longest = max(found, key=lambda sentence: len(reading.words(sentence)))
    assert len(reading.words(longest)) <= LONGEST_WORDS, longest
    assert sum(len(reading.words(sentence)) for sentence in found) / len(found) <= MEAN_WORDS


def test_the_pocket_file_is_small_and_needs_no_script(customer_site: Path) -> None:
    """Below 300 kB; no script, no handler, nothing loaded from anywhere; every way leads inside the file."""
    path = customer_site / "pocket.html"
    assert path.stat().st_size < LARGEST_BYTES
    page = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
    assert not page.find_all(["script", "iframe", "object", "img"])
    assert [link.get("rel") for link in page.find_all("link")] == [["icon"]]
    assert not [name for tag in page.find_all(True) for name in tag.attrs if name.lower().startswith("on")]
    places = {str(tag["id"]) for tag in page.find_all(id=True)}
    ways = [str(tag["href"]) for tag in page.find_all("a", href=True)]
    assert ways
    assert all(way.startswith(("tel:", "mailto:")) or way.removeprefix("#") in places for way in ways)
