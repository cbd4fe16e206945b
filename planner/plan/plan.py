"""What a plan is made of: runs with their spells, relocations, break-outs, what is left out.

Rows follow contract section 5; times are campaign minutes, half-open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from planner.model.identifiers import (
    CrewId,
    Goal,
    MixId,
    Orientation,
    PositionId,
    RigId,
    ZoneId,
)


class RunKind(StrEnum):
    """Production, or a test panel."""

    SPRAY = "spray"
    PANEL = "panel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """One stretch of spraying one layer, or a piece of it.

    Attributes
    ----------
    run
        Run it belongs to.
    layer
        Layer counted from 1 [1].
    start_min, end_min
        Spraying alone, the zone change before it not counted [min].
    volume_m3
        In place [m³].
    hose_m, hose_laid_m
        Equivalent and actual hose [m].
    """

    run: str
    rig: RigId
    crew: CrewId
    position: PositionId
    zone: ZoneId
    layer: int
    start_min: int
    end_min: int
    volume_m3: float
    hose_m: float
    hose_laid_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One rig, one crew, one position, one mix, inside one shift: start-up to clean-up [min]."""

    run: str
    rig: RigId
    crew: CrewId
    position: PositionId
    mix: MixId
    start_min: int
    end_min: int
    kind: RunKind = RunKind.SPRAY
    orientation: Orientation | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Relocation:
    """A rig is moved from one position to another [min]; crew None: the lifting gang."""

    rig: RigId
    crew: CrewId | None
    from_position: PositionId
    to_position: PositionId
    start_min: int
    end_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakOut:
    """A piece of breaking out one zone [min, m³]."""

    crew: CrewId
    zone: ZoneId
    start_min: int
    end_min: int
    volume_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplanned:
    """A zone that is left out, and a plain sentence that names what stands in the way."""

    zone: ZoneId
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan; rows in time order within each kind."""

    spells: tuple[Spell, ...] = ()
    runs: tuple[Run, ...] = ()
    relocations: tuple[Relocation, ...] = ()
    break_outs: tuple[BreakOut, ...] = ()
    unplanned: tuple[Unplanned, ...] = ()


class Status(StrEnum):
    """What a plan is known to be."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What is proven about a plan, and how it was found.

    Attributes
    ----------
    status
        Optimal when every goal's gap is 0 (finish: less than a minute).
    planned_m3_bound
        Proven upper bound on the volume that can be planned [m³].
    bound
        For each goal a proven bound in the goal's unit; finish in hours from minute 0.
    seed, workers, seconds
        How it was found; wall time of the search [s].
    stopped_early
        Whether a wall clock or an interrupt ended the search.
    """

    status: Status
    planned_m3_bound: float
    bound: Mapping[Goal, float]
    seed: int
    workers: int
    seconds: float
    stopped_early: bool = False
