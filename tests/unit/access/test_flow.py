"""Flow series, seasons, and gates and pumps of a sewer."""

import numpy as np
import pytest

from planner.access.flow import controlled, measured
from planner.access.level import source_for
from planner.access.manning import Pipe
from planner.access.sewer import SewerLevel
from planner.access.windows import Access
from planner.model.water import (
    FlowControl,
    FlowPattern,
    FlowPoint,
    Season,
    SewerSection,
    Water,
    WaterKind,
)
from tests.builders import campaign, clock, zone

H = 60
FLAT = FlowPattern(weekday=(1.0,) * 24, weekend=(1.0,) * 24)
PIPE = Pipe(diameter_m=0.9, slope=0.002, manning_n=0.013)
SECTION = SewerSection(
    section="A", diameter_m=0.9, slope=0.002, manning_n=0.013, mean_flow_m3_s=0.1
)


def sewer(**given):
    return SewerLevel(SECTION, patterns=(FLAT,), clock=clock(), **given)


def flows(source, *minutes):
    """Flow at the minutes, back from the depth [m³/s]."""
    depths = source.level_m(np.array(minutes, dtype=float))
    return [float("nan") if np.isnan(d) else PIPE.flow_m3_s(float(d)) for d in depths]


def points(*pairs):
    return tuple(FlowPoint(minute=float(at), flow_m3_s=flow) for at, flow in pairs)


def gate(start, end, factor, section="A"):
    return FlowControl(section=section, from_min=start, to_min=end, flow_factor=factor)


def test_a_flow_series_takes_the_place_of_mean_and_pattern():
    source = sewer(series=points((0, 0.1), (60, 0.3), (120, 0.2)))
    assert flows(source, 0, 30, 60, 90) == pytest.approx([0.1, 0.2, 0.3, 0.25])


def test_flow_is_not_known_outside_the_series_and_in_a_gap_of_more_than_three_hours():
    source = sewer(series=points((0, 0.1), (180, 0.1), (361, 0.1), (400, 0.1)))
    found = flows(source, -1, 90, 200, 300, 361, 401)
    assert [np.isnan(flow) for flow in found] == [True, False, True, True, False, True]
    curve = source.curve(-1000.0, 1000.0)
    assert curve.below(9.0).starts.tolist() == [0.0, 361.0]
    assert curve.below(9.0).ends.tolist() == [180.0, 400.0]


def test_a_flow_series_out_of_order_is_refused():
    with pytest.raises(ValueError, match="time order"):
        measured(points((5, 0.1), (5, 0.2)))


def test_the_factor_of_a_month_holds_for_its_days():
    calendar = clock()  # 2 to 15 March
    source = SewerLevel(
        SECTION, patterns=(FLAT,), clock=calendar, seasons=(Season(month=3, factor=1.5),)
    )
    assert flows(source, 5 * H, -3 * 24 * H) == pytest.approx([0.15, 0.1])  # 27 February


def test_a_section_s_own_season_goes_before_that_of_all():
    seasons = (
        Season(month=3, factor=0.5, section="A"),
        Season(month=3, factor=2.0),
        Season(month=3, factor=3.0, section="B"),
    )
    assert flows(sewer(seasons=seasons), 5 * H) == pytest.approx([0.05])


def test_gates_change_the_flow_from_their_first_minute_up_to_their_last():
    source = sewer(controls=(gate(100, 200, 0.4), gate(0, 9999, 0.1, section="B")))
    found = flows(source, 99, 100, 150, 199, 200)
    assert found == pytest.approx([0.1, 0.04, 0.04, 0.04, 0.1])


@pytest.mark.parametrize("minute", [100.0, 200.0])
def test_a_jump_asked_for_alone_is_the_flow_after_it(minute):
    source = sewer(controls=(gate(100, 200, 0.4),))
    assert flows(source, minute) == pytest.approx([0.04 if minute == 100.0 else 0.1])


def test_gates_that_follow_each_other_do_not_mix():
    source = sewer(controls=(gate(100, 200, 0.4), gate(200, 300, 0.5)))
    assert flows(source, 150, 200, 250, 300) == pytest.approx([0.04, 0.05, 0.05, 0.1])


def test_gates_that_reach_beyond_the_points_hold_as_far_as_these_go():
    times, found = controlled(np.array([0.0, 10.0]), np.array([1.0, 3.0]), [gate(-5, 99, 0.5)])
    assert times.tolist() == [0.0, 10.0]
    assert found.tolist() == [0.5, 1.5]


def water(**given):
    return Water(kind=WaterKind.SEWER, sewer=(SECTION,), patterns=(FLAT,), **given)


def test_a_zone_opens_while_a_pump_takes_the_flow():
    deep = float(PIPE.depth_m(np.array([0.1]))[0])
    scene = campaign(
        water=water(controls=(gate(600, 900, 0.5),)),
        zones=(zone(section="A", water_max_m=deep - 0.02),),
    )
    # an edge of a jump counts for the minute in which it is reached
    assert list(Access(scene).windows(scene.zones[0])) == [(600, 899)]


def test_the_level_of_a_section_uses_all_that_the_tables_say():
    scene = campaign(
        water=water(
            flows=(("A", points((0, 0.1), (60, 0.3))),),
            seasons=(Season(month=3, factor=9.0),),
            controls=(gate(30, 60, 0.5),),
        )
    )
    source = source_for(scene, "A")
    assert source is not None
    assert flows(source, 15, 45) == pytest.approx([0.15, 0.125])
