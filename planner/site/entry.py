"""What somebody on site writes down: one entry for a zone and shift, for a find, or for a tick."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from typing import Any

from planner.model.identifiers import CrewId, MixId, PositionId, RigId, ZoneId

LITRES_PER_M3 = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry of the journal, as it was meant; None wherever nothing was said.

    Attributes
    ----------
    zone, layer
        Where, the layer counted from 1.
    placed_m3
        Volume that stayed in place in this spell [m³].
    left_m3
        What is really left in that layer afterwards [m³]; 0: the layer is complete.
    bags, bag_l
        Bags emptied, and fresh concrete that one bag gives through the nozzle [1, l].
    start, stop
        First and last spraying; for other entries ``stop`` is when it was seen or measured.
    rig, crew, position, mix
        By whom, from where and with what.
    water_m
        Water level read on the board or gauge at ``stop`` [m above site datum; depth in a sewer].
    lost_min, lost_reason
        Minutes lost, and why; with a placed volume: between ``start`` and ``stop``.
    found_area_m2, found_depth_mm
        Measured on the face after break-out [m², mm].
    item
        Something of the look-ahead's list that is ready now.
    note
        Anything else.
    """

    zone: ZoneId | None = None
    layer: int | None = None
    placed_m3: float | None = None
    left_m3: float | None = None
    bags: float | None = None
    bag_l: float | None = None
    start: datetime | None = None
    stop: datetime | None = None
    rig: RigId | None = None
    crew: CrewId | None = None
    position: PositionId | None = None
    mix: MixId | None = None
    water_m: float | None = None
    lost_min: float | None = None
    lost_reason: str | None = None
    found_area_m2: float | None = None
    found_depth_mm: float | None = None
    item: str | None = None
    note: str | None = None

    def __post_init__(self) -> None:
        for moment in (self.start, self.stop):
            if moment is not None and moment.tzinfo is None:
                msg = f"{moment} has no UTC offset; an entry's times carry one"
                raise ValueError(msg)

    @property
    def is_work(self) -> bool:
        """Return whether the entry tells of a layer: placed, or left."""
        return self.placed_m3 is not None or self.left_m3 is not None

    @property
    def is_find(self) -> bool:
        """Return whether the entry holds a measure taken after break-out."""
        return self.found_area_m2 is not None or self.found_depth_mm is not None

    @property
    def minutes(self) -> float | None:
        """Return the minutes of spraying, lost ones taken off [min]; None: not told."""
        if self.start is None or self.stop is None:
            return None
        whole = (self.stop - self.start).total_seconds() / 60.0
        return whole - (self.lost_min or 0.0)

    @property
    def nozzle_m3(self) -> float | None:
        """Return what went through the nozzle, by the bags [m³]; None: not told."""
        if self.bags is None or self.bag_l is None:
            return None
        return self.bags * self.bag_l / LITRES_PER_M3


FIELDS = tuple(field.name for field in fields(Entry))
_MOMENTS = frozenset({"start", "stop"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """An entry as it stands in the journal.

    Attributes
    ----------
    number
        Counted from 1, in the order of writing.
    recorded_at, by
        When it was written [UTC], and by whom.
    corrects
        Number of the entry whose place it takes; None: it is a first statement.
    withdrawn
        Whether it takes that entry back and puts nothing in its place.
    entry
        What it says.
    """

    number: int
    recorded_at: datetime
    by: str
    corrects: int | None = None
    withdrawn: bool = False
    entry: Entry


def body_of(entry: Entry) -> dict[str, Any]:
    """Return what an entry says as plain values; times in UTC with their offset."""
    found: dict[str, Any] = {}
    for name in FIELDS:
        value = getattr(entry, name)
        if value is not None:
            found[name] = (
                value.astimezone(UTC).isoformat() if isinstance(value, datetime) else value
            )
    return found


def entry_of(body: Mapping[str, Any]) -> Entry:
    """Return the entry of plain values; what this version does not know is passed over."""
    known = {name: value for name, value in body.items() if name in FIELDS}
    for name in _MOMENTS & known.keys():
        known[name] = datetime.fromisoformat(known[name])
    return Entry(**known)


def current(stored: Iterable[Stored]) -> tuple[Stored, ...]:
    """Return what holds now: each first statement, or the last correction of it, in order.

    A correction of a correction belongs to the first statement as well; of several corrections
    the one written last counts.  What was withdrawn is left out.
    """
    root: dict[int, int] = {}
    holds: dict[int, Stored] = {}
    for row in sorted(stored, key=lambda row: row.number):
        first = row.number if row.corrects is None else root.get(row.corrects, row.corrects)
        root[row.number] = first
        holds[first] = row
    return tuple(holds[first] for first in sorted(holds) if not holds[first].withdrawn)
