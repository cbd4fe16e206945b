"""Draft one run: which spells, in which order, inside one stretch of shift, rig and position.

Greedy with a score: nested windows round low water reward zones that close soon, long spells
first, little waiting.  The exact models later shift what greed leaves on the table.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.core.rounding import up
from planner.optimise.bands import Band, bands_of, inner_bands
from planner.optimise.board import FOREVER, Board, DraftRun, Piece, run_things, spans_from
from planner.optimise.guide import Guide
from planner.optimise.problem import Job, Problem, Way
from planner.optimise.sharing import ZONE, Thing

MINUTES = 60.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where a run must lie: crew, rig, position, mix and the minutes free for all of them."""

    crew: int
    rig: int
    position: int
    mix: int
    start: int
    end: int

    def things(self, board: Board, z: int) -> tuple[Thing, ...]:
        """Return what takes resources while a zone is sprayed in such a run; none: no limit."""
        if not board.problem.needs:
            return ()
        return (*run_things(self.crew, self.rig, self.position), (ZONE, z))


@dataclass(slots=True)
class _Choice:
    """A spell that could come next."""

    score: float
    way: Way
    start: int
    end: int
    volume: float
    ends_layer: bool
    close: int
    change: int


def live_ways(board: Board, guide: Guide, key: tuple[int, int, int]) -> list[Way]:
    """Return the ways at a (rig, position, mix) whose zones are not complete yet."""
    pair = key[:2]
    return [
        way
        for way in board.problem.at.get(key, ())
        if way.zone not in guide.banned
        and way.zone not in board.dead
        and not board.is_done(way.zone)
        and (way.zone not in guide.share or pair in guide.share[way.zone])
    ]


def draft_run(board: Board, guide: Guide, where: Stretch) -> DraftRun | None:
    """Return the best run greed finds inside a stretch, already on the board, or None.

    The caller commits it or takes it back.
    """
    problem = board.problem
    rig = problem.rigs[where.rig]
    crew = problem.crews[where.crew]
    draft = DraftRun(where.rig, where.crew, where.position, where.mix)
    ways = [
        way
        for way in live_ways(board, guide, (where.rig, where.position, where.mix))
        if crew.may((where.mix, problem.zones[way.zone].orientation), where.start)
    ]
    if not ways:
        return None
    cursor = where.start + rig.start_up
    limit = where.end - rig.clean_up
    while True:
        choice = _next(board, guide, where, draft, ways, cursor, limit)
        if choice is None:
            break
        first = not draft.pieces
        if first:
            begin = choice.start - problem.zone_change - rig.start_up
            limit = min(limit, board.duty_end(where.crew, begin) - rig.clean_up)
            if choice.end > limit:
                trimmed = _next(board, guide, where, draft, ways, cursor, limit)
                if trimmed is None:
                    break
                choice = trimmed
        way = choice.way
        number = problem.jobs[way.zone][way.mix].layers[board.zones[way.zone].layer].number
        piece = Piece(
            way.zone, number, choice.start, choice.end, choice.volume, where.position, where.rig
        )
        board.spray(draft, piece, where.mix, ends_layer=choice.ends_layer)
        cursor = choice.end
        if board.is_done(way.zone):
            ways = [other for other in ways if other.zone != way.zone]
    if not draft.pieces:
        return None
    draft.start = draft.pieces[0].start - problem.zone_change - rig.start_up
    draft.end = draft.pieces[-1].end + rig.clean_up
    return draft


def _next(
    board: Board,
    guide: Guide,
    where: Stretch,
    draft: DraftRun,
    ways: list[Way],
    cursor: int,
    limit: int,
) -> _Choice | None:
    problem = board.problem
    rig = problem.rigs[where.rig]
    horizon = limit
    if draft.pieces:
        longest = guide.weights.split_wait + problem.zone_change
        if rig.idle_max is not None:
            longest = min(longest, rig.idle_max)
        horizon = min(limit, cursor + longest)
    choices: list[_Choice] = []
    board.drafted += len(ways)
    bands = bands_of(board, where.mix, ways, cursor, limit) if guide.weights.inner > 0 else ()
    for way in ways:
        choice = _try(board, guide, where, way, cursor, horizon, limit)
        if choice is None:
            continue
        if bands:
            choice = _spare(board, guide, choice, bands, cursor, limit)
        choices.append(choice)
    if not choices:
        return None
    if guide.weights.fill and draft.pieces:
        filled = _fullest(choices, cursor + problem.zone_change, limit)
        if filled is not None:
            return filled
    return min(choices, key=lambda choice: choice.score)


def _spare(
    board: Board, guide: Guide, choice: _Choice, bands: tuple[Band, ...], cursor: int, limit: int
) -> _Choice:
    """Return a spell with what it takes from narrower windows in its score, cut short if it may.

    A zone of a wide window can be sprayed before and after low water; what it sprays while a
    narrow window is open is lost to the zones that have no other time.
    """
    problem = board.problem
    way = choice.way
    inner = inner_bands(bands, problem.jobs[way.zone][way.mix].mid, choice.start, limit)
    loss = max((band.lost(choice.end) - band.lost(cursor) for band in inner), default=0)
    if loss <= 0:
        return choice
    keep = min(band.end - min(band.need, band.end - band.start) for band in inner)
    minutes = keep - choice.start
    rest = choice.end - keep
    floor = problem.spell_min
    if problem.zones[way.zone].joint_allowed and minutes >= floor and rest >= floor:
        weights = guide.weights
        choice.score += weights.length * rest + weights.close * rest
        choice.end = keep
        choice.volume = minutes * way.rate / MINUTES
        choice.ends_layer = False
        return choice
    choice.score += guide.weights.inner * loss
    return choice


def _fullest(choices: list[_Choice], start: int, limit: int) -> _Choice | None:
    """Return a spell of the set that fills the rest of a run fullest, or None if that is moot.

    Only where every spell could start at once, stays possible to the end of the run, and is
    whole: then the rest of the run is a subset-sum of lengths, each with its zone change, which
    bit sets solve exactly.  The longest spell of the fullest set comes next; among equals the
    one with the better score.
    """
    room = limit - start
    if any(
        choice.start != start or not choice.ends_layer or choice.close < limit
        for choice in choices
    ):
        return None
    change = choices[0].change
    rows = sorted(choices, key=lambda choice: (choice.start - choice.end, choice.score))
    sizes = [choice.end - choice.start + change for choice in rows]
    if sum(sizes) <= room + change:
        return None
    mask = (1 << (room + change + 1)) - 1
    sums = [1]
    for size in reversed(sizes):
        sums.append((sums[-1] | (sums[-1] << size)) & mask)
    sums.reverse()
    fullest = sums[0].bit_length() - 1
    for choice, size, without in zip(rows, sizes, sums[1:], strict=True):
        if size <= fullest and (without >> (fullest - size)) & 1:
            return choice
    return None


def _try(
    board: Board, guide: Guide, where: Stretch, way: Way, cursor: int, horizon: int, limit: int
) -> _Choice | None:
    problem = board.problem
    z = way.zone
    state = board.zones[z]
    if state.mix not in (-1, where.mix) or state.closed is not None:
        return None
    at = board.earliest(z, where.mix)
    if at is None:
        return None
    job = problem.jobs[z][where.mix]
    at = max(at, cursor + problem.zone_change)
    if problem.panel_wait:
        panel = board.panels.get((where.crew, where.mix, problem.zones[z].orientation))
        if panel is None:
            return None
        at = max(at, panel + problem.panel_wait)
    if state.opened is None:
        opening = board.opening(z, at)
        if opening is None:
            return None
        at = opening
    latest = board.latest(z, where.mix)
    if latest < FOREVER and at > latest:
        board.dead.add(z)
        return None
    placed = _place(board, way, job, at, min(horizon, latest), limit, where.things(board, z))
    if placed is None:
        return None
    start, end, volume, ends_layer, room = placed
    weights = guide.weights
    score = (
        weights.wait * (start - cursor)
        + weights.close * room
        - weights.length * (end - start)
        + guide.keys[z]
    )
    if state.end is not None:
        score -= weights.begun
    if weights.priority:
        score += weights.priority * (problem.zones[z].priority - 1)
    if latest < FOREVER:
        score -= max(0.0, 4000.0 - (latest - start))
    due = problem.zones[z].due_min
    if weights.due and due is not None:
        score -= weights.due * max(0.0, 10_000.0 - (due - start)) / 10_000.0
    return _Choice(score, way, start, end, volume, ends_layer, end + room, problem.zone_change)


def _place(
    board: Board,
    way: Way,
    job: Job,
    at: int,
    horizon: int,
    limit: int,
    things: tuple[Thing, ...],
) -> tuple[int, int, float, bool, int] | None:
    """Return start, end, volume, whether the layer ends, and room left, of the next spell."""
    problem = board.problem
    z = way.zone
    state = board.zones[z]
    layer = state.layer
    need = way.minutes[layer] if state.whole else up(MINUTES * state.left / way.rate)
    if not state.whole and need < problem.spell_min:
        return None
    volume = job.layers[layer].volume_m3 if state.whole else state.left
    spans = job.spans(layer)
    after = job.finish if layer == len(job.layers) - 1 else 0
    change = problem.zone_change
    starts, ends = spans.starts, spans.ends
    for k in range(spans_from(spans, at), len(starts)):
        start = max(at, starts[k])
        if start > horizon:
            break
        if problem.apart_work[z] or things:
            start = change + board.clear_of(
                z, start - change, need + change, things=things, after=after
            )
            if start > horizon:
                break
        close = min(ends[k], limit)
        if start + need <= close:
            return start, start + need, volume, True, close - start - need
    if not problem.zones[z].joint_allowed:
        return None
    return _part(board, way, job, at, horizon, limit, need, things)


def _part(
    board: Board,
    way: Way,
    job: Job,
    at: int,
    horizon: int,
    limit: int,
    need: int,
    things: tuple[Thing, ...],
) -> tuple[int, int, float, bool, int] | None:
    """Return a spell that places part of a layer, leaving a piece that is long enough."""
    problem: Problem = board.problem
    floor = problem.spell_min
    most = need - floor
    if most < floor:
        return None
    z = way.zone
    change = problem.zone_change
    starts, ends = job.mid.starts, job.mid.ends
    for k in range(spans_from(job.mid, at), len(starts)):
        start = max(at, starts[k])
        if start > horizon:
            return None
        minutes = min(ends[k], limit) - start
        if problem.apart_work[z] or things:
            start = board.clear_of(z, start - change, floor + change, things=things) + change
            minutes = min(ends[k], limit) - start
            clear = board.clear_of(z, start - change, minutes + change, things=things)
            if clear + change != start:
                minutes = floor
        if minutes >= floor:
            minutes = min(minutes, most)
            return start, start + minutes, minutes * way.rate / MINUTES, False, 0
    return None
