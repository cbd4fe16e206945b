"""Rows of a plan together with the records they name."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from planner.checks.violation import Place
from planner.model.crew import Crew
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.plan.plan import BreakOut, Relocation, Run, RunKind, Spell

R = TypeVar("R", Run, Spell, Relocation, BreakOut)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed(Generic[R]):
    """A row of a plan and where it stands in its file."""

    place: Place
    row: R

    @property
    def start_min(self) -> int:
        """Return its start [min]."""
        return self.row.start_min

    @property
    def end_min(self) -> int:
        """Return its end [min]."""
        return self.row.end_min

    @property
    def length_min(self) -> int:
        """Return how long it lasts [min]."""
        return self.row.end_min - self.row.start_min


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran(Timed[Run]):
    """A run."""

    rig: Rig
    crew: Crew
    position: Position

    @property
    def is_panel(self) -> bool:
        """Return whether it makes a test panel."""
        return self.row.kind is RunKind.PANEL

    def __str__(self) -> str:
        return f"run {self.row.run}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sprayed(Timed[Spell]):
    """A spell; face None: its run's mix is not sprayed that way."""

    ran: Ran
    zone: Zone
    face: MixFace | None

    def __str__(self) -> str:
        return f"the spell on zone {self.row.zone} layer {self.row.layer} in {self.ran}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved(Timed[Relocation]):
    """A relocation; crew None: the lifting gang."""

    rig: Rig
    crew: Crew | None
    start: Position
    end: Position

    def __str__(self) -> str:
        names = f"{self.row.from_position} to {self.row.to_position}"
        return f"the relocation of rig {self.row.rig} from {names}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken(Timed[BreakOut]):
    """A break-out piece."""

    crew: Crew
    zone: Zone

    def __str__(self) -> str:
        return f"the break-out of zone {self.row.zone} by crew {self.row.crew}"


Work = Ran | Moved | Broken

T = TypeVar("T", bound=Ran | Sprayed | Moved | Broken)
K = TypeVar("K", bound=Hashable)


def in_time(rows: Iterable[T]) -> list[T]:
    """Return rows by start, then end, then place."""
    return sorted(
        rows, key=lambda row: (row.start_min, row.end_min, row.place.table, row.place.row or 0)
    )


def grouped(rows: Iterable[T], key: Callable[[T], K]) -> dict[K, list[T]]:
    """Return rows by a key, each group in time order."""
    groups: dict[K, list[T]] = defaultdict(list)
    for row in in_time(rows):
        groups[key(row)].append(row)
    return dict(groups)


def overlaps(rows: Iterable[T]) -> list[tuple[T, T, int]]:
    """Return pairs that overlap, earlier first, and by how much [min].

    Each row is held against the one before it that ends last; touching is no overlap.
    """
    found: list[tuple[T, T, int]] = []
    longest: T | None = None
    for row in in_time(rows):
        if longest is not None and row.start_min < longest.end_min:
            common = min(row.end_min, longest.end_min) - row.start_min
            found.append((longest, row, common))
        if longest is None or row.end_min > longest.end_min:
            longest = row
    return found
