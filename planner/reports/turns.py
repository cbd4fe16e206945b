"""A campaign cut into turns: tides from high water to high water, or days, or nights.

Every chart that counts tides uses the same turns and the same numbers.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from planner.access.level import source_for
from planner.core.clock import MINUTES_PER_DAY, Clock
from planner.model.campaign import Campaign
from planner.model.water import WaterKind
from planner.plan.plan import Plan
from planner.reports.day_rows import DayRows, rows_for
from planner.reports.wording import day_name

TIDAL = (WaterKind.TIDE, WaterKind.HIGHLOW, WaterKind.LEVELS)
RANGE_LEAST_M = 0.2
"""A low water counts as one where the water rises this much again; smaller dips are noise [m]."""
PER_DAY_LEAST, PER_DAY_MOST = 0.8, 3.0
"""Low waters a day that make a tide: one or two, and some for gaps in a record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One tide, day or night.

    Attributes
    ----------
    number
        Counted from 1 through the campaign.
    start_min, end_min
        From high water to high water, or as the day's row [min].
    zero_min
        Minute from which the chart counts: low water, or the row's beginning [min].
    low_m
        Level at low water [m]; None: it is no tide.
    name, note
        What it is called, and a few words beside it.
    """

    number: int
    start_min: int
    end_min: int
    zero_min: int
    low_m: float | None
    name: str
    note: str

    @property
    def is_tide(self) -> bool:
        """Return whether it is counted from a low water."""
        return self.low_m is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """The turns of a campaign in order, and what one is called."""

    found: tuple[Turn, ...]
    word: str

    def at(self, minute: int) -> Turn:
        """Return the turn in which a minute lies; the nearest at the ends."""
        starts = [turn.start_min for turn in self.found]
        return self.found[max(0, bisect_right(starts, minute) - 1)]

    def busy(self, plan: Plan) -> list[Turn]:
        """Return the turns in which some run or relocation goes on, in order."""
        spans = [(row.start_min, row.end_min) for row in plan.runs]
        spans += [(row.start_min, row.end_min) for row in plan.relocations]
        return [
            turn
            for turn in self.found
            if any(start < turn.end_min and turn.start_min < end for start, end in spans)
        ]


def turns_of(campaign: Campaign, plan: Plan) -> Turns:
    """Return the tides of a campaign; days or nights where the water makes none."""
    tides = _tides(campaign) if campaign.water.kind in TIDAL else []
    if tides:
        return Turns(found=tuple(tides), word="tide")
    rows = rows_for(campaign.clock, plan)
    return Turns(found=tuple(_rows(rows)), word="night" if rows.start_tod else "day")


def _rows(rows: DayRows) -> list[Turn]:
    found = []
    for row in range(len(rows)):
        start, end = rows.row_span(row)
        found.append(
            Turn(
                number=row + 1,
                start_min=start,
                end_min=end,
                zero_min=start,
                low_m=None,
                name=rows.name(row),
                note="",
            )
        )
    return found


def _tides(campaign: Campaign) -> list[Turn]:
    clock = campaign.clock
    inside = low_waters(campaign)
    if not PER_DAY_LEAST <= len(inside) / max(clock.days, 1) <= PER_DAY_MOST:
        return []
    lows = _lows(campaign, -MINUTES_PER_DAY, clock.horizon_min + MINUTES_PER_DAY)
    edges = [0, *((one[0] + two[0]) // 2 for one, two in pairwise(lows)), clock.horizon_min]
    edges = [min(max(edge, 0), clock.horizon_min) for edge in edges]
    spans = [
        (span, low) for span, low in zip(pairwise(edges), lows, strict=True) if span[0] < span[1]
    ]
    return [_tide(clock, number, span, *low) for number, (span, low) in enumerate(spans, start=1)]


def _tide(clock: Clock, number: int, span: tuple[int, int], minute: int, level_m: float) -> Turn:
    local = clock.local(minute)
    return Turn(
        number=number,
        start_min=span[0],
        end_min=span[1],
        zero_min=minute,
        low_m=level_m,
        name=f"{day_name(local.date())} {local:%H:%M}",
        note=f"low water {level_m:+.2f} m",
    )


def low_waters(campaign: Campaign, section: str | None = None) -> list[tuple[int, float]]:
    """Return the low waters of a campaign's days: minute and level [min, m].

    Taken from the pieces on which the level does not turn; a dip counts where the water rises
    again by :data:`RANGE_LEAST_M`.
    """
    found = _lows(campaign, 0, campaign.clock.horizon_min, section)
    return [low for low in found if 0 <= low[0] < campaign.clock.horizon_min]


def _lows(
    campaign: Campaign, start: int, end: int, section: str | None = None
) -> list[tuple[int, float]]:
    source = source_for(campaign, section)
    if source is None:
        return []
    curve = source.curve(float(start), float(end))
    lows: list[tuple[int, float]] = []
    high_m = np.inf
    for at, start_m, end_m in zip(curve.end, curve.start_m, curve.end_m, strict=True):
        if end_m < start_m:
            if lows and high_m - lows[-1][1] < RANGE_LEAST_M:
                if end_m < lows[-1][1]:
                    lows[-1] = (round(float(at)), float(end_m))
            else:
                lows.append((round(float(at)), float(end_m)))
            high_m = float(end_m)
        else:
            high_m = max(high_m, float(end_m)) if lows else np.inf
    return lows
