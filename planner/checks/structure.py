"""Rows that cannot be read as a plan at all: unknown ids, doubled runs, nonsense numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator

from planner.checks.case import Case
from planner.checks.quantities import is_volume
from planner.checks.violation import (
    BREAK_OUTS,
    RELOCATIONS,
    RUNS,
    SPELLS,
    UNPLANNED,
    Place,
    Violation,
    place,
)
from planner.plan.plan import BreakOut, Relocation, Run, RunKind, Spell

ROWS = "rows"
VOLUME = "volume"


def structure(case: Case) -> Iterator[Violation]:
    """Yield what is wrong with the rows themselves."""
    yield from _runs(case)
    yield from _spells(case)
    yield from _moves(case)
    yield from _pieces(case)
    yield from _left_out(case)
    yield from _forgotten(case)


def _known(where: Place, column: str, value: str, known: Container[object]) -> Iterator[Violation]:
    if value not in known:
        yield where.breaks(
            ROWS, f"The {column} {value!r} is not in the scenario; use an id of its tables.", 1
        )


def _ordered(where: Place, row: Spell | Run | Relocation | BreakOut) -> Iterator[Violation]:
    short = row.start_min - row.end_min
    if short >= 0:
        yield where.breaks(
            ROWS,
            f"The row ends {short} min before it starts, or as it starts; an end comes after "
            "its start.",
            max(1, short),
        )


def _volume(where: Place, volume_m3: float) -> Iterator[Violation]:
    if not is_volume(volume_m3):
        yield where.breaks(
            VOLUME, f"The volume is {volume_m3:g} m³; a row stands for more than 0 m³.", 1
        )


def _runs(case: Case) -> Iterator[Violation]:
    seen: set[str] = set()
    used = {row.run for row in case.plan.spells}
    for index, row in enumerate(case.plan.runs):
        where = place(RUNS, index)
        if row.run in seen or not row.run:
            yield where.breaks(
                ROWS, f"The run id {row.run!r} is used before or empty; give each its own.", 1
            )
        seen.add(row.run)
        yield from _known(where, "rig", row.rig, case.rigs)
        yield from _known(where, "crew", row.crew, case.crews)
        yield from _known(where, "position", row.position, case.positions)
        yield from _known(where, "mix", row.mix, case.mixes)
        yield from _ordered(where, row)
        if row.kind is RunKind.SPRAY and row.run not in used:
            yield where.breaks(ROWS, f"Run {row.run} of kind spray has no spell; leave it out.", 1)


def _spells(case: Case) -> Iterator[Violation]:
    kinds = {row.run: row.kind for row in case.plan.runs}
    for index, row in enumerate(case.plan.spells):
        where = place(SPELLS, index)
        if row.run not in kinds:
            yield where.breaks(
                ROWS, f"The run {row.run!r} is not in runs.csv; every spell is in a run.", 1
            )
        elif kinds[row.run] is RunKind.PANEL:
            yield where.breaks(
                ROWS, f"Run {row.run} makes a test panel; it has no spells on zones.", 1
            )
        yield from _known(where, "rig", row.rig, case.rigs)
        yield from _known(where, "crew", row.crew, case.crews)
        yield from _known(where, "position", row.position, case.positions)
        yield from _known(where, "zone", row.zone, case.zones)
        yield from _ordered(where, row)
        yield from _volume(where, row.volume_m3)


def _moves(case: Case) -> Iterator[Violation]:
    for index, row in enumerate(case.plan.relocations):
        where = place(RELOCATIONS, index)
        yield from _known(where, "rig", row.rig, case.rigs)
        yield from _known(where, "from", row.from_position, case.positions)
        yield from _known(where, "to", row.to_position, case.positions)
        if row.crew is not None:
            yield from _known(where, "crew", row.crew, case.crews)
        yield from _ordered(where, row)


def _pieces(case: Case) -> Iterator[Violation]:
    for index, row in enumerate(case.plan.break_outs):
        where = place(BREAK_OUTS, index)
        yield from _known(where, "crew", row.crew, case.crews)
        yield from _known(where, "zone", row.zone, case.zones)
        yield from _ordered(where, row)
        yield from _volume(where, row.volume_m3)


def _left_out(case: Case) -> Iterator[Violation]:
    seen: Counter[str] = Counter()
    for index, row in enumerate(case.plan.unplanned):
        where = place(UNPLANNED, index)
        yield from _known(where, "zone", row.zone, case.zones)
        seen[row.zone] += 1
        if seen[row.zone] == 2:
            yield where.breaks(ROWS, f"Zone {row.zone} is listed twice; once is enough.", 1)
        if not row.reason.strip():
            yield where.breaks(
                ROWS, f"Zone {row.zone} has no reason; say what stands in the way.", 1
            )
        if row.zone in case.zones and case.record.is_finished(case.zones[row.zone]):
            yield where.breaks(
                ROWS, f"Zone {row.zone} is complete by progress.csv; it is not left out.", 1
            )


def _forgotten(case: Case) -> Iterator[Violation]:
    named = {row.zone for row in case.plan.spells} | {row.zone for row in case.plan.unplanned}
    for zone in case.campaign.zones:
        if zone.zone_id not in named and not case.record.is_finished(zone):
            yield Place(UNPLANNED, None).breaks(
                ROWS,
                f"Zone {zone.zone_id} is neither planned nor listed as unplanned; every zone is "
                "one of the two.",
                1,
            )
