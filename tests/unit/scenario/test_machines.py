"""Rigs that name a kind of machine: what it fills, what is refused, what is warned about."""

import pytest

from planner.model.machines import MACHINES
from planner.model.rig import Rig
from tests.unit.scenario.scenes import (
    MIX,
    TABLES,
    is_error,
    marks,
    only,
    problems,
    read,
    scene,
    sewer,
    zones,
)

RIG = TABLES["rigs"][0]
WET_MIX = MIX | {"mix": "wet", "process": "wet"}


def bare(kind: str, **cells: str) -> dict[str, str]:
    """A rig that says nothing but its kind."""
    return {"rig": "R1", "process": kind.split("-", maxsplit=1)[0], "type": kind, **cells}


def rig(row: dict[str, str]) -> Rig:
    (found,) = read(scene(rigs=[row], mixes=[MIX, WET_MIX])).rigs
    return found


@pytest.mark.parametrize("kind", [machine.type_id for machine in MACHINES])
def test_a_rig_that_says_nothing_but_its_kind_is_complete_and_not_odd(kind):
    tables = scene(rigs=[bare(kind)], mixes=[MIX, WET_MIX])
    assert problems(tables) == []
    assert rig(bare(kind)).type_id == kind


def test_empty_cells_take_the_usual_value_of_the_kind():
    found = rig(bare("wet-piston"))
    assert (found.rate_m3_h, found.hose_max_m, found.rise_max_m) == (6.0, 100.0, 30.0)
    assert (found.rise_factor, found.bend_m) == (3.0, 3.0)
    assert (found.start_up_min, found.clean_up_min, found.idle_max_min) == (30, 40, 45)
    assert (found.move_min, found.hose_bore_mm, found.crew_size) == (120.0, 50.0, 6)
    assert set(found.type_filled) == {
        *("bend_m", "clean_up_min", "crew_size", "hose_bore_mm", "hose_max_m", "idle_max_min"),
        *("move_min", "rate_m3_h", "rise_factor", "rise_max_m", "start_up_min"),
    }


def test_what_sets_the_length_of_a_spell_keeps_its_plain_default():
    found = rig(bare("wet-piston"))
    assert (found.nozzle_on, found.rate_free_m, found.rate_loss_per_100m) == (0.8, 0.0, 0.0)
    assert found.move_min_per_100m == 0.0


def test_a_cell_that_is_filled_wins_also_with_nothing():
    found = rig(bare("dry-rotary-barrel", start_up_min="0", rate_m3_h="4.5", rise_max_m="90"))
    assert (found.start_up_min, found.rate_m3_h, found.rise_max_m) == (0, 4.5, 90.0)
    assert "start_up_min" not in found.type_filled
    assert found.clean_up_min == 20


def test_a_rig_without_a_kind_is_read_as_before():
    found = rig(RIG)
    assert (found.type_id, found.type_filled) == (None, ())
    assert (found.rise_max_m, found.idle_max_min, found.start_up_min) == (None, None, 0)
    assert (found.hose_bore_mm, found.crew_size, found.air_kpa) == (None, None, None)


@pytest.mark.parametrize("column", ["hose_max_m", "rate_m3_h"])
def test_without_a_kind_rate_and_longest_hose_must_be_written(column):
    whole = {name: text for name, text in RIG.items() if name != column}
    for row, code, place in (
        (RIG | {column: ""}, "missing-value", 2),
        (whole, "missing-column", 1),
    ):
        found = only(scene(rigs=[row]))
        assert marks([found]) == [("rigs.csv", place, column, code)]
        assert "or name the rig's type" in found.message


def test_a_wet_rig_without_a_kind_still_needs_its_equivalent_metres():
    wet = RIG | {"process": "wet", "rise_factor": "", "bend_m": "3"}
    found = only(scene(rigs=[wet], mixes=[WET_MIX]))
    assert marks([found]) == [("rigs.csv", 2, "rise_factor", "missing-value")]


def test_an_unknown_kind_is_refused_once_with_those_that_there_are():
    found = only(scene(rigs=[bare("dry-rotary-barel")]))
    assert marks([found])[0][:3] == ("rigs.csv", 2, "type")
    assert "dry-rotary-barrel" in found.message


def test_a_kind_of_the_other_process_is_refused_with_those_that_fit():
    found = only(scene(rigs=[RIG | {"type": "wet-worm"}]))
    assert marks([found]) == [("rigs.csv", 2, "type", "wrong-process")]
    assert is_error(found)
    assert "dry-rotary-bowl" in found.message


@pytest.mark.parametrize(
    ("column", "inside", "outside"),
    [
        ("rate_m3_h", "5", "5.1"),
        ("rate_m3_h", "1", "0.9"),
        ("hose_max_m", "150", "151"),
        ("rise_max_m", "30", "31"),
        ("hose_bore_mm", "51", "52"),
        ("start_up_min", "10", "9"),
        ("clean_up_min", "10", "9"),
        ("idle_max_min", "60", "61"),
        ("move_min", "45", "44"),
        ("crew_size", "9", "10"),
        ("air_m3_min", "2.8", "2.7"),
    ],
)
def test_a_value_outside_the_range_of_the_kind_is_used_and_warned_about(column, inside, outside):
    def found(text):
        return problems(scene(rigs=[bare("dry-rotary-bowl", **{column: text})]))

    assert found(inside) == []
    (warning,) = found(outside)
    assert marks([warning]) == [("rigs.csv", 2, column, "outside-type")]
    assert not is_error(warning)
    assert f"{float(outside):g}" in warning.message
    assert "unusual for a rotary feed-bowl gun" in warning.message
    assert "used as it stands" in warning.message


def test_the_warning_names_the_range_the_trust_and_the_source():
    warning = only(scene(rigs=[bare("dry-rotary-bowl", hose_max_m="400")]))
    assert "at most 150 m (read in the source; bowl guns are rated 150 m" in warning.message


@pytest.mark.parametrize(
    ("column", "text"),
    [
        ("start_up_min", "90"),
        ("clean_up_min", "90"),
        ("move_min", "600"),
        ("hose_max_m", "10"),
        ("rise_max_m", "1"),
        ("idle_max_min", "15"),
    ],
)
def test_what_is_only_more_careful_than_the_kind_is_not_warned_about(column, text):
    assert problems(scene(rigs=[bare("dry-rotary-bowl", **{column: text})])) == []


def test_a_kind_makes_another_scenario_and_its_usual_values_written_out_do_not():
    def mark(row):
        return read(scene(rigs=[row])).fingerprint

    plain = bare("dry-rotary-barrel")
    assert mark(plain) == mark(plain | {"rate_m3_h": "3.0", "crew_size": "6"})
    assert mark(plain) != mark(plain | {"rate_m3_h": "3.1"})
    assert mark(plain) != mark(plain | {"start_up_min": "0"})
    assert mark(RIG) != mark(RIG | {"type": "dry-rotary-barrel"})
    assert mark(RIG) == mark(RIG | {"type": ""})


def test_a_zone_lies_in_a_closed_space_where_it_says_so_and_always_in_a_sewer():
    said = read(scene(zones=zones({"closed_space": "yes"})))
    assert [zone.closed_space for zone in said.zones] == [True, False]
    assert all(zone.closed_space for zone in read(sewer()).zones)


def test_the_time_of_no_entry_has_no_default():
    assert read(scene()).rules.no_entry_h is None
    assert read(scene({"rules.no_entry_h": "6.5"})).rules.no_entry_h == 6.5
    found = only(scene({"rules.no_entry_h": "-1"}))
    assert found.column == "rules.no_entry_h"
    assert is_error(found)
