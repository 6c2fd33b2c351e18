"""The values that a country sets, one file per country, all with the same rules."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from warmyard.course.catalogue import by_id, documents, entries_of
from warmyard.course.model import Company, Rule
from warmyard.errors import Place, SourceError
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import show_unit

NUMBERS = re.compile(r"\+?[0-9]+")
"""A public number in the text of a rule that is one: "999 or 112" holds two."""
RuleValues = Mapping[str, tuple[float, str, str]]
"""Rule id -> value, unit, source id: what the formula register takes."""


def load_rules(folder: Path, root: Path, faults: list[SourceError]) -> dict[str, Mapping[str, Rule]]:
    """Return country -> rule id -> rule."""
    countries = {}
    for document in documents(folder, root, faults):
        name = document.file.rpartition("/")[2].removesuffix(".yaml")
        countries[name] = by_id(entries_of(document, "rules", Rule, faults), "rule", faults)
    return countries


def check_rules(countries: Mapping[str, Mapping[str, Rule]]) -> list[SourceError]:
    """Return a fault for a rule that one country lacks or gives in another unit, and for a number that is none."""
    faults = [
        SourceError(
            rule.place.within("value"), f"the rule {rule.id} is a telephone number and its value holds none", "write it"
        )
        for rules in countries.values()
        for rule in rules.values()
        if rule.telephone and not NUMBERS.search(str(rule.value))
    ]
    every = {rule.id: rule for rules in countries.values() for rule in rules.values()}
    for country, rules in countries.items():
        for id_, other in every.items():
            if id_ not in rules:
                place = Place(f"{other.place.file.rpartition('/')[0]}/{country}.yaml", 1)
                what_to_do = f"add it, as in {other.place.file}:{other.place.line}"
                faults.append(SourceError(place, f"the rule {id_} is missing for {country}", what_to_do))
            elif rules[id_].unit != other.unit and isinstance(other.value, int | float):
                place = rules[id_].place.within("unit")
                what = f"the rule {id_} is in {rules[id_].unit or 'no unit'} here"
                faults.append(
                    SourceError(place, what, f"give it in {other.unit or 'no unit'} as the other countries do")
                )
    return faults


@dataclass(frozen=True, slots=True)
class CountryRules:
    """The rules of all countries, and those of the country chosen."""

    country: str
    chosen: Mapping[str, Rule]
    all: Mapping[str, Mapping[str, Rule]]


def load_country(
    folder: Path, root: Path, company: Company, country: str | None, faults: list[SourceError]
) -> CountryRules:
    """Return the rules for the country given, else for the company's; an unknown country is a fault."""
    everywhere = load_rules(folder, root, faults)
    named = country or company.country
    if named not in everywhere and named:
        place = Place("--country", 1) if country else company.place.within("country")
        known = ", ".join(everywhere) or "none yet"
        faults.append(SourceError(place, f"there are no rules for the country {named!r}", f"countries are: {known}"))
    return CountryRules(named, everywhere.get(named, {}), everywhere)


def rule_values(rules: Mapping[str, Rule]) -> RuleValues:
    """Return the rules that are numbers, as the formula register takes them."""
    return {
        rule.id: (float(rule.value), rule.unit, rule.source)
        for rule in rules.values()
        if isinstance(rule.value, int | float) and not isinstance(rule.value, bool)
    }


def rule_text(rule: Rule) -> str:
    """Return a rule's value with its unit, as text shows it."""
    if isinstance(rule.value, str):
        return rule.value
    return f"{plain_number(float(rule.value))} {show_unit(rule.unit or '1')}".strip()
