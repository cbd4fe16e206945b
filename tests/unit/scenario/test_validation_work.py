"""Zones, rigs, crews, shifts, routes, limits, mixes and progress seen together."""

import pytest

from planner.scenario.validation.order import circles
from tests.unit.scenario.scenes import (
    MIX,
    PLACE,
    TABLES,
    ZONE,
    is_error,
    marks,
    only,
    problems,
    scene,
    sewer,
    tidal,
    zones,
)

RIG, CREW, SHIFT = TABLES["rigs"][0], TABLES["crews"][0], TABLES["shifts"][0]
WET_RIG = RIG | {"process": "wet", "rise_factor": "3", "bend_m": "3"}


@pytest.mark.parametrize(
    ("change", "column", "code"),
    [
        ({"area_m2": ""}, "area_m2", "missing-value"),
        ({"depth_mm": ""}, "depth_mm", "missing-value"),
        ({"volume_m3": "40"}, "volume_m3", "odd-number"),
        ({"depth_mm": "9"}, "depth_mm", "odd-number"),
        ({"area_m2": "5000"}, "area_m2", "odd-number"),
        ({"ready_from": "2027-04-12"}, "ready_from", "outside-campaign"),
        ({"due": "2027-04-04"}, "due", "outside-campaign"),
        ({"due": "2027-04-06", "ready_from": "2027-04-07"}, "due", "due-before-ready"),
        ({"water_max_m": "1"}, "water_max_m", "column-not-used"),
        ({"get_in_min": "-5"}, "get_in_min", "out-of-range"),
    ],
)
def test_a_zone_that_is_wrong_or_odd_is_told(change, column, code):
    found = only(scene(zones=zones(change)))
    assert marks([found]) == [("zones.csv", 2, column, code)]


def test_a_zone_with_a_volume_needs_neither_area_nor_depth():
    rows = zones({"volume_m3": "0.5", "area_m2": "", "depth_mm": ""})
    assert problems(scene(zones=rows)) == []


@pytest.mark.parametrize(
    ("change", "column", "code", "says"),
    [
        ({"water_max_m": ""}, "water_max_m", "missing-value", "or never"),
        ({"wets_at_m": ""}, "wets_at_m", "missing-value", "or never"),
        (
            {"water_max_m": "never", "water_min_m": "0"},
            "water_min_m",
            "water-min-without-max",
            "a rising float traps people",
        ),
        ({"water_min_m": "0.6"}, "water_min_m", "water-min-above-max", "could never work"),
        ({"water_min_m": "0.5"}, "water_min_m", "never-open", "leave nothing"),
        ({"water_max_m": "-2.5"}, "water_max_m", "never-open", "below the lowest water"),
        ({"water_max_m": "500"}, "water_max_m", "odd-number", "metres above the site datum"),
        ({"water_max_m": "90000"}, "water_max_m", "out-of-range", "metres above the site datum"),
    ],
)
def test_a_zone_and_its_water_are_told(change, column, code, says):
    found = only(tidal(change))
    assert marks([found]) == [("zones.csv", 2, column, code)]
    assert says in found.message


def test_levels_that_no_tide_reaches_hint_at_units_or_datum():
    # M2 of 2 m reaches 2.4 m with the greatest nodal factor.
    found = only(tidal({"water_max_m": "3"}, {"water_max_m": "2.5"}))
    assert marks([found]) == [("zones.csv", None, "water_max_m", "water-never-stops")]
    assert problems(tidal({"water_max_m": "3"}, {"water_max_m": "2.3"})) == []


@pytest.mark.parametrize(
    ("change", "code"),
    [({"section": ""}, "missing-value"), ({"section": "S9"}, "unknown-reference")],
)
def test_a_zone_in_a_sewer_needs_a_section_of_it(change, code):
    assert marks(problems(sewer(change))) == [("zones.csv", 2, "section", code)]


def test_zones_that_wait_for_one_another_are_shown_as_a_circle():
    rows = zones({"after": "Z3"}, {"after": "Z1"}, {"after": "Z2"}, {"after": "Z4;Z1"})
    found = problems(scene({"reach.by": "grid"}, zones=rows, routes=None))
    assert marks(found) == [
        ("zones.csv", 2, "after", "order-cycle"),
        ("zones.csv", 5, "after", "order-cycle"),
    ]
    assert "Z1 after Z3 after Z2 after Z1" in found[0].message
    assert "waits for itself" in found[1].message


def test_a_chain_of_ten_thousand_zones_is_no_circle_until_its_ends_are_tied():
    after: dict[str, tuple[str, ...]] = {f"Z{k}": (f"Z{k + 1}",) for k in range(9_999)}
    after["Z9999"] = ()
    assert circles(after) == []
    after["Z9999"] = ("Z0",)
    assert [len(circle) for circle in circles(after)] == [10_000]


@pytest.mark.parametrize("cell", ["rise_factor", "bend_m"])
def test_a_wet_rig_has_no_default_for_rise_and_bends(cell):
    found = only(scene(rigs=[WET_RIG | {cell: ""}]))
    assert marks([found]) == [("rigs.csv", 2, cell, "missing-value")]


@pytest.mark.parametrize(
    ("row", "column", "code", "error"),
    [
        (RIG | {"mixes": "wet"}, "mixes", "wrong-process", True),
        (RIG | {"idle_max_min": "5"}, "idle_max_min", "odd-number", False),
        (RIG | {"from": "2027-04-07", "to": "2027-04-06"}, "to", "end-before-start", True),
        (RIG | {"from": "2027-05-07"}, "from", "outside-campaign", False),
        (RIG | {"to": "2027-04-01"}, "to", "outside-campaign", False),
        (RIG | {"rate_m3_h": "60"}, "rate_m3_h", "odd-number", False),
        (RIG | {"nozzle_on": "80"}, "nozzle_on", "out-of-range", True),
        (RIG | {"nozzle_on": "0"}, "nozzle_on", "out-of-range", True),
        (RIG | {"rate_loss_per_100m": "10"}, "rate_loss_per_100m", "out-of-range", True),
    ],
)
def test_a_rig_that_is_wrong_or_odd_is_told(row, column, code, error):
    found = only(scene(rigs=[row]))
    assert marks([found]) == [("rigs.csv", 2, column, code)]
    assert is_error(found) is error


def test_a_rig_for_which_there_is_no_mix_is_remarked_on():
    found = only(scene(rigs=[RIG, WET_RIG | {"rig": "R2"}], mixes=[MIX]))
    assert marks([found]) == [("rigs.csv", 3, "process", "no-mix")]


def test_more_rigs_at_a_position_than_it_takes_are_remarked_on():
    found = only(scene(rigs=[RIG | {"at": "P1"}, RIG | {"rig": "R2", "at": "P1"}]))
    assert marks([found]) == [("positions.csv", 2, "rigs_max", "too-many-rigs")]


def test_a_rig_that_stands_where_its_process_is_not_allowed_is_remarked_on():
    place = TABLES["positions"][0] | {"processes": "wet"}
    found = only(scene(positions=[place], rigs=[RIG | {"at": "P1"}]))
    assert marks([found]) == [("rigs.csv", 2, "at", "wrong-process")]


@pytest.mark.parametrize(
    ("row", "column", "code", "error"),
    [
        (CREW | {"kind": "break_out"}, "rate_m3_h", "missing-column", True),
        (CREW | {"rate_m3_h": "1"}, "rate_m3_h", "column-not-used", False),
        (CREW | {"duty_max_h": "10", "rest_min_h": ""}, "rest_min_h", "missing-value", True),
        (CREW | {"rest_min_h": "10"}, "rest_min_h", "column-not-used", False),
        (CREW | {"duty_max_h": "600", "rest_min_h": "8"}, "duty_max_h", "odd-number", False),
    ],
)
def test_a_crew_that_is_wrong_or_odd_is_told(row, column, code, error):
    found = [p for p in problems(scene(crews=[row])) if p.code != "nobody-sprays"]
    assert [(p.file, p.column, p.code, is_error(p)) for p in found] == [
        ("crews.csv", column, code, error)
    ]


def test_a_campaign_in_which_nobody_sprays_is_remarked_on():
    crew = CREW | {"kind": "break_out", "rate_m3_h": "0.3"}
    assert marks(problems(scene(crews=[crew]))) == [("crews.csv", None, "", "nobody-sprays")]
    found = only(scene(crews=[CREW | {"processes": "wet"}]))
    assert marks([found]) == [("rigs.csv", 2, "process", "nobody-sprays")]


@pytest.mark.parametrize(
    ("start", "end", "hours"), [("07:00", "19:30", "12.5 h"), ("07:00", "07:00", "24 h")]
)
def test_a_long_shift_without_a_longest_duty_is_remarked_on(start, end, hours):
    shift = SHIFT | {"start": start, "end": end}
    found = only(scene(shifts=[shift]))
    assert marks([found]) == [("shifts.csv", 2, "end", "long-shift")]
    assert hours in found.message
    assert not is_error(found)
    rested = CREW | {"duty_max_h": "12", "rest_min_h": "11"}
    assert problems(scene(shifts=[shift], crews=[rested])) == []
    assert problems(scene(shifts=[SHIFT | {"start": "20:00", "end": "08:00"}])) == []


LEG = {"from": "P1", "to": "Z1", "length_m": "30", "rise_m": "0"}


@pytest.mark.parametrize(
    ("rows", "mark"),
    [
        ([LEG, {"from": "P1", "to": "P1", "length_m": "3"}], (3, "to", "route-to-itself")),
        ([LEG, {"from": "Z1", "to": "P1", "length_m": "3"}], (3, "from", "duplicate")),
        ([LEG | {"rise_m": "5"}], (2, "rise_m", "odd-rise")),
        ([LEG, {"from": "P1", "to": "W", "length_m": "3"}], (3, "to", "dead-end")),
        (
            [LEG, {"from": "P1", "to": "W", "length_m": "3", "rise_m": "4"}, LEG | {"from": "W"}],
            (3, "rise_m", "odd-rise"),
        ),
    ],
)
def test_a_route_that_is_wrong_or_odd_is_told(rows, mark):
    both = [*rows, TABLES["routes"][1]]
    assert marks(problems(scene(routes=both))) == [("routes.csv", *mark)]


def test_a_hose_shorter_than_the_straight_line_is_remarked_on():
    rows = [ZONE | {"x_m": "30", "y_m": "40"}, ZONE | {"zone": "Z2"}]
    found = only(scene(zones=rows))  # 30 m of hose over 50 m
    assert marks([found]) == [("routes.csv", 2, "length_m", "too-short-hose")]
    assert "50.0 m" in found.message


def test_zones_and_positions_without_a_route_are_remarked_on():
    rows = [*TABLES["positions"], {"position": "P2", **PLACE}]
    found = problems(scene(positions=rows, routes=[LEG]))
    assert marks(found) == [
        ("zones.csv", 3, "zone", "no-route"),
        ("positions.csv", 3, "position", "no-route"),
    ]


@pytest.mark.parametrize(
    ("row", "column", "code"),
    [
        ({"scope": "site", "id": "P1", "to": "2027-04-06"}, "id", "closure-target"),
        ({"scope": "zone", "id": ""}, "id", "missing-value"),
        ({"scope": "site", "start": "22:00", "end": ""}, "end", "missing-value"),
        ({"scope": "site", "start": "", "end": "06:00"}, "start", "missing-value"),
        (
            {"scope": "site", "from": "2027-04-07", "to": "2027-04-06"},
            "to",
            "end-before-start",
        ),
        (
            {"scope": "site", "from": "2027-04-07T10:00", "to": "2027-04-07T10:00"},
            "to",
            "end-before-start",
        ),
        ({"scope": "site", "from": "2027-01-01", "to": ""}, "from", "always-closed"),
    ],
)
def test_a_closure_that_is_wrong_or_odd_is_told(row, column, code):
    found = only(scene(closures=[row]))
    assert marks([found]) == [("closures.csv", 2, column, code)]


def test_limits_that_mean_nothing_are_told():
    itself = only(scene(apart=[{"zone_a": "Z1", "zone_b": "Z1", "kind": "work"}]))
    assert marks([itself]) == [("apart.csv", 2, "zone_b", "apart-from-itself")]
    loose = only(scene(open_limits=[{"group": "g", "zones": "Z1;Z2", "open_max": "2"}]))
    assert marks([loose]) == [("open_limits.csv", 2, "open_max", "limit-without-effect")]


@pytest.mark.parametrize(
    ("rows", "mark"),
    [
        ([MIX | {"layer_gap_max_h": "6"}], (2, "layer_gap_max_h", "gap-max-below-min")),
        (
            [MIX, MIX | {"orientation": "floor", "process": "wet"}],
            (3, "process", "wrong-process"),
        ),
        ([MIX | {"rebound": "0.8"}], (2, "rebound", "odd-number")),
    ],
)
def test_a_mix_that_is_wrong_or_odd_is_told(rows, mark):
    assert marks(problems(scene(mixes=rows))) == [("mixes.csv", *mark)]


@pytest.mark.parametrize(
    ("change", "mixes", "says"),
    [
        # 41 mm overhead is two layers of the built-in 40 mm.
        ({"depth_mm": "41"}, None, "41 mm needs 2 layers of at most 40 mm and layer_gap_min_h"),
        ({"wets_at_m": "1"}, None, "water reaches the zone (wets_at_m) and protect_h"),
        ({"orientation": "floor"}, [MIX], "any mix has no row for floor in mixes.csv"),
        ({"mixes": "dry", "orientation": "floor"}, [MIX], "dry has no row for floor"),
        ({"depth_mm": "90"}, [MIX | {"layer_gap_min_h": ""}], "fill it in mixes.csv"),
    ],
)
def test_a_zone_left_without_a_mix_says_what_is_missing(change, mixes, says):
    found = only(tidal(change, mixes=mixes))
    assert marks([found]) == [("zones.csv", 2, "mixes", "no-usable-mix")]
    assert says in found.message


def test_a_zone_with_one_usable_mix_among_several_is_fine():
    rows = [MIX | {"layer_gap_min_h": ""}, MIX | {"mix": "quick"}]
    assert problems(tidal({"depth_mm": "90"}, mixes=rows)) == []


def test_dry_land_asks_for_no_protection_time():
    found = only(scene(zones=zones({"wets_at_m": "1"})))
    assert found.code == "column-not-used"


DONE = {"zone": "Z1", "layer": "1", "done_m3": "0.2", "at": "2027-04-05T12:00"}
# Z1 takes 10 m2 x 40 mm x 1.10 = 0.44 m3 in one layer.


@pytest.mark.parametrize(
    ("rows", "mark", "error"),
    [
        ([DONE | {"layer": "2"}], (2, "layer", "unknown-layer"), True),
        ([DONE | {"done_m3": "0.45"}], (2, "done_m3", "done-above-share"), False),
        ([DONE, DONE | {"done_m3": "0.3"}], (3, "done_m3", "done-above-share"), False),
        ([DONE | {"left_m3": "0.5"}], (2, "left_m3", "left-above-share"), False),
        ([DONE | {"at": "2027-04-01"}], (2, "at", "outside-campaign"), False),
        ([DONE | {"at": "2027-04-12"}], (2, "at", "outside-campaign"), True),
        ([DONE | {"done_m3": ""}], (2, "done_m3", "missing-value"), True),
    ],
)
def test_progress_that_is_wrong_or_odd_is_told(rows, mark, error):
    found = only(scene(progress=rows))
    assert marks([found]) == [("progress.csv", *mark)]
    assert is_error(found) is error


def test_progress_of_the_whole_share_is_fine_and_a_layer_passed_over_is_remarked_on():
    assert problems(scene(progress=[DONE | {"done_m3": "0.44"}])) == []
    two = tidal({"depth_mm": "90"}, mixes=[MIX], progress=[DONE | {"layer": "2"}])
    assert marks(problems(two)) == [("progress.csv", 2, "layer", "layer-skipped")]
