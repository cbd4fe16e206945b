"""Re-planning: what stays, what must move and why, and what fills the gap.

The shift is 06:00 to 08:00, so a day holds one run of 20 + 10 + 66 + 15 = 111 min: zone Zk is
sprayed on day k from 06:30 (minute 390) to 07:36 (456).
"""

from dataclasses import replace
from typing import Any

from planner.checks.check import check_plan
from planner.model.campaign import Campaign
from planner.model.limits import ClosureScope
from planner.model.rules import Rules
from planner.optimise.engine import Settings, optimise
from planner.optimise.replan import Replanned, replan
from planner.plan.plan import Plan, RunKind
from tests import builders as make

DAY = 24 * 60
QUICK = Settings(effort=0.05, workers=1)
SHORT = make.shift(end_tod=8 * 60)


def scene(**changes: Any) -> Campaign:
    fields: dict[str, Any] = {
        "zones": tuple(make.zone(f"Z{k}") for k in range(1, 5)),
        "shifts": (SHORT,),
    }
    return make.campaign(**(fields | changes))


def old_plan(campaign: Campaign) -> Plan:
    return optimise(campaign, settings=QUICK)[0]


def again(campaign: Campaign, before: Plan, **asked: Any) -> Replanned:
    fields: dict[str, Any] = {"keep_days": 2.0, "settings": QUICK}
    made = replan(campaign, before, **(fields | asked))
    assert check_plan(campaign, made.plan, None) == []
    return made


def days(plan: Plan) -> dict[str, float]:
    return {spell.zone: (spell.start_min - 390) / DAY + 1 for spell in plan.spells}


def zone_on(plan: Plan, day: int) -> str:
    return next(zone for zone, on in days(plan).items() if on == day)


def done(plan: Plan, zone: str, **changes: Any) -> Any:
    spell = next(row for row in plan.spells if row.zone == zone)
    fields = {"done_m3": spell.volume_m3, "at_min": spell.end_min, "rig_id": spell.rig}
    fields |= {"crew_id": spell.crew, "position_id": spell.position}
    return make.done(zone, **(fields | changes))


BEFORE = old_plan(scene())


def test_the_scene_sprays_a_zone_a_day():
    assert sorted(days(BEFORE).values()) == [1, 2, 3, 4]


def test_where_nothing_has_changed_the_plan_is_the_same_and_nothing_is_changed():
    made = again(scene(), BEFORE)
    assert made.plan.spells == BEFORE.spells
    assert made.plan.runs == BEFORE.runs
    assert (made.changes.count, made.changes_bound, made.moved) == (0, 0, ())


def test_what_is_done_goes_and_the_rest_stays():
    first = zone_on(BEFORE, 1)
    made = again(scene(done=(done(BEFORE, first),)), BEFORE)
    assert days(made.plan) == {zone: on for zone, on in days(BEFORE).items() if on > 1}
    assert made.changes.count == 0


def test_work_that_was_not_done_goes_behind_what_stays():
    lost = zone_on(BEFORE, 1)
    made = again(scene(not_before_min=DAY), BEFORE)
    assert days(made.plan) == days(BEFORE) | {lost: 5}
    assert made.changes.count == 0


def test_a_lost_day_moves_its_own_spell_alone_and_the_bound_says_that_it_must():
    shut = make.closure(ClosureScope.CREW, "C1", from_min=DAY, to_min=2 * DAY)
    lost = zone_on(BEFORE, 2)
    made = again(scene(closures=(shut,)), BEFORE)
    assert days(made.plan) == days(BEFORE) | {lost: 5}
    assert (made.changes.count, made.changes_bound) == (1, 1)
    (moved,) = made.moved
    assert moved.spell.zone == lost
    assert moved.issued
    assert moved.why == "Crew C1 is not on shift then, or away (rules 4 and 5)."


def test_a_day_left_idle_by_work_done_early_takes_what_was_lost():
    early = zone_on(BEFORE, 3)
    lost = zone_on(BEFORE, 1)
    row = done(BEFORE, early, at_min=DAY)
    made = again(scene(done=(row,), not_before_min=DAY), BEFORE)
    kept = {zone: on for zone, on in days(BEFORE).items() if zone not in {early, lost}}
    assert days(made.plan) == kept | {lost: 3}
    assert made.changes.count == 0


def test_volume_goes_before_changes():
    # Five days for five zones; Z5 can only be sprayed on the first two.  Once day 1 is lost, its
    # zone needs another day: all of days 2 to 5 are taken but one, so one zone is left out; the
    # one with the lower priority gives way although its spell could have stayed.
    zones = (
        make.zone("Z1", priority=1),
        make.zone("Z2", priority=2),
        make.zone("Z3", priority=1),
    )
    campaign = scene(
        zones=zones,
        closures=(make.closure(from_min=3 * DAY, to_min=14 * DAY),),
    )
    before = Plan(
        spells=tuple(
            make.spell(str(k), zone=f"Z{k}", start_min=390 + on * DAY, end_min=456 + on * DAY)
            for k, on in ((1, 0), (2, 1), (3, 2))
        ),
        runs=tuple(
            make.run(str(k), start_min=360 + on * DAY, end_min=471 + on * DAY)
            for k, on in ((1, 0), (2, 1), (3, 2))
        ),
    )
    made = again(replace(campaign, not_before_min=DAY), before, keep_days=0.0)
    assert set(days(made.plan)) == {"Z1", "Z3"}
    assert made.changes.count >= 1
    assert [row.zone for row in made.plan.unplanned] == ["Z2"]


def test_issued_spells_stay_even_where_another_plan_would_hold_more_of_priority_1():
    zones = (make.zone("Z1", priority=1), make.zone("Z2", priority=2))
    shut = make.closure(from_min=2 * DAY, to_min=14 * DAY)
    campaign = scene(zones=zones, closures=(shut,), not_before_min=DAY)
    before = Plan(
        spells=(make.spell("1", zone="Z2", start_min=390 + DAY, end_min=456 + DAY),),
        runs=(make.run("1", start_min=360 + DAY, end_min=471 + DAY),),
    )
    made = again(campaign, before, keep_days=1.0)
    assert days(made.plan) == {"Z2": 2}
    free = again(campaign, before, keep_days=0.0)
    assert days(free.plan) == {"Z1": 2}


def test_a_re_measured_zone_keeps_its_start_and_takes_longer():
    # 2.4 m³ at 2 m³/h are 72 min: 20 + 10 + 72 + 15 = 117 min still fit into 120.
    last = zone_on(BEFORE, 4)
    zones = tuple(
        replace(zone, area_m2=None, depth_mm=None, volume_m3=2.4) if zone.zone_id == last else zone
        for zone in scene().zones
    )
    made = again(scene(zones=zones), BEFORE)
    spell = next(row for row in made.plan.spells if row.zone == last)
    assert (spell.start_min, spell.end_min) == (390 + 3 * DAY, 462 + 3 * DAY)
    assert made.changes.count == 0


def test_a_rig_that_stands_elsewhere_is_brought_back_before_the_run():
    # Progress says that R1 was left at P2, from where it reaches nothing.  The relocation takes
    # 60 min of the shift of day 2, whose run of 111 min then does not fit into 120: one relocation
    # added, one spell moved, from day 2 to day 5; days 3 and 4 stay as told.
    places = (make.position("P1"), make.position("P2", x_m=-500.0))
    spells = tuple(
        make.spell(str(k), zone=f"Z{k}", start_min=390 + k * DAY, end_min=456 + k * DAY)
        for k in range(1, 4)
    )
    runs = tuple(
        make.run(str(k), start_min=360 + k * DAY, end_min=471 + k * DAY) for k in range(1, 4)
    )
    row = make.done("Z4", done_m3=2.2, at_min=456, rig_id="R1", crew_id="C1", position_id="P2")
    made = again(scene(positions=places, done=(row,)), Plan(spells=spells, runs=runs))
    assert (len(made.changes.moved), len(made.changes.added), made.changes_bound) == (1, 1, 0)
    assert days(made.plan) == {"Z1": 5, "Z2": 3, "Z3": 4}


def test_a_zone_that_is_not_in_the_scenario_any_more_is_not_asked_for():
    gone = zone_on(BEFORE, 2)
    zones = tuple(zone for zone in scene().zones if zone.zone_id != gone)
    made = again(scene(zones=zones), BEFORE)
    assert made.changes.count == 0
    assert gone not in days(made.plan)


def test_goals_are_improved_only_as_far_as_the_changes_allowed():
    # Day 2 is free once its zone is done early; the finish would be a day earlier if the zone of
    # day 4 came forward, which is one change.
    early = zone_on(BEFORE, 3)
    campaign = scene(done=(done(BEFORE, early, at_min=300),), not_before_min=300)
    strict = again(campaign, BEFORE, keep_days=0.0)
    assert (strict.changes.count, max(days(strict.plan).values())) == (0, 4)
    loose = again(
        campaign, BEFORE, keep_days=0.0, may_change=1, settings=Settings(effort=1.0, workers=1)
    )
    assert (loose.changes.count, max(days(loose.plan).values())) == (1, 3)
    held = again(
        campaign, BEFORE, keep_days=9.0, may_change=1, settings=Settings(effort=0.2, workers=1)
    )
    assert (held.changes.count, max(days(held.plan).values())) == (0, 4)


def test_a_crew_that_has_sprayed_so_needs_no_new_test_panel():
    campaign = scene(rules=Rules(panel_days=1.0))
    before = old_plan(campaign)
    assert [run.kind for run in before.runs].count(RunKind.PANEL) == 1
    first = min(before.spells, key=lambda row: row.start_min)
    made = again(replace(campaign, done=(done(before, first.zone),)), before)
    assert made.changes.count == 0
    assert [run.kind for run in made.plan.runs].count(RunKind.PANEL) == 0
    assert len(made.plan.spells) == 3


def test_shifts_that_begin_before_the_limit_are_issued_to_their_end():
    made = again(scene(), BEFORE, keep_days=0.27)  # 388 min: the shift of 06:00 (360) has begun
    assert made.issued_until_min == 480
    assert again(scene(), BEFORE, keep_days=0.0).issued_until_min == 0
