"""Take zones out of a plan whole, and keep the rest as it is (rule 14)."""

from __future__ import annotations

from planner.optimise.board import Board, DraftRun, Piece
from planner.optimise.extract import needed_moves
from planner.optimise.replay import BrokenRuleError, Script, replay


def strip(board: Board, out: frozenset[int]) -> Board | None:
    """Return the plan without some zones, or None where the rest does not stand alone.

    Runs are cut where a gap has become longer than the rig may idle; runs without a spell and
    relocations before the first run that
    sets a rig up, or after its last, go.
    """
    runs: list[DraftRun] = []
    for run in board.runs:
        if run.panel is not None:
            runs.append(run)
            continue
        kept = [piece for piece in run.pieces if piece.zone not in out]
        runs += regroup(board, run, kept)
    script = Script(
        runs=runs,
        moves=needed_moves(board, runs),
        breaks=[row for row in board.breaks if row.zone not in out],
        banned=out,
    )
    try:
        return replay(board.problem, script)
    except BrokenRuleError:
        return None


def regroup(board: Board, run: DraftRun, pieces: list[Piece]) -> list[DraftRun]:
    """Return the runs that some spells of one run make, cut where gaps are too long."""
    rig = board.problem.rigs[run.rig]
    groups: list[list[Piece]] = []
    for piece in sorted(pieces, key=lambda piece: piece.start):
        idle = rig.idle_max
        if groups and (idle is None or piece.start - groups[-1][-1].end <= idle):
            groups[-1].append(piece)
        else:
            groups.append([piece])
    lead = board.problem.zone_change + rig.start_up
    return [
        DraftRun(
            rig=run.rig,
            crew=run.crew,
            position=run.position,
            mix=run.mix,
            start=group[0].start - lead,
            end=group[-1].end + rig.clean_up,
            pieces=group,
        )
        for group in groups
    ]
