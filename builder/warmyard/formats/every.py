"""Every format that is stored or handed out, for `warmyard --version` and for the pins of their shapes."""

from __future__ import annotations

from warmyard.formats.items import ITEMS
from warmyard.formats.lessons import LESSONS
from warmyard.formats.practice_records import PRACTICE_RECORD
from warmyard.formats.register import Format
from warmyard.formats.schemes import SCHEMES

EVERY: tuple[Format, ...] = (
    ITEMS,
    LESSONS,
    PRACTICE_RECORD,
    SCHEMES,
)
