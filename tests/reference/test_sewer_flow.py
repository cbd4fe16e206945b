"""Part-full flow against published tables and a real sewer meter.

Section properties: table of the U.S. Environmental Protection Agency's storm water model
(src/solver/xsect.dat, public domain).  Meter: 7,195 rows of a trunk sewer of 27 in (0.686 m),
MIT licence.  Both in the shared reference folder.  The shares of the full flow at tenths of the
depth, the greatest flow at 0.938 and the greatest velocity at 0.81 of the diameter are the
textbook figures of the circle with constant n (ring of hydraulic elements).
"""

import numpy as np
import pytest

from planner.access.manning import FASTEST_DEPTH, FULL_DEPTH, Pipe
from tests.reference.tide_stations import rows

pytestmark = pytest.mark.reference

METRE = Pipe(diameter_m=1.0, slope=0.001, manning_n=0.013)


def test_area_and_radius_are_those_of_the_agency_table(shared_reference):
    table = rows(shared_reference / "sewer", "hydraulic_elements_epa.csv")
    circle = [row for row in table if row["shape"] == "circular"]
    assert len(circle) == 51
    full = METRE.area_m2(1.0), METRE.radius_m(1.0)
    for row in circle[1:]:  # the table gives the empty pipe a radius of 0.01
        depth_m = float(row["y_over_yfull"])
        area = METRE.area_m2(depth_m) / full[0]
        radius = METRE.radius_m(depth_m) / full[1]
        assert area == pytest.approx(float(row["area_over_afull"]), abs=0.002)
        assert radius == pytest.approx(float(row["hydradius_over_rfull"]), abs=0.002)


def test_flow_and_velocity_are_those_of_the_exact_circle(shared_reference):
    table = rows(shared_reference / "sewer", "circular_exact_manning.csv")
    fast = METRE.velocity_m_s(1.0)
    compared = 0
    for row in table:
        depth_m = float(row["y_over_d"])
        velocity = METRE.velocity_m_s(depth_m) / fast
        assert velocity == pytest.approx(float(row["v_over_vfull"]), abs=2e-6)
        if depth_m < FULL_DEPTH:
            share = METRE.flow_m3_s(depth_m) / METRE.full_flow_m3_s
            assert share == pytest.approx(float(row["q_over_qfull"]), abs=2e-6)
            compared += 1
    assert compared >= 80


@pytest.mark.parametrize(
    ("depth", "share"),
    [
        (0.1, 0.0209),
        (0.2, 0.0876),
        (0.3, 0.1958),
        (0.4, 0.3370),
        (0.5, 0.5000),
        (0.6, 0.6718),
        (0.7, 0.8372),
        (0.8, 0.9775),
    ],
)
def test_depth_for_a_share_of_the_full_flow(depth, share):
    assert METRE.flow_m3_s(depth) / METRE.full_flow_m3_s == pytest.approx(share, abs=1e-4)
    flow = np.array([share * METRE.full_flow_m3_s])
    assert METRE.depth_m(flow)[0] == pytest.approx(depth, abs=1e-3)


def test_the_lower_of_two_depths_carries_the_full_flow():
    assert pytest.approx(0.82, abs=0.001) == FULL_DEPTH
    full = np.array([METRE.full_flow_m3_s])
    assert METRE.depth_m(full)[0] == pytest.approx(FULL_DEPTH, abs=1e-6)
    assert METRE.depth_m(full * 1.0001)[0] == np.inf


def test_the_fastest_flow_stands_at_four_fifths_and_runs_an_eighth_faster_than_full():
    assert pytest.approx(0.813, abs=0.001) == FASTEST_DEPTH
    ratio = METRE.velocity_m_s(FASTEST_DEPTH) / METRE.velocity_m_s(1.0)
    assert ratio == pytest.approx(1.140, abs=0.001)


def test_a_pipe_worked_out_by_two_other_programmes():
    # 1.5 m, n 0.013, slope 0.002, 0.6 m³/s: depth 0.4428 m, full 3.1613 m³/s, 1.376 m/s
    pipe = Pipe(diameter_m=1.5, slope=0.002, manning_n=0.013)
    depth_m = float(pipe.depth_m(np.array([0.6]))[0])
    assert depth_m == pytest.approx(0.4428, abs=1e-4)
    assert pipe.full_flow_m3_s == pytest.approx(3.1613, abs=1e-4)
    assert pipe.velocity_m_s(depth_m) == pytest.approx(1.37618, abs=1e-4)


def test_encyclopaedia_britannica_of_1911_on_the_half_radius():
    # Hydraulics, paragraph 110: depth 0.50 r, area 0.614 r², hydraulic mean depth 0.293 r
    pipe = Pipe(diameter_m=2.0, slope=0.001, manning_n=0.013)
    assert pipe.area_m2(0.5) == pytest.approx(0.614, abs=5e-4)
    assert pipe.radius_m(0.5) == pytest.approx(0.293, abs=5e-4)


def test_a_meter_measures_flow_as_velocity_times_wetted_area(shared_reference):
    table = rows(shared_reference / "sewer", "sewer_meter_15min_20080216_20080430.csv")
    pipe = Pipe(diameter_m=0.6858, slope=0.001, manning_n=0.013)
    flow, velocity, depth = (
        np.array([float(row[name] or "nan") for row in table])
        for name in ("flow_lps", "velocity_mps", "depth_mm")
    )
    usable = (flow > 0) & (depth > 0) & (depth < 685.8)
    area = np.array([pipe.area_m2(value / 1000) for value in depth[usable]])
    error = np.abs(1000 * velocity[usable] * area - flow[usable]) / flow[usable]
    assert np.count_nonzero(usable) > 7000
    assert np.median(error) <= 0.005
