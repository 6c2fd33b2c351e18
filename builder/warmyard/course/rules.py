"""The values that a country sets, one file per country, all with the same rules."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from warmyard.course.catalogue import Side, by_id, check_same_names, documents, entries_of
from warmyard.course.model import Company, PublicNumber, Rule
from warmyard.errors import InputError, Place, SourceError
from warmyard.formula.model import Formula
from warmyard.formula.quantity import plain_number
from warmyard.formula.units import PLAIN, convert, show_unit
from warmyard.sources import part

NUMBERS = re.compile(r"\+?[0-9]+")
"""A public number in the text of a rule that is one: "999 or 112" holds two."""
DECIMAL_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")
RuleValues = Mapping[str, tuple[float, str, str]]
"""Rule id -> value, unit, source id: what the formula register takes."""


def load_rules(folder: Path, root: Path, faults: list[SourceError]) -> dict[str, Mapping[str, Rule]]:
    """Return country -> rule id -> rule."""
    return {name: rules for name, rules, _ in _countries(folder, root, faults)}


def _countries(
    folder: Path, root: Path, faults: list[SourceError]
) -> Iterator[tuple[str, Mapping[str, Rule], tuple[PublicNumber, ...]]]:
    for document in documents(folder, root, faults):
        name = document.file.rpartition("/")[2].removesuffix(".yaml")
        rules = by_id(entries_of(document, "rules", Rule, faults), "rule", faults)
        told = part(document, "public_numbers") is not None
        numbers = entries_of(document, "public_numbers", PublicNumber, faults) if told else []
        yield name, rules, tuple(numbers)


def check_rules(countries: Mapping[str, Mapping[str, Rule]], used: Collection[str] = ()) -> list[SourceError]:
    """Return a fault for a rule that one country lacks or gives in another unit, and for a value that is none.

    `used` are the rules that others name.
    """
    faults = [fault for rules in countries.values() for rule in rules.values() for fault in _check_value(rule)]
    sides = [
        Side(country, _end_of(country, rules), {rule.id: rule.place for rule in rules.values()})
        for country, rules in countries.items()
    ]
    faults += check_same_names("rule", "the rule {name} is missing for {side}", sides, used)
    return [*faults, *_check_same_units(countries)]


def _end_of(country: str, rules: Mapping[str, Rule]) -> Place:
    return next((Place(rule.place.file, 1) for rule in rules.values()), Place(f"site_config/rules/{country}.yaml", 1))


def _check_value(rule: Rule) -> Iterator[SourceError]:
    place = rule.place.within("value")
    if rule.telephone and not NUMBERS.search(str(rule.value)):
        yield SourceError(place, f"the rule {rule.id} is a telephone number and its value holds none", "write it")
    if isinstance(rule.value, str) and DECIMAL_COMMA.fullmatch(rule.value.strip()):
        what = f"the rule {rule.id} is written {rule.value}, with a decimal comma"
        yield SourceError(place, what, f"write {rule.value.strip().replace(',', '.')}", loses=rule.id)
    elif isinstance(rule.value, str) and rule.unit:
        what = f"the rule {rule.id} has the unit {rule.unit} and its value {rule.value!r} is no number"
        yield SourceError(place, what, "write a plain number, or leave the unit empty", loses=rule.id)


def check_public_numbers(
    countries: Mapping[str, Mapping[str, Rule]], numbers: Mapping[str, Collection[PublicNumber]]
) -> Iterator[SourceError]:
    """Yield a fault for each rule whose telephone number nobody may dial in its country, as the country's file says."""
    for country, rules in countries.items():
        known = [one.number for one in numbers.get(country, ())]
        for rule in (rule for rule in rules.values() if rule.telephone):
            place = rule.place.within("value")
            strange = [number for number in NUMBERS.findall(str(rule.value)) if number not in known]
            if strange and not known:
                what_to_do = f'write public_numbers: and below it - {{number: "{strange[0]}", reaches: ...}}'
                yield SourceError(place, f"nothing says which public numbers there are in {country}", what_to_do)
            elif strange:
                what = f"the rule {rule.id} holds {strange[0]}, which is no public number of {country}"
                what_to_do = f"correct it, known are {', '.join(known)}, or add it to public_numbers in this file"
                yield SourceError(place, what, what_to_do)


def check_ranges(countries: Mapping[str, Mapping[str, Rule]], formulas: Iterable[Formula]) -> Iterator[SourceError]:
    """Yield a fault for a rule of any country that lies outside what a formula takes for its symbol."""
    for formula in formulas:
        for symbol in formula.needs:
            for rules in countries.values() if symbol.rule and symbol.range else ():
                rule = rules.get(symbol.rule or "")
                if rule is not None and symbol.range and _is_outside(rule, symbol.unit, *symbol.range):
                    ends = " to ".join(plain_number(end) for end in symbol.range)
                    what = (
                        f"the rule {rule.id} is {rule_text(rule)}, and {formula.id} takes {ends} {symbol.unit} for it"
                    )
                    what_to_do = f"correct it, or the range in {formula.place.file}"
                    yield SourceError(rule.place.within("value"), what, what_to_do, loses=rule.id)


def _is_outside(rule: Rule, unit: str, low: float, high: float) -> bool:
    if isinstance(rule.value, str):
        return False
    try:
        return not low <= convert(float(rule.value), rule.unit or PLAIN, unit) <= high
    except InputError:
        return False  # told where the formula takes it


def _check_same_units(countries: Mapping[str, Mapping[str, Rule]]) -> Iterator[SourceError]:
    every: dict[str, list[Rule]] = {}
    for rules in countries.values():
        for rule in rules.values():
            every.setdefault(rule.id, []).append(rule)
    for id_, rules_of_id in every.items():
        numbers = [rule for rule in rules_of_id if not isinstance(rule.value, str)]
        commonest = Counter(rule.unit for rule in numbers).most_common(1)[0][0] if numbers else ""
        for rule in numbers:
            if rule.unit != commonest:
                what = f"the rule {id_} is in {rule.unit or 'no unit'} here"
                what_to_do = f"give it in {commonest or 'no unit'} as the other countries do"
                yield SourceError(rule.place.within("unit"), what, what_to_do, loses=id_)


@dataclass(frozen=True, slots=True)
class CountryRules:
    """The rules of all countries, and those of the country chosen."""

    country: str
    chosen: Mapping[str, Rule]
    all: Mapping[str, Mapping[str, Rule]]
    public_numbers: Mapping[str, tuple[PublicNumber, ...]]
    """Country -> the numbers that anybody may dial there."""


def load_country(
    folder: Path, root: Path, company: Company, country: str | None, faults: list[SourceError]
) -> CountryRules:
    """Return the rules for the country given, else for the company's; an unknown country is a fault.

    Where the country is not known, the first one's rules stand in: all countries have the same, so nothing is missing.
    """
    found = list(_countries(folder, root, faults))
    everywhere = {name: rules for name, rules, _ in found}
    numbers = {name: of_country for name, _, of_country in found}
    named = country or company.country
    if named not in everywhere and named and not (folder / f"{named}.yaml").is_file():
        place = Place("--country", 1) if country else company.place.within("country")
        known = ", ".join(everywhere) or "none yet"
        what = f"there are no rules for the country {named!r}"
        faults.append(SourceError(place, what, f"countries are: {known}", loses=None))
    stand_in = next(iter(everywhere), "")
    chosen = named if named in everywhere else stand_in
    return CountryRules(chosen, everywhere.get(chosen, {}), everywhere, numbers)


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
