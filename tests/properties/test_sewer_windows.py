"""Windows in a sewer with jumps of flow: found from edges, and minute by minute by the auditor."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.access.windows import Access
from planner.checks.closures import Closures
from planner.checks.gauge import Gauge
from planner.checks.openings import Openings
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.model.water import (
    FlowControl,
    FlowPattern,
    FlowPoint,
    Season,
    SewerSection,
    Water,
    WaterKind,
)
from planner.model.wet_weather import WetRow, WetWeather
from tests.builders import campaign, clock, closure, zone

pytestmark = pytest.mark.property

CLOCK = clock()
HORIZON = 3 * 1440
MINUTES = st.integers(-200, HORIZON + 200)
FACTORS = st.sampled_from([0.0, 0.3, 0.5, 1.0, 1.5])


@st.composite
def controls(draw):
    edges = sorted(draw(st.lists(MINUTES, min_size=0, max_size=6, unique=True)))
    return tuple(
        FlowControl(section="A", from_min=start, to_min=end, flow_factor=draw(FACTORS))
        for start, end in zip(edges[::2], edges[1::2], strict=False)
    )


@st.composite
def series(draw):
    times = sorted(draw(st.lists(MINUTES, min_size=2, max_size=25, unique=True)))
    return tuple(
        FlowPoint(minute=at + draw(st.sampled_from([0.0, 0.5])), flow_m3_s=draw(FLOWS))
        for at in times
    )


FLOWS = st.integers(0, 60).map(lambda tenths: tenths / 50)
PATTERNS = st.lists(st.integers(1, 30), min_size=24, max_size=24).map(
    lambda tenths: FlowPattern(
        weekday=tuple(t / 10 for t in tenths), weekend=tuple(t / 10 for t in tenths[::-1])
    )
)


@st.composite
def scenes(draw):
    section = SewerSection(
        section="A",
        diameter_m=0.9,
        slope=0.002,
        manning_n=0.013,
        mean_flow_m3_s=0.2,
        velocity_max_m_s=draw(st.sampled_from([None, 1.0])),
    )
    measured = draw(st.booleans())
    water = Water(
        kind=WaterKind.SEWER,
        sewer=(section,),
        patterns=(draw(PATTERNS),),
        flows=(("A", draw(series())),) if measured else (),
        seasons=(Season(month=3, factor=draw(st.sampled_from([0.5, 1.0, 1.7]))),),
        controls=draw(controls()),
        allowance_m=draw(st.sampled_from([0.0, 0.05])),
    )
    rain = tuple(
        WetRow(minute=float(at), rain_mm=3.0)
        for at in sorted(draw(st.lists(MINUTES, max_size=2, unique=True)))
    )
    shut_at = draw(st.integers(0, HORIZON))
    return campaign(
        clock=CLOCK,
        rules=Rules(window_min_min=0),
        water=water,
        zones=(zone(section="A", water_max_m=draw(st.sampled_from([None, 0.2, 0.35]))),),
        closures=(closure(ClosureScope.SECTION, "A", from_min=shut_at, to_min=shut_at + 31),),
        wet_weather=WetWeather(
            series=((None, rain),), rain_limit_mm=2.0, rain_window_min=60.0, recession_min=45
        ),
    )


@given(scene=scenes())
def test_access_and_auditor_open_the_same_minutes(scene):
    only = scene.zones[0]
    by_edges = np.zeros(HORIZON, dtype=bool)
    for start, end in Access(scene).windows(only).clip(0, HORIZON):
        by_edges[start:end] = True
    auditor = Openings(scene, Gauge(scene), Closures(scene))
    by_minute = auditor._open_minutes(only, 0, HORIZON)
    # Where the flow jumps up at a whole minute, the window loses the minute before it; the
    # auditor, who asks for the speed half a millionth of a minute earlier, may leave it.
    jumps = [control.to_min - 1 for control in scene.water.controls]
    jumps += [control.from_min - 1 for control in scene.water.controls]
    assert not (by_edges & ~by_minute).any()
    assert set(np.flatnonzero(by_minute & ~by_edges).tolist()) <= set(jumps)
