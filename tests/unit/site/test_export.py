"""From the journal to progress.csv and zones.csv."""

import pytest

from planner.model.crew import Crew
from planner.model.identifiers import CrewKind
from planner.scenario.raw import RawTable, Tables
from planner.site.entry import Entry
from planner.site.export import (
    by_hand,
    progress_rows,
    progress_table,
    unknown_rows,
    with_records,
    with_tables,
)
from planner.trade.remaining import remaining_layers
from tests import builders as make
from tests.unit.site.scenes import at, found, sprayed, stored


def breaking_out(**changes) -> Crew:
    return make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5, **changes)


def test_rows_are_those_of_the_contract_in_time_order():
    entries = stored(sprayed(start=700, stop=760, left_m3=0.2), sprayed(placed=0.5))
    rows = progress_rows(make.campaign(), entries)
    table = progress_table(make.clock(), rows)
    assert table.columns == (
        "zone",
        "layer",
        "done_m3",
        "left_m3",
        "at",
        "rig",
        "crew",
        "position",
    )
    assert table.rows == (
        ("Z1", "1", "0.5", "", "2026-03-02T10:00:00+00:00", "R1", "C1", "P1"),
        ("Z1", "1", "1", "0.2", "2026-03-02T12:40:00+00:00", "R1", "C1", "P1"),
    )


def test_what_is_left_wins_over_share_minus_done():
    campaign = with_records(make.campaign(), stored(sprayed(placed=1.0, left_m3=0.3)))
    (layer,) = remaining_layers(campaign, campaign.zones[0], campaign.mixes[0])
    assert layer.volume_m3 == 0.3  # not 2.2 - 1.0


def test_losses_levels_and_ticks_make_no_row():
    entries = stored(
        Entry(lost_min=30.0, lost_reason="weather", stop=at(600)),
        Entry(water_m=0.4, stop=at(600)),
        Entry(item="position P1"),
    )
    assert progress_rows(make.campaign(), entries) == ()


def test_a_measure_counts_as_broken_out_only_where_break_out_is_planned():
    entries = stored(found(depth=120.0))
    assert progress_rows(make.campaign(), entries) == ()
    planned = make.campaign(crews=(make.crew(), breaking_out()))
    (row,) = progress_rows(planned, entries)
    assert (row.layer, row.done_m3, row.left_m3, row.at_min) == (1, 0.0, None, 600)


def test_a_find_replaces_the_survey_without_overbreak():
    campaign = with_records(make.campaign(), stored(found(depth=150.0)))
    (zone,) = campaign.zones
    assert zone.in_place_m3(0.10) == 20 * 0.150
    assert zone.surveyed_m3 == 20 * 0.100 * 1.10


def test_area_and_depth_may_be_measured_one_after_the_other():
    campaign = with_records(make.campaign(), stored(found(area=25.0), found(depth=80.0)))
    assert campaign.zones[0].in_place_m3(0.10) == 25 * 0.080


def test_rows_that_no_entry_made_are_known_as_strangers():
    campaign = make.campaign()
    mine = progress_rows(campaign, stored(sprayed()))
    other = make.done(at_min=77)
    assert unknown_rows(campaign, [*mine, other], stored(sprayed())) == (other,)


def test_progress_written_by_hand_counts_beside_the_records():
    hand = make.done("Z1", layer=1, done_m3=0.4, at_min=77)
    campaign = make.campaign(done=(hand, *progress_rows(make.campaign(), stored(sprayed()))))
    both = with_records(campaign, stored(sprayed()))
    (layer,) = remaining_layers(both, both.zones[0], both.mixes[0])
    assert layer.volume_m3 == pytest.approx(2.2 - 0.4 - 1.0)  # the record once, not twice


def test_rows_of_entries_that_were_corrected_since_are_taken_off():
    ever = stored(sprayed(placed=1.0), sprayed(placed=0.7))
    campaign = make.campaign(done=progress_rows(make.campaign(), ever[:1]))
    assert by_hand(campaign, ever).done == ()
    (row,) = with_records(by_hand(campaign, ever), ever[1:]).done
    assert row.done_m3 == 0.7


def test_the_scenario_keeps_every_other_cell_and_column():
    zones = RawTable(
        columns=("zone", "my_note", "depth_mm"), rows=(("Z1", "wet", "100"), ("Z2", "", "50"))
    )
    tables = Tables(campaign={}, tables={"zones": zones})
    changed = with_tables(tables, make.campaign(), stored(found(depth=120.0), sprayed()))
    assert changed.tables["zones"] == RawTable(
        columns=("zone", "my_note", "depth_mm", "found_area_m2", "found_depth_mm"),
        rows=(("Z1", "wet", "100", "", "120"), ("Z2", "", "50", "", "")),
    )
    assert len(changed.tables["progress"].rows) == 1
