"""Spells that lie before a stop of the contract is met."""

from planner.model.identifiers import ZoneId
from planner.model.quality import Hold
from planner.trade.quality_panels import pre_construction
from planner.trade.quality_stops import Result, stopped_spells
from planner.trade.quality_verdict import Verdict
from tests.unit.trade.quality_scenes import DAY, placed, quality

NAME = "PRE/C1/dry/overhead"
INSP = "INSP/Z1"
PROD = "PROD/dry/C1/2026-03-02/1"


def stops(rows, results=None, *, holds=(Hold.PANELS,), panel=None, **changes):
    """What is stopped, with its reason; days are written as numbers."""
    asked = quality(holds=holds, **changes)
    kinds = {one.kind for one in rows}
    made = dict.fromkeys(kinds, panel) if panel is not None else {}
    trials = {one.name: one for one in pre_construction(kinds, made, asked)}
    found = stopped_spells(rows, trials, results or {}, asked, day=lambda m: f"day {m // DAY}")
    return [(one.placed.start_min // DAY, one.trial, one.why) for one in found]


def test_without_stops_nothing_is_flagged():
    assert stops([placed(0)], holds=()) == []


def test_spraying_before_the_panel_is_due_is_flagged():
    assert stops([placed(5), placed(40)], panel=600) == [
        (5, NAME, f"the result of {NAME} is not due before day 28"),
        (40, NAME, f"no result of {NAME}, due on day 28, is entered"),
    ]


def test_a_panel_that_nobody_planned_stops_too():
    assert stops([placed(5)]) == [(5, NAME, f"no result of {NAME} is entered")]


def test_a_result_that_meets_the_rule_lifts_the_stop_from_its_day_on():
    results = {NAME: [Result(at_min=28 * DAY, verdict=Verdict.MET)]}
    assert stops([placed(27), placed(28)], results, panel=600) == [
        (27, NAME, f"the result of {NAME} is of day 28, later")
    ]


def test_a_result_that_misses_the_rule_keeps_the_stop_until_a_later_one_meets_it():
    results = {
        NAME: [
            Result(at_min=35 * DAY, verdict=Verdict.MET),
            Result(at_min=28 * DAY, verdict=Verdict.MISSED),
        ]
    }
    assert stops([placed(30), placed(36)], results, panel=600) == [
        (30, NAME, f"the result of {NAME} of day 28 says: rule missed")
    ]


def test_the_stop_waits_for_the_test_at_its_own_age():
    early = f"{NAME}/7d"
    results = {early: [Result(at_min=7 * DAY, verdict=Verdict.MET)]}
    assert stops([placed(8)], results, panel=600, hold_age_d=7.0) == []
    assert stops([placed(6)], panel=600, hold_age_d=7.0)[0][1] == early


def test_each_zone_waits_for_its_own_inspection():
    results = {INSP: [Result(at_min=DAY, verdict=Verdict.MET)]}
    rows = [placed(1), placed(2, zone=ZoneId("Z2"))]
    assert stops(rows, results, holds=(Hold.INSPECTION,)) == [
        (2, "INSP/Z2", "no result of INSP/Z2 is entered")
    ]


def test_failed_production_tests_stop_the_crew_and_mix_until_later_ones_meet_the_rule():
    results = {
        PROD: [Result(at_min=3 * DAY, verdict=Verdict.MISSED)],
        "PROD/dry/C1/2026-03-04/1": [Result(at_min=6 * DAY, verdict=Verdict.MET)],
        "PROD/dry/C2/2026-03-04/1": [Result(at_min=1 * DAY, verdict=Verdict.MISSED)],
    }
    rows = [placed(2), placed(3), placed(5), placed(6)]
    assert [(day, name) for day, name, _ in stops(rows, results, holds=(Hold.FAILED,))] == [
        (3, PROD),
        (5, PROD),
    ]


def test_of_two_results_of_one_day_the_worse_counts():
    results = {
        PROD: [Result(at_min=3 * DAY, verdict=Verdict.MISSED)],
        "PROD/dry/C1/2026-03-02/2": [Result(at_min=3 * DAY, verdict=Verdict.MET)],
    }
    assert len(stops([placed(4)], results, holds=(Hold.FAILED,))) == 1


def test_a_failure_counts_before_a_success_of_the_same_day_whatever_their_names():
    results = {
        "PROD/dry/C1/2026-03-02/2": [Result(at_min=3 * DAY, verdict=Verdict.MISSED)],
        PROD: [Result(at_min=3 * DAY, verdict=Verdict.MET)],
    }
    assert len(stops([placed(4)], results, holds=(Hold.FAILED,))) == 1
