"""Nouns of the problem: layers and jobs of zones, ways to do them, rigs and crews as integers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from planner.core.spans import Spans
from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, Orientation
from planner.model.mix import MixFace
from planner.model.rig import Rig


@dataclass(frozen=True, slots=True)
class LayerJob:
    """A layer, or what is left of it: number from 1, volume [m³], whether it was begun."""

    number: int
    volume_m3: float
    begun: bool


@dataclass(frozen=True, slots=True)
class Job:
    """One zone on one mix.

    ``mid`` and ``last`` are the spray spans of a spell and of the zone's last spell;
    ``gap_min``, ``gap_max`` are between the end of a layer and the start of the next [min].
    """

    mix: int
    face: MixFace
    layers: tuple[LayerJob, ...]
    gap_min: int
    gap_max: int | None
    finish: int
    mid: Spans
    last: Spans

    def spans(self, layer: int) -> Spans:
        """Return the spray spans of the spell that ends a layer (index from 0)."""
        return self.last if layer == len(self.layers) - 1 else self.mid


@dataclass(frozen=True, slots=True)
class Way:
    """An option in integers: job of a zone by one rig from one position.

    ``minutes`` holds the unsplit spell minutes of each remaining layer.
    """

    zone: int
    mix: int
    rig: int
    position: int
    rate: float
    hose_m: float
    laid_m: float
    minutes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RigJob:
    """A rig with its times; ``at`` is where it stands at the start."""

    rig: Rig
    mixes: tuple[int, ...]
    start_up: int
    clean_up: int
    idle_max: int | None
    panel: int
    at: int | None


@dataclass(frozen=True, slots=True)
class CrewJob:
    """A crew and the pieces of its shifts in which it can work.

    ``pieces`` are ``(start, end, occurrence)``; ``can`` are the (mix, orientation) it sprays in
    any of them, ``barred`` the shifts in which its cards keep it from one all the same (rule 4).
    """

    crew: Crew
    pieces: tuple[tuple[int, int, int], ...]
    can: frozenset[tuple[int, Orientation]]
    barred: Mapping[tuple[int, Orientation], Spans] = field(default_factory=dict)

    def may(self, kind: tuple[int, Orientation], minute: int) -> bool:
        """Return whether it may spray a mix on an orientation in the shift round a minute."""
        if kind not in self.can:
            return False
        shut = self.barred.get(kind)
        return shut is None or minute not in shut

    @property
    def sprays(self) -> bool:
        """Return whether this is a spraying crew."""
        return self.crew.kind is CrewKind.SPRAY
