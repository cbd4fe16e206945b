"""How fast material gets on the wall, and how long moves, panels and break-out take.

Durations are rounded up to whole minutes, after rounding to six decimals (contract, conventions).
"""

from __future__ import annotations

import math

from planner.core import rounding
from planner.core.clock import MINUTES_PER_HOUR
from planner.model.crew import Crew
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import Rules

RATE_SHARE_MIN = 0.1
"""However long the hose, a tenth of the rate is left (contract, section 3) [1]."""
METRES_PER_STEP = 100.0
"""Losses and move times are given per 100 m [m]."""


def placing_rate_m3_h(rig: Rig, face: MixFace, hose_m: float) -> float:
    r"""Return the rate at which concrete stays in place [m³/h].

    .. math::
        q\,a\,\max\left(0.1,\; 1 - l\,\frac{\max(0,\, h - h_0)}{100}\right) f\,(1 - R)

    with the rate through the nozzle q (``rate_m3_h``), the share a of a spell in which material
    flows (``nozzle_on``), the loss l per 100 m of equivalent hose h beyond h0
    (``rate_loss_per_100m``, ``rate_free_m``), the mix's factor f and rebound R.
    Formula: contract, section 3.

    Parameters
    ----------
    hose_m
        Equivalent hose [m].
    """
    beyond_m = max(0.0, hose_m - rig.rate_free_m)
    share = max(RATE_SHARE_MIN, 1.0 - rig.rate_loss_per_100m * beyond_m / METRES_PER_STEP)
    return rig.rate_m3_h * rig.nozzle_on * share * face.rate_factor * (1.0 - face.rebound)


def spell_minutes(volume_m3: float, rate_m3_h: float) -> int:
    """Return the length of a spell: ceil(60 x volume / placing rate) [min].

    Examples
    --------
    >>> spell_minutes(1.0, 2.0), spell_minutes(1.0, 1.9)
    (30, 32)
    """
    return rounding.up(MINUTES_PER_HOUR * volume_m3 / rate_m3_h)


def plan_distance_m(start: Position, end: Position) -> float:
    """Return the straight-line distance of two positions on plan, height left aside [m]."""
    return math.hypot(end.x_m - start.x_m, end.y_m - start.y_m)


def move_minutes(rig: Rig, from_position: Position, to_position: Position) -> int:
    """Return how long a relocation takes [min].

    ceil(move_min + move_min_per_100m x straight-line plan distance / 100) (contract, section 3).
    """
    distance_m = plan_distance_m(from_position, to_position)
    return rounding.up(rig.move_min + rig.move_min_per_100m * distance_m / METRES_PER_STEP)


def panel_run_minutes(rig: Rig, rules: Rules) -> int:
    """Return the least length of a test panel's run (contract, rule 12) [min]."""
    return rig.start_up_min + rules.panel_min + rig.clean_up_min


def break_out_minutes(volume_m3: float, crew: Crew) -> int:
    """Return how long a crew takes to break out a volume, in one piece (rule 13) [min].

    Raises
    ------
    ValueError
        If the crew has no break-out rate.
    """
    if crew.rate_m3_h is None:
        msg = f"crew {crew.crew_id} has no rate_m3_h, so it cannot break out"
        raise ValueError(msg)
    return rounding.up(MINUTES_PER_HOUR * volume_m3 / crew.rate_m3_h)
