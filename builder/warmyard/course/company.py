"""The company: its name, its address and the telephone numbers that pages and cards print."""

from __future__ import annotations

import re
from pathlib import Path

from warmyard.course.catalogue import read_or_fault
from warmyard.course.model import Company
from warmyard.errors import SourceError
from warmyard.sources import decode

TELEPHONE = re.compile(r"\+?(?:[ ()/.-]*[0-9]){3,15}(?: ?(?:ext\.?|x) ?[0-9]{1,6})?")
EMAIL = re.compile(r"[^@\s]+@[^@\s]+")
NO_COMPANY = Company(
    name="", address="", country="", emergency_phone="", office_phone="", technician_phone="", email="",
    verify_address="",
)  # fmt: skip
"""Stands where a company could not be read, so that the other sources are looked through all the same."""


def load_company(path: Path, root: Path, faults: list[SourceError]) -> Company:
    """Return the company, or NO_COMPANY and the fault of its file."""
    document = read_or_fault(path, root, faults)
    company: Company | None = None if document is None else decode(document, Company, faults)
    return NO_COMPANY if company is None else company


def check_company(company: Company) -> list[SourceError]:
    """Return a fault for a telephone number that is blank, and for an address that no telephone opens safely."""
    if company is NO_COMPANY:
        return []
    faults = []
    for name in ("name", "emergency_phone", "office_phone", "technician_phone"):
        if not getattr(company, name).strip():
            what = f"the company has no {name.replace('_', ' ')}"
            faults.append(SourceError(company.place.within(name), what, "write it; pages and cards print it"))
        elif name.endswith("_phone") and not TELEPHONE.fullmatch(getattr(company, name).strip()):
            what = f"{getattr(company, name)!r} is no telephone number"
            what_to_do = "write digits with spaces, such as +44 1632 960 199; pages make a link of it"
            faults.append(SourceError(company.place.within(name), what, what_to_do))
    for name in ("site_address", "verify_address"):
        address = getattr(company, name)
        if address and not address.startswith("https://"):
            what = f"{address!r} is no address that a telephone opens safely"
            faults.append(SourceError(company.place.within(name), what, "begin it with https://"))
    if not EMAIL.fullmatch(company.email):
        what = f"{company.email!r} is no address of e-mail"
        faults.append(SourceError(company.place.within("email"), what, "write name@company.example"))
    return faults
