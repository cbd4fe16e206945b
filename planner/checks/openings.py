"""The window of a zone around a row, looked at no further than the row needs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.checks.closures import Closures
from planner.checks.conditions import Conditions
from planner.checks.gauge import Band, Bools, Gauge
from planner.checks.wet_weather import Weather
from planner.core.rounding import DECIMALS
from planner.model.campaign import Campaign
from planner.model.limits import ClosureScope
from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What a zone's window looks like around a stretch ``[start, end)``.

    Attributes
    ----------
    closed_min
        How many minutes of the stretch the zone is closed [min].
    closed_from_min
        First of them [min]; None: the zone is open throughout.
    cause
        Why it is closed then.
    start_min, end_min
        Edges of the window, rounded inwards [min]; None: further away than was looked.
    too_short_min
        By how much the whole window is too short to be used [min]; 0: it is not.
    """

    closed_min: int = 0
    closed_from_min: int | None = None
    cause: str = ""
    start_min: int | None = None
    end_min: int | None = None
    too_short_min: float = 0.0

    @property
    def is_usable(self) -> bool:
        """Return whether the stretch lies in one window that is long enough to be used."""
        return self.closed_from_min is None and self.too_short_min <= 0.0

    def late_start_min(self, start_min: int, get_in_min: int) -> int:
        """Return by how much a start comes before people can be at the face [min]."""
        return 0 if self.start_min is None else max(0, self.start_min + get_in_min - start_min)

    def late_end_min(self, end_min: int, get_out_min: int) -> int:
        """Return by how much an end comes after people must leave the face [min]."""
        return 0 if self.end_min is None else max(0, end_min - (self.end_min - get_out_min))


class Openings:
    """The windows of a campaign's zones.

    Parameters
    ----------
    campaign
        Campaign whose zones are looked at.
    gauge, closures
        Its water and closures.
    """

    def __init__(self, campaign: Campaign, gauge: Gauge, closures: Closures) -> None:
        self._campaign = campaign
        self._gauge = gauge
        self._closures = closures
        self._weather = Weather(campaign)
        self._conditions = Conditions(campaign)

    def around(
        self, zone: Zone, start_min: int, end_min: int, *, before_min: int, after_min: int
    ) -> Opening:
        """Return the window of a zone around ``[start_min, end_min)``.

        Parameters
        ----------
        zone
            Zone that is worked on.
        start_min, end_min
            Stretch that should lie in one window [min].
        before_min, after_min
            How far beyond the stretch an edge matters [min]; where none is found within, and
            within the least length of a window, the edge stays None.
        """
        least = self._campaign.rules.window_min_min
        horizon = self._campaign.clock.horizon_min
        low = max(0, start_min - max(before_min, least))
        high = min(horizon, end_min + max(after_min, least))
        if start_min < low or end_min > high:
            return self._beyond(start_min, end_min)
        is_open = self._open_minutes(zone, low, high)
        closed = np.flatnonzero(~is_open[start_min - low : end_min - low])
        if closed.size:
            first = start_min + int(closed[0])
            return Opening(
                closed_min=int(closed.size), closed_from_min=first, cause=self._cause(zone, first)
            )
        first = _last_closed(is_open[: start_min - low])
        last = _first_closed(is_open[end_min - low :])
        start = low + first if first else (0 if low == 0 else None)
        end = end_min + last if last is not None else (horizon if high == horizon else None)
        return Opening(
            start_min=start, end_min=end, too_short_min=self._shortage(zone, start, end)
        )

    def _beyond(self, start_min: int, end_min: int) -> Opening:
        horizon = self._campaign.clock.horizon_min
        before, after = max(0, -start_min), max(0, end_min - horizon)
        return Opening(
            closed_min=min(end_min - start_min, before + after),
            closed_from_min=start_min if before else max(start_min, horizon),
            cause="it lies outside the campaign's days",
        )

    def _open_minutes(self, zone: Zone, low: int, high: int) -> Bools:
        band = self._gauge.zone_band(zone)
        if band is None:
            is_open = np.ones(high - low, dtype=np.bool_)
        else:
            is_open = self._gauge.holds(band, low, high)
        for scope, target in _scopes(zone):
            for start, end, _ in self._closures.near(scope, target, low, high):
                is_open[max(start - low, 0) : max(end - low, 0)] = False
        for start, end, _ in self._weather.near(zone.section, low, high):
            is_open[max(start - low, 0) : max(end - low, 0)] = False
        return is_open & self._conditions.is_open(low, high)

    def _cause(self, zone: Zone, minute: int) -> str:
        for scope, target in _scopes(zone):
            for _, _, why in self._closures.near(scope, target, minute, minute + 1):
                named = "site" if scope is ClosureScope.SITE else f"{scope.value} {target}"
                return f"closure of {named}" + (f" ({why})" if why else "")
        for _, _, why in self._weather.near(zone.section, minute, minute + 1):
            return why
        why = self._conditions.why_not(minute)
        if why:
            return why
        band = self._gauge.zone_band(zone)
        return "" if band is None else self._gauge.why_not(band, minute)

    def _shortage(self, zone: Zone, start: int | None, end: int | None) -> float:
        """Return by how much a window is too short, by its length before rounding [min]."""
        least = self._campaign.rules.window_min_min
        if start is None or end is None or end - start >= least:
            return 0.0
        exact = float(end - start)
        band = self._gauge.zone_band(zone)
        if band is not None:
            exact = self._real_end(zone, band, end) - self._real_start(zone, band, start)
        return max(0.0, round(least - exact, DECIMALS))

    def _real_start(self, zone: Zone, band: Band, start: int) -> float:
        if start <= 0 or self._is_shut(zone, start - 1):
            return float(start)
        return self._gauge.edge(band, start - 1.0, float(start))

    def _real_end(self, zone: Zone, band: Band, end: int) -> float:
        if end >= self._campaign.clock.horizon_min or self._is_shut(zone, end):
            return float(end)
        return self._gauge.edge(band, end + 1.0, float(end))

    def _is_shut(self, zone: Zone, minute: int) -> bool:
        if self._weather.near(zone.section, minute, minute + 1):
            return True
        return bool(self._conditions.why_not(minute)) or any(
            self._closures.near(scope, target, minute, minute + 1)
            for scope, target in _scopes(zone)
        )


def _scopes(zone: Zone) -> list[tuple[ClosureScope, str]]:
    scopes = [(ClosureScope.SITE, ""), (ClosureScope.ZONE, str(zone.zone_id))]
    if zone.section is not None:
        scopes.append((ClosureScope.SECTION, zone.section))
    return scopes


def _last_closed(is_open: Bools) -> int:
    """Return the index after the last closed minute; 0: all are open."""
    closed = np.flatnonzero(~is_open)
    return int(closed[-1]) + 1 if closed.size else 0


def _first_closed(is_open: Bools) -> int | None:
    closed = np.flatnonzero(~is_open)
    return int(closed[0]) if closed.size else None
