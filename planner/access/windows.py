"""Windows: when each zone, position, rig and crew is open, and why not otherwise.

A zone's windows are the maximal stretches in which the water keeps the zone's limits, less the
closures of site, section and zone, within the campaign's days and at least ``window_min_min``
long before rounding; then they are rounded inwards (contract, section 2).  Zones that share
limits and closures share the work.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.access.closures import SITE, Closures, Target
from planner.access.curve import Curve, Floats, Intervals, common
from planner.access.level import LevelSource, allowances_m, source_for, source_key
from planner.access.lost import Layer, Lost, lost_spans
from planner.access.shifts import shift_spans
from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.core.rounding import DECIMALS, up
from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import ShiftId
from planner.model.limits import ClosureScope
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone

_EDGE_TOLERANCE_M = 5e-7  # what a level may lie beyond its limit at a whole minute inside
_STRICT_M = 1e-9  # what counts as reaching

SourceKey = str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Limits:
    """Water limits of a place, allowances taken off [m]."""

    source: SourceKey
    high_m: float | None
    low_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Key:
    """What tells the windows of places apart; least length in minutes."""

    limits: _Limits
    shut: tuple[Target, ...]
    least: int


class Access:
    """When places, rigs and crews of a campaign are open; everything is worked out once.

    Parameters
    ----------
    campaign
        The campaign.

    Raises
    ------
    ValueError
        When asked for something whose water table cannot be used (``level.source_for``).
    """

    def __init__(self, campaign: Campaign) -> None:
        self._campaign = campaign
        self._clock = campaign.clock
        self._closures = Closures(campaign.closures, campaign.clock)
        protect_h = max((face.protect_h or 0.0 for face in campaign.mixes), default=0.0)
        self._watched_min = campaign.clock.horizon_min + up(MINUTES_PER_HOUR * protect_h)
        self._sources: dict[SourceKey, LevelSource | None] = {}
        self._curves: dict[SourceKey, Curve] = {}
        self._water: dict[_Limits, Intervals | None] = {}
        self._open: dict[tuple[Target, ...], Intervals] = {}
        self._windows: dict[_Key, Spans] = {}
        self._shortened: dict[tuple[_Key, int, int], Spans] = {}
        self._dry: dict[tuple[SourceKey, float], Spans] = {}
        self._shifts: dict[ShiftId, tuple[Span, ...]] = {}

    @property
    def watched_min(self) -> int:
        """Return until when ``dry`` looks: the horizon and the longest protection [min]."""
        return self._watched_min

    def source(self, section: str | None) -> LevelSource | None:
        """Return where the level of a section comes from; None where there is no water."""
        key = source_key(self._campaign.water, section)
        if key not in self._sources:
            self._sources[key] = source_for(self._campaign, section)
        return self._sources[key]

    def windows(self, zone: Zone) -> Spans:
        """Return the windows of a zone, not shortened [min]."""
        return self._spans(self._window_key(zone))

    def shortened(self, zone: Zone) -> Spans:
        """Return the windows of a zone less getting in and getting out [min]."""
        rules = self._campaign.rules
        get_in = rules.get_in_min if zone.get_in_min is None else zone.get_in_min
        get_out = rules.get_out_min if zone.get_out_min is None else zone.get_out_min
        key = self._window_key(zone)
        if (key, get_in, get_out) not in self._shortened:
            self._shortened[key, get_in, get_out] = self._spans(key).shrink(
                first=get_in, last=get_out
            )
        return self._shortened[key, get_in, get_out]

    def dry(self, zone: Zone) -> Spans:
        """Return when water, allowance included, stays below ``wets_at_m`` of a zone [min].

        From 0 to the horizon and on for the longest protection of any mix.  A level that is
        not known counts as wet.
        """
        if zone.wets_at_m is None or self.source(zone.section) is None:
            return Spans.whole(0, self._watched_min)
        source = source_key(self._campaign.water, zone.section)
        key = (source, zone.wets_at_m - self._campaign.water.allowance_m)
        if key not in self._dry:
            self._dry[key] = self._make_dry(zone.section, key[1])
        return self._dry[key]

    def position_open(self, position: Position) -> Spans:
        """Return when a position is neither closed nor outside its water limits [min]."""
        limits = self._limits(None, position.water_max_m, position.water_min_m)
        targets = (SITE, (ClosureScope.POSITION, position.position_id))
        if position.water_max_m is None and position.water_min_m is None:
            return self._whole() - self._closures.shut(targets)
        return self._spans(_Key(limits=limits, shut=self._closures.known(targets), least=0))

    def rig_open(self, rig: Rig) -> Spans:
        """Return when a rig is on site and neither site, rig nor process is closed [min]."""
        targets = (SITE, (ClosureScope.RIG, rig.rig_id), (ClosureScope.PROCESS, rig.process))
        here = self._whole().clip(rig.available_from_min, rig.available_to_min)
        return here - self._closures.shut(targets)

    def crew_open(self, crew: Crew) -> Spans:
        """Return when a crew is on site and neither it nor the site is closed [min].

        Shifts are not regarded here.
        """
        targets = (SITE, (ClosureScope.CREW, crew.crew_id))
        here = self._whole().clip(crew.available_from_min, crew.available_to_min)
        return here - self._closures.shut(targets)

    def shifts(self, shift_id: ShiftId) -> tuple[Span, ...]:
        """Return the occurrences of a shift in order, cut to the campaign's days [min].

        Raises
        ------
        KeyError
            If the campaign has no such shift.
        """
        if shift_id not in self._shifts:
            table = {shift.shift_id: shift for shift in self._campaign.shifts}
            self._shifts[shift_id] = shift_spans(table[shift_id], self._clock)
        return self._shifts[shift_id]

    def lost(self, zone: Zone) -> list[Lost]:
        """Return every minute of the campaign outside a zone's windows, with its causes."""
        layers = [*self._closure_layers(zone), *self._water_layers(zone)]
        least = self._campaign.rules.window_min_min
        return lost_spans(
            self.windows(zone).complement(0, self._clock.horizon_min),
            layers,
            otherwise=f"window shorter than {least} min",
        )

    def _whole(self) -> Spans:
        return Spans.whole(0, self._clock.horizon_min)

    def _zone_limits(self, zone: Zone) -> _Limits:
        return self._limits(zone.section, zone.water_max_m, zone.water_min_m)

    def _limits(self, section: str | None, max_m: float | None, min_m: float | None) -> _Limits:
        higher, lower = allowances_m(self._campaign.water)
        return _Limits(
            source=source_key(self._campaign.water, section),
            high_m=None if max_m is None else max_m - higher,
            low_m=None if min_m is None else min_m + lower,
        )

    def _window_key(self, zone: Zone) -> _Key:
        return _Key(
            limits=self._zone_limits(zone),
            shut=self._closures.known(_zone_targets(zone)),
            least=self._campaign.rules.window_min_min,
        )

    def _spans(self, key: _Key) -> Spans:
        if key not in self._windows:
            open_ = self._open_hours(key.shut)
            water = self._water_ok(key.limits)
            if water is None:
                self._windows[key] = _rounded(open_, key.least, None)
            else:
                keeps = self._keeps(key.limits)
                self._windows[key] = _rounded(common(water, open_), key.least, keeps)
        return self._windows[key]

    def _open_hours(self, shut: tuple[Target, ...]) -> Intervals:
        if shut not in self._open:
            open_ = self._whole() - self._closures.shut(shut)
            self._open[shut] = Intervals(
                starts=np.array(open_.starts, dtype=float), ends=np.array(open_.ends, dtype=float)
            )
        return self._open[shut]

    def _curve(self, key: SourceKey, source: LevelSource) -> Curve:
        if key not in self._curves:
            self._curves[key] = source.curve(-MINUTES_PER_DAY, self._watched_min + MINUTES_PER_DAY)
        return self._curves[key]

    def _water_ok(self, limits: _Limits) -> Intervals | None:
        """Return when the water keeps limits; None where water does not matter."""
        source = self.source(limits.source)
        if source is None:
            return None
        if limits.high_m is None and limits.low_m is None and not source.always_binds:
            return None
        if limits not in self._water:
            curve = self._curve(limits.source, source)
            high = [np.inf if limits.high_m is None else limits.high_m]
            found = curve.below(min([*high, *([] if source.cap_m is None else [source.cap_m])]))
            if limits.low_m is not None:
                found = common(found, curve.above(limits.low_m))
            self._water[limits] = found
        return self._water[limits]

    def _keeps(self, limits: _Limits) -> Callable[[Floats], NDArray[np.bool_]]:
        """Return a function that tells at which minutes the water keeps the limits."""
        source = self.source(limits.source)
        if source is None:
            return lambda minutes: np.ones(minutes.shape, dtype=bool)
        caps = [cap for cap in (limits.high_m, source.cap_m) if cap is not None]
        high = min(caps, default=np.inf) + _EDGE_TOLERANCE_M
        low = (-np.inf if limits.low_m is None else limits.low_m) - _EDGE_TOLERANCE_M

        def keeps(minutes: Floats) -> NDArray[np.bool_]:
            level = source.level_m(minutes)
            return (level <= high) & (level >= low) & (level < np.inf)

        return keeps

    def _make_dry(self, section: str | None, limit_m: float) -> Spans:
        source = self.source(section)
        if source is None:
            return Spans.whole(0, self._watched_min)
        curve = self._curve(source_key(self._campaign.water, section), source)
        here = Intervals(starts=np.array([0.0]), ends=np.array([float(self._watched_min)]))
        below = common(curve.below(limit_m - 2 * _STRICT_M), here)
        starts = np.ceil(np.round(below.starts, DECIMALS))
        ends = np.floor(np.round(below.ends, DECIMALS))
        reached = ~(source.level_m(starts) < limit_m - _STRICT_M)
        return _as_spans(np.where(reached, starts + 1, starts), ends)

    def _closure_layers(self, zone: Zone) -> list[Layer]:
        return [
            Layer(spans=shut.spans, cause=_closed(target, shut.why))
            for target in _zone_targets(zone)
            for shut in self._closures.rows(target)
        ]

    def _water_layers(self, zone: Zone) -> list[Layer]:
        limits = self._zone_limits(zone)
        source = self.source(zone.section)
        if source is None or self._water_ok(limits) is None:
            return []
        curve = self._curve(limits.source, source)
        end = self._clock.horizon_min
        known = _inward(curve.below(np.inf))
        layers = [Layer(spans=known.complement(0, end), cause=_unknown(source))]
        if limits.high_m is not None:
            bad = known - _inward(curve.below(limits.high_m))
            layers.append(Layer(spans=bad, cause=f"water above {zone.water_max_m:g} m"))
        if limits.low_m is not None:
            bad = known - _inward(curve.above(limits.low_m))
            layers.append(Layer(spans=bad, cause=f"water below {zone.water_min_m:g} m"))
        if source.cap_m is not None:
            bad = known - _inward(curve.below(source.cap_m))
            layers.append(Layer(spans=bad, cause="water too fast"))
        return layers


def _zone_targets(zone: Zone) -> tuple[Target, ...]:
    own: tuple[Target, ...] = (SITE, (ClosureScope.ZONE, zone.zone_id))
    return own if zone.section is None else (*own, (ClosureScope.SECTION, zone.section))


def _closed(target: Target, why: str) -> str:
    scope, name = target
    what = f"{scope} closed" if scope is ClosureScope.SITE else f"{scope} {name} closed"
    return f"{what}: {why}" if why else what


def _unknown(source: LevelSource) -> str:
    return "flow above full bore or not known" if source.always_binds else "water level not known"


def _inward(found: Intervals) -> Spans:
    return _as_spans(
        np.ceil(np.round(found.starts, DECIMALS)), np.floor(np.round(found.ends, DECIMALS))
    )


def _rounded(
    found: Intervals, least: int, keeps: Callable[[Floats], NDArray[np.bool_]] | None
) -> Spans:
    """Return stretches that are long enough, rounded inwards to whole minutes that keep limits."""
    enough = np.round(found.ends - found.starts, DECIMALS) >= least
    starts = np.ceil(np.round(found.starts[enough], DECIMALS))
    ends = np.floor(np.round(found.ends[enough], DECIMALS))
    if keeps is not None and starts.size:
        starts = np.where(keeps(starts), starts, starts + 1)
        ends = np.where(keeps(ends), ends, ends - 1)
    return _as_spans(starts, ends)


def _as_spans(starts: Floats, ends: Floats) -> Spans:
    pairs = zip(starts.astype(int).tolist(), ends.astype(int).tolist(), strict=True)
    return Spans(pairs)
