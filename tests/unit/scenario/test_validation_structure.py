"""Tables, columns, keys and identifiers seen together."""

from dataclasses import replace

import pytest

from planner.scenario.raw import RawTable
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


@pytest.mark.parametrize("tables", [scene(), tidal(), sewer()], ids=["dry", "tide", "sewer"])
def test_a_scenario_that_is_right_draws_no_remark(tables):
    assert problems(tables) == []


@pytest.mark.parametrize("table", ["zones", "positions", "rigs", "crews", "shifts", "routes"])
def test_a_required_table_that_is_missing_is_told_once(table):
    found = problems(scene(**{table: None}))
    assert (f"{table}.csv", None, "", "missing-table") in marks(found)
    assert {p.code for p in found if is_error(p)} == {"missing-table"}


def test_hose_routes_are_not_needed_on_a_grid():
    assert problems(scene({"reach.by": "grid"}, routes=None)) == []
    found = only(scene({"reach.by": "grid"}))
    assert marks([found]) == [("routes.csv", None, "", "table-not-used")]


@pytest.mark.parametrize(
    ("kind", "table"),
    [("tide", "constituents"), ("highlow", "highlow"), ("levels", "levels"), ("sewer", "sewer")],
)
def test_each_kind_of_water_needs_its_table(kind, table):
    found = problems(scene({"water.kind": kind}))
    told = [p for p in found if p.code == "missing-table"]
    assert f"{table}.csv" in [p.file for p in told]
    assert f'water.kind is "{kind}"' in told[0].message


def test_a_water_table_of_another_kind_is_remarked_on():
    rows = [{"time": "2027-04-05", "level_m": "1"}, {"time": "2027-04-12", "level_m": "1"}]
    found = only(tidal(levels=rows))
    assert marks([found]) == [("levels.csv", None, "", "table-not-used")]
    assert not is_error(found)


def test_a_column_that_is_one_letter_off_is_refused_with_what_it_meant():
    found = only(scene(zones=[ZONE | {"prioritty": "2"}, ZONE | {"zone": "Z2"}]))
    assert marks([found]) == [("zones.csv", 1, "prioritty", "unknown-column")]
    assert is_error(found)
    assert 'did you mean "priority"?' in found.message


def test_a_column_of_ones_own_is_remarked_on_and_kept():
    found = only(scene(zones=[ZONE | {"surveyor": "x"}, ZONE | {"zone": "Z2"}]))
    assert marks([found]) == [("zones.csv", 1, "surveyor", "unknown-column")]
    assert not is_error(found)


def test_a_column_of_ones_own_may_be_like_one_that_is_there():
    # depth_cm is one letter off depth_mm, but depth_mm is there, so nothing is lost.
    found = only(scene(zones=[ZONE | {"depth_cm": "4"}, ZONE | {"zone": "Z2"}]))
    assert not is_error(found)


def test_a_key_that_is_one_letter_off_is_refused_and_another_one_is_kept():
    found = problems(scene({"rules.wast": "0.05", "site.manager": "x"}))
    assert [(p.column, p.code, is_error(p)) for p in found] == [
        ("rules.wast", "unknown-key", True),
        ("site.manager", "unknown-key", False),
    ]
    assert found[0].row == 7  # after the heading of a sheet and five keys


def test_a_group_of_prices_that_is_one_letter_off_is_refused_with_what_it_meant():
    found = only(scene({"prices.rig_days.R1": "5"}))
    assert is_error(found)
    assert 'did you mean "prices.rig_day.R1"?' in found.message
    plain = only(scene({"prices.days": "5"}))
    assert 'did you mean "prices.day"?' in plain.message


def test_what_no_terminal_should_be_sent_is_not_in_a_problem():
    found = problems(scene({"a\x1b[31m": "1"}, zones=[ZONE | {"no\nte": "x"}, ZONE]))
    assert all(problem.line().isprintable() for problem in found)


def test_a_required_column_that_is_missing_is_told_once_and_not_for_each_row():
    found = problems(scene(shifts=[{"shift": "day", "days": "Mon", "start": "07:00"}] * 1))
    assert marks(found) == [("shifts.csv", 1, "end", "missing-column")]
    bare = [{key: text for key, text in ZONE.items() if key != "area_m2"}]
    found = problems(scene(zones=[bare[0], bare[0] | {"zone": "Z2"}]))
    assert marks(found) == [("zones.csv", 1, "area_m2", "missing-column")]


def test_an_empty_cell_that_must_be_filled_is_told_with_its_row():
    found = only(scene(rigs=[RIG, RIG | {"rig": "R2", "hose_max_m": ""}]))
    assert marks([found]) == [("rigs.csv", 3, "hose_max_m", "missing-value")]


@pytest.mark.parametrize("key", ["campaign.name", "campaign.start", "water.kind"])
def test_a_required_key_that_is_missing_is_told(key):
    assert ("campaign.toml", None, key, "missing-key") in marks(problems(scene({key: ""})))


@pytest.mark.parametrize(
    ("table", "rows", "column"),
    [
        ("zones", [ZONE, ZONE], "zone"),
        ("rigs", [RIG, RIG], "rig"),
        ("crews", [CREW, CREW | {"kind": "break_out", "rate_m3_h": "1"}], "crew"),
        ("shifts", [SHIFT, SHIFT], "shift"),
        ("positions", [TABLES["positions"][0]] * 2, "position"),
        ("mixes", [MIX, MIX], "mix"),
        ("waypoints", [{"waypoint": "W", **PLACE}] * 2, "waypoint"),
        ("open_limits", [{"group": "g", "zones": "Z1;Z2", "open_max": "1"}] * 2, "group"),
        ("apart", [{"zone_a": "Z1", "zone_b": "Z2", "kind": "open"}] * 2, "zone_a"),
    ],
)
def test_a_row_that_stands_twice_is_told_with_the_first_one(table, rows, column):
    found = [p for p in problems(scene(**{table: rows})) if p.code == "duplicate"]
    assert marks(found) == [(f"{table}.csv", 3, column, "duplicate")]
    assert "row 2" in found[0].message


def test_a_pair_told_the_other_way_round_is_remarked_on():
    rows = [
        {"zone_a": "Z1", "zone_b": "Z2", "kind": "open"},
        {"zone_a": "Z2", "zone_b": "Z1", "kind": "open"},
    ]
    found = only(scene(apart=rows))
    assert marks([found]) == [("apart.csv", 3, "zone_a", "duplicate")]
    assert not is_error(found)


def test_names_that_routes_cannot_tell_apart_are_refused():
    rows = [*TABLES["positions"], TABLES["positions"][0] | {"position": "Z1"}]
    found = only(scene(positions=rows))
    assert marks([found]) == [("zones.csv", 2, "zone", "identifier-clash")]
    assert problems(scene({"reach.by": "grid"}, positions=rows, routes=None)) == []


PROGRESS = {"zone": "Z1", "layer": "1", "done_m3": "0.1", "at": "2027-04-05T12:00"}


@pytest.mark.parametrize(
    ("change", "mark"),
    [
        ({"zones": zones({"after": "Z2;Z9"})}, ("zones.csv", 2, "after")),
        ({"zones": zones({"mixes": "wet;mud"})}, ("zones.csv", 2, "mixes")),
        ({"rigs": [RIG | {"at": "P9"}]}, ("rigs.csv", 2, "at")),
        ({"rigs": [RIG | {"mixes": "mud"}]}, ("rigs.csv", 2, "mixes")),
        ({"crews": [CREW | {"shift": "late"}]}, ("crews.csv", 2, "shift")),
        (
            {"apart": [{"zone_a": "Z1", "zone_b": "Z9", "kind": "open"}]},
            ("apart.csv", 2, "zone_b"),
        ),
        (
            {"open_limits": [{"group": "g", "zones": "Z1;Z9", "open_max": "1"}]},
            ("open_limits.csv", 2, "zones"),
        ),
        ({"progress": [PROGRESS | {"zone": "Z9"}]}, ("progress.csv", 2, "zone")),
        ({"progress": [PROGRESS | {"rig": "R9"}]}, ("progress.csv", 2, "rig")),
        ({"progress": [PROGRESS | {"crew": "X"}]}, ("progress.csv", 2, "crew")),
        ({"progress": [PROGRESS | {"position": "P9"}]}, ("progress.csv", 2, "position")),
        ({"closures": [{"scope": "position", "id": "P9"}]}, ("closures.csv", 2, "id")),
        ({"closures": [{"scope": "zone", "id": "P1"}]}, ("closures.csv", 2, "id")),
        ({"closures": [{"scope": "rig", "id": "R9"}]}, ("closures.csv", 2, "id")),
        ({"closures": [{"scope": "crew", "id": "X"}]}, ("closures.csv", 2, "id")),
        ({"closures": [{"scope": "section", "id": "S"}]}, ("closures.csv", 2, "id")),
        ({"closures": [{"scope": "process", "id": "damp"}]}, ("closures.csv", 2, "id")),
        (
            {
                "routes": [*TABLES["routes"], {"from": "P1", "to": "W9", "length_m": "3"}],
                "waypoints": [{"waypoint": "W1", **PLACE}],
            },
            ("routes.csv", 4, "to"),
        ),
    ],
)
def test_an_identifier_that_stands_nowhere_is_told(change, mark):
    found = problems(scene(**change))
    assert marks(found) == [(*mark, "unknown-reference")]


@pytest.mark.parametrize(
    "key",
    [
        "prices.rig_day.R9",
        "prices.crew_shift.X",
        "prices.crew_standby_day.X",
        "prices.material_m3.mud",
        "prices.hose_m3.damp",
        "prices.line_waste_m3.damp",
        "prices.load_min_m3.damp",
        "prices.load_step_m3.damp",
    ],
)
def test_a_price_of_somebody_unknown_is_told(key):
    found = only(scene({key: "0.5"}))
    assert marks([found]) == [("campaign.toml", 7, key, "unknown-reference")]


def test_a_lifting_gang_needs_a_shift_that_is_there():
    found = only(scene({"rules.relocation_shift": "dya"}))
    assert marks([found]) == [("campaign.toml", 7, "rules.relocation_shift", "unknown-reference")]
    assert 'did you mean "day"?' in found.message


def test_mixes_without_rows_are_told_once_and_not_for_each_zone():
    empty = RawTable(columns=tuple(MIX))
    raw = scene({"prices.material_m3.dry": "1"}, zones=zones({"mixes": "dry"}))
    tables = replace(raw, tables={**raw.tables, "mixes": empty})
    assert marks(problems(tables)) == [("mixes.csv", None, "", "empty-table")]


def test_waypoints_without_rows_are_as_good_as_none():
    empty = RawTable(columns=("waypoint",))
    legs = [{"from": "P1", "to": "W", "length_m": "3"}]
    legs += [{"from": "W", "to": zone, "length_m": "30"} for zone in ("Z1", "Z2")]
    raw = scene(routes=legs)
    assert problems(replace(raw, tables={**raw.tables, "waypoints": empty})) == []


def test_a_section_may_be_closed_where_zones_levels_or_sewers_name_it():
    closures = [{"scope": "section", "id": "S1", "from": "2027-04-06", "to": "2027-04-06"}]
    assert problems(sewer(closures=closures)) == []
    assert problems(scene(zones=zones({"section": "S1"}), closures=closures)) == []


def test_a_table_that_cannot_be_read_does_not_draw_a_line_for_each_reference_to_it():
    rows = [{"shift": "", "days": "Mon", "start": "07:00", "end": "17:00"}]
    found = problems(scene(shifts=rows))
    assert marks(found) == [("shifts.csv", 2, "shift", "missing-value")]


@pytest.mark.parametrize(
    ("keys", "code", "column", "says"),
    [
        ({"campaign.end": "2027-04-04"}, "end-before-start", "campaign.end", "swap or mend"),
        ({"campaign.end": "2047-04-04"}, "campaign-too-long", "campaign.end", "at most 3660"),
        ({"campaign.time_zone": "London"}, "unknown-time-zone", "campaign.time_zone", "Europe/L"),
        (
            {"campaign.time_zone": "Europe/Lodnon"},
            "unknown-time-zone",
            "campaign.time_zone",
            "/Lo",
        ),
        ({"campaign.time_zone": "UTC+1"}, "unknown-time-zone", "campaign.time_zone", "offset"),
        ({"campaign.time_zone": "../etc"}, "unknown-time-zone", "campaign.time_zone", "IANA"),
        ({"campaign.time_zone": "right/UTC"}, "unknown-time-zone", "campaign.time_zone", "IANA"),
        ({"campaign.may_worsen": "0"}, "wrong-count", "campaign.may_worsen", "the last: 2"),
        ({"campaign.may_worsen": "0;-1"}, "out-of-range", "campaign.may_worsen", "below 0"),
        ({"campaign.goal": "speed"}, "unknown-word", "campaign.goal", "finish"),
        ({"prices.day": "-1"}, "out-of-range", "prices.day", "below 0"),
        ({"prices.load_step_m3.wet": "0"}, "out-of-range", "prices.load_step_m3.wet", "above 0"),
        ({"rules.overbreak": "10"}, "out-of-range", "rules.overbreak", "0.30"),
    ],
)
def test_a_key_that_is_wrong_is_told(keys, code, column, says):
    found = [p for p in problems(scene(keys)) if is_error(p)]
    assert [(p.file, p.column, p.code) for p in found] == [("campaign.toml", column, code)]
    assert says in found[0].message


@pytest.mark.parametrize(
    ("keys", "code"),
    [
        ({"campaign.end": "2031-04-04"}, "odd-number"),
        ({"water.mean_level_m": "1"}, "key-not-used"),
        ({"water.range_factor": "1.1"}, "key-not-used"),
        ({"rules.spell_min_min": "900"}, "odd-number"),
    ],
)
def test_a_key_that_is_odd_is_remarked_on(keys, code):
    found = only(scene(keys))
    assert (found.code, is_error(found)) == (code, False)


@pytest.mark.parametrize("key", ["rules.get_in_min", "rules.get_out_min"])
def test_in_a_sewer_the_way_in_and_out_has_no_default(key):
    found = only(sewer(keys={key: ""}))
    assert marks([found]) == [("campaign.toml", None, key, "missing-key")]
    assert "safely away" in found.message


def test_all_problems_come_in_one_pass_in_file_and_row_order():
    tables = scene(
        {"campaign.start": "5 April", "water.kind": "lake"},
        zones=zones({"area_m2": "-1"}, {"depth_mm": "x", "after": "Z9"}),
        rigs=[RIG | {"at": "P9", "rate_m3_h": "4,5"}],
        shifts=[SHIFT | {"start": "7"}],
    )
    assert marks(problems(tables)) == [
        ("campaign.toml", 3, "campaign.start", "not-a-date"),
        ("campaign.toml", 6, "water.kind", "unknown-word"),
        ("zones.csv", 2, "area_m2", "out-of-range"),
        ("zones.csv", 3, "depth_mm", "not-a-number"),
        ("zones.csv", 3, "after", "unknown-reference"),
        ("rigs.csv", 2, "rate_m3_h", "not-a-number"),
        ("rigs.csv", 2, "at", "unknown-reference"),
        ("shifts.csv", 2, "start", "not-a-time"),
    ]


def test_very_many_problems_are_counted_and_not_all_listed(monkeypatch):
    monkeypatch.setattr("planner.scenario.findings.PROBLEMS_MAX", 3)
    rows = [ZONE | {"zone": f"Z{k}", "area_m2": "x", "depth_mm": "2"} for k in range(5)]
    found = problems(scene(zones=rows, routes=None))
    assert len(found) == 4
    assert all(is_error(p) for p in found)
    assert "more problems are not listed" in found[-1].message
