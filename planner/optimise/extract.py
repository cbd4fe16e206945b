"""From a board to the plan's rows: what serves nothing is dropped, the rest is numbered."""

from __future__ import annotations

from planner.model.identifiers import CrewId
from planner.optimise.board import Board, DraftRun, Move
from planner.plan.plan import BreakOut, Plan, Relocation, Run, RunKind, Spell

VOLUME_DECIMALS = 9


def extract(board: Board) -> Plan:
    """Return the plan on a board, without the reasons for what is left out.

    Panels of a kind that their crew never sprays, relocations after a rig's last run, and
    break-outs of zones that are not planned are dropped.
    """
    runs = _needed_runs(board)
    numbered = list(enumerate(sorted(runs, key=lambda run: (run.start, run.rig)), start=1))
    width = max(3, len(str(len(numbered))))
    names = {id(run): f"R{number:0{width}d}" for number, run in numbered}
    spells = [
        _spell(board, run, k, names[id(run)])
        for _, run in numbered
        for k in range(len(run.pieces))
    ]
    return Plan(
        spells=tuple(sorted(spells, key=lambda row: (row.start_min, row.run))),
        runs=tuple(_run(board, run, names[id(run)]) for _, run in numbered),
        relocations=tuple(_move(board, move) for move in needed_moves(board, runs)),
        break_outs=_break_outs(board),
    )


def _needed_runs(board: Board) -> list[DraftRun]:
    problem = board.problem
    kinds = {
        (run.crew, run.mix, problem.zones[piece.zone].orientation)
        for run in board.runs
        for piece in run.pieces
    }
    return [
        run
        for run in board.runs
        if run.pieces or (run.panel is not None and (run.crew, run.mix, run.panel) in kinds)
    ]


def needed_moves(board: Board, runs: list[DraftRun]) -> list[Move]:
    """Return the relocations that a later run of the same rig makes necessary.

    A rig that stands nowhere at the start is set up by its first run, so what came before that
    is not needed either.
    """
    first: dict[int, int] = {}
    last: dict[int, int] = {}
    for run in runs:
        first[run.rig] = min(first.get(run.rig, run.start), run.start)
        last[run.rig] = max(last.get(run.rig, run.start), run.start)
    kept = [
        move
        for move in board.moves
        if move.start < last.get(move.rig, -1)
        and (board.problem.rigs[move.rig].at is not None or move.start > first[move.rig])
    ]
    return sorted(kept, key=lambda move: (move.start, move.rig))


def _run(board: Board, run: DraftRun, name: str) -> Run:
    problem = board.problem
    return Run(
        run=name,
        rig=problem.rigs[run.rig].rig.rig_id,
        crew=problem.crews[run.crew].crew.crew_id,
        position=problem.campaign.positions[run.position].position_id,
        mix=problem.mixes[run.mix],
        start_min=run.start,
        end_min=run.end,
        kind=RunKind.SPRAY if run.panel is None else RunKind.PANEL,
        orientation=run.panel,
    )


def _spell(board: Board, run: DraftRun, k: int, name: str) -> Spell:
    problem = board.problem
    piece = run.pieces[k]
    way = problem.way_of[piece.zone, run.mix, run.rig, run.position]
    return Spell(
        run=name,
        rig=problem.rigs[run.rig].rig.rig_id,
        crew=problem.crews[run.crew].crew.crew_id,
        position=problem.campaign.positions[run.position].position_id,
        zone=problem.zones[piece.zone].zone_id,
        layer=piece.number,
        start_min=piece.start,
        end_min=piece.end,
        volume_m3=round(piece.volume, VOLUME_DECIMALS),
        hose_m=way.hose_m,
        hose_laid_m=way.laid_m,
    )


def _move(board: Board, move: Move) -> Relocation:
    problem = board.problem
    crew: CrewId | None = None
    if move.crew is not None:
        crew = problem.crews[move.crew].crew.crew_id
    return Relocation(
        rig=problem.rigs[move.rig].rig.rig_id,
        crew=crew,
        from_position=problem.campaign.positions[move.origin].position_id,
        to_position=problem.campaign.positions[move.target].position_id,
        start_min=move.start,
        end_min=move.end,
    )


def _break_outs(board: Board) -> tuple[BreakOut, ...]:
    problem = board.problem
    return tuple(
        BreakOut(
            crew=problem.crews[piece.crew].crew.crew_id,
            zone=problem.zones[piece.zone].zone_id,
            start_min=piece.start,
            end_min=piece.end,
            volume_m3=round(piece.volume, VOLUME_DECIMALS),
        )
        for piece in sorted(board.breaks, key=lambda row: (row.start, row.crew))
        if board.is_done(piece.zone)
    )
