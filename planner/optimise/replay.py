"""Put a list of given runs, relocations and break-outs on a board, refusing what breaks a rule.

The exact models propose plans in this form; nothing of theirs is believed until it has been
replayed here against every rule.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from planner.core.rounding import up
from planner.optimise.board import FOREVER, Board, Break, DraftRun, Move, Piece
from planner.optimise.moves import move_room, movers
from planner.optimise.problem import Problem

MINUTES = 60.0
SAME_M3 = 1e-6


class BrokenRuleError(Exception):
    """A proposed plan breaks a rule; the message names which."""


@dataclass(frozen=True)
class Script:
    """A whole plan as events."""

    runs: list[DraftRun] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    breaks: list[Break] = field(default_factory=list)
    banned: frozenset[int] = frozenset()


def script_of(board: Board, banned: frozenset[int]) -> Script:
    """Return the events of a board."""
    return Script(list(board.runs), list(board.moves), list(board.breaks), banned)


def replay(problem: Problem, script: Script, *, whole: bool = True) -> Board:
    """Return the board of a script.

    Without ``whole`` zones may be there in part, to be completed on the board; what such zones
    still break when they are open for ever (rule 11) is not looked at.

    Raises
    ------
    BrokenRuleError
        If any rule of the contract is broken.
    """
    board = Board(problem)
    for z in script.banned - problem.complete:
        board.zones[z] = board.zones[z]._replace(opened=None)
    _crews(board, script)
    _rigs(board, script)
    _zones(board, script, whole=whole)
    _open(board, whole=whole)
    _require(board.usage.is_kept(), "more of a resource than there is")
    return board


def _require(holds: bool, what: str) -> None:  # noqa: FBT001 - reads as an assertion
    if not holds:
        raise BrokenRuleError(what)


def _crews(board: Board, script: Script) -> None:
    problem = board.problem
    work: list[tuple[int, int, int]] = [(run.start, run.end, run.crew) for run in script.runs]
    work += [(move.start, move.end, move.crew) for move in script.moves if move.crew is not None]
    work += [(row.start, row.end, row.crew) for row in script.breaks]
    for start, end, c in sorted(work):
        inside = any(a <= start and end <= b for a, b, _ in problem.crews[c].pieces)
        _require(inside, "crew outside its shift")
        _require(board.crew_may(c, start, end), "crew busy, duty, rest or week")
        board.occupy_crew(c, start, end)


def _rigs(board: Board, script: Script) -> None:
    events: dict[int, list[tuple[int, int, DraftRun | Move]]] = defaultdict(list)
    for run in script.runs:
        events[run.rig].append((run.start, run.end, run))
    for move in script.moves:
        events[move.rig].append((move.start, move.end, move))
    for r in sorted(events):
        free = board.problem.start
        for start, end, event in sorted(events[r], key=lambda row: row[:2]):
            _require(start >= free, "rig busy")
            free = end
            if isinstance(event, Move):
                _move(board, event)
            else:
                _run(board, event)
        board.release(r)
    _positions(board)


def _move(board: Board, move: Move) -> None:
    problem = board.problem
    _require(board.rig_at[move.rig] == move.origin, "rig elsewhere")
    need = problem.moves[move.rig, move.origin, move.target]
    _require(move.end - move.start >= need, "move too short")
    room = move_room(problem, move.rig, move.origin, move.target)
    _require(room.covers(move.start, move.end), "move in a closure")
    if move.crew is not None:
        _require(move.crew in movers(problem, move.rig), "crew may not move this rig")
    else:
        gang = problem.gang or ()
        _require(any(a <= move.start and move.end <= b for a, b in gang), "gang off")
    hold = board.holding[move.rig]
    if hold is not None:
        hold.until = move.start
    board.rig_at[move.rig] = move.target
    board.rig_free[move.rig] = move.end
    board.rig_hold(move.rig, move.target, move.end)
    board.use_for_move(move)
    board.moves.append(move)


def _run(board: Board, run: DraftRun) -> None:
    problem = board.problem
    r = run.rig
    if board.rig_at[r] is None:
        board.rig_at[r] = run.position
        board.rig_hold(r, run.position, run.start)
    _require(board.rig_at[r] == run.position, "rig elsewhere")
    _require(problem.room[r, run.position].covers(run.start, run.end), "rig or position shut")
    board.rig_free[r] = board.rig_last_run[r] = run.end
    board.rig_crew[r] = run.crew
    board.use_for_run(run)
    board.runs.append(run)
    if run.panel is not None:
        _require(run.end - run.start >= problem.rigs[r].panel, "panel too short")
        may = problem.crews[run.crew].may((run.mix, run.panel), run.start)
        _require(may, "crew may not")
        key = (run.crew, run.mix, run.panel)
        board.panels[key] = min(run.end, board.panels.get(key, FOREVER))


def _positions(board: Board) -> None:
    for p, holds in enumerate(board.holds):
        used = [hold for hold in holds if hold.until is not None and hold.until > hold.since]
        most = board.problem.campaign.positions[p].rigs_max
        for hold in used:
            others = sum(
                one.since <= hold.since < (one.until or 0) for one in used if one is not hold
            )
            _require(others < most, "position full")


def _zones(board: Board, script: Script, *, whole: bool) -> None:
    problem = board.problem
    broken: dict[int, list[Break]] = defaultdict(list)
    for row in script.breaks:
        broken[row.zone].append(row)
    for z, rows in broken.items():
        _break(board, z, rows)
    pieces = sorted(
        ((piece, run) for run in board.runs for piece in run.pieces), key=lambda row: row[0].start
    )
    by_run: dict[int, int] = {}
    for piece, run in pieces:
        rig = problem.rigs[run.rig]
        before = by_run.get(id(run))
        if before is None:
            lead = run.start + rig.start_up
            _require(piece.start - problem.zone_change >= lead, "no start-up")
        else:
            _require(piece.start - problem.zone_change >= before, "no zone change")
            idle = rig.idle_max
            _require(idle is None or piece.start - before <= idle, "idle too long")
        by_run[id(run)] = piece.end
        _require(piece.end + rig.clean_up <= run.end, "no clean-up")
        _spell(board, piece, run)
    for z, state in enumerate(board.zones):
        touched = state.end is not None and state.end != problem.first_end[z]
        _require(not whole or state.closed is not None or not touched, "zone in part")


def _break(board: Board, z: int, rows: list[Break]) -> None:
    problem = board.problem
    rows.sort(key=lambda row: row.start)
    for row in rows:
        _require(problem.shortened[z].covers(row.start, row.end), "break-out outside window")
        _require(row.start >= (problem.zones[z].ready_from_min or 0), "not ready")
        rate = problem.crews[row.crew].crew.rate_m3_h or 0.0
        _require(row.end - row.start == up(MINUTES * row.volume / rate), "wrong minutes")
        clear = board.clear_of(z, row.start, row.end - row.start) == row.start
        _require(clear, "break-out beside a zone kept apart")
        board.work[z].append((row.start, row.end))
        board.use_for_break(row)
        board.breaks.append(row)
    total = sum(row.volume for row in rows)
    _require(abs(total - problem.full_volume[z]) < SAME_M3, "wrong volume broken out")
    board.break_left[z] = 0.0
    board.broken[z] = max(row.end for row in rows)
    if board.zones[z].opened is None:
        board.zones[z] = board.zones[z]._replace(opened=rows[0].start)


def _spell(board: Board, piece: Piece, run: DraftRun) -> None:
    problem = board.problem
    z = piece.zone
    state = board.zones[z]
    _require(state.closed is None, "zone complete")
    _require(state.mix in (-1, run.mix), "two mixes")
    orientation = problem.zones[z].orientation
    may = problem.crews[run.crew].may((run.mix, orientation), run.start)
    _require(may, "crew may not")
    way = problem.way_of.get((z, run.mix, run.rig, run.position))
    if way is None:
        msg = "out of reach"
        raise BrokenRuleError(msg)
    job = problem.jobs[z][run.mix]
    layer = job.layers[state.layer]
    _require(layer.number == piece.number, "layers out of order")
    earliest = board.earliest(z, run.mix)
    _require(earliest is not None and piece.start >= earliest, "order or gap")
    _require(piece.start <= board.latest(z, run.mix), "gap too long")
    if problem.panel_wait:
        panel = board.panels.get((run.crew, run.mix, orientation), FOREVER)
        _require(piece.start >= panel + problem.panel_wait, "panel too young")
    left = layer.volume_m3 if state.whole else state.left
    ends_layer = piece.volume >= left - SAME_M3
    _require(piece.volume <= left + SAME_M3, "too much volume")
    need = up(MINUTES * piece.volume / way.rate)
    _require(piece.end - piece.start == need, "wrong minutes")
    if not (ends_layer and state.whole):
        _require(problem.zones[z].joint_allowed, "joint not allowed")
        _require(need >= problem.spell_min, "piece too short")
    spans = job.spans(state.layer) if ends_layer else job.mid
    _require(spans.covers(piece.start, piece.end), "outside window")
    change = problem.zone_change
    clear = board.clear_of(z, piece.start - change, need + change) == piece.start - change
    _require(clear, "work beside a zone kept apart")
    board.spray(run, piece, run.mix, ends_layer=ends_layer)
    run.undo.clear()
    run.pieces.pop()


def _open(board: Board, *, whole: bool) -> None:
    """Check rule 11 over all open times at once, or over those alone that have an end."""
    problem = board.problem
    spans = {
        z: (state.opened, FOREVER if state.closed is None else state.closed)
        for z, state in enumerate(board.zones)
        if state.opened is not None and (whole or state.closed is not None)
    }
    for z, others in enumerate(problem.apart_open):
        for other in others:
            if z in spans and other in spans:
                a, b = spans[z], spans[other]
                _require(a[1] <= b[0] or b[1] <= a[0], "open beside a zone kept apart")
    for members, most in problem.groups:
        for z in members:
            if z not in spans or spans[z][0] <= problem.start:
                continue
            at = spans[z][0]
            count = sum(1 for m in members if m in spans and spans[m][0] <= at < spans[m][1])
            _require(count <= most, "too many open")
