"""`warmyard work`: the answer of one formula of the register, with its steps and its source."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from warmyard.cli.where import workspace_root
from warmyard.errors import InputError, SourceError, SourceErrors
from warmyard.words import speaking

if TYPE_CHECKING:
    from warmyard.formula.model import Formula
    from warmyard.formula.register import Register, RuleValues

HOW_KNOWN = {
    "read": "read in its source",
    "confirmed": "confirmed by independent computation",
    "memory": "from memory, not yet checked against a source",
    "demo": "set for the demo",
}


def add_arguments(parser: ArgumentParser) -> None:
    """Add the id, the inputs, --json, --steps and --country."""
    parser.add_argument("id", help='a formula, such as nozzle-flow; "list" shows them all')
    parser.add_argument("inputs", nargs="*", metavar="symbol=value", help='such as p="140 psi", fuel=gas-oil, sheet=ID')
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--steps", action="store_true", help="print the worked steps too")
    parser.add_argument("--country", help="take this country's rules instead of the company's")


def run(args: Namespace) -> int:
    """Work one formula out and print it; refusals are one sentence and exit code 2."""
    from warmyard.cli.sources import words
    from warmyard.formula.planning import PLANS

    root = workspace_root()
    texts = read_words(args.inputs)
    with speaking(words()):
        if args.id == "list":
            return _list(root)
        if args.id in PLANS:
            return _print_plan(root, args, texts)
        return _print_formula(root, args, texts)


def read_words(words: list[str]) -> dict[str, str]:
    """Return symbol=value words as a mapping; raise InputError for a word without = or a symbol given twice."""
    texts: dict[str, str] = {}
    for word in words:
        name, equals, text = word.partition("=")
        name = name.strip()
        if not equals or not name:
            raise InputError(f'{word[:60]!r} is not symbol=value; write it as p=10 or p="140 psi"')
        if name in texts:
            raise InputError(f"{name[:40]} is given twice; give it once")
        texts[name] = text
    return texts


def _print_formula(root: Path, args: Namespace, texts: dict[str, str]) -> int:
    from warmyard.formula.printed import steps_text
    from warmyard.formula.register import compute, read_inputs, warnings_of

    register = _register(root, args.id, args.country)
    formula = register.formula(args.id)
    inputs = read_inputs(formula, _filled(root, formula, texts))
    value = compute(formula, inputs)
    _refuse_unproved(formula)
    steps = steps_text(formula, inputs)
    source = _source_text(root, formula.source)
    for sentence in warnings_of(formula, inputs):
        print(f"note: {sentence}", file=sys.stderr)
    unit = formula.gives.unit
    if args.json:
        _print_json(formula.id, value, unit, steps, source)
        return 0
    print(f"{steps[-1]}   ({formula.gives.means})")
    if args.steps:
        print("\n".join(f"  {step}" for step in steps))
    print(f"source: {source} ({HOW_KNOWN[formula.known]})")
    return 0


def _print_plan(root: Path, args: Namespace, texts: dict[str, str]) -> int:
    from warmyard.formula.planning import plan

    found = plan(args.id, texts)
    source = _source_text(root, found.source)
    if args.json:
        extra = {"order": list(found.order)} if found.order else {}
        _print_json(args.id, found.value, found.unit, found.steps, source, **extra)
        return 0
    print(found.shown)
    if args.steps:
        print("\n".join(f"  {step}" for step in found.steps))
    print(f"source: {source}")
    return 0


def _print_json(id: str, value: Any, unit: str, steps: tuple[str, ...], source: str, **extra: Any) -> None:
    record = {"id": id, "value": value, "unit": unit, "steps": list(steps), "source": source, **extra}
    print(json.dumps(record, ensure_ascii=False, allow_nan=False))


def _list(root: Path) -> int:
    from warmyard.formula.planning import PLANS
    from warmyard.formula.register import NO_COUNTRY, load_register

    register, _ = load_register(root / "course" / "formulas", root, NO_COUNTRY)
    for formula in register.formulas.values():
        print(f"{formula.id:26}{formula.title}")
    for id, symbols in PLANS.items():
        print(f"{id:26}takes {', '.join(symbols)}")
    return 0


def _register(root: Path, id: str, country: str | None) -> Register:
    """Return the register for one formula; only the files that hold it are read, so that the answer comes at once."""
    from warmyard.formula.register import NO_COUNTRY, load_register

    folder = root / "course" / "formulas"
    register, faults = load_register(folder, root, NO_COUNTRY, only=id)
    if id not in register.formulas and not faults:
        register, faults = load_register(folder, root, NO_COUNTRY)
    if faults:
        raise SourceErrors(faults)
    if any(symbol.rule for symbol in register.formula(id).needs):
        register, faults = load_register(folder, root, _rule_values(root, country), only=id)
    if faults:
        raise SourceErrors(faults)
    return register


def _rule_values(root: Path, country: str | None) -> RuleValues:
    """Return the rules of the country that is asked for, else of the company's."""
    from warmyard.course.company import load_company
    from warmyard.course.rules import check_rules, load_country, rule_values

    faults: list[SourceError] = []
    company = load_company(root / "site_config" / "company.yaml", root, faults)
    rules = load_country(root / "site_config" / "rules", root, company, country, faults)
    if country and country not in rules.all:
        raise InputError(
            f"there are no rules for the country {country[:40]!r}; the countries are {', '.join(rules.all)}"
        )
    faults += check_rules(rules.all)
    if faults:
        raise SourceErrors(faults)
    return rule_values(rules.chosen)


def _filled(root: Path, formula: Formula, texts: dict[str, str]) -> dict[str, str]:
    """Return the typed inputs with those of a named machine sheet and fuel put in; what is typed comes first."""
    from warmyard.formula.fuel import fill_from_fuel, load_fuels

    own = {name: text for name, text in texts.items() if name not in ("fuel", "sheet")}
    if len(own) == len(texts):
        return own
    fuels, faults = load_fuels(root / "course" / "fuels.yaml", root)
    if faults:
        raise SourceErrors(faults)
    from_sheet, fuel = _from_sheet(root, formula, texts["sheet"]) if "sheet" in texts else ({}, "")
    if "fuel" in texts:
        own = {**fill_from_fuel(fuels, texts["fuel"], formula), **own}
    symbols = {symbol.symbol for symbol in formula.needs}
    of_its_fuel = {one.symbol: one.value for one in fuels[fuel].values} if fuel in fuels else {}
    return {**{name: text for name, text in of_its_fuel.items() if name in symbols}, **from_sheet, **own}


def _from_sheet(root: Path, formula: Formula, id: str) -> tuple[dict[str, str], str]:
    """Return what a machine's data sheet puts into a formula, and the fuel that the machine burns."""
    from warmyard.course.fleet import check_sheets, field_text, load_sheets

    faults: list[SourceError] = []
    sheets = load_sheets(root / "site_config" / "fleet", root, faults)
    faults += check_sheets(sheets)
    if faults:
        raise SourceErrors(faults)
    if id not in sheets:
        raise InputError(f"there is no machine {id[:40]!r}; the sheets are {', '.join(sheets)}")
    fields = {symbol.symbol: field_text(sheets[id], symbol.sheet) for symbol in formula.needs if symbol.sheet}
    found = {name: text for name, text in fields.items() if text is not None}
    if not found:
        raise InputError(f"{formula.id} takes nothing from a machine's sheet; leave sheet={id} out")
    return found, sheets[id].fuel


def _refuse_unproved(formula: Formula) -> None:
    """Raise SourceErrors when the formula's own checks fail: no number may come from a relation that is not proved."""
    from warmyard.formula.check import check_formula

    faults: list[SourceError] = check_formula(formula)
    if faults:
        raise SourceErrors(faults)


def _source_text(root: Path, id: str) -> str:
    """Return where a fact comes from, in words; its id when the list of sources does not hold it."""
    from warmyard.course.lists import load_sources

    faults: list[SourceError] = []
    source = load_sources(root / "course" / "sources.yaml", root, faults).get(id)
    return f"{source.title}; {source.where}" if source else id
