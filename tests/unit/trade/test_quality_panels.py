"""Panels before the work, and while it goes on."""

import pytest

from planner.model.identifiers import CrewId, MixId, Orientation
from planner.model.quality import Hold
from planner.trade.quality_panels import panel_count, pre_construction, production, spread
from planner.trade.quality_trial import hold_name
from tests.unit.trade.quality_scenes import DAY, placed, quality

KIND = (CrewId("C1"), MixId("dry"), Orientation.OVERHEAD)


def test_each_kind_has_a_panel_with_five_cores_at_28_days():
    (one,) = pre_construction([KIND], {KIND: 500}, quality())
    assert (one.name, one.pieces, one.made_min) == ("PRE/C1/dry/overhead", 5, 500)
    assert (one.due_min, one.specified_mpa) == (500 + 28 * DAY, 40.0)


def test_a_panel_that_is_not_planned_has_no_dates():
    (one,) = pre_construction([KIND], {}, quality())
    assert (one.made_min, one.due_min) == (None, None)


def test_an_early_stop_has_a_test_of_its_own():
    asked = quality(holds=(Hold.PANELS,), hold_age_d=7.0, hold_mpa=20.0)
    last, early = pre_construction([KIND], {KIND: 0}, asked)
    assert (last.age_d, last.specified_mpa, last.pieces) == (28.0, 40.0, 5)
    assert (early.name, early.age_d, early.specified_mpa) == ("PRE/C1/dry/overhead/7d", 7.0, 20.0)
    assert (early.due_min, early.pieces) == (7 * DAY, 3)
    assert hold_name(KIND, asked) == early.name


@pytest.mark.parametrize("changes", [{}, {"hold_age_d": 28.0}, {"hold_mpa": 40.0}])
def test_a_stop_at_the_age_of_acceptance_waits_for_the_same_test(changes):
    asked = quality(holds=(Hold.PANELS,), **changes)
    assert [one.name for one in pre_construction([KIND], {}, asked)] == ["PRE/C1/dry/overhead"]
    assert hold_name(KIND, asked) == "PRE/C1/dry/overhead"


@pytest.mark.parametrize(
    ("days", "volume", "operators", "count"),
    [
        (4, 50.0, 1, 4),  # 2 by volume
        (1, 38.0, 1, 1),
        (1, 38.1, 1, 2),
        (2, 200.0, 1, 6),  # ceil(5.26)
        (2, 200.0, 2, 6),  # 2 x ceil(2.63)
        (4, 10.0, 2, 8),
    ],
)
def test_days_or_volume_count_whichever_gives_more(days, volume, operators, count):
    found = panel_count(days=days, volume_m3=volume, operators=operators, production_m3=38.0)
    assert found == count


def test_more_panels_go_to_the_day_with_most_for_each():
    assert spread(2, [1.0, 9.0]) == [1, 1]
    assert spread(5, [80.0, 100.0]) == [2, 3]  # 100, then 80, then 100 / 2
    assert spread(3, [50.0, 50.0]) == [2, 1]


def test_each_crew_makes_panels_of_each_mix_on_each_day_it_sprays():
    rows = [
        placed(0),
        placed(0, start_min=700, end_min=800),
        placed(1),
        placed(1, crew=CrewId("C2")),
        placed(3, mix=MixId("fine")),
    ]
    assert [one.name for one in production(rows, quality())] == [
        "PROD/dry/C1/2026-03-02/1",
        "PROD/dry/C1/2026-03-03/1",
        "PROD/dry/C2/2026-03-03/1",
        "PROD/fine/C1/2026-03-05/1",
    ]


def test_a_panel_is_made_by_the_end_of_its_day_and_tested_at_age():
    first = production([placed(0), placed(0, end_min=800)], quality(age_d=7.0))[0]
    assert (first.made_min, first.due_min, first.pieces) == (800, 800 + 7 * DAY, 3)


def test_large_volumes_ask_for_more_panels_on_a_day():
    rows = [placed(0, volume_m3=100.0), placed(1, volume_m3=10.0)]  # ceil(110 / 38) = 3
    assert [one.name for one in production(rows, quality())] == [
        "PROD/dry/C1/2026-03-02/1",
        "PROD/dry/C1/2026-03-02/2",
        "PROD/dry/C1/2026-03-03/1",
    ]


def test_the_count_can_be_asked_for_its_formula_and_inputs():
    figure = production([placed(0), placed(1)], quality())[0].figures[0]
    assert (figure.name, figure.value) == ("panels", 2.0)
    assert {one.name: one.value for one in figure.inputs} == {
        "days worked": 2.0,
        "volume_m3": 4.0,
        "quality.operators": 1,
        "quality.production_m3": 38.0,
    }
