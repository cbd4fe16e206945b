"""Degree-hours and equivalent age of plain histories."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.trade.maturity import (
    equivalent_age_h,
    first_hours,
    hours_to_age,
    is_within,
    mean_c,
    nurse_saul_c_h,
    rate_factor,
)

E = 33_500.0
TEMPERATURES = st.floats(5.0, 35.0)
HISTORIES = st.lists(st.tuples(st.floats(0.5, 48.0), TEMPERATURES), min_size=1, max_size=6)


def test_hours_below_the_datum_count_nothing():
    assert nurse_saul_c_h([(10, 5.0), (10, -5.0)]) == 50.0  # 10 x 5
    assert nurse_saul_c_h([(10, 5.0), (10, -5.0)], datum_c=-10.0) == 200.0  # 10 x 15 + 10 x 5


def test_at_the_reference_temperature_an_hour_is_an_hour():
    assert rate_factor(20.0, activation_j_mol=E) == pytest.approx(1.0)
    assert equivalent_age_h([(7.5, 20.0)], activation_j_mol=E) == pytest.approx(7.5)
    assert rate_factor(23.0, activation_j_mol=E, reference_c=23.0) == pytest.approx(1.0)


def test_without_activation_energy_temperature_does_not_matter():
    assert equivalent_age_h([(3, 5.0), (4, 35.0)], activation_j_mol=0.0) == pytest.approx(7.0)


def test_the_time_to_an_age_counts_each_step_at_its_own_pace():
    # 4 h at 20 °C are 4 h; the other 4 h take 4 / 0.6154 = 6.50 h at 10 °C
    took = hours_to_age(8.0, [(4, 20.0), (48, 10.0)], activation_j_mol=E)
    assert took == pytest.approx(4 + 4 / 0.61542, abs=1e-3)


def test_an_age_that_a_history_does_not_reach_has_no_time():
    assert hours_to_age(8.0, [(7.9, 20.0)], activation_j_mol=E) is None
    assert hours_to_age(0.0, [(1, 20.0)], activation_j_mol=E) == 0.0


@pytest.mark.parametrize(
    ("celsius", "holds"), [(4.9, False), (5, True), (35, True), (35.1, False)]
)
def test_the_formulas_hold_between_5_and_35_degrees(celsius, holds):
    assert is_within([(1, 20.0), (1, celsius)]) is holds


@given(HISTORIES, st.floats(0.05, 1.0))
def test_the_time_to_an_age_is_the_inverse_of_the_age(history, share):
    whole = equivalent_age_h(history, activation_j_mol=E)
    took = hours_to_age(share * whole * 0.999, history, activation_j_mol=E)
    assert took is not None
    left, cut = took, []
    for hours, celsius in history:
        cut.append((min(hours, left), celsius))
        left -= min(hours, left)
    assert equivalent_age_h(cut, activation_j_mol=E) == pytest.approx(share * whole * 0.999)


def test_the_first_hours_of_a_history_may_end_within_a_step():
    history = [(2.0, 10.0), (3.0, 20.0)]
    assert first_hours(history, 2.5) == [(2.0, 10.0), (0.5, 20.0)]
    assert first_hours(history, 2.0) == [(2.0, 10.0)]
    assert first_hours(history, 9.0) == history
    assert first_hours(history, 0.0) == []
    assert mean_c([]) == 0.0


@given(TEMPERATURES, TEMPERATURES)
def test_warmer_is_never_slower(one, other):
    low, high = sorted((one, other))
    assert rate_factor(low, activation_j_mol=E) <= rate_factor(high, activation_j_mol=E)
