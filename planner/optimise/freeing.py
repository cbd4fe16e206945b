"""What an exact neighbourhood may change: atoms of work, and the slots they may go to.

A neighbourhood frees the runs and relocations of some rigs in a stretch of time and keeps all
else.  Each freed spell is an *atom*: zone, layer, volume.  A *slot* is a stretch in which one
crew could run one rig: a piece of the crew's shift, cut to one group of windows and to what
the kept work leaves of crew and rig.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass

from planner.core.spans import Spans
from planner.optimise.board import Board, DraftRun, Move, Piece
from planner.optimise.problem import Problem
from planner.optimise.replay import Script

JOIN_MIN = 90


@dataclass(frozen=True, slots=True)
class Atom:
    """A spell that may be moved: its zone, mix, layer index in the job, volume and place now."""

    zone: int
    mix: int
    layer: int
    number: int
    volume: float
    ends_layer: bool
    ends_zone: bool
    now: Piece
    run: int


@dataclass(frozen=True, slots=True)
class Slot:
    """A stretch in which one crew may run one rig once.

    ``fixed`` is the rig's position where that may not change: the slot of a run that was freed
    outside of the stretch.
    """

    rig: int
    crew: int
    start: int
    end: int
    piece_start: int
    piece_end: int
    fixed: int | None = None


@dataclass(frozen=True)
class Neighbourhood:
    """Freed atoms, slots and the kept rest of a plan.

    ``start`` and ``end`` bound the stretch, ``horizon`` the last run freed.
    """

    problem: Problem
    kept: Script
    atoms: tuple[Atom, ...]
    slots: tuple[Slot, ...]
    first_place: dict[int, int | None]
    last_place: dict[int, int | None]
    rigs: tuple[int, ...]
    start: int
    end: int
    horizon: int
    freed_runs: tuple[DraftRun, ...]


def free(
    board: Board,
    banned: frozenset[int],
    rigs: tuple[int, ...],
    start: int,
    end: int,
    extra: tuple[DraftRun, ...] = (),
) -> Neighbourhood | None:
    """Return the neighbourhood of some rigs' spray runs that lie inside ``[start, end)``.

    ``extra`` are later runs whose spells may come into the stretch or stay where they are.
    """
    problem = board.problem
    chosen = [
        run
        for run in board.runs
        if run.rig in rigs and run.panel is None and run.start >= start and run.end <= end
    ]
    if not chosen:
        return None
    freed = [*chosen, *extra]
    inside = {id(run) for run in freed}
    moves = [
        move
        for move in board.moves
        if not (move.rig in rigs and move.start >= start and move.end <= end)
    ]
    kept = Script(
        [run for run in board.runs if id(run) not in inside], moves, list(board.breaks), banned
    )
    first = {r: _place_before(board, kept, r, start) for r in rigs}
    last = {r: _place_after(kept, extra, r, end) for r in rigs}
    slots = _slots(board, kept, chosen, rigs, start, end)
    slots += [_fixed_slot(problem, run) for run in extra]
    return Neighbourhood(
        problem=problem,
        kept=kept,
        atoms=tuple(_atoms(board, freed)),
        slots=tuple(slots),
        first_place=first,
        last_place=last,
        rigs=rigs,
        start=start,
        end=end,
        horizon=max([end, *(run.end for run in extra)]),
        freed_runs=tuple(freed),
    )


def _fixed_slot(problem: Problem, run: DraftRun) -> Slot:
    piece = next(p for p in problem.crews[run.crew].pieces if p[0] <= run.start < p[1])
    return Slot(run.rig, run.crew, run.start, run.end, piece[0], piece[1], run.position)


def _place_before(board: Board, kept: Script, r: int, start: int) -> int | None:
    place = board.problem.rigs[r].at
    events = [(run.start, run.position) for run in kept.runs if run.rig == r]
    events += [(move.start, move.target) for move in kept.moves if move.rig == r]
    for at, position in sorted(events):
        if at >= start:
            break
        place = position
    return place


def _place_after(kept: Script, extra: tuple[DraftRun, ...], r: int, end: int) -> int | None:
    """Return where the first kept event after the stretch wants the rig; None: nowhere."""
    events = [(run.start, run.position) for run in [*kept.runs, *extra] if run.rig == r]
    events += [(move.start, move.origin) for move in kept.moves if move.rig == r]
    later = sorted(row for row in events if row[0] >= end)
    return later[0][1] if later else None


def _atoms(board: Board, chosen: list[DraftRun]) -> list[Atom]:
    problem = board.problem
    all_pieces: dict[int, list[tuple[Piece, int]]] = defaultdict(list)
    for number, run in enumerate(board.runs):
        for piece in run.pieces:
            all_pieces[piece.zone].append((piece, number))
    freed = {id(piece) for run in chosen for piece in run.pieces}
    found = []
    for z in sorted(all_pieces):
        rows = sorted(all_pieces[z], key=lambda row: row[0].start)
        for k, (piece, number) in enumerate(rows):
            if id(piece) not in freed:
                continue
            mix = board.runs[number].mix
            job = problem.jobs[z][mix]
            layer = next(i for i, part in enumerate(job.layers) if part.number == piece.number)
            last = k + 1 == len(rows)
            found.append(
                Atom(
                    zone=z,
                    mix=mix,
                    layer=layer,
                    number=piece.number,
                    volume=piece.volume,
                    ends_layer=last or rows[k + 1][0].number != piece.number,
                    ends_zone=last,
                    now=piece,
                    run=number,
                )
            )
    return found


def _slots(
    board: Board,
    kept: Script,
    chosen: list[DraftRun],
    rigs: tuple[int, ...],
    start: int,
    end: int,
) -> list[Slot]:
    problem = board.problem
    busy = _busy(kept)
    rig_busy = _rig_busy(kept)
    open_time = _open_time(problem, chosen)
    found = []
    for (c, k), able in sorted(_pairs(board, chosen, rigs, start, end).items()):
        a, b, _ = problem.crews[c].pieces[k]
        for r in able:
            free_time = (
                Spans.whole(max(a, start), min(b, end)) - busy.get(c, Spans())
            ) - rig_busy.get(r, Spans())
            for low, high in _troughs(problem, r, open_time, free_time):
                found.append(Slot(r, c, low, high, a, b))
    return sorted(found, key=lambda slot: (slot.start, slot.rig, slot.crew, slot.end))


def _pairs(
    board: Board, chosen: list[DraftRun], rigs: tuple[int, ...], start: int, end: int
) -> dict[tuple[int, int], list[int]]:
    """Return which rigs each piece of a crew's shifts may be used for.

    The rigs that it runs now; for an idle piece the rig that the crew works most, unless
    another crew runs that one meanwhile, else any rig that is idle meanwhile.
    """
    problem = board.problem
    now: dict[tuple[int, int], set[int]] = defaultdict(set)
    worked: dict[int, Counter[int]] = defaultdict(Counter)
    for run in board.runs:
        worked[run.crew][run.rig] += 1
    for run in chosen:
        for k, (a, b, _) in enumerate(problem.crews[run.crew].pieces):
            if a <= run.start < b:
                now[run.crew, k].add(run.rig)
    found: dict[tuple[int, int], list[int]] = {}
    for c, crew in enumerate(problem.crews):
        able = [r for r in rigs if any(m in problem.rigs[r].mixes for m, _ in crew.can)]
        if not crew.sprays or not able:
            continue
        for k, (a, b, _) in enumerate(crew.pieces):
            if b <= start or a >= end:
                continue
            used = now.get((c, k))
            if used:
                found[c, k] = sorted(used)
                continue
            busy = {run.rig for run in board.runs if run.start < b and run.end > a}
            idle = [r for r in able if r not in busy]
            idle.sort(key=lambda r: (-worked[c][r], r))
            found[c, k] = idle[:1]
    return found


def _busy(kept: Script) -> dict[int, Spans]:
    rows: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for run in kept.runs:
        rows[run.crew].append((run.start, run.end))
    for move in kept.moves:
        if move.crew is not None:
            rows[move.crew].append((move.start, move.end))
    return {c: Spans(pairs) for c, pairs in rows.items()}


def _rig_busy(kept: Script) -> dict[int, Spans]:
    rows: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for run in kept.runs:
        rows[run.rig].append((run.start, run.end))
    for move in kept.moves:
        rows[move.rig].append((move.start, move.end))
    return {r: Spans(pairs) for r, pairs in rows.items()}


def _open_time(problem: Problem, chosen: list[DraftRun]) -> Spans:
    """Return when any freed zone could be worked, zone change included, gaps joined."""
    zones = sorted({(piece.zone, run.mix) for run in chosen for piece in run.pieces})
    spans = dict.fromkeys(problem.jobs[z][m].mid for z, m in zones)
    pairs = [pair for one in spans for pair in one.grow(before=problem.zone_change)]
    joined = Spans(pairs)
    half = JOIN_MIN // 2
    return Spans((a + half, b - half) for a, b in joined.grow(before=half, after=half))


def _troughs(
    problem: Problem, r: int, open_time: Spans, free_time: Spans
) -> list[tuple[int, int]]:
    rig = problem.rigs[r]
    found = []
    for a, b in free_time:
        for low, high in open_time.clip(a, b):
            start = max(a, low - rig.start_up)
            end = min(b, high + rig.clean_up)
            if end - start > rig.start_up + rig.clean_up + problem.zone_change:
                found.append((start, end))
    return found


def moves_of(neighbourhood: Neighbourhood, board: Board) -> list[Move]:
    """Return the relocations that the neighbourhood freed."""
    kept = {id(move) for move in neighbourhood.kept.moves}
    return [move for move in board.moves if id(move) not in kept]
