"""When wet weather closes a zone, row by row: the limits of wet_weather.csv."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from planner.checks.closures import Closed
from planner.core.rounding import down, up
from planner.model.campaign import Campaign
from planner.model.wet_weather import WetRow, WetWeather

_NOISE = 1e-9


class Weather:
    """The wet weather of a campaign.

    Parameters
    ----------
    campaign
        Campaign whose rain and gauges are looked at.
    """

    def __init__(self, campaign: Campaign) -> None:
        given, horizon = campaign.wet_weather, campaign.clock.horizon_min
        self._closed = {
            section: [row for row in _closed(rows, given) if row[0] < horizon and row[1] > 0]
            for section, rows in given.series
        }

    def near(self, section: str | None, start_min: int, end_min: int) -> list[Closed]:
        """Return what is closed in a section and touches ``[start_min, end_min)``."""
        rows = self._closed.get(section, self._closed.get(None, []))
        # both ends grow with the time of the row
        first = bisect_right(rows, start_min, key=lambda row: row[1])
        last = bisect_left(rows, end_min, key=lambda row: row[0])
        return rows[first:last]


def _closed(rows: tuple[WetRow, ...], given: WetWeather) -> list[Closed]:
    found: list[Closed] = []
    for index, row in enumerate(rows):
        why = _too_much_rain(rows, index, given) or _gauge_up(row, given)
        if why:
            since = rows[max(index - 1, 0)].minute
            found.append((down(since), up(row.minute) + given.recession_min, why))
    return found


def _too_much_rain(rows: tuple[WetRow, ...], index: int, given: WetWeather) -> str:
    """Return that more rain fell up to a row than may, or nothing."""
    if given.rain_limit_mm is None:
        return ""
    rain_mm, at = 0.0, index
    while at >= 0 and rows[at].minute > rows[index].minute - given.rain_window_min:
        rain_mm += rows[at].rain_mm or 0.0
        at -= 1
    if rain_mm <= given.rain_limit_mm + _NOISE:
        return ""
    return f"wet weather: {rain_mm:g} mm of rain"


def _gauge_up(row: WetRow, given: WetWeather) -> str:
    """Return that the gauge stands at its trigger, or nothing."""
    if given.trigger_level_m is None or row.level_m is None:
        return ""
    if row.level_m < given.trigger_level_m - _NOISE:
        return ""
    return f"wet weather: the gauge stands at {row.level_m:g} m"
