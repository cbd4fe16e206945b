"""When wet weather closes a zone, row by row: the limits of wet_weather.csv."""

from __future__ import annotations

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
        given = campaign.wet_weather
        self._closed = {section: _closed(rows, given) for section, rows in given.series}

    def near(self, section: str | None, start_min: int, end_min: int) -> list[Closed]:
        """Return what is closed in a section and touches ``[start_min, end_min)``."""
        rows = self._closed.get(section, self._closed.get(None, []))
        return [row for row in rows if row[0] < end_min and row[1] > start_min]


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
