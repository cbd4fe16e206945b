"""Where water levels come from: five kinds, one record."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class WaterKind(StrEnum):
    """Source of the water level."""

    TIDE = "tide"
    HIGHLOW = "highlow"
    LEVELS = "levels"
    SEWER = "sewer"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Constituent:
    """A tidal constituent: amplitude [m] and Greenwich phase lag for UTC [°]."""

    name: str
    amplitude_m: float
    phase_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Extreme:
    """A predicted high or low water, of the port of the table.

    ``minute`` is a campaign minute, with fractions where the table has seconds; it may lie
    outside the campaign.
    """

    minute: float
    level_m: float
    is_high: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelPoint:
    """A point of a level series: campaign minute, level above the source's zero [m]."""

    minute: float
    level_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SewerSection:
    """A circular pipe with its mean flow and the limits for people in it (sewer.csv)."""

    section: str
    diameter_m: float
    slope: float
    manning_n: float
    mean_flow_m3_s: float
    velocity_max_m_s: float | None = None
    depth_velocity_max_m2_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowPattern:
    """Hourly multipliers of the mean flow [1], 24 each; for a section or month, or for all."""

    weekday: tuple[float, ...]
    weekend: tuple[float, ...]
    section: str | None = None
    month: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowPoint:
    """A point of a flow series: campaign minute, flow [m³/s]."""

    minute: float
    flow_m3_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """Factor of the mean flow in one month [1]; for a section, or for all."""

    month: int
    factor: float
    section: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowControl:
    """A stretch in which gates or pumps change the flow of a section (flow_control.csv).

    Attributes
    ----------
    section
        Section whose flow is changed.
    from_min, to_min
        Stretch [min]; may reach beyond the campaign.
    flow_factor
        What is left of the flow [1].
    price_day
        For each civil day of the campaign that it touches [money].
    """

    section: str
    from_min: int
    to_min: int
    flow_factor: float
    price_day: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """Water of a campaign (contract, campaign.toml and section 1).

    Attributes
    ----------
    kind
        Which of the sources below is used.
    datum_m, mean_level_m
        Zero of the source above site datum; ``tide``: mean level above that zero [m].
    high_shift_min, low_shift_min, range_factor
        ``highlow``: site against the port of the table [min, min, 1].
    allowance_m, allowance_low_m
        Water may stand this much higher, or lower, than predicted [m].
    constituents, extremes, sewer, patterns
        The tables, in file order (extremes in time order).
    levels
        Section (None: every zone without a series of its own) and its series in time order.
    flows
        Section and its measured or forecast flow in time order, in place of mean and pattern.
    seasons, controls
        Factors of the mean flow by month; flow changed by gates or pumps.
    warning_min
        From the alarm to dangerous flow at the face [min]; None: not known.
    """

    kind: WaterKind
    datum_m: float = 0.0
    mean_level_m: float = 0.0
    high_shift_min: float = 0.0
    low_shift_min: float = 0.0
    range_factor: float = 1.0
    allowance_m: float = 0.0
    allowance_low_m: float = 0.0
    constituents: tuple[Constituent, ...] = ()
    extremes: tuple[Extreme, ...] = ()
    levels: tuple[tuple[str | None, tuple[LevelPoint, ...]], ...] = ()
    sewer: tuple[SewerSection, ...] = ()
    patterns: tuple[FlowPattern, ...] = ()
    flows: tuple[tuple[str, tuple[FlowPoint, ...]], ...] = ()
    seasons: tuple[Season, ...] = ()
    controls: tuple[FlowControl, ...] = ()
    warning_min: int | None = None
