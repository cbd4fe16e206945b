"""From a plan to a hint for an exact neighbourhood, and from its answer back to a change."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from ortools.sat.python import cp_model

from planner.optimise.board import Board, DraftRun, Move, Piece
from planner.optimise.freeing import Atom, Slot
from planner.optimise.relocating import MoveRow
from planner.optimise.replay import Script
from planner.optimise.strip import regroup
from planner.optimise.variables import Variables


@dataclass(frozen=True, slots=True)
class Change:
    """Runs and relocations that an answer takes out of a plan, and what it puts in."""

    old_runs: tuple[DraftRun, ...]
    old_moves: tuple[Move, ...]
    new_runs: tuple[DraftRun, ...]
    new_moves: tuple[Move, ...]

    def on(self, board: Board, banned: frozenset[int]) -> Script | None:
        """Return the plan's script with the change made; None where the old is not there."""
        old_runs = {id(run) for run in self.old_runs}
        old_moves = {id(move) for move in self.old_moves}
        there = old_runs <= {id(run) for run in board.runs}
        if not there or not old_moves <= {id(move) for move in board.moves}:
            return None
        return Script(
            runs=[*(run for run in board.runs if id(run) not in old_runs), *self.new_runs],
            moves=[*(m for m in board.moves if id(m) not in old_moves), *self.new_moves],
            breaks=list(board.breaks),
            banned=banned,
        )


class Hint:
    """Tells the solver the plan as it stands, in every variable that a choice hangs on."""

    def __init__(self, own: Variables, moves: list[MoveRow]) -> None:
        self.own = own
        self.moves = moves
        self.in_slot: dict[int, list[Atom]] = defaultdict(list)

    def give(self) -> None:
        """Add the hint to the model."""
        own = self.own
        for a, atom in enumerate(own.near.atoms):
            slot = self._slot_of(atom)
            own.model.add_hint(own.start[a], atom.now.start)
            own.model.add_hint(own.end[a], atom.now.end)
            own.model.add_hint(own.length[a], atom.now.end - atom.now.start)
            for (k, p), here in own.choice[a].items():
                own.model.add_hint(here, k == slot and p == atom.now.position)
            if slot is not None:
                self.in_slot[slot].append(atom)
        for k in range(len(own.near.slots)):
            self._run(k)
        for r in own.near.rigs:
            self._places(r)

    def _slot_of(self, atom: Atom) -> int | None:
        own = self.own
        run = own.board.runs[atom.run]
        start = atom.now.start - own.problem.zone_change
        fitting = (
            k
            for k, slot in enumerate(own.near.slots)
            if (slot.rig, slot.crew) == (run.rig, run.crew)
            and slot.start <= start
            and atom.now.end <= slot.end
        )
        return next(fitting, None)

    def _run(self, k: int) -> None:
        own = self.own
        atoms = self.in_slot.get(k, [])
        slot = own.near.slots[k]
        rig = own.problem.rigs[slot.rig]
        begin = stop = slot.start
        if atoms:
            lead = own.problem.zone_change + rig.start_up
            begin = min(atom.now.start for atom in atoms) - lead
            stop = max(atom.now.end for atom in atoms) + rig.clean_up
        own.model.add_hint(own.used[k], bool(atoms))
        own.model.add_hint(own.begin[k], begin)
        own.model.add_hint(own.stop[k], stop)
        own.model.add_hint(own.size[k], stop - begin)
        if slot.fixed is not None:
            own.model.add_hint(own.pos[k][slot.fixed], 1)
            own.model.add_hint(own.before[k], 0)
            own.model.add_hint(own.gone[k], 0)

    def _places(self, r: int) -> None:
        own = self.own
        stands: dict[int | None, int | None] = {}
        place = own.near.first_place[r]
        slots = own.rig_slots(r)
        last = max((k for k in slots if self.in_slot.get(k)), default=-1)
        for k in slots:
            if self.in_slot.get(k):
                place = self.in_slot[k][0].now.position
            gone = k > last and own.near.last_place[r] is None
            own.model.add_hint(own.before[k], place is None and not gone)
            own.model.add_hint(own.gone[k], gone)
            for p, here in own.pos[k].items():
                own.model.add_hint(here, p == place and not gone)
            stands[k] = None if gone else place
        for row in self.moves:
            if row.rig == r:
                self._move(row, stands)

    def _move(self, row: MoveRow, stands: dict[int | None, int | None]) -> None:
        own = self.own
        near = own.near
        was = near.first_place[row.rig] if row.one is None else stands[row.one]
        now = near.last_place[row.rig] if row.other is None else stands[row.other]
        is_moved = was is not None and now is not None and was != now
        move = next(
            (
                move
                for move in own.board.moves
                if (move.rig, move.origin, move.target) == (row.rig, was, now)
                and near.start <= move.start < near.end
            ),
            None,
        )
        own.model.add_hint(row.moved, is_moved)
        if is_moved and move is not None:
            own.model.add_hint(row.at, move.start)
        for c, chosen in row.by.items():
            own.model.add_hint(chosen, is_moved and move is not None and move.crew == c)


def read_change(own: Variables, moves: list[MoveRow], solver: cp_model.CpSolver) -> Change:
    """Return what an answer changes."""
    kept = {id(move) for move in own.near.kept.moves}
    return Change(
        old_runs=own.near.freed_runs,
        old_moves=tuple(move for move in own.board.moves if id(move) not in kept),
        new_runs=tuple(_runs(own, solver)),
        new_moves=tuple(move for row in moves if (move := _move(own, row, solver)) is not None),
    )


def _runs(own: Variables, solver: cp_model.CpSolver) -> list[DraftRun]:
    pieces: dict[int, list[tuple[Piece, Atom]]] = defaultdict(list)
    for a, atom in enumerate(own.near.atoms):
        k, p = next(key for key, here in own.choice[a].items() if solver.boolean_value(here))
        start = solver.value(own.start[a])
        end = start + solver.value(own.length[a])
        rig = own.near.slots[k].rig
        piece = Piece(atom.zone, atom.number, start, end, atom.volume, p, rig)
        pieces[k].append((piece, atom))
    found: list[DraftRun] = []
    for k in sorted(pieces):
        found += split_runs(own.board, own.near.slots[k], pieces[k])
    return found


def split_runs(board: Board, slot: Slot, pieces: list[tuple[Piece, Atom]]) -> list[DraftRun]:
    """Return the runs of one slot: one, or more where mixes change or gaps are too long."""
    groups: list[list[tuple[Piece, Atom]]] = []
    for row in sorted(pieces, key=lambda row: row[0].start):
        if groups and groups[-1][-1][1].mix == row[1].mix:
            groups[-1].append(row)
        else:
            groups.append([row])
    found: list[DraftRun] = []
    for group in groups:
        run = DraftRun(slot.rig, slot.crew, group[0][0].position, group[0][1].mix)
        found += regroup(board, run, [piece for piece, _ in group])
    return found


def _move(own: Variables, row: MoveRow, solver: cp_model.CpSolver) -> Move | None:
    if not solver.boolean_value(row.moved):
        return None
    near = own.near
    origin = near.first_place[row.rig] if row.one is None else _place(own, solver, row.one)
    target = near.last_place[row.rig] if row.other is None else _place(own, solver, row.other)
    if origin is None or target is None or origin == target:
        return None
    crew = next(c for c, chosen in row.by.items() if solver.boolean_value(chosen))
    start = solver.value(row.at)
    return Move(row.rig, crew, origin, target, start, start + row.length)


def _place(own: Variables, solver: cp_model.CpSolver, k: int) -> int | None:
    return next((p for p, here in own.pos[k].items() if solver.boolean_value(here)), None)
