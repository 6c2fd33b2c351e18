"""Every format that is stored or handed out, for `warmyard --version` and for the pins of their shapes."""

from __future__ import annotations

from warmyard.formats.entries import BODIES, ENTRY
from warmyard.formats.forms import OBSERVATION
from warmyard.formats.handed_out import CERTIFICATE, STATUS_LIST, TOKEN
from warmyard.formats.items import ITEMS
from warmyard.formats.lessons import LESSONS
from warmyard.formats.papers import PAPER, PAPER_KEY, SITTING
from warmyard.formats.practice_records import PRACTICE_RECORD
from warmyard.formats.register import Format
from warmyard.formats.schemes import SCHEMES

EVERY: tuple[Format, ...] = (
    CERTIFICATE,
    ENTRY,
    ITEMS,
    LESSONS,
    OBSERVATION,
    PAPER,
    PAPER_KEY,
    PRACTICE_RECORD,
    SCHEMES,
    SITTING,
    STATUS_LIST,
    TOKEN,
)
"""What a person may hold in hand."""
PINNED: tuple[Format, ...] = (*EVERY, *BODIES.values())
"""And what an entry of each kind says: its version is that of the entry."""
