r"""An exact neighbourhood in CP-SAT: slots, positions and starts of freed spells, to the minute.

Variables.  For each slot :math:`k`: whether it is used, where its rig stands (one position, or
not yet set up, or gone), run start and end.  For each atom :math:`a`: start, length, and one
choice of (slot, position).  For each pair of neighbouring slots of a rig: whether it is
relocated between them, when and by whom.

Constraints are those of the contract, each built by the function named for it; what the kept
work fixes enters as constants.  Idle limits inside a run, duties and weeks are left to the
decoder of the answer: it splits runs at long gaps, and the replay refuses the rest.

The objective weighs the latest end, relocations, shifts used, and the sum of length times the slot's
hour (work pulled forward leaves the last windows empty).
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from planner.core.rounding import up
from planner.core.spans import Spans
from planner.optimise.board import FOREVER, Board, DraftRun, Move, Piece
from planner.optimise.freeing import Atom, Neighbourhood, Slot
from planner.optimise.problem import Problem
from planner.optimise.replay import Script
from planner.optimise.strip import regroup
from planner.optimise.solving import Limits, solve

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

MINUTES = 60.0


@dataclass(frozen=True, slots=True)
class Aim:
    """What an exact neighbourhood minimises, and the latest end it may use.

    Attributes
    ----------
    end
        Weight of the latest end [per min].
    move, shift
        Weight of a relocation and of a crew's shift used.
    flow
        Weight of length times the hour of its slot.
    latest
        No spell ends later [min].
    """

    end: int = 1000
    move: int = 200
    shift: int = 0
    flow: int = 1
    latest: int = FOREVER


@dataclass(frozen=True, slots=True)
class Change:
    """Runs and relocations that an answer takes out of a plan, and what it puts in."""

    old_runs: tuple[DraftRun, ...]
    old_moves: tuple[Move, ...]
    new_runs: tuple[DraftRun, ...]
    new_moves: tuple[Move, ...]

    def on(self, board: Board, banned: frozenset[int]) -> Script | None:
        """Return the plan's script with the change made; None where the old is not there."""
        runs = {id(run) for run in board.runs}
        moves = {id(move) for move in board.moves}
        old_runs = {id(run) for run in self.old_runs}
        old_moves = {id(move) for move in self.old_moves}
        if not (old_runs <= runs and old_moves <= moves):
            return None
        return Script(
            runs=[*(run for run in board.runs if id(run) not in old_runs), *self.new_runs],
            moves=[*(m for m in board.moves if id(m) not in old_moves), *self.new_moves],
            breaks=list(board.breaks),
            banned=banned,
        )


@dataclass(frozen=True, slots=True)
class MoveRow:
    """The variables of one possible relocation, between two slots or the kept work."""

    rig: int
    one: int | None
    other: int | None
    moved: cp_model.IntVar
    at: cp_model.IntVar
    length: int
    by: dict[int | None, cp_model.IntVar]


class Repack:
    """The model of one neighbourhood."""

    def __init__(self, board: Board, near: Neighbourhood, places: dict[int, list[int]]) -> None:
        from ortools.sat.python import cp_model as cp  # noqa: PLC0415 - heavy

        self.cp = cp
        self.model = cp.CpModel()
        self.board = board
        self.near = near
        self.problem: Problem = near.problem
        self.places = places
        self.low = near.start
        self.high = near.end
        self._slots()
        self._atoms()
        self._one_place_each()
        self._zone_order()
        self._apart()
        self._moves()
        self._standing()

    # -- slots -----------------------------------------------------------------------------

    def _slots(self) -> None:
        model = self.model
        self.used, self.begin, self.stop, self.size = [], [], [], []
        self.by_rig: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        self.by_crew: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        self.pos: list[dict[int, cp_model.IntVar]] = []
        self.before: list[cp_model.IntVar] = []
        self.gone: list[cp_model.IntVar] = []
        for k, slot in enumerate(self.near.slots):
            used = model.new_bool_var(f"used{k}")
            begin = model.new_int_var(slot.start, slot.end, f"begin{k}")
            stop = model.new_int_var(slot.start, slot.end, f"stop{k}")
            duty = self.problem.crews[slot.crew].crew.duty_max_min
            longest = slot.end - slot.start
            size = model.new_int_var(0, longest if duty is None else min(longest, duty), "")
            self.size.append(size)
            run = model.new_optional_interval_var(begin, size, stop, used, "")
            self.by_rig[slot.rig].append(run)
            self.by_crew[slot.crew].append(run)
            self.used.append(used)
            self.begin.append(begin)
            self.stop.append(stop)
            self.pos.append({p: model.new_bool_var("") for p in self.places[slot.rig]})
            self.before.append(model.new_bool_var(""))
            self.gone.append(model.new_bool_var(""))
            model.add_exactly_one(self.before[k], self.gone[k], *self.pos[k].values())
            model.add_bool_and(self.before[k].negated(), self.gone[k].negated()).only_enforce_if(
                used
            )
        self._rooms()
        self._hours()

    def _rooms(self) -> None:
        """Rule 5: a run lies where rig and position are open; the longest such stretch."""
        for k, slot in enumerate(self.near.slots):
            for p, here in self.pos[k].items():
                spans = self.problem.room[slot.rig, p].clip(slot.start, slot.end)
                if spans.covers(slot.start, slot.end):
                    continue
                if not spans:
                    self.model.add_implication(here, self.used[k].negated())
                    continue
                low, high = max(spans, key=lambda span: span[1] - span[0])
                self.model.add(self.begin[k] >= low).only_enforce_if(here, self.used[k])
                self.model.add(self.stop[k] <= high).only_enforce_if(here, self.used[k])

    def _hours(self) -> None:
        """Rule 15, as far as runs go: duties, rests and weeks of each crew."""
        for c, crew in enumerate(self.problem.crews):
            mine = [k for k, slot in enumerate(self.near.slots) if slot.crew == c]
            if crew.crew.duty_max_min is not None:
                for one, other in pairwise(mine):
                    self._duty(one, other, crew.crew.duty_max_min, crew.crew.rest_min_min or 0)
            if crew.crew.week_max_min is not None:
                self._week(c, mine, crew.crew.week_max_min)

    def _duty(self, one: int, other: int, duty: int, rest: int) -> None:
        slots = self.near.slots
        both = (self.used[one], self.used[other])
        if slots[one].piece_start == slots[other].piece_start:
            self.model.add(self.stop[other] - self.begin[one] <= duty).only_enforce_if(*both)
        elif slots[other].start - slots[one].end < rest:
            self.model.add(self.begin[other] - self.stop[one] >= rest).only_enforce_if(*both)

    def _week(self, c: int, mine: list[int], most: int) -> None:
        weeks: dict[int, list[int]] = defaultdict(list)
        for k in mine:
            weeks[self.board.week(self.near.slots[k].start)].append(k)
        kept = self._kept_hours(c)
        for week in sorted(weeks):
            fixed = sum(b - a for a, b in kept if self.board.week(a) == week)
            parts = []
            for k in weeks[week]:
                part = self.model.new_int_var(0, self.near.slots[k].end, "")
                self.model.add(part >= self.size[k]).only_enforce_if(self.used[k])
                parts.append(part)
            self.model.add(sum(parts) <= max(0, most - fixed))

    def _rig_slots(self, r: int) -> list[int]:
        return [k for k, slot in enumerate(self.near.slots) if slot.rig == r]

    # -- atoms -----------------------------------------------------------------------------

    def _atoms(self) -> None:
        model = self.model
        self.start, self.length, self.end = [], [], []
        self.choice: list[dict[tuple[int, int], cp_model.IntVar]] = []
        in_slot: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        change = self.problem.zone_change
        for a, atom in enumerate(self.near.atoms):
            ways = self._ways(atom)
            lengths = sorted({minutes for _, _, minutes, _ in ways}) or [1]
            start = model.new_int_var(self.low, self.high, f"start{a}")
            length = model.new_int_var_from_domain(self.cp.Domain.from_values(lengths), "")
            end = model.new_int_var(self.low, self.high, "")
            model.add(end == start + length)
            self.start.append(start)
            self.length.append(length)
            self.end.append(end)
            chosen: dict[tuple[int, int], cp_model.IntVar] = {}
            for k, p, minutes, domain in ways:
                here = model.new_bool_var("")
                chosen[k, p] = here
                model.add_implication(here, self.pos[k][p])
                model.add_implication(here, self.used[k])
                model.add_linear_expression_in_domain(start, domain).only_enforce_if(here)
                model.add(length == minutes).only_enforce_if(here)
                rig = self.problem.rigs[self.near.slots[k].rig]
                lead = change + rig.start_up
                model.add(self.begin[k] <= start - lead).only_enforce_if(here)
                model.add(self.stop[k] >= end + rig.clean_up).only_enforce_if(here)
                in_slot[k].append(
                    model.new_optional_fixed_size_interval_var(
                        start - change, change + minutes, here, ""
                    )
                )
            model.add_exactly_one(chosen.values())
            self.choice.append(chosen)
        for runs in in_slot.values():
            model.add_no_overlap(runs)
        for k in range(len(self.near.slots)):
            here = [x for chosen in self.choice for (s, _), x in chosen.items() if s == k]
            model.add_bool_or(here).only_enforce_if(self.used[k]) if here else model.add(
                self.used[k] == 0
            )

    def _ways(self, atom: Atom) -> list[tuple[int, int, int, cp_model.Domain]]:
        """Return (slot, position, minutes, starts) of every place an atom may go to."""
        problem = self.problem
        job = problem.jobs[atom.zone][atom.mix]
        orientation = problem.zones[atom.zone].orientation
        if atom.ends_layer:
            spans = job.last if atom.ends_zone else job.mid
        else:
            spans = job.mid
        found = []
        cut: dict[tuple[int, int], Spans] = {}
        for k, slot in enumerate(self.near.slots):
            if (atom.mix, orientation) not in problem.crews[slot.crew].can:
                continue
            low = self._crew_from(slot, atom)
            if low is None:
                continue
            for p in self.places[slot.rig]:
                way = problem.way_of.get((atom.zone, atom.mix, slot.rig, p))
                if way is None:
                    continue
                minutes = up(MINUTES * atom.volume / way.rate)
                if minutes < problem.spell_min and not self._whole(atom):
                    continue
                key = (slot.start, slot.end)
                if key not in cut:
                    cut[key] = spans.clip(slot.start, slot.end)
                rig = problem.rigs[slot.rig]
                first = max(low, slot.start + rig.start_up + problem.zone_change)
                last = slot.end - rig.clean_up - minutes
                starts = [
                    [max(x, first), min(y - minutes, last)]
                    for x, y in cut[key]
                    if max(x, first) <= min(y - minutes, last)
                ]
                if starts:
                    found.append((k, p, minutes, self.cp.Domain.from_intervals(starts)))
        return found

    def _whole(self, atom: Atom) -> bool:
        layer = self.problem.jobs[atom.zone][atom.mix].layers[atom.layer]
        return abs(layer.volume_m3 - atom.volume) < 1e-6  # noqa: PLR2004 - cubic centimetres

    def _crew_from(self, slot: Slot, atom: Atom) -> int | None:
        """Return from when a crew's panels allow a spell (rule 12); None: never."""
        problem = self.problem
        if not problem.panel_wait:
            return problem.start
        key = (slot.crew, atom.mix, problem.zones[atom.zone].orientation)
        made = self.board.panels.get(key)
        return None if made is None else made + problem.panel_wait

    def _one_place_each(self) -> None:
        """Keep a rig's states in order: not yet set up, standing, gone."""
        model = self.model
        for r in self.near.rigs:
            slots = self._rig_slots(r)
            if not slots:
                continue
            if self.near.first_place[r] is not None:
                model.add(self.before[slots[0]] == 0)
            if self.near.last_place[r] is not None:
                model.add(self.gone[slots[-1]] == 0)
            for one, other in zip(slots, slots[1:], strict=False):
                model.add_implication(self.before[other], self.before[one])
                model.add_implication(self.gone[one], self.gone[other])
                if self.near.slots[other].start < self.near.slots[one].end:
                    model.add(self.stop[one] <= self.begin[other]).only_enforce_if(
                        self.used[one], self.used[other]
                    )

    # -- rules between spells ------------------------------------------------------------------

    def _zone_order(self) -> None:
        """Rules 10 and 13: layers and pieces in order with their gaps, zones after zones."""
        problem = self.problem
        mine: dict[int, list[int]] = defaultdict(list)
        for a, atom in enumerate(self.near.atoms):
            mine[atom.zone].append(a)
        freed = {id(atom.now) for atom in self.near.atoms}
        rows: dict[int, list[tuple[Piece, int | None]]] = defaultdict(list)
        for a, atom in enumerate(self.near.atoms):
            rows[atom.zone].append((atom.now, a))
        kept: dict[int, list[Piece]] = defaultdict(list)
        for run in self.near.kept.runs:
            for piece in run.pieces:
                kept[piece.zone].append(piece)
                if piece.zone in mine and id(piece) not in freed:
                    rows[piece.zone].append((piece, None))
        for z in sorted(rows):
            job = problem.jobs[z][self.near.atoms[mine[z][0]].mix]
            ordered = sorted(rows[z], key=lambda row: row[0].start)
            self._first(z, ordered[0][1], job.gap_min)
            for (one, a), (other, b) in zip(ordered, ordered[1:], strict=False):
                new_layer = one.number != other.number
                gap = job.gap_min if new_layer else 0
                early = self.end[a] if a is not None else one.end
                late = self.start[b] if b is not None else other.start
                if a is None and b is None:
                    continue
                self.model.add(late >= early + gap)
                if new_layer and job.gap_max is not None:
                    self.model.add(late <= early + job.gap_max)
        for z in range(len(problem.zones)):
            for u in problem.after[z]:
                if z in mine or u in mine:
                    self._after(z, u, rows, kept)

    def _first(self, z: int, a: int | None, gap_min: int) -> None:
        problem = self.problem
        if a is None:
            return
        first_end = problem.first_end[z]
        layer = problem.jobs[z][self.near.atoms[a].mix].layers[0]
        if first_end is not None:
            self.model.add(self.start[a] >= first_end + (0 if layer.begun else gap_min))
        broken = self.board.broken[z]
        if broken is not None and first_end is None:
            self.model.add(self.start[a] >= broken + problem.prepare)
            if problem.max_open is not None:
                self.model.add(self.start[a] <= broken + problem.max_open)

    def _after(
        self,
        z: int,
        u: int,
        rows: dict[int, list[tuple[Piece, int | None]]],
        kept: dict[int, list[Piece]],
    ) -> None:
        """Rule 10: all of ``u`` ends before ``z`` starts."""
        ends = [self.end[a] for _, a in rows.get(u, ()) if a is not None]
        starts = [self.start[a] for _, a in rows.get(z, ()) if a is not None]
        fixed_end = max((piece.end for piece in kept.get(u, ())), default=None)
        fixed_start = min((piece.start for piece in kept.get(z, ())), default=None)
        for start in starts:
            if fixed_end is not None:
                self.model.add(start >= fixed_end)
            for end in ends:
                self.model.add(start >= end)
        if fixed_start is not None:
            for end in ends:
                self.model.add(end <= fixed_start)

    def _apart(self) -> None:
        """Rule 11: zones kept apart at work or while open, and groups with a limit."""
        problem = self.problem
        work: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        change = problem.zone_change
        touched = {atom.zone for atom in self.near.atoms}
        for z in touched | {q for z in touched for q in problem.apart_work[z]}:
            if not problem.apart_work[z]:
                continue
            for a, atom in enumerate(self.near.atoms):
                if atom.zone == z:
                    size = self.length[a] + change
                    work[z].append(
                        self.model.new_interval_var(self.start[a] - change, size, self.end[a], "")
                    )
            for low, high in self._kept_work(z):
                work[z].append(self.model.new_fixed_size_interval_var(low, high - low, ""))
        for z in sorted(work):
            for q in problem.apart_work[z]:
                if z < q or q not in touched:
                    self.model.add_no_overlap([*work[z], *work[q]])
        self._open_times(touched)

    def _kept_work(self, z: int) -> list[tuple[int, int]]:
        change = self.problem.zone_change
        found = [
            (piece.start - change, piece.end)
            for run in self.near.kept.runs
            for piece in run.pieces
            if piece.zone == z
        ]
        return found + [(row.start, row.end) for row in self.near.kept.breaks if row.zone == z]

    def _open_times(self, touched: set[int]) -> None:
        problem = self.problem
        opens: dict[int, cp_model.IntervalVar] = {}
        wanted = {
            z
            for z in touched
            if problem.apart_open[z] or any(z in members for members, _ in problem.groups)
        }
        wanted |= {q for z in wanted for q in problem.apart_open[z]}
        wanted |= {q for members, _ in problem.groups if touched & set(members) for q in members}
        for z in sorted(wanted):
            found = self._open_interval(z)
            if found is not None:
                opens[z] = found
        for z in sorted(opens):
            for q in problem.apart_open[z]:
                if z < q and q in opens and (z in touched or q in touched):
                    self.model.add_no_overlap([opens[z], opens[q]])
        for members, most in problem.groups:
            inside = [opens[z] for z in members if z in opens]
            if touched & set(members) and len(inside) > most > 0:
                self.model.add_cumulative(inside, [1] * len(inside), most)

    def _open_interval(self, z: int) -> cp_model.IntervalVar | None:
        state = self.board.zones[z]
        if state.opened is None or state.closed is None:
            return None
        mine = [a for a, atom in enumerate(self.near.atoms) if atom.zone == z]
        if not mine:
            size = state.closed - state.opened
            return self.model.new_fixed_size_interval_var(state.opened, size, "")
        hold = self.problem.hold
        top = self.high + hold
        opened = self.model.new_int_var(min(state.opened, self.low), self.high, "")
        closed = self.model.new_int_var(self.low, max(top, state.closed), "")
        size = self.model.new_int_var(0, max(top, state.closed), "")
        fixed = [row.start for row in self.near.kept.breaks if row.zone == z]
        kept = [p for run in self.near.kept.runs for p in run.pieces if p.zone == z]
        if fixed or self.problem.first_end[z] is not None or state.opened <= self.problem.start:
            self.model.add(opened == state.opened)
        else:
            starts = [self.start[a] for a in mine]
            self.model.add_min_equality(opened, [*starts, *(piece.start for piece in kept)])
        ends = [self.end[a] + hold for a in mine]
        self.model.add_max_equality(closed, [*ends, *(piece.end + hold for piece in kept)])
        return self.model.new_interval_var(opened, size, closed, "")

    # -- relocations -----------------------------------------------------------------------

    def _moves(self) -> None:
        """Rule 6: between two slots at different positions the rig is relocated, by somebody."""
        self.moved: list[cp_model.IntVar] = []
        self.move_rows: list[MoveRow] = []
        for r in self.near.rigs:
            slots = self._rig_slots(r)
            if len(self.places[r]) <= 1 and self._stays_put(r):
                continue
            length = max(
                (
                    self.problem.moves[r, a, b]
                    for a in self.places[r]
                    for b in self.places[r]
                    if a != b
                ),
                default=0,
            )
            if not slots:
                continue
            self._move(r, None, slots[0], length)
            for one, other in zip(slots, slots[1:], strict=False):
                self._move(r, one, other, length)
            self._move(r, slots[-1], None, length)
        for runs in (*self.by_rig.values(), *self.by_crew.values()):
            self.model.add_no_overlap(runs)

    def _stays_put(self, r: int) -> bool:
        only = set(self.places[r])
        first, last = self.near.first_place[r], self.near.last_place[r]
        return (first is None or first in only) and (last is None or last in only)

    def _move(self, r: int, one: int | None, other: int | None, length: int) -> None:
        """Relocate between two slots; None stands for the kept work before or after."""
        model = self.model
        moved = model.new_bool_var("")
        self._when_moved(r, one, other, moved)
        self.moved.append(moved)
        low = self.near.start if one is None else self.near.slots[one].start
        high = self.near.end if other is None else self.near.slots[other].end
        at = model.new_int_var(low, max(low, high), "")
        self.by_rig[r].append(model.new_optional_fixed_size_interval_var(at, length, moved, ""))
        if one is not None:
            model.add(at >= self.stop[one]).only_enforce_if(moved, self.used[one])
        if other is not None:
            model.add(at + length <= self.begin[other]).only_enforce_if(moved, self.used[other])
        by: dict[int | None, cp_model.IntVar] = {}
        for c, domain in self._movers(r, low, high, length):
            chosen = model.new_bool_var("")
            model.add_linear_expression_in_domain(at, domain).only_enforce_if(chosen)
            if c is not None:
                self.by_crew[c].append(
                    model.new_optional_fixed_size_interval_var(at, length, chosen, "")
                )
            by[c] = chosen
        model.add_exactly_one([*by.values(), moved.negated()])
        self.move_rows.append(MoveRow(r, one, other, moved, at, length, by))

    def _when_moved(
        self, r: int, one: int | None, other: int | None, moved: cp_model.IntVar
    ) -> None:
        """Say that a relocation happens exactly when the rig stands elsewhere afterwards."""
        model = self.model
        was = self._stand(r, one, self.near.first_place[r])
        now = self._stand(r, other, self.near.last_place[r])
        free = [] if one is None else [self.before[one]]
        if not was or not now:
            model.add(moved == 0)
            return
        for p in self.places[r]:
            model.add_bool_or(now[p].negated(), was[p], moved, *free)
            model.add_bool_or(was[p].negated(), now[p].negated(), moved.negated())
        if one is not None:
            model.add_implication(self.before[one], moved.negated())
        if other is not None:
            model.add_implication(self.gone[other], moved.negated())
            model.add_implication(self.before[other], moved.negated())

    def _stand(self, r: int, k: int | None, fixed: int | None) -> dict[int, cp_model.IntVar]:
        if k is not None:
            return self.pos[k]
        if fixed is None:
            return {}
        return {p: self.model.new_constant(int(p == fixed)) for p in self.places[r]}

    def _movers(
        self, r: int, low: int, high: int, length: int
    ) -> list[tuple[int | None, cp_model.Domain]]:
        problem = self.problem
        room = problem.room[r, self.places[r][0]]
        for p in self.places[r][1:]:
            other = problem.room[r, p]
            room = room if room == other else room & other
        room = room.clip(low, high)
        if problem.gang is not None:
            spans = Spans(
                pair for a, b in problem.gang if a < high and b > low for pair in room.clip(a, b)
            )
            return self._domain(None, spans, length)
        found = []
        process = problem.rigs[r].rig.process
        for c, crew in enumerate(problem.crews):
            if not crew.sprays or (crew.crew.processes and process not in crew.crew.processes):
                continue
            busy = Spans(self._kept_hours(c))
            pairs = [
                pair
                for a, b, _ in crew.pieces
                if a < high and b > low
                for span in (Spans.whole(a, b) - busy)
                for pair in room.clip(*span)
            ]
            found += self._domain(c, Spans(pairs), length)
        return found

    def _domain(
        self, c: int | None, spans: Spans, length: int
    ) -> list[tuple[int | None, cp_model.Domain]]:
        starts = [[a, b - length] for a, b in spans if b - a >= length]
        return [(c, self.cp.Domain.from_intervals(starts))] if starts else []

    def _kept_hours(self, c: int) -> list[tuple[int, int]]:
        found = [(run.start, run.end) for run in self.near.kept.runs if run.crew == c]
        return found + [(m.start, m.end) for m in self.near.kept.moves if m.crew == c]

    def _standing(self) -> None:
        """Rule 7: never more rigs at a position than it holds."""
        slots = self.near.slots
        for k, slot in enumerate(slots):
            for p in self.places[slot.rig]:
                most = self.problem.campaign.positions[p].rigs_max
                kept = sum(
                    hold.rig not in self.near.rigs
                    and hold.since < slot.end
                    and (hold.until is None or hold.until > slot.start)
                    and hold.until != hold.since
                    for hold in self.board.holds[p]
                )
                if kept >= most:
                    self.model.add(self.pos[k][p] == 0)
        latest: dict[int, int] = {}
        for k, slot in enumerate(slots):
            for r, other in latest.items():
                if r == slot.rig:
                    continue
                for p in set(self.places[slot.rig]) & set(self.places[r]):
                    if self.problem.campaign.positions[p].rigs_max <= 1:
                        self.model.add(self.pos[k][p] + self.pos[other][p] <= 1)
            latest[slot.rig] = k
        for r in self.near.rigs:
            place = self.near.first_place[r]
            if place is None or self.problem.campaign.positions[place].rigs_max > 1:
                continue
            mine = self._rig_slots(r)
            if not mine:
                continue
            for k, slot in enumerate(slots):
                if slot.rig != r and slot.start < slots[mine[0]].start and place in self.pos[k]:
                    self.model.add(self.pos[k][place] == 0)

    # -- solving -----------------------------------------------------------------------------

    def hint(self) -> None:
        """Give the plan as it stands as a start: every variable that a choice hangs on."""
        in_slot: dict[int, list[Atom]] = defaultdict(list)
        for a, atom in enumerate(self.near.atoms):
            k_now = self._slot_now(atom)
            self.model.add_hint(self.start[a], atom.now.start)
            self.model.add_hint(self.end[a], atom.now.end)
            self.model.add_hint(self.length[a], atom.now.end - atom.now.start)
            for (k, p), here in self.choice[a].items():
                self.model.add_hint(here, k == k_now and p == atom.now.position)
            if k_now is not None:
                in_slot[k_now].append(atom)
        for k in range(len(self.near.slots)):
            self._hint_run(k, in_slot.get(k, []))
        for r in self.near.rigs:
            self._hint_places(r, in_slot)

    def _slot_now(self, atom: Atom) -> int | None:
        run = self.board.runs[atom.run]
        lead = self.problem.zone_change
        for k, slot in enumerate(self.near.slots):
            if slot.rig == run.rig and slot.crew == run.crew:
                if slot.start <= atom.now.start - lead and atom.now.end <= slot.end:
                    return k
        return None

    def _hint_run(self, k: int, atoms: list[Atom]) -> None:
        slot = self.near.slots[k]
        rig = self.problem.rigs[slot.rig]
        self.model.add_hint(self.used[k], bool(atoms))
        begin = stop = slot.start
        if atoms:
            lead = self.problem.zone_change + rig.start_up
            begin = min(atom.now.start for atom in atoms) - lead
            stop = max(atom.now.end for atom in atoms) + rig.clean_up
        self.model.add_hint(self.begin[k], begin)
        self.model.add_hint(self.stop[k], stop)
        self.model.add_hint(self.size[k], stop - begin)

    def _hint_places(self, r: int, in_slot: dict[int, list[Atom]]) -> None:
        slots = self._rig_slots(r)
        used = [k for k in slots if in_slot.get(k)]
        place = self.near.first_place[r]
        last = used[-1] if used else -1
        places: list[int | None] = []
        for k in slots:
            if in_slot.get(k):
                place = in_slot[k][0].now.position
            later = self.near.last_place[r]
            gone = k > last and later is None
            before = place is None and not gone
            self.model.add_hint(self.before[k], before)
            self.model.add_hint(self.gone[k], gone)
            for p, here in self.pos[k].items():
                self.model.add_hint(here, p == place and not gone)
            places.append(None if gone else place)
        freed = [move for move in self.board.moves if move.rig == r]
        for row in self.move_rows:
            if row.rig != r:
                continue
            one, other = row.one, row.other
            moved, at, by = row.moved, row.at, row.by
            was = self.near.first_place[r] if one is None else places[slots.index(one)]
            now = self.near.last_place[r] if other is None else places[slots.index(other)]
            move = next((m for m in freed if m.origin == was and m.target == now), None)
            is_moved = was is not None and now is not None and was != now
            self.model.add_hint(moved, is_moved)
            if is_moved and move is not None:
                self.model.add_hint(at, move.start)
            for c, chosen in by.items():
                self.model.add_hint(chosen, is_moved and move is not None and move.crew == c)

    def solve(self, aim: Aim, limits: Limits) -> Change | None:
        """Return the change that the best answer found makes, or None if there is none."""
        cp, model = self.cp, self.model
        latest = model.new_int_var(self.low, self.high, "latest")
        for end in self.end:
            model.add(latest >= end)
            if aim.latest < self.high:
                model.add(end <= aim.latest)
        flow = sum(
            self._early(a, k) * here
            for a, chosen in enumerate(self.choice)
            for (k, _), here in chosen.items()
        )
        terms = [aim.end * latest, aim.flow * flow]
        terms += [aim.move * moved for moved in self.moved]
        terms += [aim.shift * used for used in self.used]
        model.minimize(sum(terms))
        self.hint()
        solver, status = solve(model, limits)
        self.deterministic_s = solver.response_proto.deterministic_time
        self.status = solver.status_name(status)
        if status not in (cp.OPTIMAL, cp.FEASIBLE):
            return None
        return self._change(solver)

    def _early(self, a: int, k: int) -> int:
        """Return the weight of an atom in a slot: its length times the slot's hour."""
        now = self.near.atoms[a].now
        return max(1, (now.end - now.start) // 5) * ((self.near.slots[k].start - self.low) // 60)

    def _change(self, solver: cp_model.CpSolver) -> Change:
        kept = {id(move) for move in self.near.kept.moves}
        return Change(
            old_runs=self.near.freed_runs,
            old_moves=tuple(move for move in self.board.moves if id(move) not in kept),
            new_runs=tuple(self._runs(solver)),
            new_moves=tuple(self._read_moves(solver)),
        )

    def _place(self, solver: cp_model.CpSolver, k: int) -> int | None:
        return next((p for p, here in self.pos[k].items() if solver.boolean_value(here)), None)

    def _runs(self, solver: cp_model.CpSolver) -> list[DraftRun]:
        pieces: dict[int, list[tuple[Piece, Atom]]] = defaultdict(list)
        for a, atom in enumerate(self.near.atoms):
            k, p = next(key for key, here in self.choice[a].items() if solver.boolean_value(here))
            start = solver.value(self.start[a])
            end = start + solver.value(self.length[a])
            slot = self.near.slots[k]
            pieces[k].append(
                (Piece(atom.zone, atom.number, start, end, atom.volume, p, slot.rig), atom)
            )
        found: list[DraftRun] = []
        for k in sorted(pieces):
            found += split_runs(self.board, self.near.slots[k], pieces[k])
        return found

    def _read_moves(self, solver: cp_model.CpSolver) -> list[Move]:
        found = []
        for row in self.move_rows:
            if not solver.boolean_value(row.moved):
                continue
            near = self.near
            one, other = row.one, row.other
            origin = near.first_place[row.rig] if one is None else self._place(solver, one)
            target = near.last_place[row.rig] if other is None else self._place(solver, other)
            if origin is None or target is None or origin == target:
                continue
            crew = next(c for c, chosen in row.by.items() if solver.boolean_value(chosen))
            start = solver.value(row.at)
            found.append(Move(row.rig, crew, origin, target, start, start + row.length))
        return found


def split_runs(board: Board, slot: Slot, pieces: list[tuple[Piece, Atom]]) -> list[DraftRun]:
    """Return the runs of one slot: one, or more where mixes change or gaps are too long."""
    rows = sorted(pieces, key=lambda row: row[0].start)
    groups: list[list[tuple[Piece, Atom]]] = []
    for row in rows:
        if groups and groups[-1][-1][1].mix == row[1].mix:
            groups[-1].append(row)
        else:
            groups.append([row])
    found: list[DraftRun] = []
    for group in groups:
        run = DraftRun(slot.rig, slot.crew, group[0][0].position, group[0][1].mix)
        found += regroup(board, run, [piece for piece, _ in group])
    return found
