"""The invented company whose name stands on boards, forms and notices of the tests."""

from __future__ import annotations

from warmyard.course.model import Company

COMPANY = Company(
    name="Hollin Edge Warm Air Hire", address="Yard 4", country="england", emergency_phone="01632 960 199",
    office_phone="01632 960 123", technician_phone="07700 900 456", email="yard@hollin-edge.example",
    verify_address="https://verify.hollin-edge.example/verify.html",
)  # fmt: skip
