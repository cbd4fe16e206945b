"""The tide against an independent library, wave by wave; skipped where it is not installed.

Development only (extra ``crosscheck``): pyTMD, MIT licence (its arguments after Schureman, called
FES there).  Nothing of it is used when anything is planned.
"""

from datetime import UTC, datetime

import numpy as np
import pytest

from planner.access.tide import TideLevel
from planner.model.water import Constituent

pytestmark = pytest.mark.reference

# M1 has another factor there (its phase agrees), MSF that of M2 instead of Mm: what the agencies
# do with both is held by the tables of Boston and Vlissingen.
NAMES = (
    *("M2", "S2", "N2", "K1", "M4", "O1", "M6", "MK3", "S4", "MN4", "NU2", "S6", "MU2", "2N2"),
    *("OO1", "LAM2", "J1", "MM", "SSA", "SA", "MF", "RHO1", "Q1", "T2", "R2", "2Q1", "P1"),
    *("2SM2", "M3", "L2", "2MK3", "K2", "M8", "MS4"),
)
THEIRS = {"LAM2": "lambda2", "RHO1": "rho1", "NU2": "nu2", "MU2": "mu2"}
EPOCH = datetime(2020, 1, 1, tzinfo=UTC)
MIDDLE = datetime(2020, 7, 2, tzinfo=UTC)
MJD_EPOCH = datetime(1858, 11, 17, tzinfo=UTC)
DAY_MIN = 1440.0


def mjd(moment):
    return (moment - MJD_EPOCH).total_seconds() / 86400.0


def theirs(library, name, minutes):
    """A wave of a metre by pyTMD: argument at each time, node factor at the middle of the year."""
    given = {"corrections": "FES", "climate_solar_perigee": True, "M1": "Doodson"}
    wave = [THEIRS.get(name, name.lower())]
    _, _, argument = library.arguments(mjd(EPOCH) + minutes / DAY_MIN, wave, **given)
    u, f, _ = library.arguments(np.array([mjd(MIDDLE)]), wave, **given)
    turn = np.pi if name == "M3" else 0.0  # referred to the other meridian there
    return float(f[0, 0]) * np.cos(np.radians(argument[:, 0]) + float(u[0, 0]) + turn)


def ours(name, minutes):
    wave = Constituent(name=name, amplitude_m=1.0, phase_deg=0.0)
    return TideLevel((wave,), mean_m=0.0, epoch_utc=EPOCH).level_m(minutes)


@pytest.mark.parametrize("name", NAMES)
def test_each_wave_of_the_american_tables_is_that_of_pytmd(name):
    library = pytest.importorskip("pyTMD.constituents", reason="pyTMD is not installed")
    minutes = np.arange(0.0, 366 * DAY_MIN, 607.0)
    error = np.abs(ours(name, minutes) - theirs(library, name, minutes)).max()
    assert error < 0.004  # of a wave of a metre
