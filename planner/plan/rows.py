"""The tables of a plan folder: their columns, and rows as records and as cells.

Columns: contract, section 5.  Times carry their UTC offset (RFC 3339); numbers are written in
the shortest form that is read back as exactly the same number.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from math import isfinite
from typing import Any, TypeVar

from planner.core.clock import Clock
from planner.core.problems import Problem
from planner.model.campaign import Campaign
from planner.model.identifiers import (
    CrewId,
    MixId,
    Orientation,
    PositionId,
    RigId,
    ZoneId,
)
from planner.plan.plan import BreakOut, Plan, Relocation, Run, RunKind, Spell, Unplanned

Word = TypeVar("Word", bound=StrEnum)

COLUMNS: Mapping[str, tuple[str, ...]] = {
    "spells.csv": (
        "run",
        "rig",
        "crew",
        "position",
        "zone",
        "layer",
        "start",
        "end",
        "volume_m3",
        "hose_m",
        "hose_laid_m",
    ),
    "runs.csv": (
        "run",
        "rig",
        "crew",
        "position",
        "mix",
        "start",
        "end",
        "kind",
        "orientation",
    ),
    "relocations.csv": ("rig", "crew", "from", "to", "start", "end"),
    "break_outs.csv": ("crew", "zone", "start", "end", "volume_m3"),
    "unplanned.csv": ("zone", "reason"),
}
"""Columns of each table, in the order in which they are written."""

WHOLE_MAX = 1e15
"""Whole numbers below this have the same digits as an integer and as a float."""


def exact(number: float) -> float | int:
    """Return a number so that its text is the shortest: whole ones without a decimal mark.

    Examples
    --------
    >>> exact(3.0), exact(0.1)
    (3, 0.1)
    """
    value = float(number)
    return int(value) if value.is_integer() and abs(value) < WHOLE_MAX else value


def cells(plan: Plan, clock: Clock) -> dict[str, list[tuple[str, ...]]]:
    """Return the rows of every table as texts, in the plan's own order."""
    at = clock.text
    return {
        "spells.csv": [
            (
                row.run,
                row.rig,
                row.crew,
                row.position,
                row.zone,
                str(row.layer),
                at(row.start_min),
                at(row.end_min),
                str(exact(row.volume_m3)),
                str(exact(row.hose_m)),
                str(exact(row.hose_laid_m)),
            )
            for row in plan.spells
        ],
        "runs.csv": [
            (
                row.run,
                row.rig,
                row.crew,
                row.position,
                row.mix,
                at(row.start_min),
                at(row.end_min),
                row.kind.value,
                "" if row.orientation is None else row.orientation.value,
            )
            for row in plan.runs
        ],
        "relocations.csv": [
            (
                row.rig,
                row.crew or "",
                row.from_position,
                row.to_position,
                at(row.start_min),
                at(row.end_min),
            )
            for row in plan.relocations
        ],
        "break_outs.csv": [
            (
                row.crew,
                row.zone,
                at(row.start_min),
                at(row.end_min),
                str(exact(row.volume_m3)),
            )
            for row in plan.break_outs
        ],
        "unplanned.csv": [(row.zone, row.reason) for row in plan.unplanned],
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What the cells of a plan may name: the ids of the campaign, and its clock."""

    clock: Clock
    ids: Mapping[str, Collection[str]]

    @classmethod
    def of(cls, campaign: Campaign) -> Known:
        """Return the ids of a campaign by the column that may name them."""
        positions = {row.position_id for row in campaign.positions}
        ids: dict[str, Collection[str]] = {
            "rig": {row.rig_id for row in campaign.rigs},
            "crew": {row.crew_id for row in campaign.crews},
            "zone": {row.zone_id for row in campaign.zones},
            "mix": {row.mix_id for row in campaign.mixes},
            "position": positions,
            "from": positions,
            "to": positions,
        }
        return cls(clock=campaign.clock, ids=ids)


@dataclass(slots=True)
class Row:
    """One row of a table being read; collects what is wrong with it."""

    file: str
    number: int
    texts: Mapping[str, str]
    known: Known
    problems: list[Problem] = field(default_factory=list)

    def wrong(self, column: str, code: str, message: str) -> None:
        """Note a problem in one cell."""
        self.problems.append(
            Problem(file=self.file, row=self.number, column=column, message=message, code=code)
        )

    def text(self, column: str) -> str:
        """Return a cell that must not be empty."""
        found = self.texts.get(column, "").strip()
        if not found:
            self.wrong(column, "plan-cell-empty", f"is empty; write the {column}.")
        return found

    def named(self, column: str) -> str:
        """Return a cell that must name something of the campaign."""
        found = self.text(column)
        if found and found not in self.known.ids[column]:
            kind = "position" if column in {"from", "to"} else column
            message = f"{found!r} is no {kind} of this scenario; use an id of its tables."
            self.wrong(column, "plan-id-unknown", message)
        return found

    def optional_named(self, column: str) -> str | None:
        """Return a cell that may be empty, or must name something of the campaign."""
        return self.named(column) if self.texts.get(column, "").strip() else None

    def number_of(self, column: str) -> float:
        """Return a cell that must hold a finite number."""
        found = self.text(column)
        try:
            value = float(found or "0")
        except ValueError:
            value = float("nan")
        if not isfinite(value):
            self.wrong(column, "plan-number", f"{found!r} is no number; write one such as 2.5.")
        return value

    def count_of(self, column: str) -> int:
        """Return a cell that must hold a whole number of at least 1."""
        value = self.number_of(column)
        if isfinite(value) and (value < 1 or value != int(value)):
            message = f"{exact(value)} is no whole number of at least 1; count from 1."
            self.wrong(column, "plan-count", message)
        return int(value) if isfinite(value) else 0

    def minute_of(self, column: str) -> int:
        """Return the campaign minute of a cell that must hold a time with its UTC offset [min]."""
        found = self.text(column)
        right = "write it like 2026-03-02T06:00:00+00:00"
        try:
            moment = datetime.fromisoformat(found or "1970-01-01T00:00+00:00")
        except ValueError:
            self.wrong(column, "plan-time", f"{found!r} is no date and time; {right}.")
            return 0
        if moment.tzinfo is None:
            self.wrong(column, "plan-time-offset", f"{found} has no UTC offset; {right}.")
            return 0
        if moment.second or moment.microsecond:
            message = f"{found} is no whole minute; all planned times are whole minutes."
            self.wrong(column, "plan-time-minute", message)
        return self.known.clock.minute(moment)

    def stretch(self) -> tuple[int, int]:
        """Return start and end, the end after the start [min]."""
        start_min, end_min = self.minute_of("start"), self.minute_of("end")
        if not self.problems and end_min <= start_min:
            message = f"{self.texts['end']} is not after the start {self.texts['start']}."
            self.wrong("end", "plan-stretch", message)
        return start_min, end_min

    def word(self, column: str, words: type[Word], default: Word) -> Word:
        """Return one of a few words."""
        found = self.text(column)
        if found in list(words):
            return words(found)
        if found:
            choices = " or ".join(words)
            self.wrong(column, "plan-word", f"{found!r} is not known; write {choices}.")
        return default


def spell(row: Row) -> Spell:
    """Read a row of spells.csv."""
    start_min, end_min = row.stretch()
    return Spell(
        run=row.text("run"),
        rig=RigId(row.named("rig")),
        crew=CrewId(row.named("crew")),
        position=PositionId(row.named("position")),
        zone=ZoneId(row.named("zone")),
        layer=row.count_of("layer"),
        start_min=start_min,
        end_min=end_min,
        volume_m3=row.number_of("volume_m3"),
        hose_m=row.number_of("hose_m"),
        hose_laid_m=row.number_of("hose_laid_m"),
    )


def run(row: Row) -> Run:
    """Read a row of runs.csv."""
    start_min, end_min = row.stretch()
    has_orientation = bool(row.texts.get("orientation", "").strip())
    return Run(
        run=row.text("run"),
        rig=RigId(row.named("rig")),
        crew=CrewId(row.named("crew")),
        position=PositionId(row.named("position")),
        mix=MixId(row.named("mix")),
        start_min=start_min,
        end_min=end_min,
        kind=row.word("kind", RunKind, RunKind.SPRAY),
        orientation=row.word("orientation", Orientation, Orientation.FLOOR)
        if has_orientation
        else None,
    )


def relocation(row: Row) -> Relocation:
    """Read a row of relocations.csv."""
    start_min, end_min = row.stretch()
    crew = row.optional_named("crew")
    return Relocation(
        rig=RigId(row.named("rig")),
        crew=None if crew is None else CrewId(crew),
        from_position=PositionId(row.named("from")),
        to_position=PositionId(row.named("to")),
        start_min=start_min,
        end_min=end_min,
    )


def break_out(row: Row) -> BreakOut:
    """Read a row of break_outs.csv."""
    start_min, end_min = row.stretch()
    return BreakOut(
        crew=CrewId(row.named("crew")),
        zone=ZoneId(row.named("zone")),
        start_min=start_min,
        end_min=end_min,
        volume_m3=row.number_of("volume_m3"),
    )


def unplanned(row: Row) -> Unplanned:
    """Read a row of unplanned.csv."""
    return Unplanned(zone=ZoneId(row.named("zone")), reason=row.text("reason"))


READERS: Mapping[str, Callable[[Row], Any]] = {
    "spells.csv": spell,
    "runs.csv": run,
    "relocations.csv": relocation,
    "break_outs.csv": break_out,
    "unplanned.csv": unplanned,
}


def plan_of(records: Mapping[str, Sequence[Any]]) -> Plan:
    """Return the plan that the records of all tables make."""
    return Plan(
        spells=tuple(records["spells.csv"]),
        runs=tuple(records["runs.csv"]),
        relocations=tuple(records["relocations.csv"]),
        break_outs=tuple(records["break_outs.csv"]),
        unplanned=tuple(records["unplanned.csv"]),
    )
