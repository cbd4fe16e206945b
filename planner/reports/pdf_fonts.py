"""Fonts of PDF reports: DejaVu Sans Condensed, which comes with the package.

It is cut down to Latin, Greek and Cyrillic letters and the signs that reports use
(``fonts/LICENSE.txt``), so that a report looks the same on every machine.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

_BLANKS = re.compile(r"[ \t\r\n\f\v]+")  # not the space that does not break
REGULAR = "Ebbwork"
BOLD = "Ebbwork-Bold"
_FOLDER = Path(__file__).resolve().parent / "fonts"


@cache
def register_fonts() -> tuple[str, str]:
    """Make a regular and a bold font known to ReportLab and return their names.

    Use them only for text that has gone through :func:`printable`.
    """
    from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily  # noqa: PLC0415
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415 - slow to import

    registerFont(TTFont(REGULAR, str(_FOLDER / "DejaVuSansCondensed.ttf")))
    registerFont(TTFont(BOLD, str(_FOLDER / "DejaVuSansCondensed-Bold.ttf")))
    registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return REGULAR, BOLD


def printable(text: str) -> str:
    """Return a text with letters that the font lacks, and control characters, as ``?``."""
    known = _letters()
    plain = _BLANKS.sub(" ", text)
    return "".join(char if ord(char) in known else "?" for char in plain)


@cache
def _letters() -> frozenset[int]:
    from reportlab.pdfbase.pdfmetrics import getFont  # noqa: PLC0415 - slow to import

    regular, _ = register_fonts()
    return frozenset(getFont(regular).face.charToGlyph)
