"""Fonts of PDF reports: those of the machine where they hold more letters, else the library's.

The fonts that come with ReportLab (Bitstream Vera) hold the letters of western Europe; DejaVu
Sans, the same design with many more letters, is used where the machine has it.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

REGULAR = "Ebbwork"
BOLD = "Ebbwork-Bold"
_PLACES = (
    "/usr/share/fonts/truetype/dejavu",
    "/usr/share/fonts/dejavu-sans-fonts",
    "/usr/share/fonts/dejavu",
    "/usr/share/fonts/TTF",
)
"""Where Linux distributions keep DejaVu Sans."""


@cache
def register_fonts() -> tuple[str, str]:
    """Make a regular and a bold font known to ReportLab and return their names.

    Use them only for text that has gone through :func:`printable`.
    """
    from reportlab.pdfbase.pdfmetrics import registerFont, registerFontFamily  # noqa: PLC0415
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415 - slow to import

    regular, bold = _files()
    registerFont(TTFont(REGULAR, str(regular)))
    registerFont(TTFont(BOLD, str(bold)))
    registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return REGULAR, BOLD


def printable(text: str) -> str:
    """Return a text with letters that the font lacks, and control characters, as ``?``."""
    known = _letters()
    return "".join(char if ord(char) in known else "?" for char in " ".join(text.split()))


@cache
def _letters() -> frozenset[int]:
    from reportlab.pdfbase.pdfmetrics import getFont  # noqa: PLC0415 - slow to import

    regular, _ = register_fonts()
    return frozenset(getFont(regular).face.charToGlyph)


def _files() -> tuple[Path, Path]:
    for place in _PLACES:
        regular, bold = Path(place) / "DejaVuSans.ttf", Path(place) / "DejaVuSans-Bold.ttf"
        if regular.is_file() and bold.is_file():
            return regular, bold
    import reportlab  # noqa: PLC0415 - slow to import

    folder = Path(reportlab.__file__).parent / "fonts"
    return folder / "Vera.ttf", folder / "VeraBd.ttf"
