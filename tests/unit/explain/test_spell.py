"""What holds a spell from starting earlier, in small scenes with sums done by hand.

The scene of tests/builders.py: run 06:00 to 07:51, spell 06:30 to 07:36 of zone Z1.
"""

from dataclasses import replace

import pytest

from planner.explain.cause import CauseKind
from planner.explain.ground import Ground
from planner.explain.spell import why_spell
from planner.model.identifiers import CrewId, CrewKind, PositionId, RigId, ShiftId, ZoneId
from planner.model.limits import Apart, ApartKind, ClosureScope, OpenLimit
from planner.model.rules import Rules
from planner.plan.plan import Plan, RunKind
from tests import builders as make

DAY = 24 * 60


def one(**changes):
    """The only spell of the small plan, in a campaign with some changes."""
    spell = make.spell()
    ground = Ground(make.campaign(**changes), Plan(runs=(make.run(),), spells=(spell,)))
    return why_spell(ground, spell)


def two(zones, **changes):
    """Z1 at 06:30 and then another zone in a run of its own, 10:00 to 11:51, spell at 10:30."""
    other = zones[1].zone_id
    spells = (
        make.spell(),
        make.spell("2", zone=other, start_min=630, end_min=696),
    )
    runs = (make.run(), make.run("2", start_min=600, end_min=711))
    campaign = make.campaign(zones=zones, **changes)
    return Ground(campaign, Plan(runs=runs, spells=spells)), spells[1]


def kinds(why):
    return [cause.kind for cause in why.causes]


def test_the_first_spell_of_a_day_waits_for_the_shift():
    why = one()  # shift from 06:00, 20 min of start-up, 10 min of change: 06:30
    assert why.spare_min == 0
    assert kinds(why) == [CauseKind.SHIFT]
    assert why.causes[0].until_min == 390
    assert "begins at Mon 2 Mar 06:00" in why.causes[0].text


def test_a_spell_that_starts_late_says_by_how_much_it_could_be_earlier():
    spell = make.spell(start_min=420, end_min=486)
    run = make.run(end_min=501)
    why = why_spell(Ground(make.campaign(), Plan(runs=(run,), spells=(spell,))), spell)
    assert why.spare_min == 30  # 07:00, and 06:30 at the earliest
    assert why.free_from_min == 390


def test_two_causes_that_hold_at_once_are_both_told():
    # ready from 06:30 as well; the shift allows 06:30
    why = one(zones=(make.zone(ready_from_min=390),))
    assert kinds(why) == [CauseKind.SHIFT, CauseKind.READY]


def test_a_closure_of_the_rig_is_told_with_its_reason():
    closed = make.closure(ClosureScope.RIG, "R1", from_min=0, to_min=360, why="service")
    why = one(closures=(closed,), shifts=(make.shift(start_tod=0),))
    assert kinds(why) == [CauseKind.RIG_AWAY]
    assert "rig R1 is closed (service) until Mon 2 Mar 06:00" in why.causes[0].text


def test_a_window_is_told_with_what_shut_the_zone_before():
    closed = make.closure(ClosureScope.ZONE, "Z1", from_min=0, to_min=370, why="berth taken")
    why = one(closures=(closed,))  # open from 06:10, 10 min to get in, 10 min of change: 06:30
    assert CauseKind.WINDOW in kinds(why)
    window = next(cause for cause in why.causes if cause.kind is CauseKind.WINDOW)
    assert "opens at Mon 2 Mar 06:10" in window.text
    assert "berth taken" in window.text


def test_a_second_zone_in_a_run_waits_for_the_first():
    zones = (make.zone(), make.zone("Z2"))
    spells = (make.spell(), make.spell(zone=ZoneId("Z2"), start_min=466, end_min=532))
    ground = Ground(make.campaign(zones=zones), Plan(runs=(make.run(end_min=547),), spells=spells))
    why = why_spell(ground, spells[1])  # 07:36 and 10 min of change: 07:46
    assert kinds(why) == [CauseKind.RIG]
    assert why.causes[0].until_min == 466


def test_a_second_layer_waits_for_its_gap():
    spells = (
        make.spell(),
        make.spell("2", layer=2, start_min=456 + 720, end_min=456 + 786),
    )
    runs = (make.run(), make.run("2", start_min=1146, end_min=1257))
    campaign = make.campaign(
        zones=(make.zone(depth_mm=200.0),), shifts=(make.shift(end_tod=6 * 60),)
    )
    why = why_spell(Ground(campaign, Plan(runs=runs, spells=spells)), spells[1])
    assert kinds(why) == [CauseKind.LAYER_GAP]  # 07:36 and 12 h: 19:36
    assert why.causes[0].until_min == 1176


def test_a_run_waits_for_the_relocation_that_brings_its_rig():
    spell = make.spell(position=PositionId("P2"), start_min=570, end_min=636)
    run = make.run(position=PositionId("P2"), start_min=540, end_min=651)
    campaign = make.campaign(
        positions=(make.position(), make.position("P2")),
        rigs=(make.rig(at=PositionId("P1")),),
    )
    plan = Plan(runs=(run,), spells=(spell,), relocations=(make.relocation(),))
    why = why_spell(Ground(campaign, plan), spell)
    assert kinds(why) == [CauseKind.RELOCATION]
    assert "rig R1 is brought to P2 by crew C1 until Mon 2 Mar 09:00" in why.causes[0].text


def test_a_run_waits_for_its_crew_that_works_with_another_rig():
    spells = (
        make.spell(),
        make.spell("2", rig=RigId("R2"), zone=ZoneId("Z2"), start_min=501, end_min=567),
    )
    runs = (make.run(), make.run("2", rig=RigId("R2"), start_min=471, end_min=582))
    campaign = make.campaign(
        zones=(make.zone(), make.zone("Z2")),
        rigs=(make.rig(), make.rig("R2")),
        positions=(make.position(rigs_max=2),),
    )
    why = why_spell(Ground(campaign, Plan(runs=runs, spells=spells)), spells[1])
    assert kinds(why) == [CauseKind.CREW]
    assert why.causes[0].until_min == 501  # free from 07:51, 20 min + 10 min


def test_a_zone_waits_for_the_zone_before_it():
    zones = (make.zone(), make.zone("Z2", after=(ZoneId("Z1"),)))
    ground, spell = two(zones)
    why = why_spell(ground, spell)
    assert why.free_from_min == 501  # rig and crew are busy longer than Z1 is
    late = replace(make.spell(), start_min=560, end_min=626)
    spells = (late, make.spell("2", zone=ZoneId("Z2"), start_min=671, end_min=737))
    runs = (
        make.run(start_min=530, end_min=626),
        make.run("2", start_min=641, end_min=752),
    )
    campaign = make.campaign(zones=zones, rigs=(make.rig(clean_up_min=0),))
    why = why_spell(Ground(campaign, Plan(runs=runs, spells=spells)), spells[1])
    assert why.free_from_min == 656  # 10:26 + 30 min, the zone before is complete at 10:26
    assert CauseKind.RIG in kinds(why)


def test_a_panel_must_be_old_enough():
    panel = make.run("p", kind=RunKind.PANEL, orientation=make.zone().orientation, end_min=455)
    start = 455 + 3 * DAY
    spell = make.spell(start_min=start, end_min=start + 66)
    run = make.run(start_min=start - 30, end_min=start + 81)
    campaign = make.campaign(rules=Rules(panel_days=3.0))
    why = why_spell(Ground(campaign, Plan(runs=(panel, run), spells=(spell,))), spell)
    assert kinds(why) == [CauseKind.PANEL]
    assert "must be 3 days old, from Thu 5 Mar 07:35" in why.causes[0].text


def test_break_out_must_end_and_the_zone_be_prepared():
    crews = (
        make.crew(),
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5, shift_id=ShiftId("day")),
    )
    spell = make.spell(start_min=744, end_min=810)  # 10:24 + 2 h
    run = make.run(start_min=714, end_min=825)
    plan = Plan(runs=(run,), spells=(spell,), break_outs=(make.break_out(),))
    why = why_spell(
        Ground(make.campaign(crews=crews, rules=Rules(prepare_min_h=2.0)), plan), spell
    )
    assert kinds(why) == [CauseKind.BREAK_OUT]
    assert why.causes[0].until_min == 744


@pytest.mark.parametrize(
    ("limits", "kind", "words"),
    [
        (
            {"apart": (Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z2"), kind=ApartKind.OPEN),)},
            CauseKind.APART,
            "Z1 must not be open at the same time and is open until Mon 2 Mar 10:30",
        ),
        (
            {
                "open_limits": (
                    OpenLimit(group="G", zones=(ZoneId("Z1"), ZoneId("Z2")), open_max=1),
                )
            },
            CauseKind.OPEN_LIMIT,
            "group G may have 1 zones open, and Z1 are until Mon 2 Mar 10:30",
        ),
    ],
)
def test_zones_kept_apart_wait_for_each_other(limits, kind, words):
    hold_h = (630 - 456) / 60.0  # Z1 is sprayed until 07:36 and counts as open until 10:30
    ground, spell = two(
        (make.zone(), make.zone("Z2")), rules=Rules(strength_hold_h=hold_h), **limits
    )
    why = why_spell(ground, spell)
    assert kinds(why) == [kind]
    assert words in why.causes[0].text


def test_zones_that_must_not_be_worked_together_wait_for_the_spell():
    pair = Apart(zone_a=ZoneId("Z1"), zone_b=ZoneId("Z2"), kind=ApartKind.WORK, why="one mast")
    spells = (
        make.spell(),
        make.spell(
            "2",
            rig=RigId("R2"),
            crew=CrewId("C2"),
            zone=ZoneId("Z2"),
            start_min=466,
            end_min=532,
        ),
    )
    runs = (
        make.run(),
        make.run("2", rig=RigId("R2"), crew=CrewId("C2"), start_min=436, end_min=547),
    )
    campaign = make.campaign(
        zones=(make.zone(), make.zone("Z2")),
        rigs=(make.rig(), make.rig("R2")),
        crews=(make.crew(), make.crew("C2")),
        positions=(make.position(rigs_max=2),),
        apart=(pair,),
    )
    why = why_spell(Ground(campaign, Plan(runs=runs, spells=spells)), spells[1])
    assert kinds(why) == [CauseKind.APART]  # Z1 until 07:36, the change to Z2 from then: 07:46
    assert "one mast" in why.causes[0].text


def test_the_hours_of_a_crew_hold_its_run():
    # on duty from 06:00; a run from 10:00 to 11:51 may begin no earlier than 09:51 + 2 h of rest
    crew = make.crew(duty_max_min=231, rest_min_min=129)
    ground, spell = two((make.zone(), make.zone("Z2")), crews=(crew,))
    why = why_spell(ground, spell)
    assert why.spare_min == 0
    assert kinds(why) == [CauseKind.DUTY]
    assert "more than 3.85 h" in why.causes[0].text
