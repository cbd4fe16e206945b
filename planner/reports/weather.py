"""The second date of a plan: its finish with the weather allowance.

A plan works in windows that are predicted; weather takes a share of them, told by month.  Until
its finish the plan has the open hours of its zones in its crews' shifts; with the allowance each
of these hours counts by what weather leaves of its month, so that the same hours are reached
later.  It is a figure for the whole campaign: it treats all windows alike, and moves none.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from planner.access.windows import Access
from planner.core.clock import Clock
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.plan import measures
from planner.plan.plan import Plan
from planner.reports.wording import duration, moment

_NOISE_MIN = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherFinish:
    """Finish of a plan without and with the weather allowance.

    Attributes
    ----------
    finish_min
        End of the last spell, all windows usable [min].
    allowed_min
        The same with the allowance [min]; None: not within the campaign's days.
    short_min
        Open time that is lacking then until the campaign's end [min].
    """

    finish_min: int
    allowed_min: int | None
    short_min: float = 0.0


def weather_finish(campaign: Campaign, plan: Plan, access: Access) -> WeatherFinish | None:
    """Return both dates; None without a weather allowance or a planned spell."""
    finish = measures.finish_min(plan)
    if not campaign.weather_allowance or finish is None:
        return None
    left = {row.month: 1.0 - row.lost for row in campaign.weather_allowance}
    begin = min(spell.start_min for spell in plan.spells)
    hours = _work_hours(campaign, plan, access)
    missing = float(hours.clip(begin, finish).minutes())
    for start, end, month in _by_month(
        hours.clip(begin, campaign.clock.horizon_min), campaign.clock
    ):
        share = left.get(month, 1.0)
        if missing <= (end - start) * share + _NOISE_MIN:
            used = ceil(missing / share - _NOISE_MIN) if share > 0 else 0
            return WeatherFinish(finish_min=finish, allowed_min=max(finish, start + used))
        missing -= (end - start) * share
    return WeatherFinish(finish_min=finish, allowed_min=None, short_min=missing)


def _work_hours(campaign: Campaign, plan: Plan, access: Access) -> Spans:
    """Return when a planned zone is open in the shift of a crew that sprays [min]."""
    zones = {spell.zone for spell in plan.spells}
    crews = {run.crew for run in plan.runs}
    windows = {access.shortened(zone) for zone in campaign.zones if zone.zone_id in zones}
    shifts = [
        Spans(access.shifts(crew.shift_id)) & access.crew_open(crew)
        for crew in campaign.crews
        if crew.crew_id in crews
    ]
    return _all_of(windows) & _all_of(shifts)


def _all_of(parts: set[Spans] | list[Spans]) -> Spans:
    return Spans(span for part in parts for span in part)


def _by_month(hours: Spans, clock: Clock) -> Iterator[tuple[int, int, int]]:
    """Yield stretches cut at civil midnights between months, with their month."""
    for start, end in hours:
        at = start
        while at < end:
            day = clock.day(at)
            until = min(end, clock.day_end(day))
            yield at, until, day.month
            at = until


def weather_sentences(campaign: Campaign, plan: Plan) -> list[str]:
    """Return both dates in words; nothing without a weather allowance."""
    if not campaign.weather_allowance:
        return []
    found = weather_finish(campaign, plan, Access(campaign))
    if found is None:
        return []
    plain = moment(campaign.clock, found.finish_min)
    if found.allowed_min is None:
        said = (
            "With the weather allowance it does not end within the campaign's days:"
            f" {duration(found.short_min)} of open time are lacking (without it, {plain})."
        )
    else:
        later = moment(campaign.clock, found.allowed_min)
        said = f"With the weather allowance it ends about {later}; without it, {plain}."
    return [said]
