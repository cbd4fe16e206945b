"""The largest part of an old plan that still stands together on a new problem.

Rows are taken in time order, so that shifts already issued come first.  As many as possible are
put on a board at once; where a rule is broken, the row at fault is found by halving, and of a
run only the spells at fault go.  A spell that went is tried again elsewhere before the later
layers of its zone give way.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from planner.core.rounding import up
from planner.core.spans import Spans
from planner.optimise.board import Board, Break, DraftRun, Move, Piece
from planner.optimise.completing import opened_again
from planner.optimise.moves import plan_move
from planner.optimise.old_plan import Key, OldPlan
from planner.optimise.problem import Problem, Way
from planner.optimise.replay import BrokenRuleError, Script, replay
from planner.optimise.strip import regroup

RULES = {
    "crew outside its shift": "its crew is not on shift for all of it (rule 4)",
    "crew busy, duty, rest or week": "its crew would be busy, or over its hours (rules 5 and 15)",
    "rig busy": "its rig is busy (rule 5)",
    "rig elsewhere": "its rig stands elsewhere by then (rule 6)",
    "rig or position shut": "its rig or position is shut or away for part of it (rule 5)",
    "position full": "its position is full (rule 7)",
    "outside window": "it does not fit into a window of its zone any more (rules 1 to 3)",
    "crew may not": "its crew may not spray this mix so (rule 4)",
    "out of reach": "its rig does not reach the zone from there (contract, section 3)",
    "layers out of order": "an earlier layer of its zone is not sprayed by then (rule 10)",
    "order or gap": "what must come before it is not ready by then (rules 10 and 13)",
    "gap too long": "it would come too long after the layer before it (rule 10)",
    "panel too young": "its crew's test panel is missing or too young (rule 12)",
    "two mixes": "its zone is sprayed with another mix (rule 10)",
    "zone complete": "its zone is complete before",
    "idle too long": "its rig would idle too long in the run (rule 4)",
    "no zone change": "no time is left for the zone change before it (rule 2)",
    "no start-up": "no time is left for the start-up (rule 4)",
    "no clean-up": "no time is left for the clean-up (rule 4)",
    "work beside a zone kept apart": "work in a zone kept apart from its own (rule 11)",
    "open beside a zone kept apart": "a zone kept apart from its own is open (rule 11)",
    "too many open": "too many zones of its group are open (rule 11)",
    "more of a resource than there is": "a shared resource is not there for it (rule 16)",
    "piece too short": "what is left of its layer is too short for a piece (rule 9)",
    "joint not allowed": "its layer may not be split (rule 9)",
}
"""What a broken rule means for the row that breaks it; the keys are those of the replay."""

MINUTES = 60.0
SAME_M3 = 1e-6
PIECES_MOST = 8
PIECE_TRIES = 12
"""Pieces of a layer, and idle times looked at for each, when lost work is put back [1]."""
LONGEST_WAIT_MIN = 180
"""A run is not made longer across a longer gap than this [min]."""


@dataclass
class Kept:
    """The part of an old plan that stands, rows that give way, and why."""

    problem: Problem
    runs: list[DraftRun] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    breaks: list[Break] = field(default_factory=list)
    lost: dict[Key, str] = field(default_factory=dict)

    def script(self, banned: frozenset[int]) -> Script:
        """Return the part without some zones."""
        runs: list[DraftRun] = []
        for run in self.runs:
            left = [piece for piece in run.pieces if piece.zone not in banned]
            cut = len(left) < len(run.pieces)
            runs += regroup(Board(self.problem), run, left) if cut else [_fresh(run, run.pieces)]
        breaks = [row for row in self.breaks if row.zone not in banned]
        return Script(runs, list(self.moves), breaks, banned)

    def stands(self) -> str | None:
        """Return which rule the part breaks; None: none."""
        try:
            replay(self.problem, self.script(frozenset()), whole=False)
        except BrokenRuleError as broken:
            return str(broken)
        return None


Row = DraftRun | Move | list[Break]


def keep(problem: Problem, old: OldPlan, until: int) -> Kept:
    """Return what can stay of the rows that begin before a minute."""
    kept = Kept(problem, lost=dict(old.lost))
    rows: list[Row] = [run for run in old.runs if run.start < until]
    rows += [move for move in old.moves if move.start < until]
    rows += [breaks for breaks in old.breaks.values() if breaks[0].start < until]
    rows.sort(key=_order)
    while rows:
        count = _fitting(kept, rows)
        for row in rows[:count]:
            _add(kept, row)
        rows = rows[count:]
        if rows and not _bring_rig(kept, rows[0]):
            _add_part(kept, rows[0])
            rows = rows[1:]
    return kept


def _bring_rig(kept: Kept, row: Row) -> bool:
    """Relocate the rig of a run to where the run wants it, where that makes it stand."""
    if not isinstance(row, DraftRun):
        return False
    problem = kept.problem
    board = opened_again(replay(problem, kept.script(frozenset()), whole=False))
    if board.rig_at[row.rig] in (None, row.position):
        return False
    move = plan_move(board, row.rig, row.position, board.rig_free[row.rig], row.start)
    if move is None:
        return False
    tried = _copy(kept)
    tried.moves.append(move)
    tried.runs += _as_is(problem, row)
    if tried.stands() is not None:
        return False
    kept.moves.append(move)
    return True


def _order(row: Row) -> tuple[int, int]:
    if isinstance(row, list):
        return row[0].start, 0
    return row.start, 1 if isinstance(row, Move) else 2


def _fitting(kept: Kept, rows: list[Row]) -> int:
    """Return how many rows from the front stand together with what is kept, by halving."""
    if _stand(kept, rows):
        return len(rows)
    low, high = 0, len(rows)
    while high - low > 1:
        middle = (low + high) // 2
        if _stand(kept, rows[:middle]):
            low = middle
        else:
            high = middle
    return low


def _stand(kept: Kept, rows: list[Row]) -> bool:
    tried = _copy(kept)
    for row in rows:
        _add(tried, row)
    return tried.stands() is None


def _copy(kept: Kept) -> Kept:
    return replace(
        kept,
        runs=list(kept.runs),
        moves=list(kept.moves),
        breaks=list(kept.breaks),
        lost=dict(kept.lost),
    )


def _add(kept: Kept, row: Row) -> None:
    if isinstance(row, DraftRun):
        kept.runs += _as_is(kept.problem, row)
    elif isinstance(row, Move):
        kept.moves.append(row)
    else:
        kept.breaks += row


def _as_is(problem: Problem, run: DraftRun) -> list[DraftRun]:
    """Return a run with its own times where its spells fit them, else cut to its spells."""
    if run.panel is not None:
        return [_fresh(run, [])]
    rig = problem.rigs[run.rig]
    lead = run.start + rig.start_up + problem.zone_change
    idle = rig.idle_max
    fits = run.start >= problem.start and all(
        piece.start >= lead and piece.end + rig.clean_up <= run.end for piece in run.pieces
    )
    gaps = zip(run.pieces, run.pieces[1:], strict=False)
    if fits and (idle is None or all(b.start - a.end <= idle for a, b in gaps)):
        return [_fresh(run, run.pieces)]
    return regroup(Board(problem), run, run.pieces)


def _fresh(run: DraftRun, pieces: list[Piece]) -> DraftRun:
    return DraftRun(
        run.rig,
        run.crew,
        run.position,
        run.mix,
        start=run.start,
        end=run.end,
        pieces=list(pieces),
        panel=run.panel,
    )


def _add_part(kept: Kept, run: Row) -> None:
    """Keep of a run what can stay, spell by spell; say of the others why they cannot."""
    if not isinstance(run, DraftRun):
        return
    problem = kept.problem
    chosen: list[Piece] = []
    for piece in run.pieces:
        tried = _copy(kept)
        tried.runs += regroup(Board(problem), run, [*chosen, piece])
        broken = tried.stands()
        if broken is None:
            chosen.append(piece)
        else:
            kept.lost[key_of_piece(problem, piece)] = _sentence(problem, piece, broken)
    kept.runs += regroup(Board(problem), run, chosen)


def key_of_piece(problem: Problem, piece: Piece) -> Key:
    """Return what a spell is known by in two plans."""
    rig = problem.rigs[piece.rig].rig.rig_id
    return problem.zones[piece.zone].zone_id, piece.number, rig, piece.start


def _sentence(problem: Problem, piece: Piece, broken: str) -> str:
    what = RULES.get(broken, f"{broken} (a rule of the plan)")
    zone = problem.zones[piece.zone].zone_id
    return f"Zone {zone}, layer {piece.number}: {what}."


# -- lost spells, tried again elsewhere --------------------------------------------------------


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
    tried = _copy(kept)
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
        tried = _copy(kept)
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
    tried, left = _copy(kept), layer.volume_m3
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
    tried = _copy(kept)
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
        longer = _fresh(run, [*run.pieces, piece])
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
