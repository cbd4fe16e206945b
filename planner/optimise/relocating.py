"""Relocations of an exact neighbourhood: between which slots, when, by whom, to where."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from planner.core.spans import Spans
from planner.optimise.variables import Variables


@dataclass(frozen=True, slots=True)
class MoveRow:
    """The variables of one possible relocation, between two slots or the kept work.

    ``one`` and ``other`` are slots; None stands for the kept work before, or after.
    """

    rig: int
    one: int | None
    other: int | None
    moved: cp_model.IntVar
    at: cp_model.IntVar
    length: int
    by: dict[int | None, cp_model.IntVar]


def add_relocations(own: Variables) -> list[MoveRow]:
    """Add rules 5, 6 and 7 for rigs, crews and positions; return the possible relocations."""
    rows: list[MoveRow] = []
    for r in own.near.rigs:
        slots = own.rig_slots(r)
        if not slots or (len(own.places[r]) <= 1 and _stays_put(own, r)):
            continue
        pairs: list[tuple[int | None, int | None]] = [(None, slots[0]), *pairwise(slots)]
        rows += [_relocation(own, r, one, other) for one, other in [*pairs, (slots[-1], None)]]
    for runs in (*own.by_rig.values(), *own.by_crew.values()):
        own.model.add_no_overlap(runs)
    _keep_room_for_rigs(own)
    return rows


def _stays_put(own: Variables, r: int) -> bool:
    ends = (own.near.first_place[r], own.near.last_place[r])
    return all(place is None or place in own.places[r] for place in ends)


def _relocation(own: Variables, r: int, one: int | None, other: int | None) -> MoveRow:
    model, near = own.model, own.near
    places = own.places[r]
    length = max((own.problem.moves[r, a, b] for a in places for b in places), default=0)
    moved = model.new_bool_var("")
    _say_when(own, r, one, other, moved)
    low = near.start if one is None else near.slots[one].start
    high = near.end if other is None else near.slots[other].end
    at = model.new_int_var(low, max(low, high), "")
    own.by_rig[r].append(model.new_optional_fixed_size_interval_var(at, length, moved, ""))
    if one is not None:
        model.add(at >= own.stop[one]).only_enforce_if(moved, own.used[one])
    if other is not None:
        model.add(at + length <= own.begin[other]).only_enforce_if(moved, own.used[other])
    by: dict[int | None, cp_model.IntVar] = {}
    for c, starts in _movers(own, r, low, high, length):
        by[c] = model.new_bool_var("")
        model.add_linear_expression_in_domain(at, starts).only_enforce_if(by[c])
        if c is not None:
            own.by_crew[c].append(
                model.new_optional_fixed_size_interval_var(at, length, by[c], "")
            )
    model.add_exactly_one([*by.values(), moved.negated()])
    return MoveRow(r, one, other, moved, at, length, by)


def _say_when(
    own: Variables, r: int, one: int | None, other: int | None, moved: cp_model.IntVar
) -> None:
    """Say that a relocation happens exactly when the rig stands elsewhere afterwards."""
    model = own.model
    was = _stand(own, r, one, own.near.first_place[r])
    now = _stand(own, r, other, own.near.last_place[r])
    if not was or not now:
        model.add(moved == 0)
        return
    free = [] if one is None else [own.before[one]]
    for p in own.places[r]:
        model.add_bool_or([now[p].negated(), was[p], moved, *free])
        model.add_bool_or([was[p].negated(), now[p].negated(), moved.negated()])
    if one is not None:
        model.add_implication(own.before[one], moved.negated())
    if other is not None:
        model.add_implication(own.gone[other], moved.negated())
        model.add_implication(own.before[other], moved.negated())


def _stand(own: Variables, r: int, k: int | None, fixed: int | None) -> dict[int, cp_model.IntVar]:
    if k is not None:
        return own.pos[k]
    if fixed is None:
        return {}
    return {p: own.model.new_constant(int(p == fixed)) for p in own.places[r]}


def _movers(
    own: Variables, r: int, low: int, high: int, length: int
) -> list[tuple[int | None, cp_model.Domain]]:
    """Return who could move a rig, and when: the gang, or crews of its process."""
    problem = own.problem
    room = _room(own, r).clip(low, high)
    if problem.gang is not None:
        shifts = [(a, b) for a, b in problem.gang if a < high and b > low]
        return _domain(None, Spans(pair for a, b in shifts for pair in room.clip(a, b)), length)
    found = []
    process = problem.rigs[r].rig.process
    for c, crew in enumerate(problem.crews):
        if not crew.sprays or (crew.crew.processes and process not in crew.crew.processes):
            continue
        pieces = Spans((a, b) for a, b, _ in crew.pieces if a < high and b > low)
        if any(a2 == b1 for (_, b1), (a2, _) in pairwise(sorted(p[:2] for p in crew.pieces))):
            pieces = Spans((a, b - 1) for a, b, _ in crew.pieces if a < high and b > low)
        found += _domain(c, (pieces - Spans(own.kept_hours(c))) & room, length)
    return found


def _room(own: Variables, r: int) -> Spans:
    """Return when a rig may be under way between any two of its places."""
    rooms = list(dict.fromkeys(own.problem.room[r, p] for p in own.places[r]))
    found = rooms[0]
    for other in rooms[1:]:
        found &= other
    return found


def _domain(c: int | None, spans: Spans, length: int) -> list[tuple[int | None, cp_model.Domain]]:
    starts = [[a, b - length] for a, b in spans if b - a >= length]
    return [(c, cp_model.Domain.from_intervals(starts))] if starts else []


def _keep_room_for_rigs(own: Variables) -> None:
    """Rule 7: never more rigs at a position than it holds."""
    _beside_kept_rigs(own)
    latest: dict[int, int] = {}
    stretch = [(k, slot) for k, slot in enumerate(own.near.slots) if slot.fixed is None]
    for k, slot in stretch:
        for r, other in latest.items():
            if r != slot.rig:
                _not_together(own, k, other)
        latest[slot.rig] = k
    for r in own.near.rigs:
        place, mine = own.near.first_place[r], own.rig_slots(r)
        if place is None or not mine or own.problem.campaign.positions[place].rigs_max > 1:
            continue
        first = own.near.slots[mine[0]].start
        for k, slot in stretch:
            if slot.rig != r and slot.start < first and place in own.pos[k]:
                own.model.add(own.pos[k][place] == 0)


def _not_together(own: Variables, k: int, other: int) -> None:
    for p in set(own.pos[k]) & set(own.pos[other]):
        if own.problem.campaign.positions[p].rigs_max <= 1:
            own.model.add(own.pos[k][p] + own.pos[other][p] <= 1)


def _beside_kept_rigs(own: Variables) -> None:
    for k, slot in enumerate(own.near.slots):
        for p, here in own.pos[k].items() if slot.fixed is None else ():
            kept = sum(
                hold.rig not in own.near.rigs
                and hold.since < slot.end
                and (hold.until is None or hold.until > slot.start)
                and hold.until != hold.since
                for hold in own.board.holds[p]
            )
            if kept >= own.problem.campaign.positions[p].rigs_max:
                own.model.add(here == 0)
