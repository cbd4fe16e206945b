"""The water of a campaign from parsed and checked cells."""

from __future__ import annotations

from datetime import datetime

from planner.core.clock import Clock
from planner.core.rounding import down
from planner.model.water import (
    Constituent,
    Extreme,
    FlowControl,
    FlowPattern,
    FlowPoint,
    LevelPoint,
    Season,
    SewerSection,
    Water,
    WaterKind,
)
from planner.scenario.calendar import begins, ends, exact, not_before
from planner.scenario.draft import Draft, Row

HOURS = 24


def build_water(draft: Draft, clock: Clock) -> Water:
    """Return the water record; only the tables of its kind are used."""
    keys = draft.keys
    kind = WaterKind(keys.text("water.kind"))
    allowance_m = _number(keys.number("water.allowance_m"))
    low = keys.number("water.allowance_low_m")
    warning_min = keys.number("water.warning_min")
    is_sewer = kind is WaterKind.SEWER
    return Water(
        kind=kind,
        datum_m=_number(keys.number("water.datum_m")),
        mean_level_m=_number(keys.number("water.mean_level_m")),
        high_shift_min=_number(keys.number("water.high_shift_min")),
        low_shift_min=_number(keys.number("water.low_shift_min")),
        range_factor=_number(keys.number("water.range_factor")),
        allowance_m=allowance_m,
        allowance_low_m=allowance_m if low is None else low,
        constituents=_constituents(draft) if kind is WaterKind.TIDE else (),
        extremes=_extremes(draft, clock) if kind is WaterKind.HIGHLOW else (),
        levels=_levels(draft, clock) if kind is WaterKind.LEVELS else (),
        sewer=_sewer(draft) if is_sewer else (),
        patterns=_patterns(draft) if is_sewer else (),
        flows=_flows(draft, clock) if is_sewer else (),
        seasons=_seasons(draft) if is_sewer else (),
        controls=_controls(draft, clock) if is_sewer else (),
        warning_min=None if warning_min is None else down(warning_min),
    )


def _number(value: float | None) -> float:
    return 0.0 if value is None else value


def _constituents(draft: Draft) -> tuple[Constituent, ...]:
    return tuple(
        Constituent(
            name=row.text("name"),
            amplitude_m=_number(row.number("amplitude_m")),
            phase_deg=_number(row.number("phase_deg")),
        )
        for row in draft.rows("constituents")
    )


def row_minute(row: Row, clock: Clock) -> float:
    """Return the campaign minute of a row's time, with fractions [min]."""
    moment = row.moment("time")
    return 0.0 if moment is None else exact(clock, moment)


def _extremes(draft: Draft, clock: Clock) -> tuple[Extreme, ...]:
    found = [
        Extreme(
            minute=row_minute(row, clock),
            level_m=_number(row.number("level_m")),
            is_high=row.text("kind") == "high",
        )
        for row in draft.rows("highlow")
    ]
    return tuple(sorted(found, key=lambda extreme: extreme.minute))


def _levels(draft: Draft, clock: Clock) -> tuple[tuple[str | None, tuple[LevelPoint, ...]], ...]:
    series: dict[str | None, list[LevelPoint]] = {}
    for row in draft.rows("levels"):
        point = LevelPoint(minute=row_minute(row, clock), level_m=_number(row.number("level_m")))
        series.setdefault(row.text("section") or None, []).append(point)
    return tuple(
        (section, tuple(sorted(points, key=lambda point: point.minute)))
        for section, points in series.items()
    )


def _sewer(draft: Draft) -> tuple[SewerSection, ...]:
    return tuple(
        SewerSection(
            section=row.text("section"),
            diameter_m=_number(row.number("diameter_m")),
            slope=_number(row.number("slope")),
            manning_n=_number(row.number("manning_n")),
            mean_flow_m3_s=_number(row.number("mean_flow_m3_s")),
            velocity_max_m_s=row.number("velocity_max_m_s"),
            depth_velocity_max_m2_s=row.number("depth_velocity_max_m2_s"),
        )
        for row in draft.rows("sewer")
    )


def pattern_groups(draft: Draft) -> dict[tuple[str | None, int | None], list[Row]]:
    """Return the rows of sewer_pattern by section and month, in file order."""
    groups: dict[tuple[str | None, int | None], list[Row]] = {}
    for row in draft.rows("sewer_pattern"):
        group = (row.text("section") or None, row.whole("month"))
        groups.setdefault(group, []).append(row)
    return groups


def _patterns(draft: Draft) -> tuple[FlowPattern, ...]:
    return tuple(
        FlowPattern(
            weekday=_by_hour(rows, "weekday"),
            weekend=_by_hour(rows, "weekend"),
            section=section,
            month=month,
        )
        for (section, month), rows in pattern_groups(draft).items()
    )


def _by_hour(rows: list[Row], column: str) -> tuple[float, ...]:
    values = {row.whole("hour"): _number(row.number(column)) for row in rows}
    return tuple(values[hour] for hour in range(HOURS))


def _flows(draft: Draft, clock: Clock) -> tuple[tuple[str, tuple[FlowPoint, ...]], ...]:
    series: dict[str, list[FlowPoint]] = {}
    for row in draft.rows("sewer_flow"):
        point = FlowPoint(
            minute=row_minute(row, clock), flow_m3_s=_number(row.number("flow_m3_s"))
        )
        series.setdefault(row.text("section"), []).append(point)
    return tuple(
        (section, tuple(sorted(points, key=lambda point: point.minute)))
        for section, points in series.items()
    )


def _seasons(draft: Draft) -> tuple[Season, ...]:
    return tuple(
        Season(
            month=row.whole("month") or 1,
            factor=_number(row.number("factor")),
            section=row.text("section") or None,
        )
        for row in draft.rows("sewer_season")
    )


def control_stretch(row: Row, clock: Clock) -> tuple[int, int] | None:
    """Return the stretch of a row of flow_control, or None where it cannot be read [min].

    Less flow counts from the next whole minute on and to the last one, more flow the other way.
    """
    start, end = row.moment("from"), row.moment("to")
    if start is None or end is None:
        return None
    if _number(row.number("flow_factor")) > 1.0:
        return begins(clock, start), ends(clock, end)
    last = down(exact(clock, end)) if isinstance(end, datetime) else clock.day_end(end)
    return not_before(clock, start), last


def _controls(draft: Draft, clock: Clock) -> tuple[FlowControl, ...]:
    return tuple(
        FlowControl(
            section=row.text("section"),
            from_min=stretch[0],
            to_min=stretch[1],
            flow_factor=_number(row.number("flow_factor")),
            price_day=_number(row.number("price_day")),
        )
        for row in draft.rows("flow_control")
        if (stretch := control_stretch(row, clock)) is not None
    )
