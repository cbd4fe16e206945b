"""Put lost work into idle time of what is kept of an old plan.

A lost spell is tried again at its old minute, behind the spells of a run, or in a run of its own
where the rig stands idle; what its zone's later layers were told stays where that is possible.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from planner.core.rounding import up
from planner.core.spans import Spans
from planner.optimise.board import Board, DraftRun, Piece
from planner.optimise.keeping import Kept, copied, fresh, key_of_piece
from planner.optimise.old_plan import OldPlan
from planner.optimise.problem import Problem, Way
from planner.optimise.strip import regroup

MINUTES = 60.0
SAME_M3 = 1e-6
PIECES_MOST = 8
PIECE_TRIES = 12
"""Pieces of a layer, and idle times looked at for each, when lost work is put back [1]."""
LONGEST_WAIT_MIN = 180
"""A run is not made longer across a longer gap than this [min]."""


def fill_in(kept: Kept, old: OldPlan, tries: int = 6) -> None:
    """Put lost spells into idle time of the kept part, and what waits for them back.

    Layers of a zone are gone through in order; each takes its old place where that stands, or
    else a run of its own in the earliest room.
    """
    problem = kept.problem
    places: dict[int, list[tuple[DraftRun, Piece]]] = {}
    for run in old.runs:
        for piece in run.pieces:
            places.setdefault(piece.zone, []).append((run, piece))
    there = Counter(piece.zone for run in kept.runs for piece in run.pieces)
    short = [
        z
        for z in range(len(problem.zones))
        if z not in problem.complete and problem.ways[z] and there[z] < _needed(problem, z)
    ]
    for z in sorted(short, key=lambda z: (problem.zones[z].priority, z)):
        _fill_zone(kept, z, places.get(z, []), tries)


def _needed(problem: Problem, z: int) -> int:
    return max((len(job.layers) for job in problem.jobs[z].values()), default=0)


def _fill_zone(kept: Kept, z: int, places: list[tuple[DraftRun, Piece]], tries: int) -> None:
    problem = kept.problem
    begun = {run.mix for run in kept.runs for piece in run.pieces if piece.zone == z}
    mixes = begun or {run.mix for run, _ in places} or set(problem.jobs[z])
    mix = min(mixes & set(problem.jobs[z]), default=None)
    if mix is None:
        return
    for k, layer in enumerate(problem.jobs[z][mix].layers):
        if any(p.zone == z and p.number == layer.number for run in kept.runs for p in run.pieces):
            continue
        mine = [row for row in places if row[1].number == layer.number and row[0].mix == mix]
        put = _put_back(kept, mine) or _put_elsewhere(kept, z, mix, k, tries)
        if not (put or _put_in_pieces(kept, z, mix, k)):
            return


def _put_back(kept: Kept, rows: list[tuple[DraftRun, Piece]]) -> bool:
    tried = copied(kept)
    for run, piece in rows:
        tried.runs += regroup(Board(kept.problem), run, [piece])
        tried.lost.pop(key_of_piece(kept.problem, piece), None)
    if not rows or tried.stands() is not None:
        return False
    kept.runs, kept.lost = tried.runs, tried.lost
    return True


def _put_elsewhere(kept: Kept, z: int, mix: int, k: int, tries: int) -> bool:
    """Put a layer behind the spells of a run that is kept, or into a run of its own."""
    found: list[tuple[DraftRun, DraftRun | None]] = []
    for way in kept.problem.ways[z]:
        if way.mix == mix:
            found += _longer_runs(kept, way, k, tries)
            found += [(run, None) for run in _runs_by(kept, way, k, tries)]
    found.sort(key=lambda row: (row[0].end, row[0].rig, row[0].crew))
    for run, instead_of in found[: 2 * tries]:
        tried = copied(kept)
        tried.runs = [row for row in tried.runs if row is not instead_of]
        tried.runs.append(run)
        if tried.stands() is None:
            kept.runs = tried.runs
            return True
    return False


def _put_in_pieces(kept: Kept, z: int, mix: int, k: int) -> bool:
    """Put a layer that may be split into runs of its own, in the first idle times that hold it."""
    problem = kept.problem
    layer = problem.jobs[z][mix].layers[k]
    if not problem.zones[z].joint_allowed or layer.begun:
        return False
    tried, left = copied(kept), layer.volume_m3
    ways = [way for way in problem.ways[z] if way.mix == mix]
    ready = max((_ready(kept, way, k) for way in ways), default=problem.start)
    for _ in range(PIECES_MOST):
        found: list[DraftRun] = []
        for way in problem.ways[z]:
            if way.mix == mix:
                found += _piece_runs(tried, way, k, left, ready)
        run = next((run for run in sorted(found, key=_by_end) if _with(tried, run)), None)
        if run is None:
            return False
        left -= run.pieces[0].volume
        ready = run.pieces[0].end
        if left <= SAME_M3:
            kept.runs = tried.runs
            return True
    return False


def _by_end(run: DraftRun) -> tuple[int, int, int]:
    return run.end, run.rig, run.crew


def _with(kept: Kept, run: DraftRun) -> bool:
    """Add a run where all still stands with it."""
    tried = copied(kept)
    tried.runs.append(run)
    if tried.stands() is not None:
        return False
    kept.runs = tried.runs
    return True


def _piece_runs(kept: Kept, way: Way, k: int, left: float, ready: int) -> list[DraftRun]:
    """Return runs of one piece of a layer: as long as the first idle times last."""
    problem = kept.problem
    rig, layer = problem.rigs[way.rig], problem.jobs[way.zone][way.mix].layers[k]
    lead, least = rig.start_up + problem.zone_change, problem.spell_min
    whole = up(MINUTES * left / way.rate)
    found = []
    for c, starts in _idle_spans(kept, way, k):
        for a, b in starts.clip(ready, problem.end):
            length = min(b - a, whole)
            if 0 < whole - length < least:
                length = whole - least
            if length < min(least, whole):
                continue
            volume = left if length == whole else way.rate * length / MINUTES
            piece = Piece(way.zone, layer.number, a, a + length, volume, way.position, way.rig)
            end = piece.end + rig.clean_up
            found.append(
                DraftRun(way.rig, c, way.position, way.mix, a - lead, end, pieces=[piece])
            )
            if len(found) >= PIECE_TRIES:
                return found
    return found


def _ready(kept: Kept, way: Way, k: int) -> int:
    """Return when a layer may be sprayed by its own zone's layers before it (rule 10)."""
    problem = kept.problem
    pieces = [piece for run in kept.runs for piece in run.pieces if piece.zone == way.zone]
    job = problem.jobs[way.zone][way.mix]
    before = [piece.end for piece in pieces if piece.number < job.layers[k].number]
    last = max(before, default=problem.first_end[way.zone])
    gap = 0 if job.layers[k].begun else job.gap_min
    return problem.start if last is None else max(problem.start, last + gap)


def _longer_runs(
    kept: Kept, way: Way, k: int, tries: int
) -> list[tuple[DraftRun, DraftRun | None]]:
    """Return kept runs of a rig with one spell more at the end, and what each stands for."""
    problem = kept.problem
    rig, job = problem.rigs[way.rig], problem.jobs[way.zone][way.mix]
    ready, minutes = _ready(kept, way, k), way.minutes[k]
    found: list[tuple[DraftRun, DraftRun | None]] = []
    for run in sorted(kept.runs, key=lambda run: run.start):
        if (run.rig, run.position, run.mix) != (way.rig, way.position, way.mix):
            continue
        if not run.pieces or len(found) >= tries:
            continue
        end = run.pieces[-1].end
        start = job.spans(k).first_fit(max(ready, end + problem.zone_change), minutes)
        longest = rig.idle_max if rig.idle_max is not None else LONGEST_WAIT_MIN
        if start is None or start - end > longest:
            continue
        layer = job.layers[k]
        piece = Piece(
            way.zone, layer.number, start, start + minutes, layer.volume_m3, way.position, way.rig
        )
        longer = fresh(run, [*run.pieces, piece])
        longer.end = max(run.end, piece.end + rig.clean_up)
        found.append((longer, run))
    return found


def _idle_spans(kept: Kept, way: Way, k: int) -> Iterator[tuple[int, Spans]]:
    """Yield each crew with when it and the rig, standing there, could spray a layer."""
    problem = kept.problem
    rig = problem.rigs[way.rig]
    lead = rig.start_up + problem.zone_change
    free = _standing(kept, way.rig, way.position) & problem.room[way.rig, way.position]
    orientation = problem.zones[way.zone].orientation
    spans = problem.jobs[way.zone][way.mix].spans(k)
    for c, crew in enumerate(problem.crews):
        if (way.mix, orientation) in crew.can:
            shifts = Spans((a, b) for a, b, _ in crew.pieces)
            room = (free & shifts) - _busy(kept, c)
            yield c, room.shrink(first=lead, last=rig.clean_up) & spans


def _runs_by(kept: Kept, way: Way, k: int, tries: int) -> list[DraftRun]:
    """Return runs of one spell in idle time of a rig where it stands, and of each crew."""
    problem = kept.problem
    rig, layer = problem.rigs[way.rig], problem.jobs[way.zone][way.mix].layers[k]
    lead, minutes = rig.start_up + problem.zone_change, way.minutes[k]
    found = []
    for c, starts in _idle_spans(kept, way, k):
        at = _ready(kept, way, k)
        for _ in range(tries):
            start = starts.first_fit(at, minutes)
            if start is None:
                break
            end = start + minutes
            piece = Piece(
                way.zone, layer.number, start, end, layer.volume_m3, way.position, way.rig
            )
            found.append(
                DraftRun(
                    way.rig, c, way.position, way.mix, start - lead, end + rig.clean_up, [piece]
                )
            )
            at = end
    return found


def _standing(kept: Kept, r: int, p: int) -> Spans:
    """Return when a rig stands idle at a position by what is kept, before its last event."""
    events = [
        (run.start, run.end, run.position, run.position) for run in kept.runs if run.rig == r
    ]
    events += [(row.start, row.end, row.origin, row.target) for row in kept.moves if row.rig == r]
    events.sort()
    at, free = kept.problem.rigs[r].at, kept.problem.start
    found = []
    for start, end, needs, leaves in events:
        if (needs if at is None else at) == p and start > free:
            found.append((free, start))
        at, free = leaves, end
    if at == p:
        found.append((free, kept.problem.end))
    return Spans(found)


def _busy(kept: Kept, c: int) -> Spans:
    rows = [(run.start, run.end) for run in kept.runs if run.crew == c]
    rows += [(move.start, move.end) for move in kept.moves if move.crew == c]
    return Spans(rows)
