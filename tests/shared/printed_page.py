"""What a page looks like on paper: as many sheets as Chromium makes of it, and the words of the first."""

from __future__ import annotations

import io
import unicodedata

from playwright.sync_api import Page
from pypdf import PdfReader


def printed(page: Page) -> tuple[int, str]:
    """Return the number of A4 sheets, and the text of the first."""
    sheets = PdfReader(io.BytesIO(page.pdf(format="A4", prefer_css_page_size=True))).pages
    return len(sheets), " ".join(unicodedata.normalize("NFKC", sheets[0].extract_text()).split())
