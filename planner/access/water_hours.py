"""When the water of a campaign keeps given limits, each set of limits worked out once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import LEVEL_TOLERANCE_M, Curve, Floats, Intervals, common
from planner.access.edges import Keeps, spans_of, whole_minutes
from planner.access.level import LevelSource, allowances_m, source_for, source_key
from planner.access.lost import Layer
from planner.core.clock import MINUTES_PER_DAY
from planner.core.spans import Spans
from planner.model.campaign import Campaign

SourceKey = str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Predicted levels at which a place can be worked, allowances taken off.

    Attributes
    ----------
    source
        Key of the level source (``level.source_key``).
    high_m, low_m
        Highest and lowest level [m]; None: no such limit.
    """

    source: SourceKey
    high_m: float | None
    low_m: float | None


class WaterHours:
    """The hours that the water of a campaign leaves.

    Parameters
    ----------
    campaign
        The campaign.
    watched_min
        Until when levels are looked at; at least the horizon [min].
    """

    def __init__(self, campaign: Campaign, *, watched_min: int) -> None:
        self._water = campaign.water
        self._watched_min = watched_min
        self._sources: Callable[[SourceKey], LevelSource | None] = lru_cache(maxsize=None)(
            lambda key: source_for(campaign, key)
        )
        self._curves: dict[SourceKey, Curve] = {}
        self._kept: dict[Limits, Intervals] = {}
        self._dry: dict[tuple[SourceKey, float], Spans] = {}

    def limits(self, section: str | None, *, max_m: float | None, min_m: float | None) -> Limits:
        """Return the limits of a place with the campaign's allowances taken off."""
        higher, lower = allowances_m(self._water)
        return Limits(
            source=source_key(self._water, section),
            high_m=None if max_m is None else max_m - higher,
            low_m=None if min_m is None else min_m + lower,
        )

    def binding(self, limits: Limits) -> LevelSource | None:
        """Return the source that limits ask; None where water does not matter to them."""
        source = self._sources(limits.source)
        if source is None:
            return None
        limited = limits.high_m is not None or limits.low_m is not None
        return source if limited or source.always_binds else None

    def kept(self, limits: Limits, source: LevelSource) -> Intervals:
        """Return when the water keeps limits, from a day before the campaign on [min]."""
        if limits not in self._kept:
            curve = self._curve(limits.source, source)
            found = curve.below(_highest(limits, source))
            if limits.low_m is not None:
                found = common(found, curve.above(limits.low_m))
            self._kept[limits] = found
        return self._kept[limits]

    def keeps(self, limits: Limits, source: LevelSource) -> Keeps:
        """Return a function that tells at which minutes the water keeps limits."""
        high = _highest(limits, source)
        low = -np.inf if limits.low_m is None else limits.low_m

        def keeps(minutes: Floats, slack_m: float) -> NDArray[np.bool_]:
            level = source.level_m(minutes)
            return (level <= high + slack_m) & (level >= low - slack_m) & (level < np.inf)

        return keeps

    def dry(self, section: str | None, wets_at_m: float) -> Spans:
        """Return when water, allowance included, stays below a level, from minute 0 [min]."""
        key = (source_key(self._water, section), wets_at_m - self._water.allowance_m)
        source = self._sources(key[0])
        if source is None:
            return Spans.whole(0, self._watched_min)
        if key not in self._dry:
            self._dry[key] = self._make_dry(key[0], source, key[1])
        return self._dry[key]

    def _make_dry(self, key: SourceKey, source: LevelSource, limit_m: float) -> Spans:
        here = Intervals(starts=np.array([0.0]), ends=np.array([float(self._watched_min)]))
        below = self._curve(key, source).below(limit_m - 2 * LEVEL_TOLERANCE_M)

        def stays(minutes: Floats, slack_m: float) -> NDArray[np.bool_]:
            return source.level_m(minutes) < limit_m - 2 * LEVEL_TOLERANCE_M + slack_m

        starts, ends = whole_minutes(common(below, here), stays)
        reached = ~stays(starts, LEVEL_TOLERANCE_M)  # an instant at the level is wet
        return spans_of(np.where(reached, starts + 1, starts), ends)

    def layers(self, limits: Limits, end_min: int) -> list[Layer]:
        """Return what the water takes of the campaign, cause by cause."""
        source = self.binding(limits)
        if source is None:
            return []
        curve = self._curve(limits.source, source)
        known = _inward(curve.below(np.inf))
        layers = [Layer(spans=known.complement(0, end_min), cause=_unknown(source))]
        higher, lower = allowances_m(self._water)
        if limits.high_m is not None:
            cause = f"water above {limits.high_m + higher:g} m{_with(higher)}"
            layers.append(Layer(spans=known - _inward(curve.below(limits.high_m)), cause=cause))
        if limits.low_m is not None:
            cause = f"water below {limits.low_m - lower:g} m{_with(lower)}"
            layers.append(Layer(spans=known - _inward(curve.above(limits.low_m)), cause=cause))
        if source.cap_m is not None:
            spans = known - _inward(curve.below(source.cap_m))
            layers.append(Layer(spans=spans, cause="water too fast"))
        return layers

    def _curve(self, key: SourceKey, source: LevelSource) -> Curve:
        if key not in self._curves:
            end = self._watched_min + MINUTES_PER_DAY
            self._curves[key] = source.curve(-MINUTES_PER_DAY, end)
        return self._curves[key]


def _highest(limits: Limits, source: LevelSource) -> float:
    caps = [cap for cap in (limits.high_m, source.cap_m) if cap is not None]
    return min(caps, default=np.inf)


def _inward(found: Intervals) -> Spans:
    return spans_of(*whole_minutes(found, None))


def _unknown(source: LevelSource) -> str:
    return "flow above full bore or not known" if source.always_binds else "water level not known"


def _with(allowance_m: float) -> str:
    return f" with {allowance_m:g} m allowance" if allowance_m else ""
