"""What an allowance buys, on water whose sums can be done by hand."""

import numpy as np
import pytest

from planner.access.allowance import (
    Need,
    Observed,
    allowance_table,
    held,
    monthly_losses,
    suggested,
)
from planner.access.series import SeriesLevel
from planner.model.water import LevelPoint

DAYS = 4
# falls from 3 m to -3 m in 6 h and rises again, 1 m an hour, twice a day
POINTS = tuple(
    LevelPoint(minute=360.0 * k, level_m=-3.0 if k % 2 else 3.0) for k in range(4 * DAYS + 1)
)
FINE = tuple(
    LevelPoint(minute=float(at), level_m=float(level))
    for at, level in zip(
        np.arange(0, 1440 * DAYS + 1, 60),
        np.interp(
            np.arange(0, 1440 * DAYS + 1, 60),
            [p.minute for p in POINTS],
            [p.level_m for p in POINTS],
        ),
        strict=True,
    )
)
SOURCE = SeriesLevel(FINE, datum_m=0.0)
CURVE = SOURCE.curve(0.0, 1440.0 * DAYS)
TIMES = np.arange(0.0, 1440.0 * DAYS + 1, 60.0)


def observed(surge):
    """Observed every hour: predicted plus a surge [m] for each of the four days."""
    day = np.minimum((TIMES // 1440).astype(int), DAYS - 1)
    return Observed.beside(SOURCE, TIMES, SOURCE.level_m(TIMES) + np.array(surge)[day])


def need(**changes):
    return Need(**({"limit_m": 0.0, "least_min": 60} | changes))


def test_a_window_holds_while_the_surge_is_no_more_than_the_allowance():
    seen = observed([0.0, 0.1, 0.3, -0.2])
    table = allowance_table(CURVE, seen, need(), margins_m=(0.0, 0.1, 0.2, 0.3))
    assert [row.windows for row in table] == [8] * 4
    assert [row.held for row in table] == [4, 6, 6, 8]
    # 1 m an hour: each decimetre takes 6 min from both ends of 6 h
    assert [row.mean_h for row in table] == pytest.approx([6.0, 5.8, 5.6, 5.4])
    assert table[3].open_share == pytest.approx(5.4 / 6.0)
    assert table[1].reliability == 0.75


def test_nobody_is_there_at_the_ends_of_a_window():
    seen = observed([0.1, 0.1, 0.1, 0.1])
    assert np.count_nonzero(held(CURVE, seen, need(), allowance_m=0.0)[1]) == 0
    late = need(get_in_min=7.0, get_out_min=7.0)  # the water takes 6 min for a decimetre
    assert np.count_nonzero(held(CURVE, seen, late, allowance_m=0.0)[1]) == 8
    soon = need(get_in_min=7.0, get_out_min=5.0)
    assert np.count_nonzero(held(CURVE, seen, soon, allowance_m=0.0)[1]) == 0


def test_days_without_any_window_left_are_counted():
    table = allowance_table(
        CURVE, observed([0.0] * 4), need(limit_m=-2.0, least_min=90), margins_m=(0.0, 0.2, 0.3)
    )
    # 2 h at -2 m; 1.6 h at -2.2 m; 1.4 h at -2.3 m are shorter than 90 min
    assert [row.windows for row in table] == [8, 8, 0]
    assert [row.days_lost for row in table] == [0, 0, DAYS]
    assert np.isnan(table[2].reliability)
    assert table[2].mean_h == 0.0


def test_the_least_allowance_that_is_reliable_enough_is_suggested():
    table = allowance_table(
        CURVE, observed([0.0, 0.1, 0.3, -0.2]), need(), margins_m=(0.0, 0.1, 0.2, 0.3)
    )
    best = suggested(table, 0.7)
    assert best is not None
    assert best.allowance_m == 0.1
    surest = suggested(table, 1.0)
    assert surest is not None
    assert surest.allowance_m == 0.3
    assert suggested(table[:3], 0.9) is None
    assert suggested([], 0.5) is None


def test_windows_with_a_gap_in_the_record_or_beyond_it_are_not_counted():
    kept = (TIMES < 1440 * 1.25) | (TIMES > 1440 * 1.5)  # the second day's noon is missing
    seen = Observed.beside(SOURCE, TIMES[kept], SOURCE.level_m(TIMES[kept]))
    windows, good = held(CURVE, seen, need(), allowance_m=0.0)
    # the low waters of day 2 stand at 06:00 and 18:00; the gap, 06:00 to 12:00, cuts the first
    assert windows.starts.size == 7
    assert good.all()
    short = Observed.beside(SOURCE, TIMES[:24], SOURCE.level_m(TIMES[:24]))
    assert held(CURVE, short, need(), allowance_m=0.0)[0].starts.size == 2


def test_between_observed_points_the_residual_runs_straight_and_not_the_level():
    hourly_peak = Observed.beside(SOURCE, TIMES[::3] + 30.0, SOURCE.level_m(TIMES[::3] + 30.0))
    at = hourly_peak.minutes
    assert hourly_peak.levels_m.tolist() == pytest.approx(SOURCE.level_m(at).tolist())


def test_nothing_predicted_is_refused():
    with pytest.raises(ValueError, match="no level is predicted"):
        Observed.beside(SOURCE, TIMES + 1e6, TIMES)


def test_losses_are_told_month_by_month():
    months = monthly_losses(
        CURVE,
        observed([0.0, 0.1, 0.3, -0.2]),
        need(),
        allowance_m=0.0,
        month_of=lambda minute: 4 if minute < 1440 * 2 else 5,
    )
    assert months == {4: (4, 2), 5: (4, 2)}
