"""Cautions in words and as tables."""

from planner.reports.cautions import (
    IN_PLAN,
    cautions_frame,
    plan_cautions_frame,
    seen_frame,
    tally,
    whom,
)
from planner.trade.cautions import cautions_for
from planner.trade.cautions_in_plan import cautions_in_plan
from tests.builders import campaign, spell, zone
from tests.unit.trade.sites import deck, sewer


def told(site):
    return {caution.code: whom(site, caution) for caution in cautions_for(site)}


def test_whom_a_caution_concerns_is_told_in_few_words():
    found = told(deck())
    assert found["not-an-approval"] == "the whole site"
    assert found["propping"] == "all 2 zones"
    assert found["fall-out"] == "zone SOFFIT"
    assert found["arm"] == "rig W1"
    assert found["fatigue"] == "all 2 crews"
    assert told(campaign())["silica"] == "rig R1"


def test_of_many_the_first_are_named_and_the_rest_counted():
    low = tuple(zone(f"L{k}", z_m=0.0) for k in range(2))
    high = tuple(zone(f"H{k}", z_m=5.0) for k in range(10))
    found = told(campaign(zones=(*low, *high)))["height"]
    assert found == "zones H0, H1, H2, H3, H4, H5, H6, H7 and 2 more"


def test_a_table_of_cautions_has_a_row_for_each():
    frame = cautions_frame(sewer(), cautions_for(sewer()))
    assert len(frame) == len(cautions_for(sewer()))
    assert frame["Who decides"].str.startswith("Follow your local code for").all()


def plan_cautions():
    far = spell(zone="S50", start_min=120, end_min=150)
    return cautions_in_plan(sewer(), (spell(zone="S10", start_min=60, end_min=90), far))


def test_cautions_of_a_plan_stand_in_time_order_with_local_times():
    frame = plan_cautions_frame(sewer(), plan_cautions())
    assert list(frame["Caution"]) == ["The way out"]
    assert str(frame["Start"][0]) == "2026-03-02 02:00:00"
    seen = seen_frame(sewer(), plan_cautions())
    assert list(seen["Rig, crew"]) == ["R1, C1"]
    assert seen["Spell"][0].startswith("Mon 2 Mar")
    assert list(plan_cautions_frame(sewer(), ()).columns) == list(frame.columns)


def test_the_tally_counts_spells_and_says_that_no_rule_is_broken():
    assert tally(plan_cautions()) == (
        "1 spell asks for a second look (the way out 1): cautions, not broken rules."
    )
    assert tally(()) == "No spell asks for a second look."
    assert set(IN_PLAN) == {"way-out", "below-fresh", "next-layer", "short-rest"}
