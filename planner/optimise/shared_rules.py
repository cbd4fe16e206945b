"""Rule 16 in an exact neighbourhood: never more of a resource in use than there is.

Each use of a thing takes its needs here, also where two runs use one position at the same
minute; the board counts that once.  Such a plan may be out of the model's sight, never wrong.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from planner.core.spans import Span, Spans
from planner.optimise.board import Piece, run_things
from planner.optimise.relocating import MoveRow
from planner.optimise.sharing import CREW, RIG, ZONE, Thing
from planner.optimise.variables import Variables


@dataclass
class _Rows:
    """Intervals and demands of each resource."""

    intervals: dict[int, list[cp_model.IntervalVar]] = field(
        default_factory=lambda: defaultdict(list)
    )
    demands: dict[int, list[int]] = field(default_factory=lambda: defaultdict(list))

    def add(self, interval: cp_model.IntervalVar, wanted: dict[int, int]) -> None:
        for resource, count in wanted.items():
            self.intervals[resource].append(interval)
            self.demands[resource].append(count)


def add_shared_rules(own: Variables, moves: list[MoveRow]) -> None:
    """Add rule 16 to a model."""
    needs = own.problem.needs
    if not needs:
        return
    rows = _Rows()
    for k in range(len(own.near.slots)):
        _slot(own, k, rows)
    for row in moves:
        _move(own, row, rows)
    for a in range(len(own.near.atoms)):
        _atom(own, a, rows)
    for thing, spans in _kept(own).items():
        for a, b in spans:
            rows.add(own.model.new_fixed_size_interval_var(a, b - a, ""), needs.wanted((thing,)))
    for resource, intervals in sorted(rows.intervals.items()):
        most = needs.numbers[resource]
        own.model.add_cumulative(intervals, rows.demands[resource], most)


def _slot(own: Variables, k: int, rows: _Rows) -> None:
    """Let a slot's run use its crew and rig, and the position that it stands at."""
    slot, needs, model = own.near.slots[k], own.problem.needs, own.model
    span = (own.begin[k], own.size[k], own.stop[k])
    always = needs.wanted(((CREW, slot.crew), (RIG, slot.rig)))
    if always:
        rows.add(model.new_optional_interval_var(*span, own.used[k], ""), always)
    for p, here in own.pos[k].items():
        wanted = needs.wanted(run_things(slot.crew, slot.rig, p)[2:])
        if wanted:
            both = model.new_bool_var("")
            model.add_bool_or([own.used[k].negated(), here.negated(), both])
            rows.add(model.new_optional_interval_var(*span, both, ""), wanted)


def _move(own: Variables, row: MoveRow, rows: _Rows) -> None:
    """Let a relocation use its rig, and its crew."""
    needs, model = own.problem.needs, own.model
    users: list[tuple[Thing, cp_model.IntVar]] = [((RIG, row.rig), row.moved)]
    users += [((CREW, c), chosen) for c, chosen in row.by.items() if c is not None]
    for thing, chosen in users:
        wanted = needs.wanted((thing,))
        if wanted:
            interval = model.new_optional_fixed_size_interval_var(row.at, row.length, chosen, "")
            rows.add(interval, wanted)


def _atom(own: Variables, a: int, rows: _Rows) -> None:
    """Let a spell use its zone: the zone change before it, and trimming after the last."""
    atom = own.near.atoms[a]
    wanted = own.problem.needs.wanted(((ZONE, atom.zone),))
    if wanted:
        change = own.problem.zone_change
        after = own.problem.jobs[atom.zone][atom.mix].finish if atom.ends_zone else 0
        broken = own.board.broken[atom.zone]
        if broken is not None and own.problem.prepare < change:
            rows.add(_behind_break_out(own, a, after, broken), wanted)
            return
        interval = own.model.new_interval_var(
            own.start[a] - change, own.length[a] + change + after, own.end[a] + after, ""
        )
        rows.add(interval, wanted)


def _behind_break_out(own: Variables, a: int, after: int, broken: int) -> cp_model.IntervalVar:
    """Return the use of a zone by a spell whose change may begin while it is broken out.

    The zone takes its needs once, so only what comes behind the break-out counts here.
    """
    model, top = own.model, own.near.horizon + after
    begin = model.new_int_var(broken, max(broken, own.near.horizon), "")
    model.add_max_equality(begin, [own.start[a] - own.problem.zone_change, broken])
    size = model.new_int_var(0, max(0, top - broken), "")
    return model.new_interval_var(begin, size, own.end[a] + after, "")


def _kept(own: Variables) -> dict[Thing, Spans]:
    """Return when what is kept uses each thing, near the neighbourhood."""
    kept = own.near.kept
    found: dict[Thing, list[Span]] = defaultdict(list)
    for run in kept.runs:
        for thing in run_things(run.crew, run.rig, run.position):
            found[thing].append((run.start, run.end))
        for piece in run.pieces:
            found[ZONE, piece.zone].append(_use(own, piece, run.mix))
    for move in kept.moves:
        found[RIG, move.rig].append((move.start, move.end))
        if move.crew is not None:
            found[CREW, move.crew].append((move.start, move.end))
    for row in kept.breaks:
        found[CREW, row.crew].append((row.start, row.end))
        found[ZONE, row.zone].append((row.start, row.end))
    near = own.near
    return {
        thing: Spans(span for span in spans if span[0] < near.horizon and span[1] > near.start)
        for thing, spans in found.items()
        if own.problem.needs.of.get(thing)
    }


def _use(own: Variables, piece: Piece, mix: int) -> Span:
    """Return when a kept spell uses its zone."""
    last = own.board.done_end(piece.zone) == piece.end
    after = own.problem.jobs[piece.zone][mix].finish if last else 0
    return piece.start - own.problem.zone_change, piece.end + after
