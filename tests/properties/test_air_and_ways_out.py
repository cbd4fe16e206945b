"""Air grows with line and bore; ways out are judged as the plainest reading says."""

from dataclasses import replace

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

from planner.model.identifiers import Orientation, ZoneId
from planner.model.rules import Rules
from planner.trade import air
from planner.trade.cautions_in_plan import cautions_in_plan
from tests.builders import position, spell, zone
from tests.unit.trade.sites import sewer

pytestmark = pytest.mark.property

metres = st.floats(0.0, 1000.0)
rises = st.floats(-50.0, 200.0)
bores = st.floats(19.0, 80.0)


def pairs(values):
    """Two values, the smaller first."""
    return st.lists(values, min_size=2, max_size=2).map(sorted)


@given(pairs(metres), pairs(rises), pairs(bores))
def test_a_longer_higher_wider_line_never_wants_less(laid_m, rise_m, bore_mm):
    small, large = (
        air.gun_kpa(laid_m=laid, rise_m=rise) for laid, rise in zip(laid_m, rise_m, strict=True)
    )
    assert small <= large
    assert air.nozzle_water_kpa(small) <= air.nozzle_water_kpa(large)
    least = air.dry_air_m3_min(bore_mm=bore_mm[0], at_gun_kpa=small)
    most = air.dry_air_m3_min(bore_mm=bore_mm[1], at_gun_kpa=large)
    assert 0.0 < least <= most


@given(st.floats(0.0, 500.0), st.floats(-20.0, 100.0), st.integers(1, 30))
def test_water_air_and_power_never_sink_below_their_floors(laid_m, rise_m, people):
    gun_kpa = air.gun_kpa(laid_m=laid_m, rise_m=rise_m)
    assert gun_kpa >= air.BASE_KPA
    assert air.nozzle_water_kpa(gun_kpa) >= max(620.0, gun_kpa + 100.0)
    assert air.fresh_air_m3_min(people=people) == people * air.FRESH_AIR_M3_MIN
    assert air.pump_kpa(laid_m=laid_m, rise_m=rise_m, bends=0.0) >= 2200.0


@st.composite
def runs(draw):
    """One run in a pipe: zones at some chainages in any order, some of them walls, one shaft."""
    places = draw(st.lists(st.integers(0, 12), min_size=1, max_size=6, unique=True))
    shaft = draw(st.integers(0, 12))
    overhead = draw(st.lists(st.booleans(), min_size=len(places), max_size=len(places)))
    hours = draw(st.sampled_from([None, 8.0]))
    return places, shaft, overhead, hours


@given(runs())
def test_a_way_out_is_seen_exactly_where_earlier_overhead_work_lies_on_it(case):
    places, shaft, overhead, hours = case
    orientation = {True: Orientation.OVERHEAD, False: Orientation.VERTICAL}
    zones = tuple(
        zone(
            f"Z{at}",
            x_m=float(at),
            chainage_m=float(at),
            section="S1",
            closed_space=True,
            orientation=orientation[above],
        )
        for at, above in zip(places, overhead, strict=True)
    )
    # a far wall at either end, so that the shaft lies on the line whatever is drawn
    ends = tuple(
        zone(f"E{at}", x_m=at, chainage_m=at, section="S1", closed_space=True)
        for at in (-1.0, 13.0)
    )
    site = sewer(
        zones=(*zones, *ends),
        positions=(position(x_m=float(shaft)),),
        rules=replace(Rules(), no_entry_h=hours),
    )
    spells = [
        spell(zone=ZoneId(f"Z{at}"), start_min=100 + 30 * turn, end_min=120 + 30 * turn)
        for turn, at in enumerate(places)
    ]
    found = {row.zone for row in cautions_in_plan(site, spells) if row.code == "way-out"}
    expected = {
        f"Z{at}"
        for turn, at in enumerate(places)
        if any(
            above and min(shaft, at) <= before <= max(shaft, at)
            for before, above in zip(places[:turn], overhead[:turn], strict=True)
        )
    }
    event(f"seen={bool(expected)}")
    assert found == expected
