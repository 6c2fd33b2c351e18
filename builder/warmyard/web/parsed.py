"""HTML read as a browser reads it, by a parser of the HTML standard in C: a whole site in a tenth of a second."""

from __future__ import annotations

from collections.abc import Iterator

from selectolax.lexbor import LexborHTMLParser, LexborNode


def parse_html(text: str) -> LexborHTMLParser:
    """Return a page, or a piece of one, as a tree of elements."""
    return LexborHTMLParser(text)


def elements(page: LexborHTMLParser) -> Iterator[LexborNode]:
    """Yield every element in the order of the text, those in templates too: a script can bring them out."""
    if page.root is None:
        return
    for node in page.root.traverse():
        yield node
        if node.tag == "template":
            yield from elements(parse_html(_opened(node.html or "")))


def _opened(template: str) -> str:
    """Return a template as an ordinary element, so that what it holds is part of the tree."""
    return f"<div{template.removeprefix('<template').removesuffix('</template>')}</div>"


def anchors_of(page: LexborHTMLParser) -> frozenset[str]:
    """Return the names of all places in a page that a link can lead to."""
    found = {node.attributes.get("id") for node in elements(page)}
    found |= {node.attributes.get("name") for node in elements(page) if node.tag == "a"}
    return frozenset(name for name in found if name)
