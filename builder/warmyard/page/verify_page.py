"""The verify page: says in words whether a card holds, from its token, the pinned keys and a dated status list.

A company publishes three things in one folder: this page, `status.js` beside it, nothing else. The page works from
https, and from a stick by double click; it asks the network for nothing. Without scripts it says whom to ring.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from warmyard.course.model import Company
from warmyard.markup import element
from warmyard.page.shell import Page, make_page
from warmyard.page.words import need_words, words_of

FILE_NAME = "verify.html"
STATUS_FILE = "status.js"


def make_verify_page(
    company: Company, words: Mapping[str, str], activities: Mapping[str, str], keys: Sequence[str] | None = None
) -> str:
    """Return the page; it believes only cards and lists that one of the pinned keys signed.

    `keys` are public keys of the office, 32 bytes each as base64url without padding; None takes those of the company
    file. `activities` gives each activity of the scheme its title.
    """
    said = need_words(words, ("verify.title", "verify.no_script"))
    dial = "tel:" + "".join(sign for sign in company.office_phone if sign.isdigit() or sign == "+")
    pinned = company.office_keys if keys is None else keys
    ring = element("a", company.office_phone, href=dial)
    page = Page(
        name="wy-verify",
        title=said["verify.title"],
        body=element("p", said["verify.no_script"], " ", ring, class_="wy-alert"),
        scripts=("wy.js", "seal.js", "sheet.js", "verify.js"),
        beside=(STATUS_FILE,),
        data={
            "words": words_of(words, "verify", "sheet"),
            "verify": {
                "keys": list(pinned),
                "activities": dict(activities),
                "phone": company.office_phone,
                "dial": dial,
            },
        },
    )
    return make_page(page, company, words)
