"""One hose from a position to a zone, and what a rig lacks to spray through it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.core.rounding import DECIMALS
from planner.model.position import Position
from planner.model.rig import Rig
from planner.reach.network import Walk

SIX = float(10**DECIMALS)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoseRun:
    """One hose from a position to a zone.

    Attributes
    ----------
    hose_m
        Equivalent hose [m].
    laid_m
        Hose that is really laid [m].
    rise_m
        Net rise along the route, negative where the zone lies below the position [m].
    """

    hose_m: float
    laid_m: float
    rise_m: float


def hose_run(rig: Rig, walk: Walk) -> HoseRun:
    """Return the hose of a rig along a route, every figure to six decimals.

    Equivalent = length + bend_m x bends + rise_factor x max(0, net rise) (contract, section 3).
    """
    laid_m, bends, rise_m = (_six(part) for part in walk)
    hose_m = laid_m + rig.bend_m * bends + rig.rise_factor * max(0.0, rise_m)
    return HoseRun(hose_m=_six(hose_m), laid_m=laid_m, rise_m=rise_m)


def _six(number: float) -> float:
    """Round to six decimals as numpy does, so that one zone and all zones give the same."""
    return round(number * SIX) / SIX


class Lack(StrEnum):
    """What keeps a rig at a position from reaching a zone."""

    HOSE = "hose"
    RISE = "rise"
    PROCESS = "process"
    ROUTE = "route"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """A rig at a position that does not reach a zone.

    Attributes
    ----------
    run
        The hose it would take; None without a route.
    lacks
        Everything that fails, in the order of :class:`Lack`.
    """

    position: Position
    rig: Rig
    run: HoseRun | None
    lacks: tuple[Lack, ...]

    @property
    def short_m(self) -> float:
        """Return by how many metres hose and rise together miss their limits [m]."""
        if self.run is None:
            return 0.0
        rise_max_m = self.run.rise_m if self.rig.rise_max_m is None else self.rig.rise_max_m
        return max(0.0, self.run.hose_m - self.rig.hose_max_m) + max(
            0.0, self.run.rise_m - rise_max_m
        )

    @property
    def is_short(self) -> bool:
        """Return whether only metres are missing: of hose, of rise, or of both."""
        return all(lack in {Lack.HOSE, Lack.RISE} for lack in self.lacks)

    @property
    def rank(self) -> tuple[bool, bool, float, str, str]:
        """Return what shortfalls are put in order by: the one nearest to reaching comes first."""
        return (
            Lack.ROUTE in self.lacks,
            not self.is_short,
            self.short_m,
            self.position.position_id,
            self.rig.rig_id,
        )

    def sentence(self) -> str:
        """Return what fails in plain words, with the limits."""
        where = f"{self.rig.rig_id} at {self.position.position_id}"
        return f"{where}: " + ", ".join(self._words(lack) for lack in self.lacks)

    def _words(self, lack: Lack) -> str:
        if lack is Lack.PROCESS:
            return f"the position does not allow the {self.rig.process} process"
        if self.run is None:
            return "no hose route leads there"
        if lack is Lack.RISE:
            return f"{self.run.rise_m:.4g} m of net rise against {self.rig.rise_max_m:.4g} m"
        return f"{self.run.hose_m:.4g} m of equivalent hose against {self.rig.hose_max_m:.4g} m"


def lacks(position: Position, rig: Rig, run: HoseRun | None) -> tuple[Lack, ...]:
    """Return everything that keeps a rig at a position from a zone; nothing where it reaches."""
    found = []
    if run is not None and run.hose_m > rig.hose_max_m:
        found.append(Lack.HOSE)
    if run is not None and rig.rise_max_m is not None and run.rise_m > rig.rise_max_m:
        found.append(Lack.RISE)
    if position.processes and rig.process not in position.processes:
        found.append(Lack.PROCESS)
    if run is None:
        found.append(Lack.ROUTE)
    return tuple(found)
