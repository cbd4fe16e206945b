"""Windows against plain sampling, four times a minute, of levels written out once more here."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from math import inf, nan, pi

import numpy as np
import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.access.level import source_for
from planner.access.windows import Access
from planner.core.clock import Clock
from planner.model.limits import Closure, ClosureScope
from planner.model.rules import Rules
from planner.model.water import (
    Constituent,
    Extreme,
    FlowPattern,
    LevelPoint,
    SewerSection,
    Water,
    WaterKind,
)
from tests.builders import campaign, mix, zone

pytestmark = pytest.mark.property

FIXED = ["UTC", "Asia/Kolkata", "Asia/Kathmandu", "Australia/Brisbane"]
CHANGING = {
    "Europe/London": [date(2026, 3, 28), date(2026, 10, 24)],
    "America/New_York": [date(2026, 3, 7), date(2026, 10, 31)],
    "Australia/Lord_Howe": [date(2026, 4, 4), date(2026, 10, 3)],
    "Pacific/Auckland": [date(2026, 4, 4), date(2026, 9, 26), date(2026, 12, 31)],
}
PER_MINUTE = 4


def clocks():
    """A few days somewhere, often across a clock change or New Year."""
    fixed = st.tuples(
        st.sampled_from(FIXED), st.sampled_from([date(2026, 3, 2), date(2026, 12, 30)])
    )
    changing = st.sampled_from([(name, day) for name, days in CHANGING.items() for day in days])
    return st.builds(
        lambda place, days: Clock(
            time_zone=place[0], first_day=place[1], last_day=place[1] + timedelta(days=days)
        ),
        st.one_of(fixed, changing),
        st.integers(1, 3),
    )


@st.composite
def series(draw):
    """Points 5 to 300 minutes apart, on quarters of a minute."""
    steps = draw(st.lists(st.integers(20, 1200), min_size=3, max_size=40))
    levels = draw(st.lists(st.integers(-20, 20), min_size=len(steps), max_size=len(steps)))
    quarters = np.cumsum(steps) - draw(st.integers(0, 4000))
    points = zip(quarters, levels, strict=True)
    return tuple(LevelPoint(minute=q / 4, level_m=level / 10) for q, level in points)


@st.composite
def extremes(draw):
    """Highs and lows in turn."""
    steps = draw(st.lists(st.integers(200, 900), min_size=3, max_size=16))
    at, found, is_high = -1000, [], draw(st.booleans())
    for step in steps:
        size = draw(st.integers(2, 20)) / 10
        found.append(
            Extreme(minute=float(at), level_m=size if is_high else -size, is_high=is_high)
        )
        at, is_high = at + step, not is_high
    return tuple(found)


def constituents():
    names = st.sampled_from(["M2", "S2", "K1", "O1", "M4", "M6", "2MS6", "M8"])
    wave = st.builds(
        Constituent, name=names, amplitude_m=st.floats(0.05, 1.5), phase_deg=st.floats(0.0, 360.0)
    )
    return st.lists(wave, min_size=1, max_size=4).map(tuple)


def patterns():
    hours = st.lists(st.integers(1, 30), min_size=24, max_size=24)
    column = hours.map(lambda values: tuple(value / 10 for value in values))
    return st.builds(FlowPattern, weekday=column, weekend=column)


def pipes():
    limit = st.one_of(st.none(), st.floats(0.4, 1.2))
    return st.builds(
        SewerSection,
        section=st.just("A"),
        diameter_m=st.just(0.6),
        slope=st.just(0.002),
        manning_n=st.just(0.013),
        mean_flow_m3_s=st.floats(0.02, 0.15),
        velocity_max_m_s=limit,
        depth_velocity_max_m2_s=st.one_of(st.none(), st.floats(0.05, 0.4)),
    )


@st.composite
def waters(draw):
    """Water of any kind, with allowances."""
    kind = draw(st.sampled_from([kind for kind in WaterKind if kind is not WaterKind.NONE]))
    allowance = st.sampled_from([0.0, 0.05, 0.3])
    fields = {"allowance_m": draw(allowance), "allowance_low_m": draw(allowance)}
    fields["datum_m"] = draw(st.sampled_from([0.0, -0.4]))
    match kind:
        case WaterKind.TIDE:
            fields |= {"constituents": draw(constituents()), "mean_level_m": 0.2}
        case WaterKind.HIGHLOW:
            fields |= {
                "extremes": draw(extremes()),
                "high_shift_min": draw(st.sampled_from([0.0, 12.0, -20.0])),
                "low_shift_min": draw(st.sampled_from([0.0, 25.0])),
                "range_factor": draw(st.sampled_from([1.0, 0.8])),
            }
        case WaterKind.LEVELS:
            fields |= {"levels": ((draw(st.sampled_from([None, "A"])), draw(series())),)}
        case WaterKind.SEWER:
            fields |= {"sewer": (draw(pipes()),), "patterns": (draw(patterns()),)}
        case _:
            raise AssertionError(kind)
    return Water(kind=kind, **fields)


@st.composite
def closures(draw, clock):
    """Closures of the zone, its section and the site; daily hours where no clock changes."""
    found = []
    for _ in range(draw(st.integers(0, 3))):
        start = draw(st.integers(-1000, clock.horizon_min))
        hours = {}
        if clock.time_zone in FIXED and draw(st.booleans()):
            days = st.frozensets(st.integers(0, 6), min_size=1)
            hours = {
                "weekdays": draw(st.one_of(st.none(), days)),
                "start_tod": draw(st.integers(0, 1439)),
                "end_tod": draw(st.integers(0, 1439)),
            }
        scope = draw(
            st.sampled_from(
                [
                    (ClosureScope.SITE, ""),
                    (ClosureScope.ZONE, "Z1"),
                    (ClosureScope.SECTION, "A"),
                    (ClosureScope.ZONE, "other"),
                    (ClosureScope.RIG, "Z1"),
                ]
            )
        )
        to_min = start + draw(st.integers(1, 4000))
        found.append(
            Closure(scope=scope[0], target=scope[1], from_min=start, to_min=to_min, **hours)
        )
    return tuple(found)


@st.composite
def scenes(draw):
    clock = draw(clocks())
    water = draw(waters())
    scale = 0.3 if water.kind is WaterKind.SEWER else 1.0
    high = draw(st.one_of(st.none(), st.floats(-1.5, 1.5)))
    low = draw(st.one_of(st.none(), st.floats(-2.0, 0.5)))
    if water.kind is WaterKind.SEWER:
        high, low = (None if x is None else abs(x) * scale for x in (high, low))
    spot = zone(
        water_max_m=high,
        water_min_m=None if high is None else low,
        wets_at_m=draw(st.one_of(st.none(), st.floats(-1.0, 1.5))),
        section="A",
    )
    return campaign(
        clock=clock,
        water=water,
        zones=(spot,),
        closures=draw(closures(clock)),
        rules=Rules(window_min_min=draw(st.sampled_from([0, 0, 45, 120]))),
        mixes=(mix(protect_h=2.0),),
        shifts=(),
        crews=(),
    )


# -- levels once more, plainly ------------------------------------------------------------------


def between(points, times, *, gap_max, shape):
    """Level at times by a shape from 0 to 1 between neighbouring points; nan elsewhere."""
    found = np.full(times.size, nan)
    for (t0, y0), (t1, y1) in pairwise(points):
        inside = (times >= t0) & (times <= t1)
        if t1 - t0 <= gap_max:
            found[inside] = y0 + (y1 - y0) * shape((times[inside] - t0) / (t1 - t0))
        found[times == t0], found[times == t1] = y0, y1
    return found


def pipe_at(row, angle):
    """Depth, velocity and flow at a wetted angle."""
    d = row.diameter_m
    speed = (d / 4 * (1 - np.sin(angle) / angle)) ** (2 / 3) * row.slope**0.5 / row.manning_n
    return d / 2 * (1 - np.cos(angle / 2)), speed, d * d / 8 * (angle - np.sin(angle)) * speed


def depth_and_speed(row, flow):
    low, high = np.full(flow.size, 1e-9), np.full(flow.size, 4.6)  # flow rises up to beyond 4.6
    for _ in range(50):
        middle = (low + high) / 2
        short = pipe_at(row, middle)[2] < flow
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    depth, speed, _ = pipe_at(row, low)
    full = flow > pipe_at(row, np.array([2 * pi]))[2]
    return np.where(full, inf, depth), np.where(full, inf, speed)


def centres(scene):
    """Every half past of the local clock, two days around, and the multiplier there."""
    pattern, found = scene.water.patterns[0], []
    for minute in range(-2 * 1440, scene.clock.horizon_min + 2 * 1440, 30):
        local = scene.clock.local(minute)
        if local.minute == 30:
            column = pattern.weekend if local.weekday() >= 5 else pattern.weekday
            found.append((minute, column[local.hour]))
    return found


def sampled(scene, times):
    """Level, and how much of its velocity limits the water uses."""
    water, still = scene.water, np.zeros(times.size)
    if water.kind is WaterKind.TIDE:
        return source_of(scene).level_m(times), still
    if water.kind is WaterKind.LEVELS:
        points = [(p.minute, p.level_m + water.datum_m) for p in water.levels[0][1]]
        return between(points, times, gap_max=180, shape=lambda x: x), still
    if water.kind is WaterKind.HIGHLOW:
        points = [
            (
                e.minute + (water.high_shift_min if e.is_high else water.low_shift_min),
                e.level_m * water.range_factor + water.datum_m,
            )
            for e in water.extremes
        ]
        shape = lambda x: (1 - np.cos(pi * x)) / 2  # noqa: E731  as short as its neighbour
        return between(points, times, gap_max=inf, shape=shape), still
    row = water.sewer[0]
    at, share = np.array(centres(scene)).T
    depth, speed = depth_and_speed(row, np.interp(times, at, share) * row.mean_flow_m3_s)
    velocity_max = row.velocity_max_m_s or inf
    product_max = row.depth_velocity_max_m2_s or inf
    with np.errstate(invalid="ignore"):
        return depth, np.fmax(speed / velocity_max, depth * speed / product_max)


def source_of(scene):
    source = source_for(scene, "A")
    assert source is not None
    return source


def sampled_margin(scene, spot, times):
    """How far inside its limits the water stands at each time [m]; nan where not known."""
    level, share = sampled(scene, times)
    is_sewer = scene.water.kind is WaterKind.SEWER
    margin = np.full(times.size, inf)
    if spot.water_max_m is not None:
        margin = np.minimum(margin, spot.water_max_m - (level + scene.water.allowance_m))
    if spot.water_min_m is not None:
        allowance_low_m = 0.0 if is_sewer else scene.water.allowance_low_m
        margin = np.minimum(margin, (level - allowance_low_m) - spot.water_min_m)
    if is_sewer:
        margin = np.minimum(margin, 1.0 - share)
        margin = np.where(np.isinf(level), -inf, margin)
    return margin


def by_minute(margin):
    """Worst of the samples of each minute, both ends included; an unknown one is the worst."""
    margin = np.where(np.isnan(margin), -inf, margin)
    parts = [margin[k : k + margin.size - PER_MINUTE : PER_MINUTE] for k in range(PER_MINUTE + 1)]
    return np.min(parts, axis=0)


def shut(scene):
    """Minutes that a closure of site, zone or section takes, asked minute by minute."""
    found = np.zeros(scene.clock.horizon_min, dtype=bool)
    for row in scene.closures:
        if (row.scope, row.target) not in {
            (ClosureScope.SITE, ""),
            (ClosureScope.ZONE, "Z1"),
            (ClosureScope.SECTION, "A"),
        }:
            continue
        for minute in range(max(row.from_min, 0), min(row.to_min, found.size)):
            found[minute] |= row.start_tod is None or in_hours(row, scene.clock.local(minute))
    return found


def in_hours(row, local):
    days = row.weekdays or frozenset(range(7))
    tod, today, yesterday = local.hour * 60 + local.minute, local.weekday(), local.weekday() - 1
    if row.end_tod > row.start_tod:
        return today in days and row.start_tod <= tod < row.end_tod
    return (today in days and tod >= row.start_tod) or (
        yesterday % 7 in days and tod < row.end_tod
    )


def covered(spans, size):
    found = np.zeros(size, dtype=bool)
    for start, end in spans:
        found[start:end] = True
    return found


HAIR_M = 2e-5  # less than a level turns between two samples


@given(scenes())
def test_windows_are_the_minutes_in_which_samples_keep_every_limit(scene):
    spot, horizon = scene.zones[0], scene.clock.horizon_min
    times = np.arange(horizon * PER_MINUTE + 1) / PER_MINUTE
    margin = by_minute(sampled_margin(scene, spot, times))
    open_ = ~shut(scene)
    surely, never = open_ & (margin > HAIR_M), ~open_ | (margin < -HAIR_M)
    every = Access(with_rules(scene, Rules(window_min_min=0))).windows(spot)
    found = covered(every, horizon)
    assert not np.any(surely & ~found)
    assert not np.any(never & found)
    event(f"{scene.water.kind}: {'some' if found.any() else 'none'}")

    least = scene.rules.window_min_min
    kept = Access(scene).windows(spot)
    assert {span for span in every if span[1] - span[0] >= least} <= set(kept)
    assert {span for span in every if span[1] - span[0] > least - 2} >= set(kept)


def with_rules(scene, rules):
    return replace(scene, rules=rules)


@given(scenes())
def test_the_level_keeps_the_limits_at_every_whole_minute_of_a_window(scene):
    spot = scene.zones[0]
    source = source_of(scene)
    for start, end in Access(scene).windows(spot):
        minutes = np.arange(start, end + 1, dtype=float)
        level = source.level_m(minutes)
        if spot.water_max_m is not None:
            assert np.all(level + scene.water.allowance_m <= spot.water_max_m + 1e-6)
        if spot.water_min_m is not None and scene.water.kind is not WaterKind.SEWER:
            assert np.all(level - scene.water.allowance_low_m >= spot.water_min_m - 1e-6)
        assert not np.any(source.too_fast(minutes))


@given(scenes())
def test_dry_hours_are_those_in_which_samples_stay_below_the_wetting_level(scene):
    spot = scene.zones[0]
    until = scene.clock.horizon_min + 120
    found = covered(Access(scene).dry(spot), until)
    if spot.wets_at_m is None:
        assert found.all()
        return
    times = np.arange(until * PER_MINUTE + 1) / PER_MINUTE
    level, _ = sampled(scene, times)
    margin = by_minute(spot.wets_at_m - (level + scene.water.allowance_m))
    assert not np.any((margin > HAIR_M) & ~found)
    assert not np.any((margin < -HAIR_M) & found)
    event(f"{scene.water.kind}: {'some' if found.any() else 'none'}")


@given(scenes())
def test_windows_and_lost_minutes_share_out_the_campaign(scene):
    spot = scene.zones[0]
    access = Access(scene)
    lost = access.lost(spot)
    spans = sorted([*access.windows(spot), *((start, end) for start, end, _ in lost)])
    edges = [0, *(end for _, end in spans)]
    assert [start for start, _ in spans] == edges[:-1]
    assert edges[-1] == scene.clock.horizon_min
    assert all(cause for _, _, cause in lost)
