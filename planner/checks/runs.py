"""Rules 4 and 5: what a run is made of, and what must leave it alone."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from planner.checks.cards import without_cards
from planner.checks.case import Case
from planner.checks.rows import Moved, Ran, Sprayed, Work, grouped, overlaps
from planner.checks.violation import Violation
from planner.model.identifiers import CrewKind, Orientation
from planner.model.limits import ClosureScope
from planner.model.position import Position


def rule_4(case: Case) -> Iterator[Violation]:
    """Keep a run to one rig, crew, position, mix and shift, with start-up and clean-up."""
    for ran in case.runs:
        spells = case.spells_by_run.get(ran.row.run, [])
        yield from _in_one_shift(case, ran)
        yield from _allowed(case, ran)
        for spell in spells:
            yield from _same_as_run(spell)
            yield from _zone_allowed(spell)
        ways = {spell.zone.orientation for spell in spells}
        if ran.row.orientation is not None and ran.is_panel:
            ways.add(ran.row.orientation)
        yield from _orientations(case, ran, ways)
        yield from without_cards(case, ran, ways)
        if spells:
            yield from _margins(case, ran, spells)
            yield from _idle(case, ran, spells)


def _in_one_shift(case: Case, ran: Ran) -> Iterator[Violation]:
    outside = case.shifts.outside_min(ran.crew.shift_id, ran.start_min, ran.end_min)
    if outside:
        yield ran.place.breaks(
            4,
            f"Run {ran.row.run} from {case.text(ran.start_min)} to {case.text(ran.end_min)} lies "
            f"{outside} min outside every single shift {ran.crew.shift_id} of crew "
            f"{ran.row.crew}; a run stays inside one.",
            outside,
        )


def _allowed(case: Case, ran: Ran) -> Iterator[Violation]:
    process = ran.rig.process
    if ran.crew.kind is not CrewKind.SPRAY:
        yield ran.place.breaks(
            4, f"Crew {ran.row.crew} of run {ran.row.run} breaks out and does not spray.", 1
        )
    for what, allowed in (
        (f"crew {ran.row.crew}", ran.crew.processes),
        (f"position {ran.row.position}", ran.position.processes),
    ):
        if allowed and process not in allowed:
            yield ran.place.breaks(
                4, f"Run {ran.row.run} works {process}, which {what} does not allow.", 1
            )
    processes = {face.process for face in case.campaign.mixes if face.mix_id == ran.row.mix}
    if ran.rig.mixes and ran.row.mix not in ran.rig.mixes:
        yield ran.place.breaks(4, f"Rig {ran.row.rig} does not spray mix {ran.row.mix}.", 1)
    elif process not in processes and not ran.is_panel:
        yield ran.place.breaks(
            4, f"Rig {ran.row.rig} works {process}, but mix {ran.row.mix} does not.", 1
        )


def _same_as_run(spell: Sprayed) -> Iterator[Violation]:
    row, run = spell.row, spell.ran.row
    for column, own, its in (
        ("rig", str(row.rig), str(run.rig)),
        ("crew", str(row.crew), str(run.crew)),
        ("position", str(row.position), str(run.position)),
    ):
        if own != its:
            yield spell.place.breaks(
                4, f"The spell has {column} {own}, but its run {run.run} has {its}.", 1
            )


def _zone_allowed(spell: Sprayed) -> Iterator[Violation]:
    mix, zone = spell.ran.row.mix, spell.zone
    if spell.face is None:
        yield spell.place.breaks(
            4,
            f"Mix {mix} is not sprayed {zone.orientation}, as zone {zone.zone_id} needs it.",
            1,
        )
    if zone.mixes and mix not in zone.mixes:
        allowed = ", ".join(zone.mixes)
        yield spell.place.breaks(
            4, f"Zone {zone.zone_id} does not allow mix {mix}; it allows {allowed}.", 1
        )


def _orientations(case: Case, ran: Ran, ways: set[Orientation]) -> Iterator[Violation]:
    may = ran.crew.orientations
    for way in sorted(ways):
        if may and way not in may:
            yield ran.place.breaks(
                4, f"Crew {ran.row.crew} of run {ran.row.run} may not spray {way}.", 1
            )
        if ran.is_panel and case.face(ran.row.mix, way) is None:
            yield ran.place.breaks(4, f"Mix {ran.row.mix} is not sprayed {way}.", 1)


def _margins(case: Case, ran: Ran, spells: list[Sprayed]) -> Iterator[Violation]:
    first = min(spell.start_min for spell in spells)
    latest_start = first - case.rules.zone_change_min - ran.rig.start_up_min
    short = ran.start_min - latest_start
    if short > 0:
        yield ran.place.breaks(
            4,
            f"Run {ran.row.run} starts {short} min too late: before its first spell at "
            f"{case.text(first)} come {ran.rig.start_up_min} min of start-up and "
            f"{case.rules.zone_change_min} min of zone change.",
            short,
        )
    last = max(spell.end_min for spell in spells)
    short = last + ran.rig.clean_up_min - ran.end_min
    if short > 0:
        yield ran.place.breaks(
            4,
            f"Run {ran.row.run} ends {short} min too early: after its last spell at "
            f"{case.text(last)} come {ran.rig.clean_up_min} min of clean-up.",
            short,
        )


def _idle(case: Case, ran: Ran, spells: list[Sprayed]) -> Iterator[Violation]:
    limit = ran.rig.idle_max_min
    if limit is None:
        return
    busy_until = spells[0].end_min
    for spell in spells[1:]:
        idle = spell.start_min - busy_until
        if idle > limit:
            yield spell.place.breaks(
                4,
                f"Rig {ran.row.rig} stands idle for {idle} min before {spell}, from "
                f"{case.text(busy_until)}; more than {limit} min needs a new run.",
                idle - limit,
            )
        busy_until = max(busy_until, spell.end_min)


def rule_5(case: Case) -> Iterator[Violation]:
    """Keep runs of a rig, and runs and relocations of a crew, apart; keep closures."""
    for rig, runs in grouped(case.runs, lambda ran: ran.row.rig).items():
        for before, after, common in overlaps(runs):
            yield after.place.breaks(
                5,
                f"Run {after.row.run} overlaps {before} of the same rig {rig} by {common} min.",
                common,
            )
    yield from _crews(case)
    for ran in case.runs:
        yield from _closures(case, ran)
        yield from position_water(case, ran, ran.position, rule=5)


def _crews(case: Case) -> Iterator[Violation]:
    booked: list[Ran | Moved] = [*case.runs]
    booked += [move for move in case.moves if move.crew is not None]
    for crew, works in grouped(booked, lambda work: work.row.crew).items():
        for before, after, common in overlaps(works):
            yield after.place.breaks(
                5,
                f"Crew {crew} is booked twice: {after} overlaps {before} by {common} min.",
                common,
            )


def _closures(case: Case, ran: Ran) -> Iterator[Violation]:
    for scope, target in (
        (ClosureScope.SITE, ""),
        (ClosureScope.RIG, str(ran.row.rig)),
        (ClosureScope.CREW, str(ran.row.crew)),
        (ClosureScope.POSITION, str(ran.row.position)),
        (ClosureScope.PROCESS, ran.rig.process.value),
    ):
        yield from closed(case, ran, scope, target, rule=5)


def closed(
    case: Case, work: Work, scope: ClosureScope, target: str, *, rule: int
) -> Iterator[Violation]:
    """Yield how much of a piece of work falls into closures of one scope."""
    minutes, why = case.closures.touching(scope, target, work.start_min, work.end_min)
    if minutes:
        reason = f" ({why})" if why else ""
        name = "the site" if scope is ClosureScope.SITE else f"{scope.value} {target}"
        yield work.place.breaks(
            rule,
            f"For {minutes} min of {work}, {case.text(work.start_min)} to "
            f"{case.text(work.end_min)}, {name} is closed{reason}.",
            minutes,
        )


def position_water(
    case: Case, work: Ran | Moved, position: Position, *, rule: int
) -> Iterator[Violation]:
    """Yield how much of a run or relocation meets water outside a position's limits."""
    band = case.gauge.position_band(position)
    if band is None:
        return
    good = case.gauge.holds(band, work.start_min, work.end_min)
    bad = np.flatnonzero(~good)
    if bad.size:
        first = work.start_min + int(bad[0])
        yield work.place.breaks(
            rule,
            f"For {bad.size} min of {work}, first at {case.text(first)}, the water limits of "
            f"position {position.position_id} are not kept: {case.gauge.why_not(band, first)}.",
            bad.size,
        )
