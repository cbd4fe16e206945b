"""What can hold work back, and stretches of time with what filled them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class CauseKind(StrEnum):
    """What sort of thing it is, in the words that a chart or a table may show."""

    CAMPAIGN = "campaign start"
    WINDOW = "window"
    CLOSURE = "closure"
    WET = "wetting"
    SHIFT = "crew's shift"
    CREW = "crew busy"
    RIG = "rig busy"
    RIG_AWAY = "rig not there"
    RELOCATION = "relocation"
    POSITION = "position"
    LAYER_GAP = "layer gap"
    PIECE = "piece before"
    NEXT_LAYER = "next layer"
    AFTER = "zone before"
    READY = "not ready"
    PANEL = "test panel"
    BREAK_OUT = "break-out"
    APART = "kept apart"
    OPEN_LIMIT = "open limit"
    IDLE = "idle limit"
    DUTY = "hours of the crew"
    RESOURCE = "shared resource"
    START_UP = "start-up"
    CHANGE = "zone change"
    SPELL = "spell"
    CLEAN_UP = "clean-up"
    PANEL_RUN = "test panel run"
    DONE = "nothing left here"
    TOO_SHORT = "too short"
    SPARE = "spare"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One thing that holds a piece of work from being earlier.

    Attributes
    ----------
    kind
        Sort of thing.
    until_min
        First minute at which it holds no longer [min]; None: it never ends in this plan.
    text
        What it is, in words with times.
    """

    kind: CauseKind
    until_min: int | None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of time and the one thing that fills it [min]."""

    start_min: int
    end_min: int
    kind: CauseKind
    text: str

    @property
    def minutes(self) -> int:
        """Return how long it lasts [min]."""
        return self.end_min - self.start_min
