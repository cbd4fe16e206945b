"""How fast, and how long."""

import pytest

from planner.model.identifiers import CrewKind
from planner.model.rules import Rules
from planner.trade.rates import (
    break_out_minutes,
    move_minutes,
    panel_run_minutes,
    placing_rate_m3_h,
    plan_distance_m,
    spell_minutes,
)
from tests.builders import crew, mix, position, rig


def test_the_rate_is_the_nozzle_rate_by_the_share_it_flows_by_what_does_not_rebound():
    # 5 m3/h x 0.8 x (1 - 0.5)
    assert placing_rate_m3_h(rig(), mix(rebound=0.5), 10.0) == pytest.approx(2.0)


def test_the_rate_holds_up_to_the_free_length_and_falls_by_a_share_for_each_100_m_beyond():
    machine = rig(rate_free_m=40.0, rate_loss_per_100m=0.25)
    assert placing_rate_m3_h(machine, mix(), 40.0) == pytest.approx(2.0)
    # 1 - 0.25 x (120 - 40) / 100 = 0.8
    assert placing_rate_m3_h(machine, mix(), 120.0) == pytest.approx(2.0 * 0.8)


def test_a_tenth_of_the_rate_is_left_however_long_the_hose():
    machine = rig(rate_loss_per_100m=1.0)
    assert placing_rate_m3_h(machine, mix(), 90.0) == pytest.approx(0.2)
    assert placing_rate_m3_h(machine, mix(), 500.0) == pytest.approx(0.2)


def test_the_mix_may_go_on_faster_or_slower():
    assert placing_rate_m3_h(rig(), mix(rate_factor=0.5), 10.0) == pytest.approx(1.0)


def test_a_spell_is_rounded_up_but_not_by_the_noise_of_fractions():
    assert spell_minutes(2.2, 2.0) == 66
    assert spell_minutes(2.2001, 2.0) == 67
    assert spell_minutes(0.1 + 0.2, 0.3) == 60  # 0.30000000000000004 m3


def test_a_move_goes_by_the_plan_distance_and_leaves_heights_aside():
    here, there = position(x_m=5.0, y_m=-7.0), position("P2", x_m=35.0, y_m=33.0, z_m=500.0)
    assert plan_distance_m(here, there) == 50.0
    # 60 + 25 x 50 / 100 = 72.5
    assert move_minutes(rig(move_min=60.0, move_min_per_100m=25.0), here, there) == 73
    assert move_minutes(rig(move_min=60.0), here, there) == 60


def test_a_panel_run_is_start_up_panel_and_clean_up():
    assert panel_run_minutes(rig(start_up_min=20, clean_up_min=15), Rules(panel_min=60)) == 95


def test_break_out_goes_by_the_crews_rate_rounded_up():
    breakers = crew(kind=CrewKind.BREAK_OUT, rate_m3_h=0.5)
    assert break_out_minutes(2.2, breakers) == 264
    assert break_out_minutes(2.201, breakers) == 265


def test_a_crew_without_a_break_out_rate_does_not_break_out():
    with pytest.raises(ValueError, match="crew C1 has no rate_m3_h"):
        break_out_minutes(1.0, crew())
