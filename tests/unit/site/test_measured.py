"""What records measure against the plan."""

import pytest

from planner.model.identifiers import CrewId
from planner.model.water import LevelPoint, Water, WaterKind
from planner.site.entry import Entry
from planner.site.measured import Loss, Measured
from planner.trade.material_factors import factors_of
from tests import builders as make
from tests.unit.site.scenes import at, found, sprayed, stored


def measured(*entries, **changes):
    return Measured(make.campaign(**changes), stored(*entries))


def test_the_rate_is_volume_over_time_without_what_was_lost():
    # planned: 5 m³/h x 0.8 x (1 - 0.5) = 2 m³/h; measured: 1.5 m³ in 75 - 15 = 60 min
    (pair,) = measured(sprayed(stop=615, placed=1.5, lost_min=15.0, lost_reason="machine")).rates()
    assert (pair.planned_m3_h, pair.measured_m3_h) == (2.0, 1.5)


def test_a_record_without_times_or_position_measures_no_rate():
    assert measured(sprayed(start=None), sprayed(position=None)).rates() == ()
    assert measured(Entry(note="nothing")).rates() == ()


def test_material_is_bags_over_volume_against_the_mix_table():
    # planned: (1 + 0.03) / (1 - 0.5) = 2.06; measured: 100 x 12 l / 0.5 m³ = 2.4
    (pair,) = measured(sprayed(placed=0.5, bags=100.0, bag_l=12.0)).nozzle()
    assert pair.planned == pytest.approx(2.06)
    assert pair.measured == pytest.approx(2.4)


def test_bags_without_litres_take_the_yield_of_the_materials():
    # a bag without a row in materials.csv: its mass over the dry mass of 1 m³
    campaign = make.campaign()
    bag_m3 = factors_of(campaign, campaign.mixes[0].mix_id).value("unit_m3")
    (pair,) = measured(sprayed(placed=0.5, bags=100.0)).nozzle()
    assert pair.measured == pytest.approx(100 * bag_m3 / 0.5)


def test_losses_of_a_crew_and_day_go_together():
    found_losses = measured(
        sprayed(stop=660, lost_min=20.0, lost_reason="water"),
        sprayed(start=700, stop=800),
        Entry(crew=CrewId("C1"), stop=at(900), lost_min=60.0, lost_reason="weather"),
    ).losses()
    assert found_losses == (
        Loss(worked_min=200.0, lost_min=80.0, reasons=(("water", 20.0), ("weather", 60.0))),
    )
    assert found_losses[0].share == pytest.approx(80 / 280)


def test_finds_compare_with_the_survey_and_its_overbreak():
    (find,) = measured(found(depth=110.0)).finds()
    assert (find.surveyed_m3, find.found_m3) == pytest.approx((2.2, 20 * 0.110))


def test_a_zone_with_a_volume_alone_cannot_be_compared():
    zone = make.zone(area_m2=None, depth_mm=None, volume_m3=1.0)
    assert measured(found(depth=110.0), zones=(zone,)).finds() == ()


def test_water_is_compared_with_the_prediction_of_its_minute():
    points = tuple(LevelPoint(minute=60.0 * k, level_m=0.01 * k) for k in range(24))
    water = Water(kind=WaterKind.LEVELS, levels=((None, points),))
    ((number, higher),) = measured(Entry(water_m=0.30, stop=at(600)), water=water).water()
    assert (number, higher) == (1, pytest.approx(0.30 - 0.10))


def test_without_water_there_is_nothing_to_compare():
    assert measured(Entry(water_m=0.30, stop=at(600))).water() == ()
