"""Before each set-up, two plans side by side, three sentences and five figures, usable hours."""

from __future__ import annotations

from dataclasses import replace

import pytest

from planner.access.windows import Access
from planner.explain.ground import Ground
from planner.model.identifiers import CrewId, CrewKind, Goal, PositionId, ShiftId, ZoneId
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.plan.plan import Plan, RunKind
from planner.reports.before_set_up import preparations, preparations_frame
from planner.reports.figures.month_board import month_board
from planner.reports.figures.water_levels import closures_near, grouped, water_levels
from planner.reports.headline import five_figures, headline
from planner.reports.two_plans import figures_frame, moved_frame, what_differs
from planner.reports.usable_hours import day_hours, days_frame, lost_frame
from planner.reports.weekly import weekly_frame
from planner.reports.window_frame import windows_frame
from tests import builders as make
from tests.unit.reports.plans import two_rigs, two_rigs_plan

HOUR = 60
DAY = 24 * HOUR


def items(one):
    return dict(one.items)


def test_each_stay_lists_what_must_be_ready_in_the_order_of_time():
    ground = Ground(two_rigs(), two_rigs_plan())
    found = preparations(ground)
    assert [(one.stay.rig, one.stay.position, one.by_min) for one in found] == [
        ("R1", "P1", 360),
        ("R1", "P2", DAY + 360),
        ("R2", "P2", 2 * DAY + 360),
    ]
    second = items(found[1])
    assert second["Rig"] == "R1 comes from P1 by crew C1, Mon 2 Mar 13:00 to 14:00."
    assert second["Hose"].startswith("10 m to lay, the longest to Z2")
    assert second["Crews and mix"] == "C1; mix dry."
    third = items(found[2])
    assert third["Position free"] == "R1 leaves P2 at Tue 3 Mar 08:00."
    frame = preparations_frame(ground, position=PositionId("P2"))
    assert set(frame["Position"]) == {"P2"}


def test_panels_and_break_out_stand_in_the_list():
    crews = (
        make.crew(),
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5, shift_id=ShiftId("day")),
    )
    start = 471 + 3 * DAY
    panel = make.run("p", kind=RunKind.PANEL, orientation=make.zone().orientation)
    spell = make.spell(start_min=start + 30, end_min=start + 96)
    run = make.run(start_min=start, end_min=start + 111)
    plan = Plan(runs=(panel, run), spells=(spell,), break_outs=(make.break_out(),))
    campaign = make.campaign(crews=crews, rules=Rules(panel_days=3.0, prepare_min_h=4.0))
    (one,) = preparations(Ground(campaign, plan))
    told = items(one)
    assert told["Test panels"] == (
        "crew C1, dry overhead: Mon 2 Mar 07:51. Each must be 3 days old before the first spell."
    )
    assert told["Break-out"] == "Z1; the last ends Mon 2 Mar 10:24, then 4 h to prepare."


def test_a_closure_of_the_position_during_the_stay_is_told():
    shut = make.closure(ClosureScope.POSITION, "P1", from_min=400, to_min=420, why="delivery")
    plan = Plan(runs=(make.run(),), spells=(make.spell(),))
    (one,) = preparations(Ground(make.campaign(closures=(shut,)), plan))
    assert items(one)["Closed meanwhile"] == "Mon 2 Mar 06:40 to 07:00: delivery."


def moved_plan():
    return Plan(
        runs=(make.run(start_min=DAY + 360, end_min=DAY + 471, crew=CrewId("C1")),),
        spells=(make.spell(start_min=DAY + 390, end_min=DAY + 456),),
    )


def test_two_plans_stand_side_by_side_with_what_moved():
    campaign = make.campaign()
    before = Plan(runs=(make.run(),), spells=(make.spell(),))
    after = moved_plan()
    frame = figures_frame(campaign, (("a", before), ("b", after))).set_index("Figure")
    assert frame.loc["Finish", "a"] == "Mon 2 Mar 07:36"
    assert frame.loc["Finish", "b"] == "Tue 3 Mar 07:36"
    assert frame.loc["Stays of R1", "a"] == "P1"
    moved = moved_frame(campaign, before, after)
    assert list(moved["Zone"]) == ["Z1"]
    assert moved["Later by (h)"].iloc[0] == 24.0
    assert "24 h 00 min later" in what_differs(campaign, before, after)[0]


def test_the_same_plan_moves_nothing_and_a_zone_left_out_comes_first():
    campaign = make.campaign(zones=(make.zone(), make.zone("Z2")))
    whole = Plan(
        runs=(make.run(end_min=547),),
        spells=(make.spell(), make.spell(zone=ZoneId("Z2"), start_min=466, end_min=532)),
    )
    assert not len(moved_frame(campaign, whole, whole))
    assert what_differs(campaign, whole, whole) == ["The two plans are the same."]
    moved = moved_frame(campaign, whole, moved_plan())
    assert list(moved["Zone"]) == ["Z2", "Z1"]
    assert moved["Rig and position after"].iloc[0] == "left out"


def test_a_plan_is_told_in_three_sentences_first():
    head, rest = headline(two_rigs(), two_rigs_plan(), make.proof(bound={}))
    assert len(head) == 3
    assert head[0].startswith("3 of 4 zones are planned")
    assert "Left out: north-Z4" in head[0]
    assert head[1].startswith("Spraying ends on ")
    assert head[2].startswith("For some goals a better plan is not ruled out")
    assert rest
    assert not set(head) & set(rest)


def test_a_plan_without_a_spell_is_told_too():
    plan = Plan(unplanned=(make.unplanned("Z1"),))
    head, rest = headline(make.campaign(), plan, make.proof(bound={}))
    assert head[0] == "Nothing can be planned."
    assert not rest


def test_there_are_five_figures_and_goals_come_first():
    campaign = replace(two_rigs(), goals=(Goal.JOINTS,), may_worsen=())
    found = five_figures(campaign, two_rigs_plan(), make.proof(bound={}))
    assert [one.name for one in found][:2] == ["In place", "Joints"]
    assert len(found) == 5
    assert found[2].verdict == "Not a goal of this plan."


def dry(**changes):
    """A zone that is shut for the first day by name, and a crew from 06:00 to 18:00."""
    shut = make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=DAY, why="berth taken")
    return make.campaign(closures=(shut,), **changes)


def test_usable_hours_are_those_open_and_staffed():
    campaign = dry()
    days = day_hours(campaign, Access(campaign), campaign.zones)
    assert (days[0].open_h, days[0].staffed_h) == (0.0, 0.0)
    # the second day: open from 00:00, 10 min to get in; the crew from 06:00 to 18:00
    assert days[1].open_h == pytest.approx(24.0 - 10 / 60)
    assert days[1].staffed_h == 12.0
    assert days[1].longest_h == 12.0
    assert list(days_frame(days)["Open with a crew (h)"])[:2] == [0.0, 12.0]


def test_the_board_writes_the_hours_into_each_day():
    campaign = dry()
    days = day_hours(campaign, Access(campaign), campaign.zones)
    figure = month_board(days, staffed=True)
    texts = [text for trace in figure.data for text in (getattr(trace, "text", None) or ())]
    assert "2 Mar<br><b>0.0 h</b>" in texts
    assert "3<br><b>12.0 h</b>" in texts
    assert figure.data[0].meta == "no hours"


def test_a_closed_site_is_written_as_closed():
    campaign = make.campaign(closures=(make.closure(why="holiday"),))
    days = day_hours(campaign, Access(campaign), campaign.zones)
    assert days[0].closed == "holiday"
    figure = month_board(days, staffed=False)
    texts = [text for trace in figure.data for text in (getattr(trace, "text", None) or ())]
    assert "2 Mar<br><b>closed</b>" in texts


def test_lost_time_is_told_by_cause():
    campaign = dry()
    frame = lost_frame(Access(campaign), campaign.zones, campaign.clock.horizon_min)
    row = frame.iloc[0]
    assert row["Cause"] == "zone Z1 closed: berth taken"
    assert row["Hours for a zone"] == row["Of these by it alone"] == 24.0


def test_windows_are_drawn_under_the_water_with_limits_and_closures():
    campaign = two_rigs()
    shut = make.closure(why="berth taken")
    campaign = replace(campaign, closures=(*campaign.closures, shut))
    access = Access(campaign)
    assert [[z.zone_id for z in group] for group in grouped(access, campaign.zones)] == [
        ["Z1", "Z2"],
        ["Z3"],
        ["north-Z4"],
    ]
    assert [text for text, _ in closures_near(campaign, campaign.zones, 0, DAY)] == [
        "site: berth taken"
    ]
    figure = water_levels(campaign, access, campaign.zones[:3], 0, 2 * DAY)
    found = [str(trace.meta or "") for trace in figure.data]
    assert {"water", "limits", "window", "time at the face", "closure"} <= set(found)
    limits = figure.data[found.index("limits")]
    assert len([x for x in limits.x if x is None]) == 2  # 0.5 m and 1.0 m, one line each
    texts = [text for trace in figure.data for text in (getattr(trace, "text", None) or ())]
    assert " closes above +1.00 m: Z1, Z2" in texts
    assert " site: berth taken" in texts


def test_without_water_only_windows_are_drawn():
    campaign = make.campaign()
    figure = water_levels(campaign, Access(campaign), campaign.zones, 0, DAY)
    found = [str(trace.meta or "") for trace in figure.data]
    assert "water" not in found
    assert "window" in found


def test_windows_stand_in_a_table_with_the_time_at_the_face():
    campaign = dry()
    frame = windows_frame(campaign, Access(campaign), campaign.zones)
    row = frame.iloc[0]
    assert row["Minutes"] == 13 * DAY
    assert row["At the face (min)"] == 13 * DAY - 20


def test_volume_is_told_week_by_week_and_adds_up():
    frame = weekly_frame(two_rigs(), two_rigs_plan())
    assert list(frame["Week from"]) == ["Mon 2 Mar"]
    row = frame.iloc[0]
    # Z1 and Z2 by R1: 2.2 + 1.1 + 1.1; Z3 by R2: 2.2
    assert (row["R1 (m³)"], row["R2 (m³)"]) == (4.4, 2.2)
    assert row["Together (m³)"] == row["In place by then (m³)"] == 6.6
    assert row["Zones done"] == 3


def test_each_week_goes_on_from_the_one_before():
    later = make.spell("2", zone=ZoneId("Z2"), start_min=8 * DAY, end_min=8 * DAY + 66)
    campaign = make.campaign(zones=(make.zone(), make.zone("Z2")))
    plan = Plan(runs=(make.run(), make.run("2")), spells=(make.spell(), later))
    frame = weekly_frame(campaign, plan)
    assert list(frame["In place by then (m³)"]) == [2.2, 4.4]
    assert list(frame["Zones done"]) == [1, 1]


def test_a_plan_without_spells_has_no_week():
    assert not len(weekly_frame(make.campaign(), Plan()))
