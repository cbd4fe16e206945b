"""Rules between spells of an exact neighbourhood: order, gaps, zones apart, open times."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

from ortools.sat.python import cp_model

from planner.optimise.board import Piece
from planner.optimise.variables import Variables

Row = tuple[Piece, int | None]
"""A spell in time order: as it stands now, and its atom; None where it is kept."""


def add_spell_rules(own: Variables) -> None:
    """Add rules 10, 11 and 13 to a model."""
    rows, kept = _rows(own)
    for z in sorted(rows):
        _order(own, z, rows[z])
    for z, before in enumerate(own.problem.after):
        for u in before:
            if z in rows or u in rows:
                _after(own, rows.get(u, []), rows.get(z, []), kept[u], kept[z])
    touched = set(rows)
    _apart_at_work(own, touched)
    _apart_while_open(own, touched)


def _rows(own: Variables) -> tuple[dict[int, list[Row]], dict[int, list[Piece]]]:
    """Return each touched zone's spells in time order, and every zone's kept spells."""
    rows: dict[int, list[Row]] = defaultdict(list)
    kept: dict[int, list[Piece]] = defaultdict(list)
    for a, atom in enumerate(own.near.atoms):
        rows[atom.zone].append((atom.now, a))
    for run in own.near.kept.runs:
        for piece in run.pieces:
            kept[piece.zone].append(piece)
            if piece.zone in rows:
                rows[piece.zone].append((piece, None))
    for ordered in rows.values():
        ordered.sort(key=lambda row: row[0].start)
    return rows, kept


def _order(own: Variables, z: int, rows: list[Row]) -> None:
    """Rule 10: layers and pieces of one zone in order, with their gaps."""
    mix = next(own.near.atoms[a].mix for _, a in rows if a is not None)
    job = own.problem.jobs[z][mix]
    if rows[0][1] is not None:
        _first(own, z, rows[0][1], job.gap_min)
    for (one, a), (other, b) in pairwise(rows):
        if a is None and b is None:
            continue
        early = one.end if a is None else own.end[a]
        late = other.start if b is None else own.start[b]
        new_layer = one.number != other.number
        own.model.add(late >= early + (job.gap_min if new_layer else 0))
        if new_layer and job.gap_max is not None:
            own.model.add(late <= early + job.gap_max)


def _first(own: Variables, z: int, a: int, gap_min: int) -> None:
    """Rules 10 and 13: the first spell waits for progress, break-out and preparation."""
    problem = own.problem
    first_end = problem.first_end[z]
    if first_end is not None:
        layer = problem.jobs[z][own.near.atoms[a].mix].layers[0]
        own.model.add(own.start[a] >= first_end + (0 if layer.begun else gap_min))
    broken = own.board.broken[z]
    if broken is not None and first_end is None:
        own.model.add(own.start[a] >= broken + problem.prepare)
        if problem.max_open is not None:
            own.model.add(own.start[a] <= broken + problem.max_open)


def _after(
    own: Variables,
    before: list[Row],
    later: list[Row],
    kept_before: list[Piece],
    kept_later: list[Piece],
) -> None:
    """Rule 10: all of one zone ends before another starts."""
    ends = [own.end[a] for _, a in before if a is not None]
    starts = [own.start[a] for _, a in later if a is not None]
    last = max((piece.end for piece in kept_before), default=own.problem.start)
    for start in starts:
        own.model.add(start >= last)
        for end in ends:
            own.model.add(start >= end)
    if kept_later:
        first = min(piece.start for piece in kept_later)
        for end in ends:
            own.model.add(end <= first)


def _apart_at_work(own: Variables, touched: set[int]) -> None:
    """Rule 11, kind ``work``: no spell, zone change or break-out in both at once."""
    pairs = {(min(z, q), max(z, q)) for z in touched for q in own.problem.apart_work[z]}
    work = {z: _work(own, z) for pair in pairs for z in pair}
    for z, q in sorted(pairs):
        own.model.add_no_overlap([*work[z], *work[q]])


def _work(own: Variables, z: int) -> list[cp_model.IntervalVar]:
    change = own.problem.zone_change
    found = [
        own.model.new_interval_var(own.start[a] - change, own.length[a] + change, own.end[a], "")
        for a, atom in enumerate(own.near.atoms)
        if atom.zone == z
    ]
    fixed = [
        (piece.start - change, piece.end)
        for run in own.near.kept.runs
        for piece in run.pieces
        if piece.zone == z
    ]
    fixed += [(row.start, row.end) for row in own.near.kept.breaks if row.zone == z]
    found += [own.model.new_fixed_size_interval_var(a, b - a, "") for a, b in fixed]
    return found


def _apart_while_open(own: Variables, touched: set[int]) -> None:
    """Rule 11: zones never open together, and groups with a limit."""
    problem = own.problem
    pairs = {(min(z, q), max(z, q)) for z in touched for q in problem.apart_open[z]}
    groups = [(members, most) for members, most in problem.groups if touched & set(members)]
    wanted = {z for pair in pairs for z in pair} | {z for members, _ in groups for z in members}
    opens = {z: found for z in sorted(wanted) if (found := _open(own, z)) is not None}
    for z, q in sorted(pairs):
        if z in opens and q in opens:
            own.model.add_no_overlap([opens[z], opens[q]])
    for members, most in groups:
        inside = [opens[z] for z in members if z in opens]
        if len(inside) > most > 0:
            own.model.add_cumulative(inside, [1] * len(inside), most)


def _open(own: Variables, z: int) -> cp_model.IntervalVar | None:
    """Return the open time of a zone, or None where it is not open at all."""
    state = own.board.zones[z]
    if state.opened is None or state.closed is None:
        return None
    model = own.model
    mine = [a for a, atom in enumerate(own.near.atoms) if atom.zone == z]
    if not mine:
        return model.new_fixed_size_interval_var(state.opened, state.closed - state.opened, "")
    hold = own.problem.hold
    kept = [p for run in own.near.kept.runs for p in run.pieces if p.zone == z]
    top = max(own.near.horizon + hold, state.closed)
    opened = model.new_int_var(min(state.opened, own.near.start), own.near.horizon, "")
    closed = model.new_int_var(own.near.start, top, "")
    if _opened_before(own, z):
        model.add(opened == state.opened)
    else:
        model.add_min_equality(
            opened, [*(own.start[a] for a in mine), *(piece.start for piece in kept)]
        )
    model.add_max_equality(
        closed, [*(own.end[a] + hold for a in mine), *(piece.end + hold for piece in kept)]
    )
    size = model.new_int_var(0, top - min(state.opened, own.near.start), "")
    return model.new_interval_var(opened, size, closed, "")


def _opened_before(own: Variables, z: int) -> bool:
    """Return whether a zone's open time begins with something that is kept."""
    problem = own.problem
    state = own.board.zones[z]
    return (
        any(row.zone == z for row in own.near.kept.breaks)
        or problem.first_end[z] is not None
        or (state.opened or 0) <= problem.start
    )
