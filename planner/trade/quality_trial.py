"""A test or inspection of the quality plan, and the spraying it is worked out from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.core.clock import MINUTES_PER_DAY
from planner.core.rounding import up
from planner.model.identifiers import CrewId, MixId, Orientation, ZoneId
from planner.model.quality import Quality
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input

ACI_506_2 = "ACI 506.2 as quoted by the American Shotcrete Association"
CONTRACT = "campaign.toml"


SprayKind = tuple[CrewId, MixId, Orientation]


class TrialKind(StrEnum):
    """What sort of test or inspection."""

    PRE = "pre-construction panel"
    PRODUCTION = "production panel"
    BOND = "bond"
    INSPECTION = "inspection"


PREFIX = {
    TrialKind.PRE: "PRE",
    TrialKind.PRODUCTION: "PROD",
    TrialKind.BOND: "BOND",
    TrialKind.INSPECTION: "INSP",
}
"""First part of the name of a trial of each kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Concrete sprayed in one go: who, what, where, when [min], how much [m³].

    ``day`` is the civil day on which it starts, as ISO text; ``area_m2`` is that of the zone
    where this ends its last layer, else 0 [m²].
    """

    crew: CrewId
    mix: MixId
    orientation: Orientation
    zone: ZoneId
    layer: int
    start_min: int
    end_min: int
    day: str
    volume_m3: float
    area_m2: float = 0.0

    @property
    def kind(self) -> SprayKind:
        """Return crew, mix and orientation."""
        return self.crew, self.mix, self.orientation


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One test or inspection of the quality plan.

    Attributes
    ----------
    name
        By which results are entered.
    kind, crew, mix, orientation, zone
        What is tested; empty where that does not apply.
    made_min
        When the panel is sprayed, the face finished, or the face ready; None: not planned [min].
    due_min
        When the result can be there at the earliest; for inspections the latest [min].
    pieces
        Cores or pulls [1]; 0: none.
    specified_mpa
        Strength that its values are held against [MPa]; None: none is given.
    age_d
        Age at test [d]; None: an inspection.
    figures
        How its count and its dates come about.
    """

    name: str
    kind: TrialKind
    crew: str = ""
    mix: str = ""
    orientation: str = ""
    zone: str = ""
    made_min: int | None = None
    due_min: int | None = None
    pieces: int = 0
    specified_mpa: float | None = None
    age_d: float | None = None
    figures: tuple[Figure, ...] = ()


def given(name: str, value: float) -> Input:
    """Return a figure of the contract as an input."""
    return Input(name=name, value=value, source=CONTRACT)


def days_later(minute: int | None, days: float) -> int | None:
    """Return a minute some days later, rounded up [min]; None stays None."""
    return None if minute is None else minute + up(days * MINUTES_PER_DAY)


def pre_name(kind: SprayKind, *, at: str = "") -> str:
    """Return the name of a pre-construction panel's test."""
    return "/".join((PREFIX[TrialKind.PRE], *map(str, kind), *([at] if at else [])))


def hold_name(kind: SprayKind, quality: Quality) -> str:
    """Return the name of the test that ends the stop of a crew, mix and orientation."""
    age = quality.age_d if quality.hold_age_d is None else quality.hold_age_d
    same = age == quality.age_d and quality.hold_mpa in (None, quality.strength_mpa)
    return pre_name(kind) if same else pre_name(kind, at=f"{age:g}d")


def due_figure(age_d: float, key: str) -> Figure:
    """Return how the day of a test comes about."""
    return Figure(
        name="due",
        value=age_d,
        unit="d",
        formula="day on which it is sprayed + age at test",
        inputs=(given(key, age_d),),
        source="age of the test as the contract gives it; 28 days by custom",
        trust=Trust.PRACTICE,
    )
