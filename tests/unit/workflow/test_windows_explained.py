"""What took lost time, the best weeks, and windows against layers."""

from datetime import date

from planner.model.conditions import AirTemperature, Conditions, MonthNormal
from planner.model.identifiers import ZoneId
from planner.model.limits import ClosureKind
from planner.model.rules import Rules
from planner.workflow.windows_explained import (
    LongestRow,
    TotalRow,
    longest_rows,
    lost_rows,
    total_rows,
    week_rows,
)
from tests.builders import (
    HORIZON_MIN,
    campaign,
    clock,
    closure,
    crew,
    done,
    rig,
    shift,
    zone,
)

H, DAY = 60, 1440
COLD = Conditions(
    air=AirTemperature(
        min_c=5.0, max_c=None, normals=(MonthNormal(month=3, low_c=0.0, high_c=10.0),)
    )
)  # by day from 10:30 to 22:30 it is warm enough


def shut(start, end, **changes):
    return closure(from_min=start, to_min=end, **changes)


def test_each_lost_stretch_names_what_took_it():
    scene = campaign(
        zones=(zone(),),
        closures=(shut(0, 2 * H, why="gale", kind=ClosureKind.WEATHER), shut(H, 3 * H)),
    )
    rows = [(row.start[11:16], row.minutes, row.why) for row in lost_rows(scene)]
    assert rows == [
        ("00:00", 60, "site closed (weather): gale"),
        ("01:00", 60, "site closed (weather): gale; site closed"),
        ("02:00", 60, "site closed"),
    ]


def test_totals_tell_what_a_cause_took_and_what_it_took_alone():
    # 2 days closed; in them 12 h each are cold anyway; each other day loses 12 h to the cold
    scene = campaign(
        zones=(zone(),),
        closures=(shut(0, 2 * DAY, kind=ClosureKind.HOLIDAY),),
        conditions=COLD,
    )
    assert list(total_rows(scene)) == [
        TotalRow(
            zone=ZoneId("Z1"),
            month="2026-03",
            cause="holiday",
            minutes=2 * DAY,
            alone_min=24 * H,
        ),
        TotalRow(
            zone=ZoneId("Z1"),
            month="2026-03",
            cause="temperature",
            minutes=14 * 12 * H,
            alone_min=12 * 12 * H,
        ),
    ]


def test_totals_are_cut_at_the_month_and_add_up_with_the_windows():
    # April from the 1st: 30 and 31 March and 1 April
    spring = clock(first_day=date(2026, 3, 30), last_day=date(2026, 4, 1))
    scene = campaign(clock=spring, zones=(zone(),), closures=(shut(DAY, 2 * DAY + H),))
    rows = [(row.month, row.cause, row.minutes) for row in total_rows(scene)]
    assert rows == [("2026-03", "closure", DAY), ("2026-04", "closure", H)]


def test_what_is_left_in_windows_too_short_is_a_cause_of_its_own():
    scene = campaign(
        zones=(zone(),),
        closures=(shut(0, 600), shut(630, HORIZON_MIN)),
        rules=Rules(window_min_min=45),
    )
    rows = {row.cause: row.minutes for row in total_rows(scene)}
    assert rows["short window"] == 30
    assert rows["closure"] == HORIZON_MIN - 30


def test_the_best_weeks_come_first_and_count_what_a_crew_can_use():
    # first week: 3 days closed; crews work 06:00 to 18:00; each window loses 10 min at each end
    scene = campaign(zones=(zone(), zone("Z2")), closures=(shut(0, 3 * DAY),))
    best, other = week_rows(scene)
    assert (best.week, other.week) == ("2026-03-09", "2026-03-02")
    assert best.staffed_min == 2 * 7 * 12 * H
    assert other.staffed_min == 2 * 4 * 12 * H
    assert other.open_min == 2 * (4 * DAY - 10)
    assert (best.zones, best.longest_min) == (2, 12 * H)


def test_weeks_behind_the_latest_progress_are_not_ahead():
    scene = campaign(zones=(zone(),), done=(done(at_min=7 * DAY),))
    assert [row.week for row in week_rows(scene)] == ["2026-03-09"]


def test_the_longest_window_is_held_against_the_quickest_way_to_spray_the_longest_layer():
    # 2.2 m3 in one layer at 4 m3/h x (1 - 0.5) = 2 m3/h: 66 min, and 10 min zone change
    scene = campaign(zones=(zone(),), closures=(shut(0, 8 * H), shut(8 * H + 90, HORIZON_MIN)))
    (row,) = longest_rows(scene)
    assert row == LongestRow(
        zone=ZoneId("Z1"),
        start="2026-03-02T08:10:00+00:00",
        window_min=70,
        staffed_min=70,
        layer_min=76,
        position=scene.positions[0].position_id,
        rig=scene.rigs[0].rig_id,
        mix=scene.mixes[0].mix_id,
        fits="no",
    )


def test_a_layer_that_may_be_split_is_said_to_need_it():
    scene = campaign(
        zones=(zone(joint_allowed=True),),
        closures=(shut(0, 8 * H), shut(8 * H + 90, HORIZON_MIN)),
    )
    assert [row.fits for row in longest_rows(scene)] == ["split"]
    wide = campaign(zones=(zone(),), closures=(shut(0, 8 * H),))
    assert [row.fits for row in longest_rows(wide)] == ["yes"]


def test_a_zone_that_nothing_reaches_has_no_way():
    scene = campaign(zones=(zone(x_m=500.0),), rigs=(rig(hose_max_m=100.0),))
    (row,) = longest_rows(scene)
    assert (row.layer_min, row.position, row.fits) == ("", "", "no way")


def test_two_shifts_that_touch_do_not_make_one_long_stretch():
    # a spell lies in one shift: 06:00 to 18:00, and 18:00 to 24:00
    scene = campaign(
        zones=(zone(),),
        shifts=(shift(), shift("late", start_tod=18 * H, end_tod=0)),
        crews=(crew(), crew("C2", shift_id="late")),
    )
    (row,) = longest_rows(scene)
    assert row.staffed_min == 12 * H


def test_one_zone_alone_can_be_asked_for():
    scene = campaign(zones=(zone(), zone("Z2")), closures=(shut(0, H),))
    assert {row.zone for row in lost_rows(scene, ZoneId("Z2"))} == {"Z2"}
    assert {row.zone for row in total_rows(scene, ZoneId("Z2"))} == {"Z2"}
    assert [row.zone for row in longest_rows(scene, ZoneId("Z2"))] == ["Z2"]
    assert week_rows(scene, ZoneId("Z2"))[0].zones == 1
