"""Names, units, colours and patterns of everything that is shown, in one place.

The palette is that of Okabe and Ito, "Color Universal Design" (2002, 2008), in the order that
keeps the first few apart best.  Colour never stands alone: a pattern, a label or a shape goes
with it (WCAG 2.1, success criterion 1.4.1).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from planner.model.identifiers import Goal, Orientation, PositionId

PALETTE = {
    "blue": "#0072B2",
    "orange": "#E69F00",
    "sky": "#56B4E9",
    "yellow": "#F0E442",
    "vermilion": "#D55E00",
    "green": "#009E73",
    "purple": "#CC79A7",
}
"""Hues for set-up positions, in the order in which they are given out."""

PATTERNS = ("", "/", "x", ".", "-", "\\", "|", "+")
"""Second sign beside the hue: positions with the same hue differ in pattern."""

OUTLINE = "#888888"
"""Edge of every block: at least 3 to 1 on white and on a dark page (WCAG 2.1, 1.4.11)."""

WATER = "#0072B2"
QUIET = "rgba(136,136,136,0.35)"
HATCH = "rgba(136,136,136,0.8)"
SHIFT = "rgba(136,136,136,0.75)"
OPEN_PALE = "rgba(61,148,204,0.16)"
OPEN_STRONG = "rgba(61,148,204,0.20)"
OPEN_BOTH = "rgba(61,148,204,0.33)"
"""Some face open; what every height open adds to it; and the two on each other."""


WHITE = "#FFFFFF"
BLACK = "#000000"
DARK_SHARE = 0.04045
"""Where the curve of sRGB becomes a line (IEC 61966-2-1, from memory)."""

TEXT_CONTRAST = 4.5
"""Least contrast of text with its ground (WCAG 2.1, 1.4.3)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How one set-up position is drawn: hue, pattern, and the ink of text upon it."""

    colour: str
    pattern: str
    ink: str

    def tint(self, opacity: float) -> str:
        """Return the hue as a see-through colour."""
        red, green, blue = _channels(self.colour)
        return f"rgba({red},{green},{blue},{opacity:g})"


def look(index: int) -> Look:
    """Return the look number ``index``, counted from 0; hues first, then patterns."""
    hues = tuple(PALETTE.values())
    turn, hue = divmod(index, len(hues))
    colour = hues[hue]
    return Look(colour=colour, pattern=PATTERNS[turn % len(PATTERNS)], ink=ink_on(colour))


def looks(positions: Iterable[PositionId]) -> dict[PositionId, Look]:
    """Return a look for each position, in the order given."""
    return {position: look(index) for index, position in enumerate(positions)}


def ink_on(ground: str) -> str:
    """Return black, or white where white is legible on a ground and black is not better."""
    white = contrast(WHITE, ground)
    return WHITE if white >= TEXT_CONTRAST and white > contrast(BLACK, ground) else BLACK


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.1, relative luminance)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#RRGGBB``, 0 to 1 (WCAG 2.1, definitions)."""
    red, green, blue = (_linear(channel / 255.0) for channel in _channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(share: float) -> float:
    return share / 12.92 if share <= DARK_SHARE else ((share + 0.055) / 1.055) ** 2.4


def _channels(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


GOALS = {
    Goal.FINISH: "Finish",
    Goal.RELOCATIONS: "Relocations",
    Goal.COST: "Cost",
    Goal.LATE: "Lateness",
    Goal.NIGHT_RUNS: "Night runs",
    Goal.JOINTS: "Joints",
}

FACES = {
    Orientation.OVERHEAD: "overhead",
    Orientation.VERTICAL: "vertical",
    Orientation.FLOOR: "floor",
}

COST_LINES = {
    "day": "Site days",
    "rig_day": "Rigs",
    "crew_shift": "Crew shifts",
    "crew_standby": "Crew standby",
    "relocation": "Relocations",
    "set_up": "Set-ups",
    "flow_control": "Gates and pumps",
    "resource": "Shared resources",
    "material": "Material",
    "hose": "Hose and nozzle wear",
    "rebound": "Rebound carried away",
}

COLUMNS = {
    "run": "Run",
    "rig": "Rig",
    "crew": "Crew",
    "position": "Position",
    "zone": "Zone",
    "layer": "Layer",
    "start": "Start",
    "end": "End",
    "minutes": "Minutes",
    "volume_m3": "In place (m³)",
    "hose_m": "Equivalent hose (m)",
    "hose_laid_m": "Hose laid (m)",
    "mix": "Mix",
    "kind": "Kind",
    "orientation": "Face",
    "from": "From",
    "to": "To",
    "reason": "What stands in the way",
    "layers": "Layers",
    "due": "Due",
    "spells": "Spells",
    "runs": "Runs",
    "set_ups": "Set-ups",
    "spraying_h": "Spraying (h)",
    "money": "Money",
    "share": "Share (%)",
    "line": "Line",
    "rule": "Rule",
    "table": "Table",
    "row": "Row",
    "column": "Column",
    "file": "File",
    "message": "What is wrong",
    "amount": "Amount",
    "severity": "Weight",
    "goal": "Goal",
    "value": "This plan",
    "bound": "Proven bound",
    "gap": "Gap (%)",
}
"""Headings of tables; downloads keep the names of the plan files instead."""


def count(number: int, noun: str) -> str:
    """Return a number with its noun, in the plural where that is due.

    Examples
    --------
    >>> count(1, "zone"), count(3, "zone")
    ('1 zone', '3 zones')
    """
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def money(amount: float) -> str:
    """Return an amount in the campaign's own currency, thousands apart.

    Examples
    --------
    >>> money(1234567.4)
    '1 234 567'
    """
    return f"{amount:,.0f}".replace(",", " ")
