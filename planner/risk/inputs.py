"""What may go otherwise than planned, and by how much; every default has its source beside it."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from planner.access.residual import Residual
from planner.risk.spread import Shape, Three

MONTHS = 12


class Rule(StrEnum):
    """How the site reacts when the plan cannot be kept; none of them knows the future."""

    SEQUENCE = "sequence"
    NEXT = "next"
    WEEKLY = "weekly"


RULES = {
    Rule.SEQUENCE: "each rig carries on in the order of the plan",
    Rule.NEXT: "where a zone cannot be begun in a shift, the next one of the plan that the rig"
    " reaches from where it stands is taken",
    Rule.WEEKLY: "as next, and on Mondays a rig that is behind hands its last position to a rig"
    " of its kind that is ahead",
}


class Driver(StrEnum):
    """What makes a campaign differ from its plan."""

    GROWTH = "growth"
    RATE = "rate"
    REBOUND = "rebound"
    BREAKDOWN = "breakdown"
    LATE = "late"
    PANELS = "panels"
    SURGE = "surge"
    WEATHER = "weather"


DRIVERS = {
    Driver.GROWTH: "area and depth grow once broken out",
    Driver.RATE: "placing is faster or slower",
    Driver.REBOUND: "more or less rebounds",
    Driver.BREAKDOWN: "machines break down",
    Driver.LATE: "people reach the face late",
    Driver.PANELS: "test panels fail",
    Driver.SURGE: "water stands otherwise than predicted",
    Driver.WEATHER: "rain and weather close days",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key of risk.toml: where its default comes from, and what it may be.

    Attributes
    ----------
    name, unit, meaning, source
        Dotted name, unit, what it is, and where the default comes from.
    count
        How many numbers: 1, 3 (least, most likely, greatest) or 12 (months); 0: a text.
    low, high
        Bounds of each number.
    default
        What is taken where the key is missing, in words.
    """

    name: str
    unit: str
    count: int
    low: float = 0.0
    high: float = 0.0
    default: str
    meaning: str
    source: str


KEYS = (
    Key(
        name="growth.area",
        unit="1",
        count=3,
        low=0.1,
        high=10.0,
        default="0.9, 1.05, 1.5",
        meaning="area found once broken out, as a factor of the survey's",
        source="from memory; that overruns are common and can be several times the budget is said"
        " in Concrete Construction, Minimizing cost overruns in repair projects",
    ),
    Key(
        name="growth.depth",
        unit="1",
        count=3,
        low=0.1,
        high=10.0,
        default="0.9, 1.0, 1.3",
        meaning="depth found once broken out, as a factor of the survey's",
        source="from memory",
    ),
    Key(
        name="growth.same_section",
        unit="1",
        count=1,
        low=0.0,
        high=1.0,
        default="0.5",
        meaning="how far zones of one section grow together (correlation of scores)",
        source="from memory: one survey, one exposure",
    ),
    Key(
        name="rate.factor",
        unit="1",
        count=3,
        low=0.05,
        high=5.0,
        default="0.75, 1.0, 1.15",
        meaning="placing rate, as a factor of the scenario's",
        source="from memory",
    ),
    Key(
        name="rate.same_rig",
        unit="1",
        count=1,
        low=0.0,
        high=1.0,
        default="0.5",
        meaning="how far the spells of one rig are fast or slow together",
        source="from memory",
    ),
    Key(
        name="rebound.factor",
        unit="1",
        count=3,
        low=0.0,
        high=10.0,
        default="0.7, 1.0, 1.4",
        meaning="rebound, as a factor of the mix's own (never above 95 % of what is sprayed)",
        source="ranges of dry mix in ACI 506 as told by Concrete Construction: overhead 0.25 to"
        " 0.50 about 0.35, walls 0.15 to 0.30 about 0.22",
    ),
    Key(
        name="rebound.same_mix",
        unit="1",
        count=1,
        low=0.0,
        high=1.0,
        default="0.5",
        meaning="how far the zones of one mix and orientation rebound together",
        source="from memory",
    ),
    Key(
        name="breakdown.hours_between",
        unit="h",
        count=1,
        low=0.5,
        high=100_000.0,
        default="60",
        meaning="mean time of spraying between two breakdowns or blockages of a rig; 0: none",
        source="from memory; take the rig's own log where there is one",
    ),
    Key(
        name="breakdown.repair_h",
        unit="h",
        count=3,
        low=0.0,
        high=10_000.0,
        default="0.5, 2, 12",
        meaning="time until the rig works again, day and night",
        source="from memory",
    ),
    Key(
        name="late.start_min",
        unit="min",
        count=3,
        low=0.0,
        high=1440.0,
        default="0, 0, 30",
        meaning="minutes that people reach the face later than planned, shift by shift",
        source="from memory",
    ),
    Key(
        name="late.overtime_min",
        unit="min",
        count=1,
        low=0.0,
        high=240.0,
        default="30",
        meaning="so much longer than its shift a crew stays to end a layer, never against water",
        source="common practice: nobody leaves the last square metre; the amount from memory",
    ),
    Key(
        name="panels.fail",
        unit="1",
        count=1,
        low=0.0,
        high=0.9,
        default="0.1",
        meaning="chance that a test panel fails and is sprayed again",
        source="from memory",
    ),
    Key(
        name="weather.lost",
        unit="1",
        count=MONTHS,
        low=0.0,
        high=0.95,
        default="weather_allowance.csv, where surge is not drawn; else none",
        meaning="share of days on which weather closes every face; one number or one a month",
        source="no honest default: a record of the place",
    ),
    Key(
        name="weather.spell_days",
        unit="d",
        count=1,
        low=1.0,
        high=60.0,
        default="1",
        meaning="mean length of a wet spell; 1: days know nothing of each other where few are wet",
        source="no honest default: a record of the place",
    ),
    Key(
        name="surge.residual",
        unit="",
        count=0,
        default="none: water as predicted",
        meaning="file of the residual of a gauge, as ebbwork tide residual writes it, beside"
        " risk.toml",
        source="no honest default: a record of the place",
    ),
    Key(
        name="chance.shape",
        unit="",
        count=0,
        default="triangle",
        meaning="distribution of the three-number amounts: triangle or pert",
        source="our choice; a triangle has wider tails",
    ),
)
KEY_OF = {key.name: key for key in KEYS}


def _one() -> Three:
    return Three(low=1.0, mode=1.0, high=1.0)


def _nothing() -> Three:
    return Three(low=0.0, mode=0.0, high=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RiskInputs:
    """What is drawn; made without arguments, nothing is.

    Attributes
    ----------
    growth_area, growth_depth, growth_section
        Factors of area and depth [1], and correlation within a section [1].
    rate, rate_rig
        Factor of the placing rate [1], and correlation within a rig [1].
    rebound, rebound_mix
        Factor of the rebound [1], and correlation within a mix and orientation [1].
    breakdown_hours, repair_h
        Mean time of spraying between breakdowns [h], None: none; time of repair [h].
    late_min
        Minutes that the first spell of a shift at a face begins late [min].
    overtime_min
        So much longer a crew stays to end a layer [min].
    panel_fail
        Chance that a panel fails [1].
    weather_lost, weather_spell_days
        Share of days lost in each month [1], and mean length of wet spells [d].
    residual
        Model of the water's residual; None: water as predicted.
    shape
        Distribution of the amounts given by three values.
    """

    growth_area: Three = field(default_factory=_one)
    growth_depth: Three = field(default_factory=_one)
    growth_section: float = 0.0
    rate: Three = field(default_factory=_one)
    rate_rig: float = 0.0
    rebound: Three = field(default_factory=_one)
    rebound_mix: float = 0.0
    breakdown_hours: float | None = None
    repair_h: Three = field(default_factory=_nothing)
    late_min: Three = field(default_factory=_nothing)
    overtime_min: float = 0.0
    panel_fail: float = 0.0
    weather_lost: tuple[float, ...] = (0.0,) * MONTHS
    weather_spell_days: float = 1.0
    residual: Residual | None = None
    shape: Shape = Shape.TRIANGLE

    def active(self, *, has_panels: bool) -> tuple[Driver, ...]:
        """Return the drivers that can change anything, in their own order."""
        grows = not (self.growth_area == self.growth_depth == _one())
        on = {
            Driver.GROWTH: grows,
            Driver.RATE: self.rate != _one(),
            Driver.REBOUND: self.rebound != _one(),
            Driver.BREAKDOWN: self.breakdown_hours is not None,
            Driver.LATE: self.late_min.high > 0.0,
            Driver.PANELS: self.panel_fail > 0.0 and has_panels,
            Driver.SURGE: self.residual is not None,
            Driver.WEATHER: max(self.weather_lost) > 0.0,
        }
        return tuple(driver for driver in Driver if on[driver])


def usual() -> RiskInputs:
    """Return the defaults of ``KEYS``; water and weather have none."""
    return RiskInputs(
        growth_area=Three(low=0.9, mode=1.05, high=1.5),
        growth_depth=Three(low=0.9, mode=1.0, high=1.3),
        growth_section=0.5,
        rate=Three(low=0.75, mode=1.0, high=1.15),
        rate_rig=0.5,
        rebound=Three(low=0.7, mode=1.0, high=1.4),
        rebound_mix=0.5,
        breakdown_hours=60.0,
        repair_h=Three(low=0.5, mode=2.0, high=12.0),
        late_min=Three(low=0.0, mode=0.0, high=30.0),
        overtime_min=30.0,
        panel_fail=0.1,
    )
