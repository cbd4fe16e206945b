"""What else must hold at every face: light, calm water, air fit for spraying.

Public holidays, noise hours, berths and seasons of wildlife are closures (limits.Closure).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Twilight(StrEnum):
    """Whether the light before sunrise and after sunset counts as daylight."""

    NONE = "none"
    CIVIL = "civil"


@dataclass(frozen=True, slots=True, kw_only=True)
class Daylight:
    """Work at faces only by daylight.

    Attributes
    ----------
    latitude_deg, longitude_deg
        Place of the site; north and east are positive [°].
    twilight
        Whether civil twilight counts as daylight.
    """

    latitude_deg: float
    longitude_deg: float
    twilight: Twilight = Twilight.NONE


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A value of a series: campaign minute, value in the unit of the series."""

    minute: float
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Waves:
    """Work at faces only while waves stay low, and long enough after.

    Attributes
    ----------
    height_max_m
        Highest wave or swell at which people work [m].
    reference_min
        How long the waves must stay low from the begin of work [min].
    planned_min
        Longest time that a crew is planned to be out in one go [min].
    series
        Heights in time order [m].
    """

    height_max_m: float
    planned_min: int
    reference_min: int
    series: tuple[Reading, ...] = ()

    @property
    def spare_min(self) -> int:
        """Return how long the waves stay low after the last minute of work [min]."""
        return max(0, self.reference_min - self.planned_min)


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthNormal:
    """Mean daily lowest and highest air temperature of one month [°C]."""

    month: int
    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AirTemperature:
    """Work at faces only while the air is neither too cold nor too warm for spraying.

    Attributes
    ----------
    min_c, max_c
        Limits; None: no such limit [°C].
    series
        Measured or forecast temperature in time order; where it knows nothing, normals count.
    normals
        One for each month that is known.
    """

    min_c: float | None
    max_c: float | None
    series: tuple[Reading, ...] = ()
    normals: tuple[MonthNormal, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """Light, waves and air at every face; None: no such limit.

    ``air_known`` is what is known of the temperature, whether or not it limits the work.
    """

    daylight: Daylight | None = None
    waves: Waves | None = None
    air: AirTemperature | None = None
    air_known: AirTemperature | None = None
