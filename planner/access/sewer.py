"""Depth of flow in a sewer: hourly pattern times mean flow, by Manning in a part-full pipe.

The multiplier is linear between the hours' centres at :30 local, each centre with the column of
its own day (Saturday and Sunday: ``weekend``) and, where patterns are given for months or
sections, with the most particular one: section and month, then section, then month, then all.
At a clock change a local hour that does not occur has no centre and one that occurs twice has
two.  Depths are above the invert; ``water.datum_m`` does not apply.

A season's factor multiplies the hours of its month.  A flow series of the section takes the
place of mean flow, pattern and season.  Gates and pumps (flow_control.csv) multiply either, from
the first whole minute of their stretch up to, and without, its last.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import floor

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import LEVEL_TOLERANCE_M, Curve, Floats, Indices
from planner.access.flow import controlled, measured
from planner.access.manning import Pipe
from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR, Clock
from planner.model.water import FlowControl, FlowPattern, FlowPoint, Season, SewerSection

_HALF_HOUR = 30
_SATURDAY = 5
_MARGIN_DAYS = 2


class SewerLevel:
    """Depth of flow in one section [m above the invert].

    Parameters
    ----------
    section
        The pipe, its mean flow and the velocity limits.
    patterns
        Hourly multipliers of all sections and months.
    clock
        The campaign's calendar.
    series
        Flow of the section in time order, in place of mean flow, pattern and season; None: none.
    seasons, controls
        Of all sections.
    """

    always_binds = True  # above full bore nobody works, whatever a zone's own limits

    def __init__(
        self,
        section: SewerSection,
        *,
        patterns: Sequence[FlowPattern],
        clock: Clock,
        series: Sequence[FlowPoint] | None = None,
        seasons: Sequence[Season] = (),
        controls: Sequence[FlowControl] = (),
    ) -> None:
        self._pipe = Pipe(
            diameter_m=section.diameter_m, slope=section.slope, manning_n=section.manning_n
        )
        self._mean_m3_s = section.mean_flow_m3_s
        self._patterns = _ranked(patterns, section.section)
        self._series = series
        self._seasons = {
            row.month: row.factor
            for row in sorted(seasons, key=lambda row: row.section is not None)
            if row.section in (None, section.section)
        }
        self._controls = [row for row in controls if row.section == section.section]
        self._clock = clock
        self._centres: tuple[Floats, Floats] = (np.empty(0), np.empty(0))
        self.cap_m = self._pipe.depth_cap_m(
            velocity_max_m_s=section.velocity_max_m_s,
            depth_velocity_max_m2_s=section.depth_velocity_max_m2_s,
        )

    def level_m(self, minutes: Floats) -> Floats:
        """Return the depth at campaign minutes; inf above full bore, nan without pattern [m]."""
        at = np.asarray(minutes, dtype=float)
        if at.size == 0:
            return np.empty(at.shape)
        times, flows = self._flows(float(at.min()), float(at.max()))
        return self._pipe.depth_m(np.interp(at, times, flows))

    def too_fast(self, minutes: Floats) -> NDArray[np.bool_]:
        """Return where a velocity or depth times velocity limit is broken."""
        if self.cap_m is None:
            return np.zeros(np.shape(minutes), dtype=bool)
        return self.level_m(minutes) > self.cap_m + LEVEL_TOLERANCE_M

    def curve(self, start: float, end: float) -> Curve:
        """Return the depth between two campaign minutes; above full bore it is left out."""
        times, flows = _cut(*self._flows(start, end), at=self._pipe.full_flow_m3_s)
        depths = self._pipe.depth_m(flows)
        known = np.isfinite(depths[:-1]) & np.isfinite(depths[1:])
        pieces = np.flatnonzero(known & (times[1:] > times[:-1]))

        def solve(chosen: Indices, level_m: float) -> Floats:
            index = pieces[chosen]
            before, after = flows[index], flows[index + 1]
            share = (self._pipe.flow_m3_s(level_m) - before) / (after - before)
            return times[index] + share * (times[index + 1] - times[index])

        return Curve(
            start=times[pieces],
            end=times[pieces + 1],
            start_m=depths[pieces],
            end_m=depths[pieces + 1],
            solve=solve,
        )

    def _flows(self, start: float, end: float) -> tuple[Floats, Floats]:
        """Return the points that surround a stretch, and the flow there [min, m³/s].

        Where the flow jumps, two points stand at the same time.
        """
        times, flows = self._centres
        if times.size == 0 or start < times[0] or end > times[-1]:
            low = min(start, times[0] if times.size else 0.0)
            high = max(end, times[-1] if times.size else float(self._clock.horizon_min))
            self._centres = times, flows = self._make_flows(low, high)
        first = max(int(np.searchsorted(times, start, side="right")) - 1, 0)
        last = int(np.searchsorted(times, end, side="right")) + 1
        return times[first:last], flows[first:last]

    def _make_flows(self, start: float, end: float) -> tuple[Floats, Floats]:
        if self._series is None:
            times, flows = self._make_pattern(start, end)
        else:
            times, flows = measured(self._series)
        return controlled(times, flows, self._controls)

    def _make_pattern(self, start: float, end: float) -> tuple[Floats, Floats]:
        first = self._clock.day(floor(start)) - timedelta(days=_MARGIN_DAYS)
        last = self._clock.day(floor(end)) + timedelta(days=_MARGIN_DAYS)
        times: list[float] = []
        multipliers: list[float] = []
        day = first
        while day <= last:
            column = self._column(day)
            season = self._seasons.get(day.month, 1.0)
            for minute, hour in _hour_centres(self._clock, day):
                times.append(minute)
                multipliers.append(column[hour] * season)
            day += timedelta(days=1)
        return np.array(times, dtype=float), np.array(multipliers) * self._mean_m3_s

    def _column(self, day: date) -> Sequence[float]:
        pattern = next((p for p in self._patterns if p.month in (None, day.month)), None)
        if pattern is None:
            return (np.nan,) * 24
        return pattern.weekend if day.weekday() >= _SATURDAY else pattern.weekday


def _ranked(patterns: Sequence[FlowPattern], section: str) -> list[FlowPattern]:
    """Return the patterns that may hold for a section, the most particular first."""
    mine = [pattern for pattern in patterns if pattern.section in (None, section)]
    return sorted(mine, key=lambda pattern: (pattern.section is None, pattern.month is None))


def _hour_centres(clock: Clock, day: date) -> list[tuple[int, int]]:
    """Return each hour's centre of a civil day as campaign minute, with the local hour."""
    start, end = clock.day_start(day), clock.day_end(day)
    if end - start == MINUTES_PER_DAY:
        return [(start + _HALF_HOUR + hour * MINUTES_PER_HOUR, hour) for hour in range(24)]
    found = []
    for minute in range(start, end):
        local = clock.local(minute)
        if local.minute == _HALF_HOUR:
            found.append((minute, local.hour))
    return found


def _cut(times: Floats, flows: Floats, *, at: float) -> tuple[Floats, Floats]:
    """Return the points with one more wherever the flow passes a value."""
    low, high = np.minimum(flows[:-1], flows[1:]), np.maximum(flows[:-1], flows[1:])
    where = np.flatnonzero((low < at) & (high > at))
    share = (at - flows[where]) / (flows[where + 1] - flows[where])
    extra = times[where] + share * (times[where + 1] - times[where])
    return np.insert(times, where + 1, extra), np.insert(flows, where + 1, at)
