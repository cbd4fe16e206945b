"""Times and lengths in words; stays; closures; what a scenario is about."""

import pytest

from planner.model.identifiers import PositionId, RigId
from planner.model.limits import ClosureScope
from planner.plan.plan import Plan
from planner.reports import wording
from planner.reports.closed import notes_on, rig_closed
from planner.reports.overview import heights_frame, lines
from planner.reports.stays import main_position, stays
from tests import builders as make
from tests.unit.reports.plans import DAY, two_rigs, two_rigs_plan


def test_a_moment_is_said_in_the_site_s_time():
    assert wording.moment(make.clock(), 390) == "Mon 2 Mar 06:30"


def test_the_day_is_said_again_only_where_it_changes():
    clock = make.clock()
    assert wording.time_range(clock, 390, 456) == "Mon 2 Mar 06:30 to 07:36"
    assert wording.time_range(clock, 1380, 1500) == "Mon 2 Mar 23:00 to Tue 3 Mar 01:00"


@pytest.mark.parametrize(
    ("minutes", "text"), [(45, "45 min"), (90, "1.5 h"), (2879, "48.0 h"), (2880, "2.0 days")]
)
def test_lengths_of_time_have_the_unit_that_fits(minutes, text):
    assert wording.duration(minutes) == text


def test_stays_follow_runs_and_relocations():
    found = stays(two_rigs_plan(), RigId("R1"))
    assert [(stay.position, stay.number, stay.runs) for stay in found] == [
        ("P1", 1, 2),
        ("P2", 2, 1),
    ]
    assert found[0].volume_m3 == pytest.approx(3.3)


def test_a_place_passed_through_is_a_stay_without_runs():
    plan = Plan(
        relocations=(
            make.relocation(start_min=0, end_min=60),
            make.relocation(
                from_position=PositionId("P2"),
                to_position=PositionId("P3"),
                start_min=60,
                end_min=120,
            ),
        ),
        runs=(make.run(position=PositionId("P3")),),
    )
    found = stays(plan, RigId("R1"))
    assert [(stay.position, stay.runs) for stay in found] == [("P1", 0), ("P2", 0), ("P3", 1)]


def test_a_rig_without_work_stays_nowhere():
    assert stays(two_rigs_plan(), RigId("R9")) == []


def test_a_zone_belongs_to_the_position_that_sprays_most_of_it():
    plan = Plan(
        spells=(
            make.spell(volume_m3=0.7),
            make.spell(volume_m3=1.5, position=PositionId("P2"), layer=2),
        )
    )
    assert main_position(plan) == {"Z1": "P2"}


def test_a_rig_is_closed_with_the_site_its_process_and_itself():
    campaign = make.campaign(
        closures=(
            make.closure(from_min=0, to_min=60),
            make.closure(ClosureScope.PROCESS, "dry", from_min=120, to_min=180),
            make.closure(ClosureScope.RIG, "R1", from_min=300, to_min=360),
            make.closure(ClosureScope.PROCESS, "wet", from_min=500, to_min=600),
            make.closure(ClosureScope.RIG, "R2", from_min=700, to_min=800),
        )
    )
    assert list(rig_closed(campaign, RigId("R1"))) == [(0, 60), (120, 180), (300, 360)]


def test_closures_of_a_day_are_told_with_their_reason():
    campaign = make.campaign(
        closures=(make.closure(why="holiday"), make.closure(ClosureScope.POSITION, "P1"))
    )
    assert [note.text for note in notes_on(campaign, 0, DAY)] == [
        "site closed: holiday",
        "P1 closed",
    ]
    assert notes_on(campaign, DAY, 2 * DAY) == []


def test_a_scenario_is_told_in_a_few_lines():
    told = lines(two_rigs())
    assert told[0] == "4 zones, 8.8 m³ in place, and 3 set-up positions"
    assert "rigs R1 (dry), R2 (dry)" in told[2]


def test_windows_are_summed_up_for_each_height():
    frame = heights_frame(two_rigs())
    assert list(frame["Zones"]) == [1, 2, 1]
    assert list(frame["Water at most (m)"]) == ["+0.50", "+1.00", "never in the way"]
    # at or below 1 m from 18:30 to 11:30, over midnight: 17 h
    assert frame["Median (h)"][1] == pytest.approx(17.0)
