"""What a board holds: states of zones, spells, runs, relocations, break-outs, stays."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from planner.model.identifiers import Orientation


class ZoneState(NamedTuple):
    """How far one zone has come.

    ``layer`` counts from 0; ``left`` is what the current layer still needs [m³]; ``end`` is the
    end of the last spraying; ``opened`` and ``closed`` bound its open time (rule 11).
    """

    mix: int
    layer: int
    left: float
    end: int | None
    opened: int | None
    closed: int | None
    whole: bool


class Piece(NamedTuple):
    """One spell: zone, layer number, times, volume, whether it ends its layer."""

    zone: int
    number: int
    start: int
    end: int
    volume: float
    position: int
    rig: int


@dataclass
class DraftRun:
    """A run that may still be taken back."""

    rig: int
    crew: int
    position: int
    mix: int
    start: int = 0
    end: int = 0
    pieces: list[Piece] = field(default_factory=list)
    undo: list[tuple[int, ZoneState]] = field(default_factory=list)
    panel: Orientation | None = None


class Move(NamedTuple):
    """A relocation: rig, crew (None: gang), positions, times."""

    rig: int
    crew: int | None
    origin: int
    target: int
    start: int
    end: int


class Break(NamedTuple):
    """A break-out piece: crew, zone, times, volume."""

    crew: int
    zone: int
    start: int
    end: int
    volume: float


class Hold:
    """A rig standing at a position from a minute until it leaves (None: not known yet)."""

    __slots__ = ("rig", "since", "until")

    def __init__(self, rig: int, since: int) -> None:
        self.rig = rig
        self.since = since
        self.until: int | None = None
