"""Rules 6 and 7: relocations, what is on site when, and room at the positions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from planner.checks.case import Case
from planner.checks.quantities import move_minutes
from planner.checks.rows import Broken, Moved, Ran, Work, grouped, overlaps
from planner.checks.runs import closed, position_water
from planner.checks.violation import Place, Violation
from planner.model.identifiers import CrewKind, PositionId, RigId
from planner.model.limits import ClosureScope
from planner.model.rig import Rig


def rule_6(case: Case) -> Iterator[Violation]:
    """Relocate rigs between positions, in time; let nobody work who is not on site."""
    for stay in stays(case).values():
        yield from stay.violations
    for move in case.moves:
        yield from _move_time(case, move)
        yield from _made_by(case, move)
        yield from _undisturbed(case, move)
    yield from _rig_overlaps(case)
    for work in case.works:
        yield from _on_site(case, work)
    for piece in case.pieces:
        yield from closed(case, piece, ClosureScope.CREW, str(piece.row.crew), rule=6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A stretch in which a rig takes up room at a position; place: the row that began it."""

    rig: RigId
    position: PositionId
    start_min: int
    end_min: int
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Stays:
    """Where a rig stands in the course of a plan, and where its moves do not join up."""

    holds: tuple[Hold, ...]
    violations: tuple[Violation, ...]


def stays(case: Case) -> dict[RigId, Stays]:
    """Return for each rig with runs or relocations where it stands when."""
    steps: list[Ran | Moved] = [*case.runs, *case.moves]
    by_rig = grouped(steps, lambda step: step.row.rig)
    return {rig: _Walk(case, case.rigs[rig]).along(found) for rig, found in by_rig.items()}


class _Walk:
    """Follows one rig from row to row."""

    def __init__(self, case: Case, rig: Rig) -> None:
        self._case = case
        self._rig = rig
        self._at = case.record.stands_at(rig.rig_id) or rig.at
        self._since = max(0, rig.available_from_min)
        self._origin: Place | None = None
        self._holds: list[Hold] = []
        self._violations: list[Violation] = []

    def along(self, steps: list[Ran | Moved]) -> Stays:
        """Return the stays over the rig's rows in time order."""
        runs = [step for step in steps if isinstance(step, Ran)]
        self._origin = (runs or steps)[0].place
        last_end = max((run.end_min for run in runs), default=0)
        for step in steps:
            if isinstance(step, Ran):
                self._run(step, last_end)
            else:
                self._move(step, last_end)
        self._leave(last_end, last_end)
        holds = tuple(self._holds) if runs else ()  # a rig without any run holds nothing
        return Stays(holds=holds, violations=tuple(self._violations))

    def _arrive(self, position: PositionId, minute: int, origin: Place) -> None:
        self._at, self._since, self._origin = position, minute, origin

    def _leave(self, minute: int, last_end: int) -> None:
        end = min(minute, last_end)
        if self._at is not None and self._origin is not None and self._since < end:
            self._holds.append(
                Hold(
                    rig=self._rig.rig_id,
                    position=self._at,
                    start_min=self._since,
                    end_min=end,
                    place=self._origin,
                )
            )

    def _run(self, ran: Ran, last_end: int) -> None:
        if self._at == ran.row.position:
            return
        if self._at is not None:
            self._violations.append(
                ran.place.breaks(
                    6,
                    f"Rig {ran.row.rig} stands at {self._at} and works at {ran.row.position} in "
                    f"{ran} from {self._case.text(ran.start_min)}; a relocation is missing.",
                    1,
                )
            )
            self._leave(ran.start_min, last_end)
        self._arrive(ran.row.position, ran.start_min, ran.place)

    def _move(self, move: Moved, last_end: int) -> None:
        row = move.row
        if self._at != row.from_position:
            stands = f"stands at {self._at}" if self._at else "has not been set up anywhere yet"
            self._violations.append(
                move.place.breaks(
                    6,
                    f"Rig {row.rig} {stands} and cannot be relocated from {row.from_position} at "
                    f"{self._case.text(move.start_min)}.",
                    1,
                )
            )
        if row.from_position == row.to_position:
            self._violations.append(
                move.place.breaks(
                    6, f"Rig {row.rig} is relocated from {row.from_position} to itself.", 1
                )
            )
        self._leave(move.start_min, last_end)
        self._arrive(row.to_position, move.end_min, move.place)


def _move_time(case: Case, move: Moved) -> Iterator[Violation]:
    needed = move_minutes(move.rig, move.start, move.end)
    short = needed - move.length_min
    if short > 0:
        yield move.place.breaks(
            6,
            f"At {case.text(move.start_min)}, {move} lasts {move.length_min} min, {short} min "
            f"less than the {needed} min it takes.",
            short,
        )


def _made_by(case: Case, move: Moved) -> Iterator[Violation]:
    gang_shift = case.rules.relocation_shift
    if gang_shift is not None and move.crew is not None:
        yield move.place.breaks(
            6, f"A lifting gang relocates; leave crew {move.row.crew} out of {move}.", 1
        )
        return
    if gang_shift is None and move.crew is None:
        yield move.place.breaks(6, f"No crew is named for {move}; name the spray crew.", 1)
        return
    if move.crew is not None and move.crew.kind is not CrewKind.SPRAY:
        yield move.place.breaks(
            6, f"Crew {move.row.crew} breaks out; a spray crew makes {move}.", 1
        )
    shift = gang_shift if move.crew is None else move.crew.shift_id
    if shift is not None:
        outside = case.shifts.outside_min(shift, move.start_min, move.end_min)
        if outside:
            yield move.place.breaks(
                6,
                f"From {case.text(move.start_min)} to {case.text(move.end_min)}, {move} lies "
                f"{outside} min outside every single shift {shift}.",
                outside,
            )


def _undisturbed(case: Case, move: Moved) -> Iterator[Violation]:
    scopes = [(ClosureScope.SITE, ""), (ClosureScope.RIG, str(move.row.rig))]
    if move.crew is not None:
        scopes.append((ClosureScope.CREW, str(move.row.crew)))
    ends = {end.position_id: end for end in (move.start, move.end)}
    scopes += [(ClosureScope.POSITION, str(position)) for position in ends]
    for scope, target in scopes:
        yield from closed(case, move, scope, target, rule=6)
    for position in ends.values():
        yield from position_water(case, move, position, rule=6)


def _rig_overlaps(case: Case) -> Iterator[Violation]:
    """Yield relocations that overlap a run or another relocation of their rig."""
    runs = grouped(case.runs, lambda ran: ran.row.rig)
    for rig, moves in grouped(case.moves, lambda move: move.row.rig).items():
        for before, after, common in overlaps(moves):
            yield after.place.breaks(
                6,
                f"Rig {rig} is relocated twice at once: {after} overlaps {before} by "
                f"{common} min.",
                common,
            )
        for move in moves:
            for ran in runs.get(rig, ()):
                common = min(move.end_min, ran.end_min) - max(move.start_min, ran.start_min)
                if common > 0:
                    yield move.place.breaks(
                        6,
                        f"At {case.text(move.start_min)}, {move} overlaps {ran} of that rig by "
                        f"{common} min.",
                        common,
                    )


def _on_site(case: Case, work: Work) -> Iterator[Violation]:
    """Yield work outside the campaign, before the plan's start, or while someone is not here."""
    stretches = [
        ("the campaign's days", 0, case.clock.horizon_min),
    ]
    if case.campaign.start_min > 0:
        stretches.append(
            ("the time after the latest progress", case.campaign.start_min, work.end_min)
        )
    if not isinstance(work, Broken):
        rig = work.rig
        stretches.append(
            (f"the stay of rig {rig.rig_id}", rig.available_from_min, rig.available_to_min)
        )
    if work.crew is not None:
        crew = work.crew
        stretches.append(
            (f"the stay of crew {crew.crew_id}", crew.available_from_min, crew.available_to_min)
        )
    for name, start, end in stretches:
        outside = max(0, min(start, work.end_min) - work.start_min)
        outside += max(0, work.end_min - max(end, work.start_min))
        if outside:
            yield work.place.breaks(
                6,
                f"Of {work}, {case.text(work.start_min)} to {case.text(work.end_min)}, "
                f"{outside} min lie outside {name}.",
                outside,
            )


def rule_7(case: Case) -> Iterator[Violation]:
    """Let no more than rigs_max rigs stand at a position."""
    by_position: dict[PositionId, list[Hold]] = defaultdict(list)
    for stay in stays(case).values():
        for hold in stay.holds:
            by_position[hold.position].append(hold)
    for position in sorted(by_position):
        yield from _crowded(case, position, by_position[position])


def _crowded(case: Case, position: PositionId, holds: list[Hold]) -> Iterator[Violation]:
    room = case.positions[position].rigs_max
    standing: list[Hold] = []
    for hold in sorted(holds, key=lambda one: (one.start_min, one.rig)):
        standing = [other for other in standing if other.end_min > hold.start_min]
        standing.append(hold)
        if len(standing) > room:
            rigs = ", ".join(sorted(other.rig for other in standing))
            yield hold.place.breaks(
                7,
                f"From {case.text(hold.start_min)} position {position} holds {len(standing)} "
                f"rigs ({rigs}); it has room for {room}.",
                len(standing) - room,
            )
