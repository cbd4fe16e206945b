"""What the records say, in rows and in sentences."""

from dataclasses import replace
from datetime import date

from planner.model.water import LevelPoint, Water, WaterKind
from planner.plan.plan import Plan
from planner.reports.standing import standing_rows, standing_sentences
from planner.site.entry import Entry
from planner.site.forecast import forecast, learnt
from tests import builders as make
from tests.unit.site.scenes import at, found, sprayed, stored


def told(*entries, **changes):
    campaign = make.campaign(**changes)
    rows = stored(*entries)
    plan = Plan(runs=(make.run(),), spells=(make.spell(),))
    known, rest = learnt(campaign, rows), forecast(campaign, plan, rows)
    return (
        standing_rows(campaign, rows, known, rest),
        standing_sentences(campaign, rows, known, rest),
    )


def test_rows_hold_what_was_measured_and_what_is_made_of_it():
    rows, _ = told(sprayed(lost_min=15.0, lost_reason="machine"), found(depth=121.0))
    table = {row.figure: row for row in rows}
    growth = table["volume found after break-out against the survey"]
    assert (growth.records, growth.measured) == (1, 1.1)  # 121 mm against 100 mm with 10 %
    assert 1.0 < growth.estimate < 1.1
    assert table["lost: machine"].measured == 15.0
    assert table["left in place"].measured == 20 * 0.121 - 1.0


def test_the_rebound_is_what_the_material_leaves_beside_placed_and_waste():
    # 100 bags of 12 l for 0.5 m³: 1.2 m³; 1 - 1.03 x 0.5 / 1.2; the mix table says one half
    rows, _ = told(sprayed(placed=0.5, bags=100.0, bag_l=12.0))
    (row,) = [row for row in rows if row.figure.startswith("rebound")]
    assert row.measured == round(1 - 1.03 * 0.5 / 1.2, 4)
    assert 0.5 < row.estimate < row.measured
    assert row.unit.endswith("(planned 0.5)")


def test_sentences_say_measured_then_shrunk_with_the_interval():
    _, words = told(sprayed(placed=1.0))
    assert words[0].startswith("1 record counted; intervals are 80%")
    assert words[1].startswith("Placing: -50% in 1 spell; for the rest -21% against the plan (")
    assert any("the plan says Mon 2 Mar 07:36" in sentence for sentence in words)


def test_water_above_prediction_and_allowance_is_a_caution():
    points = tuple(LevelPoint(minute=60.0 * k, level_m=0.0) for k in range(24))
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),), allowance_m=0.2)
    low = told(Entry(water_m=0.15, stop=at(600)), water=water)[1]
    high = told(Entry(water_m=0.25, stop=at(600)), water=water)[1]
    assert not any("CAUTION" in sentence for sentence in low)
    assert any("CAUTION" in sentence for sentence in high)
    assert any("up to +0.25 m against the prediction in 1 reading" in s for s in high)


def test_a_rest_beyond_the_campaign_is_said():
    clock = make.clock(last_day=date(2026, 3, 2))
    crew = replace(make.crew(), available_to_min=1440)
    slow = [sprayed(start=400 + k, stop=460 + k, placed=0.01) for k in range(8)]
    _, words = told(*slow, clock=clock, crews=(crew,))
    assert any("does not end within the campaign's days" in sentence for sentence in words)
