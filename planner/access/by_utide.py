"""Harmonic analysis by the UTide library, where it is installed: a second opinion.

Its own satellites and names are turned into those of the prediction: SA is referred to the
sun's longitude less its perigee there, and 2MK3 goes by the name of MO3, which has its speed but
another node factor, so both are left to our own analysis, as are S1 (satellites of its own) and
M1 (another definition).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from importlib import import_module
from types import ModuleType

import numpy as np

from planner.access.curve import Floats
from planner.model.water import Constituent

_PERIGEE_DEG = 283.3  # of the sun, about 2010; it moves by 1.7° a century
_OTHERWISE = frozenset({"2MK3", "MO3", "S1", "M1"})
_NAMES = {"MSM": "MSM", "LAM2": "LDA2", "SIGMA1": "SIG1", "THETA1": "THE1"}


class NotInstalledError(Exception):
    """The optional library is not there; the message says how to get it."""


def analyse_by_utide(
    minutes: Floats,
    levels_m: Floats,
    names: Sequence[str],
    *,
    epoch_utc: datetime,
    latitude_deg: float,
) -> tuple[Constituent, ...]:
    """Return those of the named constituents that UTide knows in the same way.

    Parameters
    ----------
    minutes, levels_m
        The series [min after the epoch, m].
    names
        Constituents to look for.
    epoch_utc
        The epoch.
    latitude_deg
        Of the gauge, north positive [°].

    Raises
    ------
    NotInstalledError
        If UTide is not installed.
    """
    utide = _library()
    known = set(utide.ut_constants.const.name)
    theirs = {_NAMES.get(name, name): name for name in names if name not in _OTHERWISE}
    chosen = [name for name in theirs if name in known]
    times = np.array([_naive(epoch_utc, minute) for minute in minutes], dtype="datetime64[us]")
    found = utide.solve(
        times,
        levels_m,
        lat=latitude_deg,
        constit=chosen,
        method="ols",
        conf_int="none",
        trend=False,
        verbose=False,
    )
    waves = []
    for name, amplitude, phase in zip(found["name"], found["A"], found["g"], strict=True):
        turn = _PERIGEE_DEG if name == "SA" else 0.0
        waves.append(
            Constituent(
                name=theirs[str(name)],
                amplitude_m=float(amplitude),
                phase_deg=float(phase + turn) % 360.0,
            )
        )
    return tuple(sorted(waves, key=lambda wave: (-wave.amplitude_m, wave.name)))


def _library() -> ModuleType:
    try:
        return import_module("utide")
    except ImportError as missing:
        msg = (
            "UTide is not installed; the planner's own analysis does without it, or install it"
            " with: pip install 'planner[tide]'"
        )
        raise NotInstalledError(msg) from missing


def _naive(epoch_utc: datetime, minute: float) -> datetime:
    return (epoch_utc + timedelta(minutes=float(minute))).replace(tzinfo=None)
