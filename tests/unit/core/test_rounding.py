"""Rounding against ourselves, but not by the noise of binary fractions."""

import pytest

from planner.core.rounding import down, up


@pytest.mark.parametrize(
    ("value", "rounded"), [(60.0, 60), (60.0000004, 60), (60.000001, 61), (59.2, 60), (-1.5, -1)]
)
def test_a_duration_is_rounded_up_after_six_decimals(value, rounded):
    assert up(value) == rounded


@pytest.mark.parametrize(
    ("value", "rounded"), [(60.0, 60), (59.9999996, 60), (59.999999, 59), (59.8, 59), (-1.5, -2)]
)
def test_a_limit_is_rounded_down_after_six_decimals(value, rounded):
    assert down(value) == rounded


def test_sixty_minutes_worked_out_in_hours_stay_sixty():
    assert up(60 * (0.1 + 0.2) / 0.3) == 60  # 60.00000000000001 in binary fractions
