"""Water over some days with the limits of chosen zones, their windows, and closures beneath."""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

import numpy as np
import plotly.graph_objects as go

from planner.access.closures import closure_spans
from planner.access.level import source_for
from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.limits import ClosureScope
from planner.model.water import WaterKind
from planner.model.zone import Zone
from planner.reports.figures import marks
from planner.reports.figures.marks import Block
from planner.reports.figures.shapes import FILL
from planner.reports.figures.site_sheet import nice_step
from planner.reports.labels import PALETTE, QUIET, WATER
from planner.reports.wording import day_name, time_range

SAMPLES = 900
LEVEL_TICKS = 6
WATER_PX, LANE_PX, GAP_PX = 260.0, 26.0, 12.0
ZONES_MAX = 12
"""Zones whose lanes are drawn; more are told in words."""
SHORT_DAYS = 2
STEP_H = ((2, 3), (4, 6), (9, 12), (10**6, 24))


def water_levels(
    campaign: Campaign, access: Access, zones: Sequence[Zone], start: int, end: int
) -> go.Figure:
    """Return water, limits, windows and closures between two minutes.

    Zones with the same windows and limits share a lane.
    """
    figure = go.Figure()
    groups = grouped(access, zones)[:ZONES_MAX]
    top = _water(figure, campaign, zones, start, end)
    labels: list[tuple[float, str]] = []
    for members in groups:
        top += LANE_PX
        _lane(figure, campaign, access, members, span=(start, end), top=top - LANE_PX)
        labels.append((top - LANE_PX / 2, _lane_name(members)))
    top += GAP_PX
    for text, spans in closures_near(campaign, zones, start, end):
        found = [
            Block(x0=a, x1=b, y0=top + 2, y1=top + LANE_PX - 4, hover=escape(text))
            for a, b in spans
        ]
        figure.add_trace(marks.hatched(found, meta="closure"))
        names = [
            (float(max(a, start)), top + LANE_PX / 2 - 1, f" {escape(text)}") for a, _ in spans
        ]
        figure.add_trace(marks.words(names[:1], anchor="middle right", size=10))
        labels.append((top + LANE_PX / 2, "closed"))
        top += LANE_PX
    _dress(figure, campaign, labels, height=top, span=(start, end))
    return figure


def grouped(access: Access, zones: Sequence[Zone]) -> list[list[Zone]]:
    """Return zones that open together, in the order of the first of each."""
    found: dict[tuple[Spans, float | None, float | None], list[Zone]] = {}
    for zone in zones:
        key = (access.windows(zone), zone.water_max_m, zone.water_min_m)
        found.setdefault(key, []).append(zone)
    return list(found.values())


def closures_near(
    campaign: Campaign, zones: Sequence[Zone], start: int, end: int
) -> list[tuple[str, Spans]]:
    """Return the closures of site, sections and zones that touch a stretch, with reasons."""
    targets = {(ClosureScope.SITE, "")}
    targets |= {(ClosureScope.ZONE, str(zone.zone_id)) for zone in zones}
    targets |= {(ClosureScope.SECTION, zone.section) for zone in zones if zone.section}
    found: dict[str, Spans] = {}
    for row in campaign.closures:
        if (row.scope, row.target) not in targets:
            continue
        spans = closure_spans(row, campaign.clock, start=start, end=end)
        if spans:
            what = "site" if row.scope is ClosureScope.SITE else f"{row.scope} {row.target}"
            text = f"{what}: {row.why}" if row.why else f"{what} closed"
            found[text] = found.get(text, Spans()) | spans
    return list(found.items())


def _water(
    figure: go.Figure, campaign: Campaign, zones: Sequence[Zone], start: int, end: int
) -> float:
    """Draw the water and the limits; return where the lanes begin."""
    if campaign.water.kind is WaterKind.NONE:
        return 0.0
    sections = list(dict.fromkeys(zone.section for zone in zones))
    curves = [(name, _samples(campaign, name, start, end)) for name in sections[:3]]
    several = bool(campaign.water.sewer) or any(name for name, _ in campaign.water.levels)
    if not several:
        curves = curves[:1]
    known = [y for _, points in curves for _, y in points if math.isfinite(y)]
    limits = _limits(campaign, zones)
    if not known:
        return 0.0
    low = min([*known, *(level for level, _ in limits)])
    high = max([*known, *(level for level, _ in limits)])

    def at(level_m: float) -> float:
        return 8.0 + (WATER_PX - 24.0) * (1.0 - (level_m - low) / max(high - low, 1e-6))

    for index, (section, points) in enumerate(curves):
        name = f"water {section}" if section and len(sections) > 1 and several else "water"
        figure.add_trace(_curve(name, points, at=[at(y) for _, y in points], index=index))
    lines = [(float(start), at(level), float(end), at(level)) for level, _ in limits]
    figure.add_trace(marks.strokes(lines, colour=PALETTE["vermilion"], dash="dash", meta="limits"))
    names = [(float(start), at(level) - 8.0, f" {text}") for level, text in limits]
    figure.add_trace(marks.words(names, anchor="middle right", size=10))
    figure.update_layout(meta={"water": {"low": low, "high": high}})
    figure.add_hline(y=WATER_PX - 6, line={"color": QUIET, "width": 1})
    return WATER_PX


def _samples(
    campaign: Campaign, section: str | None, start: int, end: int
) -> list[tuple[float, float]]:
    source = source_for(campaign, section)
    if source is None:
        return []
    minutes = np.linspace(start, end, SAMPLES)
    return [(float(x), float(y)) for x, y in zip(minutes, source.level_m(minutes), strict=True)]


def _curve(
    name: str, points: list[tuple[float, float]], *, at: list[float], index: int
) -> go.Scatter:
    good = [k for k, (_, y) in enumerate(points) if math.isfinite(y)]
    return go.Scatter(
        x=[points[k][0] for k in good],
        y=[at[k] for k in good],
        mode="lines",
        line={"color": WATER, "width": 1.8, "dash": ("solid", "dot", "dash")[index % 3]},
        customdata=[f"{points[k][1]:+.2f} m" for k in good],
        hovertemplate="water %{customdata}<extra></extra>",
        name=name,
        meta="water",
    )


def _limits(campaign: Campaign, zones: Sequence[Zone]) -> list[tuple[float, str]]:
    """Return the levels at which the zones close, allowances taken off, with who they are of."""
    found: dict[tuple[float, str], list[str]] = {}
    water = campaign.water
    for zone in zones:
        if zone.water_max_m is not None:
            key = (round(zone.water_max_m - water.allowance_m, 3), "closes above")
            found.setdefault(key, []).append(str(zone.zone_id))
        if zone.water_min_m is not None:
            low = zone.water_min_m + (water.allowance_low_m or 0.0)
            found.setdefault((round(low, 3), "closes below"), []).append(str(zone.zone_id))
    rows = []
    for (level, word), names in sorted(found.items()):
        more = f" and {len(names) - 2} more" if len(names) > 2 else ""
        rows.append((level, f"{word} {level:+.2f} m: {', '.join(names[:2])}{more}"))
    return rows


def _lane_name(members: Sequence[Zone]) -> str:
    head = escape(str(members[0].zone_id))
    return head if len(members) == 1 else f"{head} +{len(members) - 1}"


def _lane(
    figure: go.Figure,
    campaign: Campaign,
    access: Access,
    members: Sequence[Zone],
    *,
    span: tuple[int, int],
    top: float,
) -> None:
    zone = members[0]
    y0, y1 = top + 3, top + LANE_PX - 3
    names = escape(", ".join(str(one.zone_id) for one in members[:6]))
    whole = [
        Block(
            x0=a,
            x1=b,
            y0=y0,
            y1=y1,
            hover=f"window of {names}<br>{time_range(campaign.clock, a, b)} · {b - a} min",
        )
        for a, b in access.windows(zone)
        if a < span[1] and span[0] < b
    ]
    inner = [
        Block(x0=a, x1=b, y0=y0 + 4, y1=y1 - 4) for a, b in access.shortened(zone).clip(*span)
    ]
    figure.add_trace(marks.blocks(whole, colour=FILL, outline=WATER, meta="window"))
    figure.add_trace(marks.plain(inner, colour="rgba(0,114,178,0.75)", meta="time at the face"))


def _dress(
    figure: go.Figure,
    campaign: Campaign,
    labels: Sequence[tuple[float, str]],
    *,
    height: float,
    span: tuple[int, int],
) -> None:
    for trace in (
        marks.band_key(FILL, "window"),
        marks.band_key("rgba(0,114,178,0.75)", "time at the face, without getting in and out"),
    ):
        figure.add_trace(trace)
    marks.canvas(figure, height=height + 130, top=92, left=110)
    start, end = span
    days = (end - start) / 1440
    step = 60 * next(hours for most, hours in STEP_H if days <= most)
    clock = campaign.clock
    ticks = []
    for at in range(start, end + 1, step):
        local = clock.local(at)
        head = f"<b>{day_name(local.date())}</b><br>" if local.hour < step // 60 else ""
        ticks.append((float(at), f"{head}{local:%H}" + (":00" if days <= SHORT_DAYS else "")))
    figure.update_xaxes(**marks.hour_axis(float(start), float(end), ticks), tickangle=0)
    pairs = [*_level_ticks(figure), *labels]
    figure.update_yaxes(
        range=[height, 0.0],
        showgrid=False,
        zeroline=False,
        tickvals=[at for at, _ in pairs],
        ticktext=[text for _, text in pairs],
    )


def _level_ticks(figure: go.Figure) -> list[tuple[float, str]]:
    """Return marks of whole and half metres beside the water."""
    water = (figure.layout.meta or {}).get("water")
    if not water:
        return []
    low, high = water["low"], water["high"]
    step = nice_step((high - low) / LEVEL_TICKS)
    found = []
    for k in range(math.ceil(low / step), math.floor(high / step) + 1):
        level = k * step
        at = 8.0 + (WATER_PX - 24.0) * (1.0 - (level - low) / max(high - low, 1e-6))
        found.append((at, f"{level:+.2f} m"))
    return found
