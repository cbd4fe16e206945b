"""Generic kinds of spraying machines and what can be expected of them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.model.identifiers import Process
from planner.model.sourced import Trust


class Trait(StrEnum):
    """What the catalogue tells of a kind of machine, by name with its unit."""

    RATE = "rate_m3_h"
    LEVEL = "reach_level_m"
    RISE = "reach_rise_m"
    BORE = "hose_bore_mm"
    START_UP = "start_up_min"
    CLEAN_UP = "clean_up_min"
    IDLE = "idle_max_min"
    MOVE = "move_min"
    AIR = "air_m3_min"
    AGGREGATE = "aggregate_max_mm"
    CREW = "crew_size"
    RISE_FACTOR = "rise_factor"
    BEND = "bend_m"


UNITS: dict[Trait, str] = {
    Trait.RATE: "m³/h",
    Trait.LEVEL: "m",
    Trait.RISE: "m",
    Trait.BORE: "mm",
    Trait.START_UP: "min",
    Trait.CLEAN_UP: "min",
    Trait.IDLE: "min",
    Trait.MOVE: "min",
    Trait.AIR: "m³/min",
    Trait.AGGREGATE: "mm",
    Trait.CREW: "people",
    Trait.RISE_FACTOR: "m/m",
    Trait.BEND: "m",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """What is usual of one trait, and between which values it lies.

    Attributes
    ----------
    trait
        What is told; its name ends in the unit.
    usual
        Value taken where nothing else is given: a choice inside the range, no promise.
    low, high
        Range of the source; None: the source gives no such end.
    trust
        How far the range can be trusted.
    source
        Where it comes from.
    """

    trait: Trait
    usual: float
    low: float | None = None
    high: float | None = None
    trust: Trust
    source: str

    def __post_init__(self) -> None:
        low = self.usual if self.low is None else self.low
        high = self.usual if self.high is None else self.high
        if not 0.0 <= low <= self.usual <= high:
            msg = f"{self.trait}: {low:g} <= {self.usual:g} <= {high:g} does not hold"
            raise ValueError(msg)

    @property
    def unit(self) -> str:
        """Return the unit of the trait."""
        return UNITS[self.trait]

    @property
    def has_range(self) -> bool:
        """Return whether the source gives an end of the range."""
        return self.low is not None or self.high is not None

    def misses(self, value: float) -> bool:
        """Return whether a value lies outside the range."""
        below = self.low is not None and value < self.low
        return below or (self.high is not None and value > self.high)

    def words(self) -> str:
        """Return the range in words, with its unit.

        Examples
        --------
        >>> Span(trait=Trait.RATE, low=1, usual=3, high=5, trust=Trust.PRACTICE, source="").words()
        '1 to 5 m³/h'
        """
        if self.low is None and self.high is None:
            return f"about {self.usual:g} {self.unit}"
        if self.low is None:
            return f"at most {self.high:g} {self.unit}"
        if self.high is None:
            return f"at least {self.low:g} {self.unit}"
        return f"{self.low:g} to {self.high:g} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineType:
    """A generic kind of machine of the trade; no maker's model.

    Attributes
    ----------
    type_id
        Word that rigs.csv uses.
    title
        Name in plain words.
    process
        How its material travels.
    how
        How it works, in a sentence.
    intermittent
        Whether its flow stops again and again of itself, to be filled anew.
    intermittent_source
        Where that comes from.
    spans
        One for each trait that is told.
    """

    type_id: str
    title: str
    process: Process
    how: str
    intermittent: bool
    intermittent_source: str
    spans: tuple[Span, ...]

    def span(self, trait: Trait) -> Span | None:
        """Return what is told of a trait, or None."""
        return next((span for span in self.spans if span.trait is trait), None)

    def usual(self, trait: Trait) -> float | None:
        """Return the usual value of a trait, or None where nothing is told."""
        span = self.span(trait)
        return None if span is None else span.usual
