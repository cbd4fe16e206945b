"""Random water: every kind, with levels that open and close zones once or twice a day."""

from dataclasses import replace
from math import cos, pi

from planner.core.clock import Clock
from planner.model.water import (
    Constituent,
    Extreme,
    FlowPattern,
    LevelPoint,
    SewerSection,
    Water,
    WaterKind,
)
from tests.properties.luck import Luck

SECTIONS = ("S1", "S2")
SAW_HIGH_M = 6.0
KINDS = (WaterKind.NONE, WaterKind.LEVELS, WaterKind.HIGHLOW, WaterKind.TIDE, WaterKind.SEWER)


def waters(luck: Luck, clock: Clock) -> Water:
    """Return a water; on a grid only a saw-tooth of levels, or none."""
    kind = luck.one_of(KINDS[:2] if luck.on_grid else KINDS)
    if kind is WaterKind.LEVELS:
        return saw_tooth(luck, clock)
    if kind is WaterKind.HIGHLOW:
        return _high_low(luck, clock)
    if kind is WaterKind.TIDE:
        return _tide(luck)
    if kind is WaterKind.SEWER:
        return _sewer(luck)
    return Water(kind=WaterKind.NONE)


def saw_tooth(luck: Luck, clock: Clock) -> Water:
    """Return levels that fall from 6 m to 0 in 6 h and rise again, 1 m an hour.

    Allowances are half metres, so that windows of whole and half metres have their edges on
    half hours.
    """
    shift_h = luck.whole(0, 5)
    hours = range(-2, clock.horizon_min // 60 + 73)
    points = tuple(
        LevelPoint(minute=60.0 * h, level_m=abs(SAW_HIGH_M - (h + shift_h) % 12)) for h in hours
    )
    return _allowed(luck, Water(kind=WaterKind.LEVELS, levels=((None, points),)))


def _allowed(luck: Luck, water: Water) -> Water:
    allowance_m = 0.5 * luck.whole(0, 1)
    low_m = 0.5 * luck.whole(0, 1) if luck.chance(20) else allowance_m
    return replace(water, allowance_m=allowance_m, allowance_low_m=low_m)


def _high_low(luck: Luck, clock: Clock) -> Water:
    """Return highs and lows 6 h 12 min apart, springs and neaps a week apart."""
    first = -luck.whole(360, 720)
    count = (clock.horizon_min + 4 * 1440) // 372
    extremes = tuple(
        Extreme(
            minute=float(first + 372 * k),
            level_m=round(3.0 + (1 if k % 2 else -1) * (2.2 + 0.6 * cos(2 * pi * k / 28)), 2),
            is_high=bool(k % 2),
        )
        for k in range(count)
    )
    water = Water(
        kind=WaterKind.HIGHLOW,
        extremes=extremes,
        high_shift_min=float(luck.whole(0, 20)),
        low_shift_min=float(luck.whole(0, 20)),
        range_factor=luck.one_of((1.0, 0.9, 1.1)),
    )
    return _allowed(luck, water)


def _tide(luck: Luck) -> Water:
    water = Water(
        kind=WaterKind.TIDE,
        mean_level_m=3.0,
        constituents=(
            Constituent(name="M2", amplitude_m=2.1, phase_deg=float(luck.whole(0, 359))),
            Constituent(name="S2", amplitude_m=0.7, phase_deg=float(luck.whole(0, 359))),
            Constituent(name="O1", amplitude_m=0.1, phase_deg=90.0),
        ),
    )
    return _allowed(luck, water)


def _sewer(luck: Luck) -> Water:
    """Return two pipes with little flow by night and much by day."""
    night, day = luck.tenths(0.2, 0.6), luck.tenths(1.2, 1.8)
    weekday = tuple(night if hour < 6 else day for hour in range(24))
    weekend = tuple(night if hour < 8 else day for hour in range(24))
    sections = tuple(
        SewerSection(
            section=name,
            diameter_m=1.5,
            slope=0.001,
            manning_n=0.013,
            mean_flow_m3_s=luck.tenths(0.2, 0.6),
            velocity_max_m_s=luck.one_of((None, 1.2)),
        )
        for name in SECTIONS
    )
    pattern = FlowPattern(weekday=weekday, weekend=weekend)
    return Water(kind=WaterKind.SEWER, sewer=sections, patterns=(pattern,), allowance_m=0.02)
