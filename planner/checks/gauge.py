"""Where the water stands near a row, minute by minute.

Levels come from :mod:`planner.access.level`; what they allow is judged here.  A limit holds over
the minute ``[m, m + 1)`` when it holds at both its ends: that is a window's real edges rounded
inwards.  Edges are taken to six decimals of a minute (contract, conventions), so a limit that is
met within half of that beside a whole minute is met there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from planner.access.level import LevelSource, source_for
from planner.core.rounding import DECIMALS
from planner.model.campaign import Campaign
from planner.model.position import Position
from planner.model.water import WaterKind
from planner.model.zone import Zone

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_CHUNK_MIN = 1440
_CHUNKS = 4096  # about 50 MB of levels at most
_NOISE_M = 1e-9  # sums such as 1.1 + 0.2 against 1.3
_HALF_STEP_MIN = 0.5 * 10.0**-DECIMALS
_NEAR_M = 1e-6  # farther from a limit than this, no level moves to it in half a step


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Predicted levels at which something is possible, allowances taken off.

    Attributes
    ----------
    section
        Key of the level source.
    high_m, low_m
        Highest and lowest level [m]; None: no such limit.
    is_strict
        Whether ``high_m`` itself is already too high.
    heeds_current
        Whether water that is too fast, or a pipe that is full, closes as well.
    """

    section: str | None
    high_m: float | None = None
    low_m: float | None = None
    is_strict: bool = False
    heeds_current: bool = False

    def holds(self, level_m: Floats, too_fast: Bools) -> Bools:
        """Return where levels lie in the band; unknown levels do not, where there is a limit."""
        good = ~too_fast if self.heeds_current else np.ones(level_m.shape, dtype=np.bool_)
        if self.heeds_current:
            good &= level_m < np.inf
        if self.high_m is not None:
            sign = -1.0 if self.is_strict else 1.0
            good &= level_m <= self.high_m + sign * _NOISE_M
        if self.low_m is not None:
            good &= level_m >= self.low_m - _NOISE_M
        return good

    def is_near(self, level_m: Floats) -> Bools:
        """Return where levels lie so near a limit that half a step may cross it."""
        near = np.zeros(level_m.shape, dtype=np.bool_)
        for limit_m in (self.high_m, self.low_m):
            if limit_m is not None:
                near |= np.abs(level_m - limit_m) < _NEAR_M
        return near


class Gauge:
    """The water of a campaign.

    Parameters
    ----------
    campaign
        Campaign whose water is read.
    """

    def __init__(self, campaign: Campaign) -> None:
        self._campaign = campaign
        self._water = campaign.water
        self._series = {section for section, _ in campaign.water.levels}
        self._source: Callable[[str | None], LevelSource | None] = lru_cache(maxsize=None)(
            lambda section: source_for(campaign, section)
        )
        self._chunk = lru_cache(maxsize=_CHUNKS)(self._read)

    @property
    def has_water(self) -> bool:
        """Return whether there is water at all."""
        return self._water.kind is not WaterKind.NONE

    @property
    def _is_sewer(self) -> bool:
        return self._water.kind is WaterKind.SEWER

    def _key(self, section: str | None) -> str | None:
        """Return one key for all sections that share a level."""
        if self._is_sewer or section in self._series:
            return section
        return None

    def zone_band(self, zone: Zone) -> Band | None:
        """Return the levels at which people can work on a zone; None: at any.

        A sewer level takes only the positive allowance (contract, section 2).
        """
        allowance_low_m = 0.0 if self._is_sewer else self._water.allowance_low_m
        band = Band(
            section=self._key(zone.section),
            high_m=_minus(zone.water_max_m, self._water.allowance_m),
            low_m=_minus(zone.water_min_m, -allowance_low_m),
            heeds_current=self._is_sewer,
        )
        return self._kept(band)

    def position_band(self, position: Position) -> Band | None:
        """Return the levels at which a position can be used; None: at any."""
        band = Band(
            section=None,
            high_m=_minus(position.water_max_m, self._water.allowance_m),
            low_m=_minus(position.water_min_m, -self._water.allowance_low_m),
        )
        return self._kept(band)

    def dry_band(self, zone: Zone) -> Band | None:
        """Return the levels that stay below a zone's fresh surface; None: none reaches it."""
        band = Band(
            section=self._key(zone.section),
            high_m=_minus(zone.wets_at_m, self._water.allowance_m),
            is_strict=True,
        )
        return self._kept(band)

    def _kept(self, band: Band) -> Band | None:
        if not self.has_water:
            return None
        has_limit = band.high_m is not None or band.low_m is not None
        return band if has_limit or band.heeds_current else None

    def _read(self, section: str | None, chunk: int) -> tuple[Floats, Bools]:
        start = chunk * _CHUNK_MIN
        return self._at(section, np.arange(start, start + _CHUNK_MIN, dtype=np.float64))

    def _at(self, section: str | None, minutes: Floats) -> tuple[Floats, Bools]:
        source = self._source(section)
        if source is None:
            return np.full(minutes.shape, np.nan), np.zeros(minutes.shape, dtype=np.bool_)
        fast = source.too_fast(minutes) if self._is_sewer else np.zeros(minutes.shape, np.bool_)
        return source.level_m(minutes), fast

    def levels(self, section: str | None, start_min: int, end_min: int) -> tuple[Floats, Bools]:
        """Return level and whether it is too fast at each whole minute, both ends included."""
        first, last = start_min // _CHUNK_MIN, end_min // _CHUNK_MIN
        parts = [self._chunk(section, chunk) for chunk in range(first, last + 1)]
        low, high = start_min - first * _CHUNK_MIN, end_min - first * _CHUNK_MIN + 1
        if len(parts) == 1:
            return parts[0][0][low:high], parts[0][1][low:high]
        level_m = np.concatenate([part[0] for part in parts])
        too_fast = np.concatenate([part[1] for part in parts])
        return level_m[low:high], too_fast[low:high]

    def holds(self, band: Band, start_min: int, end_min: int) -> Bools:
        """Return for each minute of ``[start_min, end_min)`` whether the band holds over it."""
        level_m, too_fast = self.levels(band.section, start_min, end_min)
        good = band.holds(level_m, too_fast)
        doubtful = np.flatnonzero(~good & (band.is_near(level_m) | too_fast) & _beside(good))
        if doubtful.size:
            at = start_min + doubtful.astype(np.float64)
            for shift in (-_HALF_STEP_MIN, _HALF_STEP_MIN):
                good[doubtful] |= band.holds(*self._at(band.section, at + shift))
        return good[:-1] & good[1:]

    def edge(self, band: Band, false_min: float, true_min: float) -> float:
        """Return where between two minutes a band begins or ceases to hold [min]."""
        for _ in range(40):
            middle = 0.5 * (false_min + true_min)
            if band.holds(*self._at(band.section, np.array([middle])))[0]:
                true_min = middle
            else:
                false_min = middle
        return true_min

    def why_not(self, band: Band, minute: int) -> str:
        """Return in words why a band does not hold over a minute."""
        told = ""
        for at in (minute, minute + 1):
            level_m, too_fast = self.levels(band.section, at, at)
            if not band.holds(level_m, too_fast)[0]:
                told = self._words(band, float(level_m[0]), is_fast=bool(too_fast[0]))
        return told or "the water passes its limit within the minute"

    def _words(self, band: Band, level_m: float, *, is_fast: bool) -> str:
        if np.isnan(level_m):
            return "the water level is not known then"
        if np.isinf(level_m):
            return "the pipe is full"
        if band.high_m is not None and level_m >= band.high_m - _NOISE_M:
            limit_m = band.high_m + self._water.allowance_m
            return (
                f"water predicted at {level_m:.2f} m + {self._water.allowance_m:g} m allowance "
                f"against {limit_m:g} m"
            )
        if is_fast and band.heeds_current:
            return "the water runs too fast"
        return f"water predicted at {level_m:.2f} m is too low"


def _minus(limit_m: float | None, allowance_m: float) -> float | None:
    return None if limit_m is None else limit_m - allowance_m


def _beside(good: Bools) -> Bools:
    """Return where the minute before or after is good."""
    beside = np.zeros(good.shape, dtype=np.bool_)
    beside[1:] |= good[:-1]
    beside[:-1] |= good[1:]
    return beside
