"""From a level series back to the waves it was made of."""

from datetime import UTC, datetime

import numpy as np
import pytest

from planner.access.harmonic import analyse
from planner.access.tide import TideLevel
from planner.model.water import Constituent

EPOCH = datetime(2025, 6, 1, tzinfo=UTC)
DAY = 1440.0


def wave(name, amplitude_m, phase_deg):
    return Constituent(name=name, amplitude_m=amplitude_m, phase_deg=phase_deg)


WAVES = (
    wave("M2", 2.0, 30.0),
    wave("S2", 0.7, 75.0),
    wave("N2", 0.4, 10.0),
    wave("K1", 0.1, 200.0),
    wave("O1", 0.08, 150.0),
    wave("M4", 0.12, 300.0),
)
LONG = (*WAVES, wave("K2", 0.2, 80.0), wave("P1", 0.03, 190.0), wave("SA", 0.06, 220.0))


def series(waves, *, days, mean_m=2.5, step_min=60.0):
    times = np.arange(0.0, days * DAY, step_min)
    return times, TideLevel(waves, mean_m=mean_m, epoch_utc=EPOCH).level_m(times)


def found(fit):
    return {one.name: one for one in fit.constituents}


def test_a_year_of_levels_over_new_year_gives_its_waves_back():
    fit = analyse(*series(LONG, days=370), epoch_utc=EPOCH)
    by_name = found(fit)
    assert fit.mean_m == pytest.approx(2.5, abs=1e-6)
    assert np.abs(fit.residual_m).max() < 1e-6
    for one in LONG:
        assert by_name[one.name].amplitude_m == pytest.approx(one.amplitude_m, abs=1e-5)
        assert by_name[one.name].phase_deg == pytest.approx(one.phase_deg, abs=0.01)
    given = {one.name for one in LONG}
    others = [one.amplitude_m for name, one in by_name.items() if name not in given]
    assert len(others) > 40
    assert max(others) < 1e-4
    assert fit.constituents[0].name == "M2"


def test_gaps_and_noise_do_no_harm():
    times, levels = series(LONG, days=370)
    rng = np.random.default_rng(3)
    kept = rng.random(times.size) < 0.7
    noisy = levels[kept] + rng.normal(0.0, 0.1, np.count_nonzero(kept))
    fit = analyse(times[kept], noisy, epoch_utc=EPOCH)
    assert found(fit)["M2"].amplitude_m == pytest.approx(2.0, abs=0.01)
    assert fit.residual_m.std() == pytest.approx(0.1, abs=0.005)


def test_a_month_takes_near_neighbours_in_the_ratio_of_the_equilibrium_tide():
    small = (
        wave("K2", 0.272 * 0.7, 75.0),
        wave("T2", 0.059 * 0.7, 75.0),
        wave("P1", 0.331 * 0.1, 200.0),
        wave("NU2", 0.194 * 0.4, 10.0),
    )
    equilibrium = (*WAVES, *small)
    fit = analyse(*series(equilibrium, days=31), epoch_utc=EPOCH)
    by_name = found(fit)
    assert set(fit.inferred) == {"K2", "T2", "P1", "NU2"}
    assert by_name["S2"].amplitude_m == pytest.approx(0.7, abs=0.001)
    assert by_name["K2"].amplitude_m == pytest.approx(0.272 * by_name["S2"].amplitude_m)
    assert by_name["P1"].phase_deg == by_name["K1"].phase_deg
    assert "SA" in fit.left_out
    assert "SA" not in by_name


@pytest.mark.parametrize(
    ("days", "step_min", "says"),
    [(14.0, 60.0, "14.0 days"), (370.0, 372.0, "372 min apart"), (16.0, 90.0, "points")],
)
def test_a_record_too_short_or_too_coarse_is_refused(days, step_min, says):
    times, levels = series(WAVES, days=days, step_min=step_min)
    if says == "points":
        times, levels = times[:: times.size // 40], levels[:: times.size // 40]
        times[1:-1] = times[0] + 60.0 * np.arange(1, times.size - 1)
    with pytest.raises(ValueError, match=says):
        analyse(times, levels, epoch_utc=EPOCH)
