"""Flow series, gates and pumps, and the early warning of a sewer."""

import pytest

from planner.model.water import FlowControl, Season
from tests.unit.scenario.scenes import SECTION, is_error, marks, only, problems, read, sewer, tidal

START, END = "2027-04-05T00:00", "2027-04-12T00:00"


def flow(*rows):
    return [dict(zip(("section", "time", "flow_m3_s"), ("S1", *row), strict=True)) for row in rows]


def every_two_hours():
    hours = range(0, 24, 2)
    days = range(5, 12)
    times = [f"2027-04-{day:02}T{hour:02}:00" for day in days for hour in hours]
    return flow(*((time, "0.1") for time in [*times, END]))


def test_a_section_with_a_flow_series_needs_no_pattern():
    tables = sewer(sewer_flow=every_two_hours(), sewer_pattern=None)
    assert problems(tables) == []
    ((section, points),) = read(tables).water.flows
    assert section == "S1"
    assert points[1].minute == 120.0
    assert points[1].flow_m3_s == 0.1


def test_another_section_without_series_still_needs_a_pattern():
    second = {**SECTION, "section": "S2"}
    tables = sewer(sewer=[SECTION, second], sewer_flow=every_two_hours(), sewer_pattern=None)
    assert marks(problems(tables)) == [("sewer_pattern.csv", None, "", "missing-table")]


def test_a_gap_and_ends_of_a_flow_series_are_remarked_on():
    found = problems(sewer(sewer_flow=flow((START, "0.1"), ("2027-04-05T04:00", "0.1"))))
    told = {p.code: p.message for p in found}
    assert set(told) == {"water-not-covered", "odd-gap"}
    assert 'of section "S1"' in told["water-not-covered"]
    assert "4.0 h" in told["odd-gap"]


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ([(START, "0.1")], "too-few-points"),
        ([(START, "0.1"), (START, "0.2"), (END, "0.1")], "duplicate"),
        ([(START, "80"), (END, "0.1")], "odd-number"),
    ],
)
def test_a_flow_series_that_is_wrong_or_odd_is_told(rows, code):
    assert code in {p.code for p in problems(sewer(sewer_flow=flow(*rows)))}


def control(**cells):
    row = {"section": "S1", "from": "2027-04-06", "to": "2027-04-07", "flow_factor": "0.5"}
    return {**row, **cells}


def test_gates_and_pumps_are_read_with_a_date_as_end_of_its_day():
    tables = sewer(flow_control=[control(price_day="900")])
    assert read(tables).water.controls == (
        FlowControl(
            section="S1", from_min=1440, to_min=3 * 1440, flow_factor=0.5, price_day=900.0
        ),
    )


def test_less_flow_is_counted_inwards_and_more_flow_outwards():
    times = {"from": "2027-04-06T00:00:30", "to": "2027-04-06T10:00:30"}
    less, more = (
        read(sewer(flow_control=[control(flow_factor=factor, **times)])).water.controls[0]
        for factor in ("0.5", "1.2")
    )
    assert (less.from_min, less.to_min) == (1441, 2040)
    assert (more.from_min, more.to_min) == (1440, 2041)


def test_controls_of_one_section_must_not_overlap():
    rows = [control(), control(**{"from": "2027-04-07"}), control(**{"from": "2027-04-08"})]
    rows[1]["to"] = "2027-04-07"
    rows[2]["to"] = "2027-04-08"
    found = only(sewer(flow_control=rows))
    assert marks([found]) == [("flow_control.csv", 3, "from", "overlap")]
    assert "row 2" in found.message


def test_a_control_ends_after_it_begins_and_names_a_known_section():
    backwards = only(sewer(flow_control=[control(to="2027-04-05")]))
    assert marks([backwards]) == [("flow_control.csv", 2, "to", "ends-before-start")]
    stranger = only(sewer(flow_control=[control(section="S9")]))
    assert marks([stranger]) == [("flow_control.csv", 2, "section", "unknown-reference")]


def test_seasons_are_read_and_percentages_are_remarked_on():
    tables = sewer(sewer_season=[{"month": "4", "factor": "1.3", "section": ""}])
    assert read(tables).water.seasons == (Season(month=4, factor=1.3),)
    odd = only(sewer(sewer_season=[{"month": "4", "factor": "90"}]))
    assert "write 130 % as 1.30" in odd.message


def test_sewer_tables_are_not_used_under_a_tide():
    found = only(tidal(sewer_season=[{"month": "4", "factor": "1.3"}]))
    assert marks([found]) == [("sewer_season.csv", None, "", "table-not-used")]


def test_a_way_out_that_takes_longer_than_the_warning_is_told_for_each_zone():
    tables = sewer({"get_out_min": "25"}, {"get_out_min": "10"}, keys={"water.warning_min": "15"})
    found = only(tables)
    assert marks([found]) == [("zones.csv", 2, "get_out_min", "way-out-too-long")]
    assert not is_error(found)
    assert "takes 25 min" in found.message
    assert read(tables).water.warning_min == 15


def test_the_way_out_of_the_rules_is_compared_as_well():
    found = only(sewer(keys={"water.warning_min": "19.5"}))
    assert (found.file, found.column) == ("campaign.toml", "rules.get_out_min")
    assert "takes 20 min for the 2 zones without" in found.message
    assert problems(sewer(keys={"water.warning_min": "20"})) == []
