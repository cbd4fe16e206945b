"""The water beneath a day's lanes: the level curve, and the levels that matter to the work."""

from __future__ import annotations

import math

import plotly.graph_objects as go

from planner.model.zone import Zone
from planner.reports.figures import marks
from planner.reports.labels import OUTLINE, WATER
from planner.reports.scene import Scene

WATER_PX = 72.0
LIMIT_ROOM_PX = 90
"""Room on the right for the names of the limits [px]."""
PAD_PX = 6.0


class WaterBand:
    """Draws the water of single days to one scale over all the days shown.

    Parameters
    ----------
    scene
        Plan and campaign to draw.
    rows
        Days that will be shown, so that they share one scale.
    """

    def __init__(self, scene: Scene, rows: range) -> None:
        self.scene = scene
        self.zones = _zones_worked(scene, rows)
        self.section = _section(scene, self.zones)
        self.limits = _limits(scene, self.zones)
        self.curves = {row: self._curve(row) for row in rows} if scene.has_water() else {}
        known = [
            level_m
            for curve in self.curves.values()
            for _, level_m in curve
            if math.isfinite(level_m)
        ]
        self.shown = bool(known)
        levels = [*known, *self.limits] if known else [0.0, 1.0]
        self.low_m, self.high_m = min(levels), max(levels)

    def _curve(self, row: int) -> list[tuple[float, float]]:
        start, end = self.scene.rows.row_span(row)
        minutes, levels_m = self.scene.levels(self.section, start, end - 1)
        return [
            (self.scene.rows.hour(minute)[1], level_m)
            for minute, level_m in zip(minutes, levels_m, strict=True)
        ]

    def _height(self, level_m: float, top: float) -> float:
        share = (level_m - self.low_m) / max(self.high_m - self.low_m, 1e-6)
        return top + WATER_PX - PAD_PX - share * (WATER_PX - 2 * PAD_PX)

    def traces(self, row: int, top: float) -> list[marks.Trace]:
        """Return the curve of a day, filled, and the limits as dotted lines with their level."""
        curve = [(x, y) for x, y in self.curves[row] if math.isfinite(y)]
        low_h, high_h = self.scene.hours_shown()
        base = top + WATER_PX
        names = [
            (high_h, self._height(level, top), f" closes {level:+.2f} m") for level in self.limits
        ]
        lines = [(0.0, y, 24.0, y) for _, y, _ in names]
        note = f"water {self.section}" if self.section else "water"
        return [
            go.Scatter(
                x=[0.0, 24.0],
                y=[base, base],
                mode="lines",
                line={"width": 0},
                hoverinfo="skip",
                showlegend=False,
            ),
            go.Scatter(
                x=[x for x, _ in curve],
                y=[self._height(level_m, top) for _, level_m in curve],
                mode="lines",
                line={"color": WATER, "width": 1.5},
                fill="tonexty",
                fillcolor="rgba(0,114,178,0.12)",
                customdata=[f"{level_m:+.2f} m" for _, level_m in curve],
                hovertemplate=f"{note} %{{customdata}}<extra></extra>",
                showlegend=False,
                meta="water",
            ),
            marks.strokes(lines, colour=OUTLINE, width=1.0, dash="dash"),
            marks.words(_apart(names), anchor="middle right", size=10),
            marks.words([(low_h, top + 9.0, f" {note}")], anchor="middle right", size=10),
        ]


def _apart(names: list[tuple[float, float, str]]) -> list[tuple[float, float, str]]:
    """Move names that would print over each other a little down."""
    placed: list[tuple[float, float, str]] = []
    for x, y, text in sorted(names, key=lambda row: row[1]):
        at = max(y, placed[-1][1] + 11.0) if placed else y
        placed.append((x, at, text))
    return placed


def _zones_worked(scene: Scene, rows: range) -> list[Zone]:
    """Return the zones with a spell on the rows shown; all planned ones where there is none."""
    low = scene.rows.row_span(rows[0])[0] if rows else 0
    high = scene.rows.row_span(rows[-1])[1] if rows else 0
    inside = {
        spell.zone for spell in scene.plan.spells if spell.start_min < high and low < spell.end_min
    }
    chosen = inside or {spell.zone for spell in scene.plan.spells}
    return [zone for zone in scene.campaign.zones if zone.zone_id in chosen]


def _section(scene: Scene, zones: list[Zone]) -> str | None:
    """Return the section whose water is drawn: None where one level holds for all zones."""
    if not scene.campaign.water.sewer and not any(
        section for section, _ in scene.campaign.water.levels
    ):
        return None
    sections = [zone.section for zone in zones if zone.section]
    return max(sorted(set(sections)), key=sections.count) if sections else None


def _limits(scene: Scene, zones: list[Zone]) -> list[float]:
    """Return the lowest and highest level at which zones close, the allowance taken off [m]."""
    known = [zone.water_max_m for zone in zones if zone.water_max_m is not None]
    allowance_m = scene.campaign.water.allowance_m
    return sorted({min(known) - allowance_m, max(known) - allowance_m}) if known else []
