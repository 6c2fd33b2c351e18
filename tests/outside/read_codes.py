"""Read every QR code that we print with two readers that are not ours: ZXing and OpenCV. Run by hand:

    python3 -m venv ../codes && ../codes/bin/pip install zxing-cpp opencv-python-headless pillow pypdfium2
    warmyard build --out ../tryout && warmyard demo --records ../records
    warmyard certificate asta 2 --records ../records
    ../codes/bin/python tests/outside/read_codes.py ../tryout ../records

Every PDF is drawn at 96, 150 and 300 dots an inch. ZXing must read each code at 150 and at 300, and both readers
must read the same words. Exit code 1 when one is WRONG.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import zxingcpp

DOTS_AN_INCH = (96, 150, 300)
CERTAIN = 150


def read_page(page: pypdfium2.PdfPage, dots: int) -> tuple[set[str], set[str]]:
    """Return what ZXing and OpenCV read from a page drawn at so many dots an inch."""
    picture = page.render(scale=dots / 72).to_pil().convert("RGB")
    first = {found.text for found in zxingcpp.read_barcodes(picture) if found.text}
    _, second, _, _ = cv2.QRCodeDetectorAruco().detectAndDecodeMulti(np.array(picture))
    return first, {text for text in second if text}


def main() -> int:
    """Read the codes of the customer's cards and of the certificates; return 1 when one was not read."""
    site, records = Path(sys.argv[1]), Path(sys.argv[2])
    wrong = 0
    for file in [*sorted((site / "customer").rglob("*.pdf")), *sorted((records / "certificates").glob("*.pdf"))]:
        document = pypdfium2.PdfDocument(file)
        for dots in DOTS_AN_INCH:
            first, second = set[str](), set[str]()
            for at in range(len(document)):
                one, other = read_page(document[at], dots)
                first, second = first | one, second | other
            is_right = (bool(first) or dots < CERTAIN) and second <= first
            wrong += not is_right
            says = ", ".join(f"{text[:60]} ({len(text)} letters)" for text in sorted(first)) or "nothing"
            opencv = "OpenCV the same" if second == first else f"OpenCV {len(second)} of {len(first)}"
            print(f"{'right' if is_right else 'WRONG'}  {file.name} at {dots} dpi: ZXing {says}; {opencv}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
