"""Printed sheets: the only file that imports typst. Data goes in beside the template, never into it."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, Final

import segno
import typst

from warmyard.errors import InputError
from warmyard.page.face import colours

TEMPLATES = Path(__file__).parent / "print"
PDF_STANDARD: Final = "ua-1"


def print_sheet(template: str, data: Mapping[str, Any], at: datetime) -> bytes:
    """Return a sheet as tagged PDF (PDF/UA-1), the same bytes for the same data and time.

    `data` reaches the template as one JSON text through sys.inputs, so that no text of it is read as markup. The
    colours of paper go the same way.
    Raises InputError when the sheet cannot be set, for letters that no font here has.
    """
    try:
        made = typst.compile(
            TEMPLATES / f"{template}.typ",
            root=TEMPLATES,
            format="pdf",
            pdf_standards=PDF_STANDARD,
            sys_inputs={
                "data": json.dumps(data, ensure_ascii=False, allow_nan=False),
                "colours": json.dumps(dict(colours("print"))),
            },
            timestamp=int(at.timestamp()),
        )
    except typst.TypstError as problem:
        first = " ".join(str(problem).split())[:200]
        if "could not be displayed" in first:
            what = f"the sheet {template} needs letters that no font on this machine has"
            raise InputError(f"{what}; install a font that has them") from None
        raise InputError(f"the sheet {template} cannot be printed: {first}") from None
    return made


def may_be_printed(picture: bytes) -> bool:
    """Say whether a JPEG or PNG can stand on a sheet."""
    source = '#image(bytes(json(bytes(sys.inputs.picture))), alt: "")'
    try:
        typst.compile(source.encode(), sys_inputs={"picture": json.dumps(list(picture))})
    except typst.TypstError:
        return False
    return True


def qr_svg(text: str) -> str:
    """Return a QR code (ISO/IEC 18004, error correction M) as an SVG text, quiet zone included."""
    try:
        code = segno.make(text, error="m", micro=False)
    except segno.DataOverflowError:
        raise InputError("the text is too long for a QR code; shorten the address or the name") from None
    paper = colours("print")
    svg = io.BytesIO()
    code.save(svg, kind="svg", xmldecl=False, nl=False, scale=4, border=4, dark=paper["ink"], light=paper["paper"])
    return svg.getvalue().decode()


def print_picture(template: str, data: Mapping[str, Any]) -> bytes:
    """Return a sheet of one page as PNG, a pixel for each point of it; `data` goes in as for print_sheet."""
    drawn = typst.compile(
        TEMPLATES / f"{template}.typ", root=TEMPLATES, format="png", ppi=72.0, sys_inputs={"data": json.dumps(data)}
    )
    if not isinstance(drawn, bytes):
        raise TypeError(f"{template}.typ has more than one page")
    return drawn
