"""The shelf: everything that a text of the course may take a value, a word or a name from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from warmyard.course.model import Company, Rule, Sheet, Source, Term
from warmyard.course.stop_rule import StopRule
from warmyard.errors import SourceKind
from warmyard.formula.printed import RESULT_FIGURES
from warmyard.formula.quantity import plain_number
from warmyard.formula.register import Register
from warmyard.formula.table import LookUpTable


@dataclass(frozen=True, slots=True)
class Result:
    """What a worked example gave, in the unit of its formula."""

    value: float
    unit: str
    needs: tuple[tuple[SourceKind, str], ...] = ()
    """What it was computed from: a fault there may be the reason for one here."""

    def as_input(self) -> str:
        """Return it as the steps of the example show it: the next example goes on with the number that was seen."""
        return f"{plain_number(self.value, RESULT_FIGURES)} {self.unit}".removesuffix(" 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What inlines and inputs stand for, for one country."""

    country: str
    register: Register
    rules: Mapping[str, Rule]
    sheets: Mapping[str, Sheet]
    tables: Mapping[str, LookUpTable]
    sources: Mapping[str, Source]
    terms: Mapping[str, Term]
    company: Company
    results: Mapping[str, Result]
    """Name -> what the worked example of that name gave, of the examples worked out so far."""
    stop_rules: Mapping[str, StopRule] = field(default_factory=dict)
