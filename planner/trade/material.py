"""How much material a spell, a run and a zone take, and what becomes of it.

Words: *placed* is what stays in place; *shot* is what leaves the nozzle, placed x (1 + waste) /
(1 - rebound); *rebound* is the share of the shot that falls; *waste* is what is trimmed off or
oversprayed; *collected* is both.  All volumes are of the compacted material, so that
placed + waste + rebound = shot.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from planner.core.quantities import gross_m3
from planner.core.rounding import down, up
from planner.model.material import Supply
from planner.trade.material_factors import Factors

KG_PER_T = 1000.0
MM_PER_M = 1000.0
MINUTES_PER_HOUR = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A volume that is sprayed: placed, shot, and what falls or is trimmed off [m³]."""

    placed_m3: float = 0.0
    shot_m3: float = 0.0
    rebound_m3: float = 0.0
    waste_m3: float = 0.0

    def __add__(self, other: Shot) -> Shot:
        """Return both together."""
        return Shot(
            placed_m3=self.placed_m3 + other.placed_m3,
            shot_m3=self.shot_m3 + other.shot_m3,
            rebound_m3=self.rebound_m3 + other.rebound_m3,
            waste_m3=self.waste_m3 + other.waste_m3,
        )


def shot_of(*, placed_m3: float, rebound: float, waste: float) -> Shot:
    """Return what a volume in place takes through the nozzle.

    Examples
    --------
    >>> shot = shot_of(placed_m3=1.0, rebound=0.5, waste=0.0)
    >>> shot.shot_m3, shot.rebound_m3
    (2.0, 1.0)
    """
    gross = gross_m3(in_place_m3=placed_m3, rebound=rebound, waste=waste)
    return Shot(
        placed_m3=placed_m3,
        shot_m3=gross,
        rebound_m3=gross * rebound,
        waste_m3=placed_m3 * waste,
    )


def material_kg(shot_m3: float, factors: Factors) -> float:
    """Return the mass of material that a shot volume takes: dry, or as delivered [kg]."""
    name = "density_kg_m3" if factors.supply is Supply.LOADS else "dry_kg_m3"
    return shot_m3 * factors.value(name)


def collected_kg(shot: Shot, factors: Factors) -> float:
    """Return what has to be collected and removed: rebound, overspray and trimmings [kg]."""
    return (shot.rebound_m3 + shot.waste_m3) * factors.value("density_kg_m3")


def water_l(shot_m3: float, factors: Factors) -> float:
    """Return the water added on site, washing aside [L]."""
    return shot_m3 * factors.value("water_l_m3")


def hose_fill_m3(*, bore_mm: float, laid_m: float, fill: float) -> float:
    """Return what a hose holds and a clean-out loses [m³].

    Examples
    --------
    >>> round(hose_fill_m3(bore_mm=50.0, laid_m=100.0, fill=1.0), 3)
    0.196
    """
    return math.pi / 4.0 * (bore_mm / MM_PER_M) ** 2 * laid_m * fill


def stretches(spells: Sequence[tuple[int, int]], life_min: float) -> list[tuple[int, int]]:
    """Return which spells of a run use material opened together, as index spans ``[a, b)``.

    What is opened and dampened before a stop longer than its life is lost, so counting starts
    anew behind such a stop.

    Examples
    --------
    >>> stretches([(0, 10), (40, 50), (120, 130)], 60.0)
    [(0, 2), (2, 3)]
    """
    edges = [0]
    edges += [
        k for k, (one, other) in enumerate(pairwise(spells), 1) if other[0] - one[1] > life_min
    ]
    return list(pairwise([*edges, len(spells)]))


def units_of(kg: float, unit_kg: float) -> int:
    """Return the bags or bulk bags to be opened for a mass, whole ones [1].

    Examples
    --------
    >>> units_of(100.0, 25.0), units_of(101.0, 25.0)
    (4, 5)
    """
    return up(kg / unit_kg)


def batch_m3(rate_m3_h: float, factors: Factors) -> float:
    """Return the most that one load may hold so that all of it is placed before it is too old.

    The rate is through the nozzle, stops between spells included.

    Returns
    -------
    float
        Volume [m³]; 0 where the mix is too old when it arrives.
    """
    left_min = factors.value("life_min") - factors.value("haul_min") - factors.value("wait_min")
    most = max(0.0, left_min) / MINUTES_PER_HOUR * rate_m3_h
    return min(most, factors.value("load_max_m3"))


def loads_of(bought_m3: float, most_m3: float, step_m3: float) -> int | None:
    """Return the loads that bring a volume, each in whole steps; None: it cannot be brought.

    Examples
    --------
    >>> loads_of(6.0, 2.8, 0.5), loads_of(6.0, 0.4, 0.5), loads_of(6.0, 3.0, 0.0)
    (3, None, 2)
    """
    each = down(most_m3 / step_m3) * step_m3 if step_m3 > 0.0 else most_m3
    return up(bought_m3 / each) if each > 0.0 else None


def bought_m3(needed_m3: float, *, least_m3: float, step_m3: float) -> float:
    """Return what is ordered: at least the least load, in whole steps [m³].

    Examples
    --------
    >>> bought_m3(1.3, least_m3=2.0, step_m3=0.5), bought_m3(2.2, least_m3=2.0, step_m3=0.5)
    (2.0, 2.5)
    """
    wanted = max(needed_m3, least_m3)
    return up(wanted / step_m3) * step_m3 if step_m3 > 0.0 else wanted


def hose_share(conveyed_t: float, factors: Factors) -> float:
    """Return how much of a hose's life a mass conveyed uses up [1]."""
    return conveyed_t / factors.value("hose_life_t")
