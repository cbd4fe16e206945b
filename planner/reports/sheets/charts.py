"""Charts of the report in black and grey: volume by week, the site, the finish as it was told."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from planner.core.wording import day_name
from planner.model.zone import Zone
from planner.reports.figures.folds import Fold, fold
from planner.reports.figures.projection import Patch
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.pen import Pen, text_width
from planner.reports.stays import main_position
from planner.site.issued import Issue

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

GREYS = ("#333333", "#9A9A9A", "#FFFFFF", "#666666", "#CFCFCF")
_LEFT, _FOOT, _TOP = 40.0, 24.0, 16.0
_DAYS = 7
SITE_MOST_PT = 330.0
_SMALL, _NAME = 5.2, 7.0
_POSITIONS_NAMED = 0.4


def week_bars(ground: SheetGround, *, width: float, height: float) -> Drawing:
    """Return the volume in place of each week as stacked bars, one part for each rig."""
    clock = ground.clock
    rigs = [rig.rig_id for rig in ground.campaign.rigs]
    first = clock.first_day - timedelta(days=clock.first_day.weekday())
    weeks: dict[int, dict[str, float]] = {}
    for spell in ground.plan.spells:
        week = (clock.day(spell.start_min) - first).days // _DAYS
        found = weeks.setdefault(week, {})
        found[spell.rig] = found.get(spell.rig, 0.0) + spell.volume_m3
    pen = Pen(width, height)
    pen.words("Volume in place by week, m³", (0, height - 9), size=8, bold=True)
    last = max(weeks, default=0)
    most = max((math.fsum(row.values()) for row in weeks.values()), default=0.0) or 1.0
    step = (width - _LEFT) / (last + 1)
    room = height - _FOOT - _TOP - 8
    every = max(1, math.ceil(34.0 / step))
    for week in range(last + 1):
        x, y = _LEFT + week * step + 0.12 * step, _FOOT
        for number, rig in enumerate(rigs):
            size = weeks.get(week, {}).get(rig, 0.0) / most * room
            if size > 0.0:
                fill = GREYS[number % len(GREYS)]
                pen.box((x, y), (0.76 * step, size), fill=fill, width=0.6)
            y += size
        whole = math.fsum(weeks.get(week, {}).values())
        if whole:
            label = f"{whole:.0f}" if whole >= 1.0 else f"{whole:.1f}"
            pen.words(label, (x + 0.38 * step, y + 2), size=6.5, anchor="middle")
        if week % every == 0:
            monday = first + timedelta(days=_DAYS * week)
            words = f"{monday.day} {day_name(monday).split()[-1]}"
            pen.words(words, (x + 0.38 * step, _FOOT - 9), size=6.5, anchor="middle")
    pen.line((_LEFT, _FOOT), (width, _FOOT))
    _key(pen, [str(rig) for rig in rigs])
    return pen.drawing


def _key(pen: Pen, names: Sequence[str]) -> None:
    x = _LEFT
    for number, name in enumerate(names):
        pen.box((x, 2), (8, 8), fill=GREYS[number % len(GREYS)])
        pen.words(name, (x + 11, 3), size=7)
        x += 24 + text_width(name, size=7)


def site_plan(ground: SheetGround, *, width: float) -> Drawing:
    """Return the whole site: zones with the position that serves most of each."""
    return _SitePlan(ground, width=width).drawn()


class _SitePlan:
    def __init__(self, ground: SheetGround, *, width: float) -> None:
        self.ground = ground
        self.shown = ground.drawn
        self.served = main_position(ground.plan)
        self.paper = self._fold()
        left, right, bottom, top = self.paper.paper
        self.left, self.bottom = left, bottom
        x_scale = width / (right - left)
        height = min(SITE_MOST_PT, (top - bottom) * x_scale)
        y_scale = height / (top - bottom)
        if self.shown.to_scale:
            x_scale = y_scale = min(x_scale, y_scale)
        self.scale = (x_scale, y_scale)
        self.pen = Pen(width, height + 14)

    def _fold(self) -> Fold:
        alongs, acrosses = [], []
        for patch in self.shown.patches:
            alongs += [patch.along - patch.width / 2, patch.along + patch.width / 2]
            acrosses += [patch.across - patch.height / 2, patch.across + patch.height / 2]
        for along, across in self.shown.spots.values():
            alongs.append(along)
            acrosses.append(across)
        extent = max(acrosses) - min(acrosses)
        margin = max((patch.width for patch in self.shown.patches), default=4.0) / 2
        return fold(alongs, acrosses, pad=0.08 * extent + 1.0, margin=margin)

    def place(self, along: float, across: float) -> tuple[float, float]:
        """Return the point on the drawing [pt]."""
        x, y = self.paper.place(along, across)
        return (x - self.left) * self.scale[0], (y - self.bottom) * self.scale[1]

    def drawn(self) -> Drawing:
        words = "The site: in each zone its name and the position that serves most of it"
        self.pen.words(words, (0, self.pen.height - 9), size=8, bold=True)
        for patch in self.shown.patches:
            self._zone(patch)
        used = set(self.served.values())
        for place in self.ground.campaign.positions:
            name = str(place.position_id)
            if name in self.shown.spots:
                x, y = self.place(*self.shown.spots[name])
                mine = place.position_id in used
                self.pen.dot((x, y), 3.0 if mine else 1.6, fill="#000000" if mine else "#FFFFFF")
                self.pen.words(
                    name, (x, y + 4), size=_NAME, bold=mine, anchor="middle", ground=mine
                )
        return self.pen.drawing

    def _zone(self, patch: Patch) -> None:
        x, y = self.place(patch.along, patch.across)
        size = (patch.width * self.scale[0], patch.height * self.scale[1])
        position = self.served.get(str(patch.zone.zone_id))
        zone = _short(patch.zone)
        fill = "#E6E6E6" if position else None
        self.pen.box((x - size[0] / 2, y - size[1] / 2), size, fill=fill, width=0.5)
        told = (zone, str(position or "left out"))
        if size[1] > _SMALL * 2.3 and max(_wide(words) for words in told) < size[0]:
            self.pen.words(told[0], (x, y + 0.1 * _SMALL), size=_SMALL, anchor="middle")
            self.pen.words(told[1], (x, y - 0.95 * _SMALL), size=_SMALL, anchor="middle")
        elif _wide(zone) < 1.6 * size[0]:
            at = (x, y - size[1] / 2 - _SMALL)
            self.pen.words(zone, at, size=_SMALL, anchor="middle")


def _wide(words: str) -> float:
    return text_width(words, size=_SMALL)


def _short(zone: Zone) -> str:
    """Return a zone's name, without its section where the name begins with it."""
    return str(zone.zone_id).removeprefix(f"{zone.section}-")


def finish_told(issues: Sequence[Issue], *, width: float, height: float) -> Drawing | None:
    """Return when the end was told for, plan by plan; None with fewer than two issues.

    One row for each issue, by the day it was issued; a dot is the plan's finish, a bar the
    forecast of the records with its interval.
    """
    rows = [row for row in issues if row.finish is not None]
    if len(rows) < 2:
        return None
    days = [_day(moment) for row in rows for moment in _moments(row)]
    low, high = min(days), max(days)
    span = max((high - low).days, 1)
    pen = Pen(width, height)
    pen.words(
        "The finish as it was told with each plan issued", (0, height - 9), size=8, bold=True
    )
    left, top = 118.0, height - 22
    step = (top - _FOOT) / len(rows)

    def x(moment: datetime) -> float:
        return left + (_day(moment) - low).days / span * (width - left - 10)

    for number, row in enumerate(rows):
        y = top - (number + 0.5) * step
        words = f"{row.number}: issued {day_name(row.issued_at.date())} {row.issued_at.year}"
        pen.words(words, (0, y - 2), size=min(7.0, step))
        pen.line((left, y), (width, y), width=0.25, colour="#BBBBBB")
        if row.forecast_low and row.forecast:
            end = row.forecast_high or row.forecast
            pen.box(
                (x(row.forecast_low), y - 2),
                (max(x(end) - x(row.forecast_low), 1), 4),
                fill="#CFCFCF",
            )
            pen.line((x(row.forecast), y - 4), (x(row.forecast), y + 4), width=1.4)
        if row.finish:
            pen.dot((x(row.finish), y), 3.0)
    for share in (0.0, 0.5, 1.0):
        day = low + timedelta(days=round(share * span))
        at = left + (day - low).days / span * (width - left - 10)
        pen.words(f"{day_name(day)} {day.year}", (at, 14), size=6.5, anchor=_ANCHOR[share])
        pen.line((at, _FOOT), (at, top), width=0.25, colour="#999999")
    words = (
        "● finish of the plan   | forecast by the records, its bar the interval, cut at the end"
    )
    pen.words(words, (0, 2), size=6.5)
    return pen.drawing


_ANCHOR = {0.0: "start", 0.5: "middle", 1.0: "end"}


def _moments(row: Issue) -> list[datetime]:
    found = (row.finish, row.forecast, row.forecast_low, row.forecast_high)
    return [moment for moment in found if moment is not None]


def _day(moment: datetime) -> date:
    return moment.date()
