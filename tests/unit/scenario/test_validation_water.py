"""Water tables seen together."""

import pytest

from tests.unit.scenario.scenes import (
    PLACE,
    SECTION,
    is_error,
    marks,
    only,
    pattern,
    problems,
    scene,
    sewer,
    tidal,
    zones,
)

WET = {"water_max_m": "0.5", "wets_at_m": "never"}


def tide(*rows):
    raw = [dict(zip(("name", "amplitude_m", "phase_deg"), row, strict=True)) for row in rows]
    tables = tidal()
    from tests.unit.scenario.scenes import raw_table

    return type(tables)(
        campaign=tables.campaign, tables={**tables.tables, "constituents": raw_table(raw)}
    )


@pytest.mark.parametrize(
    ("rows", "mark", "says"),
    [
        ([("M2", "2", "0"), ("MZ2", "1", "0")], (3, "name", "unknown-constituent"), "predicted"),
        ([("M2", "2", "0"), ("m2", "1", "0")], (3, "name", "duplicate"), "row 2"),
        ([("M2", "2", "0"), ("M2", "1", "0")], (3, "name", "duplicate"), "row 2"),
        ([("M2", "200", "0")], (2, "amplitude_m", "out-of-range"), "not centimetres or feet"),
        ([("M2", "7", "0")], (2, "amplitude_m", "odd-number"), "not centimetres or feet"),
        ([("M2", "2", "400")], (2, "phase_deg", "out-of-range"), "between 0 and 360"),
    ],
)
def test_a_constituent_that_is_wrong_or_odd_is_told(rows, mark, says):
    found = only(tide(*rows))
    assert marks([found]) == [("constituents.csv", *mark)]
    assert says in found.message


def test_phases_that_look_like_radians_are_remarked_on():
    rows = [(name, "1", "3.1") for name in ("M2", "S2", "N2", "K1", "O1")]
    assert only(tide(*rows)).message.endswith("look like radians")
    assert problems(tide(*rows[:4])) == []


HIGH, LOW = ("2027-04-04T22:00", "4", "high"), ("2027-04-12T04:00", "1", "low")


def highlow(*rows, **keys):
    return scene(
        {"water.kind": "highlow", **{key.replace("__", "."): text for key, text in keys.items()}},
        zones=zones(*({**WET, "water_max_m": "2"} for _ in range(2))),
        highlow=[dict(zip(("time", "level_m", "kind"), row, strict=True)) for row in rows],
    )


def alternating(*, hours):
    """Return high and low waters every so many hours over the campaign."""
    from datetime import datetime, timedelta

    start = datetime.fromisoformat("2027-04-04T22:00")
    return [
        (
            (start + timedelta(hours=hours * k)).isoformat(timespec="minutes"),
            "4" if k % 2 == 0 else "1",
            "high" if k % 2 == 0 else "low",
        )
        for k in range(int(8 * 24 / hours) + 1)
    ]


def test_a_table_of_high_and_low_waters_that_is_right_draws_no_remark():
    assert problems(highlow(*alternating(hours=6))) == []


def test_a_table_out_of_order_is_sorted_with_one_remark():
    rows = alternating(hours=6)
    found = only(highlow(*rows[2:], *rows[:2]))
    assert found.code == "not-in-order"
    assert not is_error(found)


def test_highs_and_lows_must_alternate():
    rows = alternating(hours=6)
    found = problems(highlow(*rows[:3], *rows[4:]))
    assert [(p.row, p.column, p.code) for p in found] == [(5, "kind", "not-alternating")]
    assert "high water follows high water (row 4)" in found[0].message


def test_the_same_time_twice_is_told_with_advice_for_the_hour_that_occurs_twice():
    rows = alternating(hours=6)
    found = [p for p in problems(highlow(*rows, rows[3])) if is_error(p)]
    assert [(p.column, p.code) for p in found] == [("time", "duplicate")]
    assert "offset from UTC" in found[0].message


def test_a_high_water_below_its_low_water_is_told():
    rows = alternating(hours=6)
    rows[2] = (rows[2][0], "0.5", "high")
    found = problems(highlow(*rows))
    assert [(p.row, p.code) for p in found] == [(4, "high-below-low"), (5, "high-below-low")]


def test_shifts_that_swap_high_and_low_water_are_told():
    rows = alternating(hours=6)
    found = problems(highlow(*rows, water__low_shift_min="-400"))
    assert {p.code for p in found if is_error(p)} == {"shifts-swap-tides"}
    assert problems(highlow(*rows, water__low_shift_min="-300")) == []


def test_a_table_that_does_not_cover_the_campaign_or_has_a_hole_is_remarked_on():
    rows = alternating(hours=6)
    assert only(highlow(*rows[2:])).code == "water-not-covered"
    assert only(highlow(*rows[:-8])).code == "water-not-covered"
    found = only(highlow(*rows[:5], *rows[9:]))
    assert (found.row, found.code) == (7, "odd-gap")
    assert "30 h" in found.message


def test_one_high_water_is_no_tide():
    found = problems(highlow(HIGH))
    assert ("highlow.csv", None, "", "too-few-points") in marks(found)


def levels(rows, *changes):
    merged = [WET | dict(change) for change in changes]
    while len(merged) < 2:
        merged.append(WET)
    return scene(
        {"water.kind": "levels"},
        zones=zones(*merged),
        levels=[dict(zip(("time", "level_m", "section"), row, strict=True)) for row in rows],
    )


def series(section="", *, step_h=2, level="0.5"):
    from datetime import datetime, timedelta

    start = datetime.fromisoformat("2027-04-05T00:00")
    return [
        ((start + timedelta(hours=step_h * k)).isoformat(timespec="minutes"), level, section)
        for k in range(7 * 24 // step_h + 1)
    ]


def test_a_series_that_is_right_draws_no_remark():
    assert problems(levels(series())) == []
    own = levels([*series(), *series("dock")], {"section": "dock"})
    assert problems(own) == []


def test_a_zone_without_a_series_is_told():
    found = problems(levels(series("dock"), {"section": "dok"}, {"section": "dock"}))
    assert marks(found) == [("zones.csv", 2, "section", "unknown-reference")]
    assert 'did you mean "dock"?' in found[0].message
    bare = problems(levels(series("dock"), {"section": "dock"}, {}))
    assert marks(bare) == [("zones.csv", 3, "section", "unknown-reference")]


def test_gaps_of_more_than_three_hours_are_remarked_on_once_for_a_series():
    rows = series()
    found = only(levels([*rows[:4], *rows[6:10], *rows[13:]]))
    assert (found.row, found.code) == (6, "odd-gap")
    assert "2 gaps of more than 3 h" in found.message
    assert "6.0 h" in found.message


def test_a_series_out_of_order_is_sorted_and_a_time_twice_is_refused():
    rows = series()
    found = only(levels([rows[1], rows[0], *rows[2:]]))
    assert (found.row, found.code, is_error(found)) == (3, "not-in-order", False)
    found = only(levels([*rows, rows[-1]]))
    assert (found.code, is_error(found)) == ("duplicate", True)


def test_times_in_the_hour_of_a_clock_change_are_remarked_on_once():
    # Europe/London: 01:00 to 02:00 occurs twice on 31 October and not at all on 28 March 2027.
    rows = [(f"2027-10-31T{hour:02d}:30", "0.5", "") for hour in range(0, 24, 2)]
    rows.insert(1, ("2027-10-31T01:30", "0.5", ""))
    rows.insert(2, ("2027-10-31T01:45", "0.5", ""))
    tables = levels(rows)
    found = [p for p in problems(tables) if p.code == "clock-change"]
    assert [(p.row, p.column, is_error(p)) for p in found] == [(3, "time", False)]
    assert "(2 such rows)" in found[0].message
    told = [(f"{time}+00:00" if "T01" in time else time, *rest) for time, *rest in rows]
    assert [p for p in problems(levels(told)) if p.code == "clock-change"] == []
    gone = levels([("2027-03-28T01:30", "0.5", ""), *series()])
    assert "clock-change" in {p.code for p in problems(gone)}


def test_a_series_of_one_time_and_one_that_ends_early_are_told():
    assert ("levels.csv", 2, "time", "too-few-points") in marks(problems(levels(series()[:1])))
    assert only(levels(series()[:-1])).code == "water-not-covered"


def test_a_series_of_a_section_without_zones_is_remarked_on():
    found = only(levels([*series(), *series("dock")]))
    assert (found.column, found.code) == ("section", "not-used")


@pytest.mark.parametrize(
    ("tables", "code", "error"),
    [
        (scene, "column-not-used", False),
        (sewer, "position-without-level", True),
    ],
)
def test_a_position_with_a_water_limit_needs_a_level(tables, code, error):
    place = {"position": "P1", **PLACE, "water_max_m": "1"}
    found = only(tables(positions=[place]))
    assert marks([found]) == [("positions.csv", 2, "water_max_m", code)]
    assert is_error(found) is error


def test_the_limits_of_a_position_must_leave_something():
    place = {"position": "P1", **PLACE, "water_max_m": "1", "water_min_m": "1.5"}
    found = only(tidal(positions=[place]))
    assert marks([found]) == [("positions.csv", 2, "water_min_m", "water-min-above-max")]


@pytest.mark.parametrize(
    ("row", "column", "code"),
    [
        (SECTION | {"diameter_m": "900"}, "diameter_m", "out-of-range"),
        (SECTION | {"diameter_m": "0.5"}, "diameter_m", "odd-number"),
        (SECTION | {"slope": "0"}, "slope", "out-of-range"),
        (SECTION | {"slope": "0.2"}, "slope", "odd-number"),
        (SECTION | {"manning_n": "0.13"}, "manning_n", "odd-number"),
        (SECTION | {"mean_flow_m3_s": "15"}, "mean_flow_m3_s", "odd-number"),
    ],
)
def test_a_sewer_section_that_is_wrong_or_odd_is_told(row, column, code):
    assert marks(problems(sewer(sewer=[row]))) == [("sewer.csv", 2, column, code)]


def test_a_pattern_needs_all_hours_of_the_day():
    found = only(sewer(sewer_pattern=[row for row in pattern() if row["hour"] not in {"3", "17"}]))
    assert marks([found]) == [("sewer_pattern.csv", 2, "hour", "pattern-incomplete")]
    assert "lacks the hours 3, 17" in found.message


def test_an_hour_given_twice_is_told():
    found = only(sewer(sewer_pattern=[*pattern(), pattern()[0]]))
    assert marks([found]) == [("sewer_pattern.csv", 26, "section", "duplicate")]


def test_every_month_of_the_campaign_needs_a_pattern():
    found = only(sewer(sewer_pattern=pattern(month="5")))
    assert marks([found]) == [("sewer.csv", 2, "section", "pattern-incomplete")]
    assert "in month 4" in found.message
    assert problems(sewer(sewer_pattern=[*pattern(month="5"), *pattern(section="S1")])) == []


def test_a_pattern_that_does_not_average_one_is_remarked_on():
    rows = [row | {"weekday": "0.03", "weekend": "0.03"} for row in pattern()]
    found = only(sewer(sewer_pattern=rows))
    assert (found.column, found.code) == ("weekday", "odd-number")
    assert "average 0.03" in found.message


@pytest.mark.parametrize(("depth", "code"), [("0", "never-open"), ("1.6", "odd-limit")])
def test_a_limit_in_a_sewer_is_a_depth_inside_the_pipe(depth, code):
    found = only(sewer({"water_max_m": depth}))
    assert marks([found]) == [("zones.csv", 2, "water_max_m", code)]
    assert "above the invert" in found.message


def test_a_least_depth_in_a_sewer_is_remarked_on():
    found = only(sewer({"water_min_m": "0.1"}))
    assert (found.column, found.code) == ("water_min_m", "odd-limit")
