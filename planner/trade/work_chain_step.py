"""What the work chain of a zone is made from, and what a step of it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.core.spans import Span, Spans
from planner.model.crew import Crew
from planner.model.mix import MixFace
from planner.model.quality import Cure
from planner.model.rules import Rules
from planner.model.zone import Zone
from planner.trade.figure import Figure
from planner.trade.maturity import Step


class StepKind(StrEnum):
    """What is done in a step."""

    BREAK_OUT = "break out"
    BARS = "clean bars"
    INSPECTION = "inspection"
    WASH = "wash"
    SATURATE = "saturate"
    SPRAY = "spray"
    JOINT = "joint"
    NEXT_LAYER = "next layer"
    FINISH = "finish"
    PROTECT = "protect"
    CURE = "cure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sprayed:
    """One spell of the zone [min, m³]."""

    layer: int
    start_min: int
    end_min: int
    volume_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneWork:
    """What is known of the work in one zone.

    Attributes
    ----------
    zone, rules, cure
        As in the scenario.
    face
        Mix that it is sprayed with; None: not planned, and several are possible, or none.
    volume_m3
        In place [m³].
    breaks_out
        Whether its break-out is planned at all.
    broken
        Pieces of break-out, with the crew of each, in time order.
    spells
        In time order.
    wet
        When water, allowance included, reaches the face [min].
    end_min
        Until when ``wet`` is known [min].
    since_min
        From when the face counts as prepared where break-out is not planned [min].
    is_inspected
        Whether the contract stops the work until the prepared face is inspected.
    finish_min
        Finishing after the last layer [min].
    air
        Hours and temperatures from a minute on for so many hours; None: not known.
    """

    zone: Zone
    rules: Rules
    cure: Cure
    face: MixFace | None
    volume_m3: float
    breaks_out: bool
    broken: tuple[tuple[Crew, Span], ...]
    spells: tuple[Sprayed, ...]
    wet: Spans
    end_min: int
    since_min: int
    is_inspected: bool
    finish_min: int
    air: Callable[[int, float], Sequence[Step] | None]

    @property
    def prepared_min(self) -> int | None:
        """Return the end of break-out; None: it is not planned [min]."""
        return max((end for _, (_, end) in self.broken), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainStep:
    """One step of the chain.

    Attributes
    ----------
    number
        Counted from 1 along the chain.
    layer
        Layer it belongs to; 0: none.
    start_min, end_min
        When, as far as the plan says [min].
    minutes
        How long it takes [min]; None: no duration is known.
    sentence
        What is done.
    flag
        What somebody should look at; empty: nothing.
    figures
        Rules and numbers behind it.
    """

    kind: StepKind
    sentence: str
    number: int = 0
    layer: int = 0
    start_min: int | None = None
    end_min: int | None = None
    minutes: int | None = None
    flag: str = ""
    figures: tuple[Figure, ...] = ()


def time_words(minutes: int) -> str:
    """Return a length of time in the unit that suits it.

    Examples
    --------
    >>> time_words(75), time_words(334), time_words(9900)
    ('75 min', '5.6 h', '6.9 d')
    """
    if minutes < 2 * MINUTES_PER_HOUR:
        return f"{minutes} min"
    if minutes < 2 * MINUTES_PER_DAY:
        return f"{round(minutes / MINUTES_PER_HOUR, 1):g} h"
    return f"{round(minutes / MINUTES_PER_DAY, 1):g} d"
