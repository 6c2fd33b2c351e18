"""The three doors of the customer's first screen: the first three choices of the start page, made large."""

from __future__ import annotations

from bs4 import BeautifulSoup
from bs4.element import Tag

DOORS = 3


def open_doors(html: str) -> str:
    """Return the start page with its first three choices as doors.

    A choice is a heading with what follows it up to the next, or, where the page has a list first, an entry of it.
    """
    page = BeautifulSoup(html, "html.parser")
    first_list, headings = page.find("ul"), page.find_all("h2")[:DOORS]
    if isinstance(first_list, Tag) and not any(heading in first_list.previous_elements for heading in headings):
        _from_list(page, first_list)
    elif headings:
        _from_headings(page, headings)
    return page.decode(formatter="minimal")


def _from_list(page: BeautifulSoup, choices: Tag) -> None:
    choices.name = "div"
    choices["class"] = "wy-doors"
    for entry in choices.find_all("li", recursive=False):
        entry.name = "section"
        entry["class"] = "wy-door"
        heading = page.new_tag("h2")
        for child in list(entry.children):
            heading.append(child.extract())
        entry.append(heading)


def _from_headings(page: BeautifulSoup, headings: list[Tag]) -> None:
    doors = page.new_tag("div", attrs={"class": "wy-doors"})
    headings[0].insert_before(doors)
    for heading in headings:
        door = page.new_tag("section", attrs={"class": "wy-door"})
        following = heading.find_next_sibling()
        door.append(heading.extract())
        while isinstance(following, Tag) and following.name not in ("h1", "h2"):
            after = following.find_next_sibling()
            door.append(following.extract())
            following = after
        _lead(page, door, heading)
        doors.append(door)


def _lead(page: BeautifulSoup, door: Tag, heading: Tag) -> None:
    """Make the heading lead where the last link of the door leads, and that link a button."""
    links = [link for link in door.find_all("a", href=True) if not str(link["href"]).startswith(("#", "tel:"))]
    if not links:
        return
    links[-1]["class"] = "wy-door__way"
    lead = page.new_tag("a", href=str(links[-1]["href"]))
    for child in list(heading.children):
        lead.append(child.extract())
    heading.append(lead)
