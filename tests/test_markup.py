"""The writer of elements: whatever a text or an attribute holds, a reader of HTML finds it again, and nothing else."""

from __future__ import annotations

from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st
from markupsafe import Markup

from warmyard.markup import element, empty_element, joined

TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc"))) | st.sampled_from(
    ('"><b>', "'", "</p>", "&amp;", "<!--")
)


@given(TEXTS, TEXTS)
def test_a_text_and_an_attribute_come_back(inside: str, beside: str) -> None:
    """Reading an element gives the text and the attribute that were put in, and no other element."""
    page = BeautifulSoup(element("p", inside, data_said=beside), "html.parser")
    (only,) = page.find_all(True)
    assert (only.name, only.get_text(), only["data-said"]) == ("p", inside, beside)


def test_markup_is_not_escaped_again() -> None:
    """An element stands in another as it is; plain text beside it is escaped."""
    assert element("p", "1 < 2 ", element("b", 3)) == "<p>1 &lt; 2 <b>3</b></p>"
    assert joined(("&", Markup("&amp;"))) == "&amp;&amp;"


def test_attributes_are_spelled_as_the_standard_does() -> None:
    """The order is kept, a dash stands for a line below, None leaves out and True writes the bare name."""
    made = empty_element("path", class_="a", stroke_width=1.5, viewBox="0 0 1 1", id=None, hidden=True)
    assert made == '<path class="a" stroke-width="1.5" viewBox="0 0 1 1" hidden/>'
