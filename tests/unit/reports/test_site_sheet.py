"""The site map, what reaches what, a position on trial, outlines, and tables as files."""

from __future__ import annotations

import json
from io import BytesIO

import pandas as pd
import pytest
from openpyxl import load_workbook

from planner.model.identifiers import Orientation, PositionId, RigId, ZoneId
from planner.model.rules import ReachBy
from planner.reach.hoses import Reach
from planner.reports.figures.site_sheet import Interest, nice_step, site_sheet
from planner.reports.figures.site_views import Side, extent, sheet_of, sides, stretches
from planner.reports.frame_files import csv_bytes, xlsx_bytes
from planner.reports.outline import OutlineError, outline
from planner.reports.reach_tables import (
    gained,
    nearest_places,
    position_frame,
    reached_from,
    reaching,
    try_position,
    zone_frame,
)
from tests import builders as make


def site(**changes):
    """Z1 10 m from P1 and Z2 60 m; the hose is 40 m long; P2 stands at 50 m."""
    fields = {
        "zones": (make.zone("Z1"), make.zone("Z2", x_m=60.0)),
        "positions": (make.position(), make.position("P2", x_m=50.0)),
        "rigs": (make.rig(hose_max_m=40.0),),
    }
    return make.campaign(**(fields | changes))


def metas(figure):
    return [str(trace.meta or "") for trace in figure.data]


def test_each_side_keeps_the_coordinates_it_shows():
    campaign = site(zones=(make.zone("Z1", x_m=1.0, y_m=2.0, z_m=3.0),))
    at = {side: sheet_of(campaign, side).boxes[0] for side in sides(campaign)}
    assert (at[Side.DOWN].x, at[Side.DOWN].y) == (1.0, 2.0)
    assert (at[Side.UP].x, at[Side.UP].y) == (1.0, 2.0)
    assert (at[Side.ELEVATION_X].x, at[Side.ELEVATION_X].y) == (1.0, 3.0)
    assert (at[Side.ELEVATION_Y].x, at[Side.ELEVATION_Y].y) == (2.0, 3.0)


def test_looking_up_reads_from_right_to_left_and_says_so():
    campaign = site()
    down = site_sheet(campaign, sheet_of(campaign, Side.DOWN), Interest())
    up = site_sheet(campaign, sheet_of(campaign, Side.UP), Interest())
    left, right = down.layout.xaxis.range
    assert left < right
    assert tuple(up.layout.xaxis.range) == (right, left)
    assert "left and right are swapped" in sheet_of(campaign, Side.UP).words
    assert "swapped" not in sheet_of(campaign, Side.DOWN).words


def test_both_axes_have_one_scale():
    campaign = site()
    for side in (Side.DOWN, Side.UP, Side.ELEVATION_X, Side.ELEVATION_Y):
        figure = site_sheet(campaign, sheet_of(campaign, side), Interest())
        assert (figure.layout.yaxis.scaleanchor, figure.layout.yaxis.scaleratio) == ("x", 1)


def test_a_zone_is_as_large_as_its_area():
    campaign = site(
        zones=(
            make.zone("Z1", area_m2=25.0),
            make.zone("Z2", area_m2=25.0, orientation=Orientation.VERTICAL),
        )
    )
    flat, wall = sheet_of(campaign, Side.DOWN).boxes
    assert (flat.width, flat.height) == (5.0, 5.0)
    assert wall.width == 5.0
    assert wall.height < 2.0  # seen from its edge
    side_on = sheet_of(campaign, Side.ELEVATION_X).boxes[1]
    assert (side_on.width, side_on.height) == (5.0, 5.0)


def test_a_long_site_is_offered_in_stretches_that_cover_it():
    zones = tuple(make.zone(f"Z{k}", x_m=20.0 * k) for k in range(30))
    sheet = sheet_of(site(zones=zones), Side.DOWN)
    found = stretches(sheet)
    left, right, _, _ = extent(sheet)
    assert len(found) > 1
    assert found[0][0] == left
    assert found[-1][1] == pytest.approx(right)
    campaign = site(zones=zones)
    part = site_sheet(campaign, sheet, Interest(), found[0])
    whole = site_sheet(campaign, sheet, Interest())
    few, all_ = (len(one.data[metas(one).index("zone points")].x) for one in (part, whole))
    assert few < all_ == 30


def test_what_a_position_reaches_is_shaded_by_its_hose():
    campaign = site()
    reach = Reach(campaign)
    rows = reached_from(reach, campaign.positions[0], campaign.rigs[0])
    assert [(row.zone, row.hose_m) for row in rows] == [("Z1", 10.0)]
    # 5 m³/h x 0.8 x (1 - 0.5) = 2 m³/h in place
    assert rows[0].rate_m3_h == pytest.approx(2.0)
    values = {row.zone: row.hose_m for row in rows}
    figure = site_sheet(
        campaign,
        sheet_of(campaign, Side.DOWN),
        Interest(position=PositionId("P1"), values=values, unit="m"),
    )
    assert {"reached", "not reached", "chosen position"} <= set(metas(figure))


def test_every_position_says_whether_it_reaches_a_zone_and_why_not():
    campaign = site()
    reach = Reach(campaign)
    far = campaign.zones[1]
    assert reaching(reach, far) == ["P2"]
    rows = zone_frame(reach, far).set_index("Position")
    assert rows.loc["P2", "Reaches"] == "yes"
    assert rows.loc["P1", "Why not"] == "60 m of equivalent hose against 40 m"
    frame = position_frame(reach, campaign.positions[1])
    assert set(frame["Zone"]) == {"Z1", "Z2"}
    assert frame.set_index("Zone").loc["Z1", "Hose to spare (m)"] == 0.0


def test_a_position_on_trial_says_what_it_would_gain():
    campaign = site(positions=(make.position(),))
    reach = Reach(campaign)
    new = make.position("N1", x_m=70.0)
    trial = try_position(campaign, new, [])
    here, fresh = gained(reach, trial)[RigId("R1")]
    assert here == fresh == [ZoneId("Z2")]
    assert len(campaign.positions) == 1


def test_by_routes_a_trial_is_tied_in_where_it_is_told_to():
    campaign = site(
        reach_by=ReachBy.ROUTES,
        positions=(make.position(),),
        routes=(make.route("P1", "Z1", 10.0),),
    )
    new = make.position("N1", x_m=50.0, z_m=2.0)
    trial = try_position(campaign, new, [("Z2", 12.0)])
    assert [(leg.start, leg.end, leg.length_m, leg.rise_m) for leg in trial.routes] == [
        ("N1", "Z2", 12.0, -2.0)
    ]
    assert gained(Reach(campaign), trial)[RigId("R1")][1] == ["Z2"]
    assert nearest_places(campaign, (50.0, 0.0, 0.0))[0] == ("Z2", 10.0)


def test_names_cannot_put_markup_on_the_map():
    name = "<a href='x'>Z</a>"
    campaign = site(zones=(make.zone(name),))
    figure = site_sheet(campaign, sheet_of(campaign, Side.DOWN), Interest())
    assert "<a href" not in str(figure.data[metas(figure).index("zone points")].customdata[0][0])


def test_placing_offers_points_to_click():
    campaign = site()
    figure = site_sheet(campaign, sheet_of(campaign, Side.DOWN), Interest(is_placing=True))
    assert len(figure.data[metas(figure).index("places")].x) > 50
    assert "places" not in metas(site_sheet(campaign, sheet_of(campaign, Side.UP), Interest()))


@pytest.mark.parametrize(("rough", "nice"), [(0.9, 1.0), (1.1, 2.0), (3.0, 5.0), (60.0, 100.0)])
def test_steps_are_round(rough, nice):
    assert nice_step(rough) == nice


def test_an_outline_is_read_from_lines_and_areas():
    ring = [[0, 0], [4, 0], [4, 3], [0, 0]]
    text = json.dumps(
        {
            "type": "FeatureCollection",
            "features": [
                {"type": "Feature", "geometry": {"type": "Polygon", "coordinates": [ring]}},
                {"type": "Feature", "geometry": None},
                {"type": "Feature", "geometry": {"type": "Point", "coordinates": [1, 1]}},
                {"type": "LineString", "coordinates": [[0, 0], [1, 2]]},
            ],
        }
    )
    assert outline(text) == [
        [(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 0.0)],
        [(0.0, 0.0), (1.0, 2.0)],
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "no JSON"),
        ("[]", "cannot be read"),
        ('{"type": "LineString", "coordinates": [["a", 1]]}', "cannot be read"),
        ('{"type": "Point", "coordinates": [1, 1]}', "no line and no area"),
        ("[" * 100_000, "cannot be read"),
    ],
)
def test_what_is_no_outline_is_told(text, words):
    with pytest.raises(OutlineError, match=words):
        outline(text)


def test_tables_leave_as_files_without_formulas():
    frame = pd.DataFrame({"Zone": ["=1+1", "Zürich"], "Minutes": [1, -2]})
    lines = csv_bytes(frame).decode("utf-8-sig").splitlines()
    assert lines == ["Zone,Minutes", "'=1+1,1", "Zürich,-2"]
    page = load_workbook(BytesIO(xlsx_bytes(frame, sheet="zones"))).active
    assert page is not None
    assert [cell.value for cell in page[2]] == ["=1+1", 1]
    assert page["A2"].data_type != "f"
    assert page.freeze_panes == "A2"


def test_an_empty_table_leaves_as_a_file_too():
    frame = pd.DataFrame(columns=["Zone"])
    page = load_workbook(BytesIO(xlsx_bytes(frame, sheet="x" * 40))).active
    assert page is not None
    assert page.title == "x" * 31
