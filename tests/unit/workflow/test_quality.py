"""Quality plan, work chains and crews of the small campaign, joined with a plan."""

from dataclasses import replace

from planner.model.card import Card
from planner.model.conditions import AirTemperature, Conditions, MonthNormal
from planner.model.identifiers import CrewId, CrewKind, MixId, Orientation, Process, ZoneId
from planner.model.quality import Hold, Outcome, Quality
from planner.model.water import LevelPoint, Water, WaterKind
from planner.plan.plan import Plan, RunKind
from planner.trade.quality_verdict import Verdict
from planner.trade.work_chain_step import StepKind
from planner.workflow.crews import crew_rows
from planner.workflow.quality import possible_kinds, quality_plan
from planner.workflow.quality_frames import (
    chain_sentences,
    crews_frame,
    look_at,
    said,
    stops_frame,
    tally,
    trials_frame,
)
from planner.workflow.quality_rows import (
    chain_rows,
    figure_rows,
    stop_rows,
    stop_words,
    trial_rows,
)
from planner.workflow.work_chains import WorkChains
from tests import builders as make

DAY = 24 * 60
PLAN = Plan(runs=(make.run(),), spells=(make.spell(),))
PRE = "PRE/C1/dry/overhead"
PROD = "PROD/dry/C1/2026-03-02/1"
BOND = "BOND/dry/overhead/1"


def scene(*results, **quality):
    return make.campaign(
        quality=Quality(**({"strength_mpa": 40.0} | quality)), results=tuple(results)
    )


def result(test, day, *values, is_met=None):
    return Outcome(test=test, at_min=day * DAY, values_mpa=values, is_met=is_met)


def verdicts(campaign, plan=PLAN):
    return {one.trial.name: one.judged.verdict for one in quality_plan(campaign, plan).tested}


def test_a_plan_asks_for_panels_and_bond():
    rows = {row.test: row for row in trial_rows(quality_plan(scene(), PLAN), make.clock())}
    assert list(rows) == [PRE, PROD, BOND]
    assert (rows[PRE].made, rows[PRE].due, rows[PRE].pieces) == ("", "", 5)
    assert (rows[PROD].made, rows[PROD].due) == ("2026-03-02", "2026-03-30")
    assert (rows[BOND].zone, rows[BOND].asked_mpa) == ("Z1", 1.0)


def test_a_panel_run_of_the_plan_dates_the_panel():
    panel = make.run("2", kind=RunKind.PANEL, orientation=Orientation.OVERHEAD, end_min=DAY)
    found = quality_plan(scene(), Plan(runs=(make.run(), panel), spells=(make.spell(),)))
    (row, *_) = trial_rows(found, make.clock())
    assert (row.test, row.made, row.due) == (PRE, "2026-03-03", "2026-03-31")


def test_without_a_plan_only_panels_before_the_work_are_asked_for():
    wall = make.mix(orientation=Orientation.VERTICAL)
    campaign = make.campaign(
        mixes=(make.mix(), wall),
        crews=(make.crew(), make.crew("C2", processes=(Process.WET,))),
    )
    # no zone is vertical, and C2 may not spray dry
    assert possible_kinds(campaign) == {(CrewId("C1"), MixId("dry"), Orientation.OVERHEAD)}
    assert [one.trial.name for one in quality_plan(campaign, None).tested] == [PRE]


def test_area_comes_from_volume_and_depth_where_it_is_not_given():
    blob = make.zone(area_m2=None, depth_mm=100.0, volume_m3=30.0)  # 300 m²
    found = quality_plan(replace(scene(), zones=(blob,)), PLAN)
    assert [one.trial.name for one in found.tested if "BOND" in one.trial.name] == [
        BOND,
        "BOND/dry/overhead/2",
    ]


def test_results_are_judged_and_the_latest_counts():
    campaign = scene(
        result(PROD, 35, 36.0, 37.0, 38.0),
        result(PROD, 29, 20.0, 37.0, 38.0),
        result(BOND, 29, 0.5),
    )
    assert verdicts(campaign) == {PRE: Verdict.OPEN, PROD: Verdict.MET, BOND: Verdict.MISSED}


def test_results_that_the_plan_does_not_ask_for_are_judged_and_told():
    other = "PROD/dry/C1/2026-03-01/1"
    tested = quality_plan(scene(result(other, 30, 20.0)), PLAN).tested
    (stray,) = [one for one in tested if not one.is_in_plan]
    assert stray.trial.name == other
    assert stray.judged.verdict is Verdict.MISSED
    assert "Not in the quality plan of this plan" in stray.judged.sentence


def test_spells_before_a_stop_are_listed_and_counted():
    found = quality_plan(scene(holds=(Hold.PANELS, Hold.INSPECTION)), PLAN)
    rows = list(stop_rows(found, str))
    assert [(row.zone, row.stop, row.test) for row in rows] == [
        ("Z1", "panels", PRE),
        ("Z1", "inspection", "INSP/Z1"),
    ]
    assert stop_words(found) == "1 spell lies before a stop of the contract is met (quality.hold)."
    assert {one.trial.name: one.waiting for one in found.tested}[PRE] == 1


def test_an_inspection_that_is_met_lifts_its_stop():
    met = scene(result("INSP/Z1", 0, is_met=True), holds=(Hold.INSPECTION,))
    found = quality_plan(met, PLAN)
    assert found.stopped == ()
    assert stop_words(found) == ""


def test_figures_of_a_test_can_be_asked_for():
    found = quality_plan(scene(), PLAN)
    rows = list(figure_rows(found.figures(PROD) or ()))
    assert [row.name for row in rows] == ["panels", "cores", "due"]
    assert "days worked = 1 (plan" in rows[0].inputs
    assert found.figures("PROD/none") is None


def tide():
    """Water at 2 m from 20:00 to midnight of the first day; a level for every hour."""
    points = tuple(
        LevelPoint(minute=60.0 * k, level_m=2.0 if 20 <= k <= 23 else 0.0) for k in range(24 * 15)
    )
    return Water(kind=WaterKind.LEVELS, levels=((None, points),))


def test_a_chain_joins_break_out_water_and_air_with_the_plan():
    breakers = make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5)
    march = MonthNormal(month=3, low_c=8.0, high_c=12.0)
    air = AirTemperature(min_c=None, max_c=None, normals=(march,))
    campaign = make.campaign(
        zones=(make.zone(water_max_m=1.5, wets_at_m=1.0),),
        crews=(make.crew(), breakers),
        water=tide(),
        mixes=(make.mix(protect_at_c=20.0),),
        conditions=Conditions(air_known=air),
    )
    plan = Plan(
        runs=(make.run(start_min=DAY + 360, end_min=DAY + 471),),
        spells=(make.spell(start_min=DAY + 390, end_min=DAY + 456),),
        break_outs=(make.break_out(),),
    )
    steps = WorkChains(campaign, plan).of(ZoneId("Z1"))
    by_kind = {one.kind: one for one in steps}
    assert (by_kind[StepKind.BREAK_OUT].start_min, by_kind[StepKind.BREAK_OUT].end_min) == (
        360,
        624,
    )
    # the level falls to 1 m at 23:30, at which it still wets the face
    assert by_kind[StepKind.WASH].start_min == 23 * 60 + 31
    assert by_kind[StepKind.WASH].end_min == DAY + 390
    assert "the same maturity takes" in by_kind[StepKind.PROTECT].sentence
    assert "the age of" in by_kind[StepKind.CURE].sentence
    rows = list(chain_rows(steps, make.clock().text))
    assert rows[0].start == "2026-03-02T06:00:00+00:00"
    assert [row.step for row in rows] == list(range(1, len(rows) + 1))


def test_a_chain_without_a_plan_has_the_only_mix_and_no_times():
    steps = WorkChains(make.campaign(), None).of(ZoneId("Z1"))
    assert all(one.start_min is None for one in steps)
    assert any("with dry it takes 1 layer" in one.sentence for one in steps)


def test_a_chain_of_a_zone_with_two_mixes_leaves_them_open():
    campaign = make.campaign(mixes=(make.mix(), make.mix("fine")))
    steps = WorkChains(campaign, None).of(ZoneId("Z1"))
    assert any("its mix is open" in one.sentence for one in steps)


def test_a_chain_reads_as_sentences():
    plan = replace(PLAN, break_outs=(make.break_out(end_min=DAY + 60),))
    breakers = make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5)
    campaign = make.campaign(crews=(make.crew(), breakers))
    told = chain_sentences(WorkChains(campaign, plan).of(ZoneId("Z1")), make.clock())
    assert told[0] == (
        "Break out, Mon 02 Mar 2026 06:00 to Tue 03 Mar 2026 01:00: Crew B1 breaks out at 0.5 "
        "m³/h."
    )
    assert told[1].endswith(
        "Look at: No time is kept between break-out and the first layer "
        "(rules.prepare_min_h is 0)."
    )
    assert any(text.startswith("Spray, Mon 02 Mar 2026 06:30 to 07:36: Layer 1") for text in told)


def test_frames_leave_out_columns_in_which_nothing_stands():
    frame = trials_frame(quality_plan(scene(result(BOND, 29, 0.5)), PLAN), make.clock())
    assert "Values (MPa)" in frame.columns
    assert list(frame["Verdict"]) == ["· open", "· open", "✗ rule missed"]
    (sentence,) = said(quality_plan(scene(result(BOND, 29, 0.5)), PLAN))
    assert sentence.startswith(f"{BOND}, ✗ rule missed: least pull 0.500 MPa < 1 MPa")
    bare = trials_frame(quality_plan(scene(), PLAN), make.clock())
    assert "Values (MPa)" not in bare.columns
    stops = stops_frame(quality_plan(scene(holds=(Hold.PANELS,)), PLAN), make.clock())
    assert list(stops["Waits for"]) == [PRE]


def test_the_tally_names_every_verdict_that_occurs():
    found = quality_plan(scene(result(BOND, 29, 0.5)), PLAN)
    assert tally(found) == "3 tests and inspections: 1 rule missed, 2 open."


def test_what_to_look_at_about_crews_is_told_apart():
    rows = list(crew_rows(make.campaign(cards=(card(orientation=Orientation.FLOOR),)), None))
    assert look_at(rows) == [
        "Crew C1, dry overhead: no valid card in the campaign, and 1 must hold one."
    ]
    assert "Look at" not in crews_frame(rows).columns


def card(**changes):
    fields = {"crew_id": CrewId("C1"), "person": "N1", "process": Process.DRY}
    return Card(**(fields | changes))


def test_crews_tell_cards_and_the_days_they_hold():
    campaign = make.campaign(
        crews=(make.crew(people=4, duty_max_min=600, rest_min_min=660),),
        cards=(card(from_min=DAY, to_min=3 * DAY),),
    )
    (row,) = crew_rows(campaign, PLAN)
    assert (row.process, row.orientation, row.people) == ("dry", "overhead", 4)
    assert row.hours == "shift day, duty 10 h, rest 11 h"
    assert row.cards == "N1 from 2026-03-03 to 2026-03-04"
    assert row.valid == "2026-03-03 to 2026-03-04"
    assert row.used == "2026-03-02 to 2026-03-02"
    assert row.look_at.startswith("cards do not cover every day")


def test_a_kind_that_no_card_covers_is_told():
    campaign = make.campaign(cards=(card(orientation=Orientation.FLOOR),))
    (row,) = crew_rows(campaign, None)
    assert (row.valid, row.used) == ("never", "")
    assert row.look_at == "no valid card in the campaign, and 1 must hold one"


def test_too_few_people_for_the_kind_of_machine_is_flagged():
    rigs = (make.rig(type_id="dry-rotary-barrel"),)
    (few,) = crew_rows(make.campaign(rigs=rigs, crews=(make.crew(people=1),)), None)
    assert few.look_at.startswith("1 people; rig R1, a ")
    (many,) = crew_rows(make.campaign(rigs=rigs, crews=(make.crew(people=12),)), None)
    assert many.look_at == ""


def test_break_out_crews_have_a_row_without_process():
    breakers = make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5)
    plan = replace(PLAN, break_outs=(make.break_out(),))
    rows = list(crew_rows(make.campaign(crews=(make.crew(), breakers)), plan))
    assert [(row.crew, row.kind, row.process, row.used) for row in rows] == [
        ("C1", "spray", "dry", "2026-03-02 to 2026-03-02"),
        ("B1", "break_out", "", "2026-03-02 to 2026-03-02"),
    ]
