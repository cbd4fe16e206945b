"""What rigs want at positions: the governing route, ventilation, and rows to show."""

import pytest

from planner.model.identifiers import Orientation, Process
from planner.model.water import Water, WaterKind
from planner.workflow.equipment import NO_REACH, equipment
from planner.workflow.equipment_rows import (
    FIGURES,
    HEADING,
    SHORT_HEADING,
    advice_rows,
    asked,
    csv_rows,
    short_table,
    type_rows,
    why_rows,
)
from tests.builders import campaign, mix, position, rig, route, zone
from tests.unit.trade.sites import pipe, sewer

ROUTES = {"reach_by": "routes"}


def wet(**changes):
    fields = {"process": Process.WET, "rise_factor": 3.0, "bend_m": 4.0, "rate_m3_h": 6.0}
    return rig("W1", **(fields | changes))


def two_zones(**changes):
    """A long level zone FAR, 60 m of hose, and a high one HIGH, 50 m of hose and 20 m up."""
    from planner.model.rules import ReachBy

    fields = {
        "reach_by": ReachBy.ROUTES,
        "zones": (zone("FAR"), zone("HIGH", z_m=20.0)),
        "routes": (
            route("P1", "FAR", 60.0, bends=2.0),
            route("P1", "HIGH", 50.0, rise_m=20.0),
        ),
    }
    return campaign(**(fields | changes))


def test_the_route_with_the_highest_pressure_governs_a_dry_gun():
    (row,) = equipment(two_zones())
    # FAR 310.3 + 2.262 x 29.52 = 377.0; HIGH 310.3 + 2.262 x 19.52 + 4.524 x 20 = 444.9
    assert row.governing is not None
    assert row.governing.zone_id == "HIGH"
    assert row.value("gun_kpa") == pytest.approx(444.9, abs=0.1)
    assert row.value("hose_laid_m") == 50.0
    assert row.value("pump_kpa") is None


def test_the_route_with_the_longest_equivalent_hose_governs_a_wet_pump():
    site = two_zones(rigs=(wet(hose_max_m=200.0),), mixes=(mix("wet", process=Process.WET),))
    (row,) = equipment(site)
    # HIGH 50 + 3 x 20 = 110 m against FAR 60 + 4 x 2 = 68 m
    assert row.governing is not None
    assert row.governing.zone_id == "HIGH"
    assert row.value("hose_m") == 110.0
    # 1.1 x (2000 + 40 x 50 + 25 x 20) = 4950 kPa
    assert row.value("pump_kpa") == pytest.approx(4950.0)


def test_bends_are_found_back_from_the_equivalent_hose():
    site = two_zones(
        zones=(zone("FAR"),),
        routes=(route("P1", "FAR", 60.0, bends=2.0),),
        rigs=(wet(),),
        mixes=(mix("wet", process=Process.WET),),
    )
    (row,) = equipment(site)
    assert row.value("pump_kpa") == pytest.approx(1.1 * (2000 + 40 * 60 + 100 * 2))


def test_only_zones_that_are_reached_and_may_be_sprayed_count():
    site = campaign(
        zones=(
            zone("NEAR"),
            zone("FAR", x_m=500.0),
            zone("WALL", orientation=Orientation.VERTICAL),
        )
    )
    (row,) = equipment(site)
    assert [each.zone_id for each in row.zones] == ["NEAR"]
    assert row.value("zones") == 1.0


def test_a_rig_that_reaches_nothing_has_one_row_that_says_so():
    site = campaign(rigs=(rig("R1", hose_max_m=1.0), rig("R2")))
    none, some = equipment(site)
    assert (none.position, none.figures, none.advice) == (None, (), (NO_REACH,))
    assert (none.row, some.row, some.rig.rig_id) == (1, 2, "R2")


def test_positions_and_rigs_come_in_table_order_and_rows_are_numbered():
    site = campaign(
        rigs=(rig("R2"), rig("R1")), positions=(position("PB"), position("PA", x_m=5.0))
    )
    rows = equipment(site)
    assert [cells[:3] for cells in csv_rows(rows)] == [
        *((1, "R2", "PB"), (2, "R2", "PA"), (3, "R1", "PB"), (4, "R1", "PA")),
    ]


def test_a_sewer_is_ventilated_by_its_bore_and_a_silo_by_its_people():
    (row,) = equipment(sewer())
    # 18.288 x pi / 4 x 2.0^2 = 57.45 m3/min against 6 x 5.663 = 33.98
    assert row.value("ventilation_m3_min") == pytest.approx(57.45, abs=0.01)
    (silo,) = equipment(campaign(zones=(zone(closed_space=True),)))
    assert silo.value("ventilation_m3_min") == pytest.approx(33.98, abs=0.01)
    (outside,) = equipment(campaign())
    assert outside.value("ventilation_m3_min") is None


def test_the_widest_section_that_is_reached_counts():
    water = Water(
        kind=WaterKind.SEWER, sewer=(pipe(), pipe("S2", diameter_m=3.0), pipe("S3", 9.0))
    )
    zones = (*sewer().zones, zone("B", x_m=60.0, section="S2", closed_space=True))
    (row,) = equipment(sewer(water=water, zones=zones))
    assert row.value("ventilation_m3_min") == pytest.approx(18.288 * 3.14159265 / 4 * 9.0)


def test_rows_for_files_have_every_heading_and_every_figure_in_its_place():
    rows = equipment(sewer())
    (cells,) = csv_rows(rows)
    assert len(cells) == len(HEADING)
    by_name = dict(zip(HEADING, cells, strict=True))
    assert (by_name["rig"], by_name["position"], by_name["zone"]) == ("R1", "P1", "S50")
    assert by_name["pump_kw"] is None
    assert by_name["hose_laid_m"] == 50.0
    assert "booster" in str(by_name["advice"])
    assert {figure.name for figure in rows[0].figures} <= {*FIGURES, "zones"}


def test_the_table_for_reading_leaves_out_columns_that_nothing_stands_in():
    heading, rows = short_table(equipment(campaign()))
    assert "fresh air m³/min" not in heading
    assert set(heading) < set(SHORT_HEADING)
    assert all(len(row) == len(heading) for row in rows)
    assert "fresh air m³/min" in short_table(equipment(sewer()))[0]


def test_every_number_of_a_row_tells_where_it_comes_from():
    rows = equipment(sewer())
    told = {each.figure: each for each in why_rows(rows)}
    (cells,) = csv_rows(rows)
    shown = dict(zip(HEADING, cells, strict=True))
    for name in FIGURES:
        if shown[name] is not None:
            assert told[name].value == shown[name]
            assert told[name].formula
            assert told[name].source
            assert told[name].trust
    assert "bends = 0" in told["hose_m"].inputs


def test_the_longest_hose_of_a_kind_tells_the_source_of_the_kind():
    filled = rig(type_id="dry-rotary-bowl", type_filled=("hose_max_m",), hose_max_m=100.0)
    (row,) = equipment(campaign(rigs=(filled,)))
    (plain,) = equipment(campaign())
    kind, given = row.figure("hose_max_m"), plain.figure("hose_max_m")
    assert kind is not None
    assert "bowl guns are rated 150 m" in kind.source
    assert given is not None
    assert given.source == "rigs.csv"


def test_advice_is_told_once_with_its_rows():
    site = campaign(rigs=(rig("R1"), rig("R2"), rig("R3", water_kpa=900.0), rig("R4")))
    found = {text: rows for rows, text in advice_rows(equipment(site))}
    assert {rows for text, rows in found.items() if "booster" in text} == {"1-2, 4"}
    assert {rows for text, rows in found.items() if "no type" in text} == {"1-4"}


def test_rows_are_asked_for_by_rig_first_and_by_number_else():
    site = campaign(rigs=(rig("2"), rig("R1")))
    rows = equipment(site)
    assert [row.row for row in asked(rows, "2")] == [1]
    assert [row.row for row in asked(rows, "1")] == [1]
    assert [row.row for row in asked(rows, "R1")] == [2]
    assert asked(rows, "9") == []


def test_the_catalogue_has_a_row_for_each_value():
    rows = list(type_rows())
    assert len({(row.type, row.value) for row in rows}) == len(rows)
    assert {row.intermittent for row in rows} == {"yes", "no"}
    assert all(row.source and row.unit for row in rows)
