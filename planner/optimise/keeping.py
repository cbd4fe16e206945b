"""The largest part of an old plan that still stands together on a new problem.

Rows are taken in time order, so that shifts already issued come first.  As many as possible are
put on a board at once; where a rule is broken, the row at fault is found by halving, and of a
run only the spells at fault go.  Where lost spells go instead is found by
:mod:`planner.optimise.filling`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from planner.optimise.board import Board, Break, DraftRun, Move, Piece
from planner.optimise.completing import opened_again
from planner.optimise.moves import plan_move
from planner.optimise.old_plan import Key, OldPlan
from planner.optimise.problem import Problem
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
            runs += regroup(Board(self.problem), run, left) if cut else [fresh(run, run.pieces)]
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
    tried = copied(kept)
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
    tried = copied(kept)
    for row in rows:
        _add(tried, row)
    return tried.stands() is None


def copied(kept: Kept) -> Kept:
    """Return a copy whose rows can be changed."""
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
        return [fresh(run, [])]
    rig = problem.rigs[run.rig]
    lead = run.start + rig.start_up + problem.zone_change
    idle = rig.idle_max
    fits = run.start >= problem.start and all(
        piece.start >= lead and piece.end + rig.clean_up <= run.end for piece in run.pieces
    )
    gaps = zip(run.pieces, run.pieces[1:], strict=False)
    if fits and (idle is None or all(b.start - a.end <= idle for a, b in gaps)):
        return [fresh(run, run.pieces)]
    return regroup(Board(problem), run, run.pieces)


def fresh(run: DraftRun, pieces: list[Piece]) -> DraftRun:
    """Return a run of its own with the same times and some spells."""
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
        tried = copied(kept)
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
