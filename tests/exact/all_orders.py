"""Every order of a handful of single-layer zones on one rig, tried one by one.

The plainest oracle there is, to hold the exact method against: zones are taken in every order,
from every position that reaches, each going on with the run or starting a new one, always as
early as possible.  As nothing has a greatest gap (no idle_max either), that is best.  Times are
whole minutes; there is no grid and no solver.
"""

from dataclasses import dataclass, replace
from itertools import permutations, product

Span = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A zone: minutes of its spell, its windows, and the positions that reach it."""

    spell: int
    windows: tuple[Span, ...]
    reached_from: frozenset[int]
    ready: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Puzzle:
    """One rig and one crew: shifts, times of the rig, pairs that are kept apart."""

    patches: tuple[Patch, ...]
    shifts: tuple[Span, ...]
    start_up: int
    clean_up: int
    change: int
    move: int
    apart: frozenset[tuple[int, int]] = frozenset()
    after: frozenset[tuple[int, int]] = frozenset()
    hold: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """Where the rig is: when it is free, where, in which shift its run is, what was sprayed."""

    free: int = 0
    place: int | None = None
    shift: int | None = None
    sprayed: tuple[tuple[int, int, int], ...] = ()
    moves: int = 0


def least_finish(puzzle: Puzzle) -> tuple[int, int] | None:
    """Return the earliest finish [min] and, for it, the fewest moves; None where nothing fits."""
    count = len(puzzle.patches)
    best: tuple[int, int] | None = None
    for order in permutations(range(count)):
        for places in product(*(sorted(puzzle.patches[z].reached_from) for z in order)):
            for goes_on in product((False, True), repeat=count - 1):
                now: Now | None = Now()
                for zone, place, same in zip(order, places, (False, *goes_on), strict=True):
                    now = _sprayed(puzzle, now, zone, place, same_run=same) if now else None
                if now is not None:
                    finish = max(end for _, _, end in now.sprayed)
                    best = min(best or (finish, now.moves), (finish, now.moves))
    return best


def _sprayed(puzzle: Puzzle, now: Now, zone: int, place: int, *, same_run: bool) -> Now | None:
    """Return what is after spraying one more zone, as early as can be."""
    if any((below, zone) in puzzle.after for below in _left(puzzle, now)):
        return None
    if same_run:
        return _going_on(puzzle, now, zone) if place == now.place else None
    free = now.free
    if now.shift is not None:
        free += puzzle.clean_up
    moves = now.moves
    if now.place not in {None, place}:
        found = [max(free, a) for a, b in puzzle.shifts if max(free, a) + puzzle.move <= b]
        if not found:
            return None
        free, moves = min(found) + puzzle.move, moves + 1
    return _new_run(puzzle, replace(now, free=free, place=place, moves=moves), zone)


def _left(puzzle: Puzzle, now: Now) -> set[int]:
    return set(range(len(puzzle.patches))) - {z for z, _, _ in now.sprayed}


def _new_run(puzzle: Puzzle, now: Now, zone: int) -> Now | None:
    for number, (opens, shuts) in enumerate(puzzle.shifts):
        first = max(now.free, opens) + puzzle.start_up
        start = _earliest(puzzle, now, zone, first, shuts - puzzle.clean_up)
        if start is not None:
            return _after(puzzle, replace(now, shift=number), zone, start)
    return None


def _going_on(puzzle: Puzzle, now: Now, zone: int) -> Now | None:
    if now.shift is None:
        return None
    shuts = puzzle.shifts[now.shift][1]
    start = _earliest(puzzle, now, zone, now.free, shuts - puzzle.clean_up)
    if start is None:
        return None
    return _after(puzzle, now, zone, start)


def _earliest(puzzle: Puzzle, now: Now, zone: int, first: int, last: int) -> int | None:
    """Return the earliest start of the zone change."""
    patch = puzzle.patches[zone]
    first = max(first, patch.ready - puzzle.change)
    for other, _, end in now.sprayed:
        if (min(zone, other), max(zone, other)) in puzzle.apart:
            first = max(first, end + puzzle.hold - puzzle.change)
    length = puzzle.change + patch.spell
    starts = [
        max(first, a)
        for a, b in patch.windows
        if max(first, a) + length <= b and max(first, a) + length <= last
    ]
    return min(starts, default=None)


def _after(puzzle: Puzzle, now: Now, zone: int, start: int) -> Now:
    spray = start + puzzle.change
    end = spray + puzzle.patches[zone].spell
    return replace(now, free=end, sprayed=(*now.sprayed, (zone, spray, end)))
