"""The water of one shift as a drawing: level, windows, work and the stops."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.pen import Pen
from planner.reports.sheets.stop_rows import StopRow
from planner.reports.wording import day_name
from planner.site.duties import Duty

if TYPE_CHECKING:
    from reportlab.graphics.shapes import Drawing

LEFT_PT, RIGHT_PT, TOP_PT, FOOT_PT = 26.0, 6.0, 20.0, 14.0
BAR_PT = 7.0
STEP_MIN = 10
BARS_MAX = 4
LABEL_PT = 7.0
_TICKS = 5


def water_drawing(
    ground: SheetGround, duty: Duty, rows: Sequence[StopRow], *, width: float, height: float
) -> Drawing:
    """Return the day of a shift: the predicted level, the limits, the windows of its zones.

    The day is the 24 hours about the shift.  Without water only windows and work are drawn.
    """
    return _Curve(ground, duty, rows, width=width, height=height).drawn()


class _Curve:
    def __init__(
        self,
        ground: SheetGround,
        duty: Duty,
        rows: Sequence[StopRow],
        *,
        width: float,
        height: float,
    ) -> None:
        self.ground, self.duty, self.rows = ground, duty, rows
        self.pen = Pen(width, height)
        middle = (duty.start_min + duty.end_min) // 2
        self.start = middle - MINUTES_PER_DAY // 2
        self.start -= self.start % MINUTES_PER_HOUR
        self.end = self.start + MINUTES_PER_DAY
        self.bars = list(rows[:BARS_MAX])
        self.foot = FOOT_PT + BAR_PT * (len(self.bars) + 1) + 2
        names = [row.zone for row in duty.spells] + [row.zone for row in duty.break_outs]
        self.zones = [ground.zones[name] for name in dict.fromkeys(names)]
        self.sections = list(dict.fromkeys(zone.section for zone in self.zones))

    def drawn(self) -> Drawing:
        pen = self.pen
        what = "Water and windows" if self.sections and self._levels() else "Windows"
        pen.words(f"{what}, {self._title()}", (0, pen.height - 8), size=7, bold=True)
        self._hours()
        levels = self._levels()
        if levels:
            self._water(levels)
        self._bars()
        return pen.drawing

    def _title(self) -> str:
        return day_name(self.duty.day)

    def x(self, minute: float) -> float:
        share = (minute - self.start) / (self.end - self.start)
        return LEFT_PT + share * (self.pen.width - LEFT_PT - RIGHT_PT)

    def _hours(self) -> None:
        pen, clock = self.pen, self.ground.clock
        top = pen.height - TOP_PT
        left, right = self.x(max(self.start, self.duty.start_min)), self.x(self.duty.end_min)
        pen.box((left, FOOT_PT), (right - left, top - FOOT_PT), fill="#EDEDED", stroke=None)
        pen.words("shift", (left + 2, top - 7), size=6)
        for minute in range(self.start, self.end + 1, MINUTES_PER_HOUR):
            local = clock.local(minute)
            x = self.x(minute)
            long = local.hour % 3 == 0
            pen.line((x, FOOT_PT), (x, FOOT_PT + (3 if long else 1.5)))
            if long:
                pen.line((x, FOOT_PT), (x, top), width=0.25, colour="#BBBBBB")
                pen.words(f"{local:%H}", (x, FOOT_PT - 8), size=6.5, anchor="middle")
        pen.line((LEFT_PT, FOOT_PT), (pen.width - RIGHT_PT, FOOT_PT))

    def _levels(self) -> list[tuple[str, list[tuple[int, float]]]]:
        """Return the predicted level of each section at work, with its name."""
        found: list[tuple[str, list[tuple[int, float]]]] = []
        seen: set[int] = set()
        for section in self.sections or [None]:
            source = self.ground.stop_finder.source(section)
            if source is None:
                continue
            minutes = np.arange(self.start, self.end + 1, STEP_MIN, dtype=np.float64)
            level = source.level_m(minutes)
            key = hash(level.tobytes())
            if key in seen:
                continue
            seen.add(key)
            points = [
                (int(minute), float(value))
                for minute, value in zip(minutes, level, strict=True)
                if math.isfinite(value)
            ]
            found.append((section or "", points))
        return [row for row in found if row[1]]

    def _water(self, levels: list[tuple[str, list[tuple[int, float]]]]) -> None:
        limits = sorted({zone.water_max_m for zone in self.zones if zone.water_max_m is not None})
        values = [value for _, points in levels for _, value in points]
        low, high = min([*values, *limits]), max([*values, *limits])
        pad = 0.08 * (high - low or 1.0)
        low, high = low - pad, high + pad
        top = self.pen.height - TOP_PT

        def y(level_m: float) -> float:
            return self.foot + (level_m - low) / (high - low) * (top - self.foot)

        for tick in _ticks(low, high):
            self.pen.line((LEFT_PT - 2, y(tick)), (LEFT_PT, y(tick)))
            self.pen.words(f"{tick:g}", (LEFT_PT - 4, y(tick) - 2), size=6, anchor="end")
        self.pen.words("m", (0, top + 2), size=6)
        self.pen.line((LEFT_PT, self.foot), (LEFT_PT, top), width=0.4)
        right = self.pen.width - RIGHT_PT
        written: dict[str, float] = {}
        for place, limit in enumerate(limits):
            at = (LEFT_PT + 3, "start") if place % 2 else (right, "end")
            self.pen.line((LEFT_PT, y(limit)), (right, y(limit)), width=0.6, dash=(4, 2))
            if y(limit) - written.get(at[1], -LABEL_PT) < LABEL_PT:
                continue
            written[at[1]] = y(limit)
            self.pen.words(
                f"work up to {limit:+.2f}",
                (at[0], y(limit) + 1.5),
                size=5.8,
                anchor=at[1],
                ground=True,
            )
        for number, (_, points) in enumerate(levels):
            path = [(self.x(minute), y(level)) for minute, level in points]
            self.pen.path(path, width=1.5 if number == 0 else 0.9)
        for row in self.rows:
            x = self.x(row.leave_min)
            if self.start <= row.leave_min <= self.end:
                self.pen.line((x, self.foot), (x, top), width=0.9, dash=(1.5, 1.5))

    def _bars(self) -> None:
        """Draw the windows of the stop rows, and the spells upon them, beneath the curve."""
        pen = self.pen
        for number, row in enumerate(self.bars):
            y = FOOT_PT + 3 + BAR_PT * (len(self.bars) - 1 - number)
            pen.words(row.mark, (LEFT_PT - 4, y), size=6, bold=True, anchor="end")
            left = max(row.window[0], self.start)
            right = min(row.window[1], self.end)
            if left < right:
                size = (self.x(right) - self.x(left), BAR_PT - 3)
                pen.box((self.x(left), y), size, fill="#C4C4C4", width=0.4)
            for start, end in row.spells:
                low, high = max(start, self.start), min(end, self.end)
                if low < high:
                    size = (self.x(high) - self.x(low), BAR_PT - 3)
                    pen.box((self.x(low), y), size, fill="#222222", stroke=None)


def _ticks(low: float, high: float) -> list[float]:
    rough = (high - low) / _TICKS
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * lead for lead in (1.0, 2.0, 5.0, 10.0) if power * lead >= rough)
    first = math.ceil(low / step)
    return [round(k * step, 6) for k in range(first, math.floor(high / step) + 1)]
