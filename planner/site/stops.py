"""The three stops of a spell, and the water level that stops work whatever the clock says.

**Nozzle off**: the last minute at which spraying still keeps the rules: trimming fits into the
shortened window, the water stays away for ``protect_h``, the rig is clean at the end of the shift.
**Leave the face**: the end of the shortened window.  **Water arrives**: the predicted level with
its allowance reaches what people can work in; or another cause ends the window, and is named.

**Stop level.**  The predicted level ``get_out_min`` before the water arrives, by the prediction
itself: the allowance is *not* added to it.  While the prediction holds, board and clock stop work
at the same minute; where the water runs ahead of it, the board stops work earlier.  The allowance
stays in hand for wash and swell, which a board read in the mean does not show.  Where the water
never comes that high it is the limit less the allowance and less the fastest rise of
``get_out_min`` minutes on that day.  Rounded down to whole centimetres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from planner.access.level import LevelSource, allowances_m, source_for
from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.model.campaign import Campaign
from planner.model.mix import MixFace
from planner.model.zone import Zone
from planner.plan.plan import Spell
from planner.trade.quantities import finish_minutes

WATCH_MIN = 36 * MINUTES_PER_HOUR
"""How far ahead the water is looked for: a whole tide at any place [min]."""
_CM = 100.0
_NOISE_M = 1e-6
_WATER = "water"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stops:
    """When work at a face stops, by the clock and by the board.

    Attributes
    ----------
    window
        The window, not shortened [min].
    enter_min
        When people may be at the face [min].
    nozzle_off_min, leave_min
        The last minutes for spraying and for being there [min].
    end_min, end_cause
        When the window ends, and by what; empty: the water.
    water_min
        When the water arrives by prediction and allowance [min]; None: not within a day and a
        half, or no water.
    enter_max_m
        Nobody goes in while the board shows more [m]; None: no such limit.
    stop_high_m, stop_low_m
        Levels at which everybody leaves, rising and falling [m above site datum; in a sewer the
        depth]; None: no such limit.
    predicted_m
        Predicted level when people leave by the clock [m]; None: not known.
    """

    window: tuple[int, int]
    enter_min: int
    nozzle_off_min: int
    leave_min: int
    end_min: int
    end_cause: str
    water_min: int | None
    enter_max_m: float | None
    stop_high_m: float | None
    stop_low_m: float | None
    predicted_m: float | None


class StopFinder:
    """Finds the stops of spells; causes of each zone's lost time are worked out once."""

    def __init__(self, campaign: Campaign, access: Access) -> None:
        self._campaign = campaign
        self._access = access
        self._ends: dict[tuple[str, int], str] = {}
        self._sources: dict[str | None, LevelSource | None] = {}

    def stops(
        self, zone: Zone, spell: Spell, face: MixFace, *, is_last: bool, clean_by_min: int
    ) -> Stops | None:
        """Return the stops of a spell; None where it lies in no window.

        Parameters
        ----------
        face
            Mix that is sprayed.
        is_last
            Whether it is the zone's last spell, after which people trim.
        clean_by_min
            When the nozzle must be off to have the rig clean at the end of the shift [min].
        """
        short = self._access.shortened(zone).around(spell.start_min)
        if short is None:
            return None
        off = [short[1] - (finish_minutes(zone, face) if is_last else 0), clean_by_min]
        dry = self._access.dry(zone).around(spell.start_min)
        if zone.wets_at_m is not None and dry is not None:
            off.append(dry[1] - up(MINUTES_PER_HOUR * (face.protect_h or 0.0)))
        return self.leaving(zone, spell.start_min, off_min=min(off))

    def leaving(self, zone: Zone, minute: int, *, off_min: int | None = None) -> Stops | None:
        """Return the stops of any work at a face at a minute; None where it is not open then.

        Parameters
        ----------
        off_min
            When tools are off, where that is earlier than leaving [min].
        """
        window = self._access.windows(zone).around(minute)
        short = self._access.shortened(zone).around(minute)
        if window is None or short is None:
            return None
        cause = self._end_cause(zone, window[1])
        out_min = window[1] - short[1]
        source = self.source(zone.section)
        limit = self._limit(zone, source)
        water, high = self._high(limit, source, window[0], out_min)
        return Stops(
            window=window,
            enter_min=short[0],
            nozzle_off_min=short[1] if off_min is None else min(off_min, short[1]),
            leave_min=short[1],
            end_min=window[1],
            end_cause="" if cause.startswith(_WATER) else cause,
            water_min=water,
            enter_max_m=None if limit is None else _down(limit),
            stop_high_m=high,
            stop_low_m=self._low(zone, source, window[0], out_min),
            predicted_m=_level(source, short[1]),
        )

    def source(self, section: str | None) -> LevelSource | None:
        """Return the level source of a section."""
        if section not in self._sources:
            self._sources[section] = source_for(self._campaign, section)
        return self._sources[section]

    def _end_cause(self, zone: Zone, minute: int) -> str:
        key = (str(zone.zone_id), minute)
        if key not in self._ends:
            causes = [layer.cause for layer in self._access.layers(zone) if minute in layer.spans]
            over = minute >= self._campaign.clock.horizon_min
            water = [cause for cause in causes if cause.startswith(_WATER)]
            self._ends[key] = (
                "the campaign's last day ends"
                if over
                else "; ".join(dict.fromkeys(water or causes)) or _WATER
            )
        return self._ends[key]

    def _limit(self, zone: Zone, source: LevelSource | None) -> float | None:
        """Return the highest predicted level at which the zone is open [m]."""
        if source is None:
            return None
        higher, _ = allowances_m(self._campaign.water)
        limits = [
            limit
            for limit in (
                None if zone.water_max_m is None else zone.water_max_m - higher,
                source.cap_m,
            )
            if limit is not None
        ]
        return min(limits, default=None)

    def _high(
        self, limit: float | None, source: LevelSource | None, start: int, out_min: int
    ) -> tuple[int | None, float | None]:
        """Return when the water is too high by prediction and allowance, and the stop level."""
        if source is None or limit is None:
            return None, None
        below = source.curve(float(start), float(start + WATCH_MIN)).below(limit)
        ends = [end for low, end in zip(below.starts, below.ends, strict=True) if low <= start + 1]
        arrives = ends[0] if ends else math.inf
        if arrives < start + WATCH_MIN - 1:
            level = _level(source, arrives - out_min)
            return math.floor(arrives), _down(limit if level is None else min(limit, level))
        return None, _down(limit - _fastest_rise(source, start, out_min))

    def _low(
        self, zone: Zone, source: LevelSource | None, start: int, out_min: int
    ) -> float | None:
        """Return the falling level at which everybody leaves a floating access."""
        if source is None or zone.water_min_m is None:
            return None
        _, lower = allowances_m(self._campaign.water)
        limit = zone.water_min_m + lower
        above = source.curve(float(start), float(start + WATCH_MIN)).above(limit)
        ends = [end for low, end in zip(above.starts, above.ends, strict=True) if low <= start + 1]
        if ends and ends[0] < start + WATCH_MIN - 1:
            level = _level(source, ends[0] - out_min)
            return -_down(-(limit if level is None else max(limit, level)))
        return -_down(-(limit + _fastest_rise(source, start, out_min)))


def _level(source: LevelSource | None, minute: float) -> float | None:
    if source is None:
        return None
    level = float(source.level_m(np.array([minute]))[0])
    return level if math.isfinite(level) else None


def _fastest_rise(source: LevelSource, start: int, minutes: int) -> float:
    """Return the greatest change of level in some minutes within a day, sampled [m]."""
    times = np.arange(start, start + MINUTES_PER_DAY, 5.0)
    change = np.abs(source.level_m(times + minutes) - source.level_m(times))
    known = change[np.isfinite(change)]
    return float(known.max()) if known.size else 0.0


def _down(level_m: float) -> float:
    return math.floor(level_m * _CM + _NOISE_M) / _CM
