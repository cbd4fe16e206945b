"""Capacity of some rigs inside a band of minutes: windows, shifts, duties and weeks together."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import accumulate, pairwise

from planner.core.spans import Spans
from planner.optimise.bounds.cells import Team
from planner.optimise.bounds.work import Work, count_steps
from planner.optimise.problem import DAY, Problem

LONGEST_BLOCK = 36 * 60


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch with the most minutes of work that its crews can put into it."""

    start: int
    end: int
    most: int
    week: int


class Curve:
    """Most minutes of zone work before a minute, as a rising function of that minute.

    At each minute at most the lesser of rigs and crews work; in a block (shifts that hang
    together) each crew at most one duty per piece; in a week each crew at most its hours less
    start-up and clean-up of the runs they take.  Work after Monday 00:00 in a piece that
    began on Sunday may count to either week, so it is in no week's limit.

    Parameters
    ----------
    steps
        ``(start, end, count)`` in time order: how many can work at once.
    blocks
        Blocks in time order that together hold every step.
    week_most
        Limit of each week number; weeks that are not in it have none.
    """

    def __init__(
        self,
        steps: Sequence[tuple[int, int, int]],
        blocks: Sequence[Block] = (),
        week_most: dict[int, int] | None = None,
    ) -> None:
        self.starts = [start for start, _, _ in steps]
        self.ends = [end for _, end, _ in steps]
        self.counts = [count for _, _, count in steps]
        self.prefix = [0, *accumulate((end - start) * count for start, end, count in steps)]
        self.blocks = blocks
        self.week_most = week_most or {}
        self.block_starts = [block.start for block in blocks]
        self._sum_blocks()

    def _sum_blocks(self) -> None:
        """Work out, before each block, what earlier weeks and this week's blocks hold."""
        self.earlier: list[int] = []
        self.in_week: list[int] = []
        done = this_week = 0
        week = None
        for block in self.blocks:
            if block.week != week:
                done += self._week(week, this_week)
                this_week = 0
                week = block.week
            self.earlier.append(done)
            self.in_week.append(this_week)
            this_week += min(block.most, self._raw(block.end) - self._raw(block.start))

    def _week(self, week: int | None, minutes: int) -> int:
        if week is None or week not in self.week_most:
            return minutes
        return min(minutes, self.week_most[week])

    def _raw(self, minute: int) -> int:
        k = bisect_right(self.starts, minute)
        if k == 0:
            return 0
        rest = max(0, self.ends[k - 1] - minute)
        return self.prefix[k] - rest * self.counts[k - 1]

    def before(self, minute: int) -> int:
        """Return the most minutes of work before a minute [min]."""
        if not self.blocks:
            return self._raw(minute)
        k = bisect_right(self.block_starts, minute) - 1
        if k < 0:
            return 0
        block = self.blocks[k]
        inside = min(block.most, self._raw(min(minute, block.end)) - self._raw(block.start))
        return self.earlier[k] + self._week(block.week, self.in_week[k] + inside)


@dataclass(frozen=True)
class Row:
    """Hours that some teams and rigs share: what they spray together is bounded by a curve."""

    teams: frozenset[int]
    rigs: frozenset[int]
    curve: Curve


def rows_of(work: Work, teams: Sequence[Team]) -> tuple[Row, ...]:
    """Return the rows of hours of a campaign: each team, each rig, each process, and all.

    Each holds for every valid plan: what a set of crews sprays with a set of rigs is at most what
    those crews and rigs can spray.
    """
    problem = work.problem
    everyone = frozenset(range(len(teams)))
    whole = Spans([p for spans in dict.fromkeys(t.spans for t in work.tasks) for p in spans])
    of_teams = [
        Row(frozenset({t}), frozenset(team.rigs), _curve(work, team.rigs, team.crews, whole))
        for t, team in enumerate(teams)
    ]
    of_rigs = [
        Row(everyone, frozenset(rigs), rig_curve(work, rigs, whole)) for rigs in rig_sets(problem)
    ]
    return (*of_teams, *of_rigs)


def rig_sets(problem: Problem) -> list[tuple[int, ...]]:
    """Return the sets of rigs to write rows for: each rig, each process, all together last."""
    sets: list[tuple[int, ...]] = [(r,) for r in range(len(problem.rigs))]
    processes = sorted({rig.rig.process for rig in problem.rigs})
    sets += [
        tuple(r for r, rig in enumerate(problem.rigs) if rig.rig.process == process)
        for process in processes
    ]
    sets.append(tuple(range(len(problem.rigs))))
    return sorted(set(sets), key=lambda rigs: (len(rigs), rigs))


def rig_curve(work: Work, rigs: tuple[int, ...], band: Spans) -> Curve:
    """Return the capacity curve of some rigs inside a band, whichever crews work them."""
    return _curve(work, rigs, work.crews_of(rigs), band)


def _curve(work: Work, rigs: tuple[int, ...], crews: tuple[int, ...], band: Spans) -> Curve:
    problem = work.problem
    if not crews:
        return Curve([])
    machines = count_steps([work.rig_time[r] & band for r in rigs])
    hours = {c: _crew_hours(work, c, band) for c in crews}
    people = count_steps([Spans((a, b) for a, b, _, _ in hours[c]) for c in crews])
    steps = _least(machines, people)
    if all(
        problem.crews[c].crew.week_max_min is None and problem.crews[c].crew.duty_max_min is None
        for c in crews
    ):
        return Curve(steps)
    blocks = _blocks(work, crews, hours)
    return Curve(steps, blocks, _weeks(work, crews, hours))


def _crew_hours(work: Work, c: int, band: Spans) -> list[tuple[int, int, int, int]]:
    """Return ``(start, end, piece, most)``: a crew's minutes in a band, and its piece's limit."""
    crew = work.problem.crews[c]
    first, last = work.overhead(c)
    found = []
    for number, (a, b, _) in enumerate(crew.pieces):
        inside = band.clip(max(a + first, work.first_spray[c]), b - last)
        most = inside.minutes()
        if crew.crew.duty_max_min is not None:
            duty = max(crew.crew.duty_max_min, b - a - (crew.crew.rest_min_min or 0))
            most = min(most, duty - first - last)
        found += [(start, end, number, max(0, most)) for start, end in inside]
    return found


def _blocks(
    work: Work, crews: tuple[int, ...], hours: dict[int, list[tuple[int, int, int, int]]]
) -> list[Block]:
    mondays = _mondays(work)
    pieces = [
        (work.problem.crews[c].pieces[number][0], work.problem.crews[c].pieces[number][1], most)
        for c in crews
        for number, most in sorted({(n, m) for _, _, n, m in hours[c]})
    ]
    joined: list[list[int]] = []
    for start, end, most in sorted(pieces):
        if joined and start < joined[-1][1]:
            joined[-1][1] = max(joined[-1][1], end)
            joined[-1][2] += most
        else:
            joined.append([start, end, most])
    found = []
    for start, end, most in joined:
        free = end - start > LONGEST_BLOCK
        cuts = [start, *(m for m in mondays if start < m < end), end]
        for a, b in pairwise(cuts):
            week = bisect_right(mondays, a)
            found.append(Block(a, b, 1 << 60 if free else most, -1 if a != start else week))
    return found


def _weeks(
    work: Work, crews: tuple[int, ...], hours: dict[int, list[tuple[int, int, int, int]]]
) -> dict[int, int]:
    mondays = _mondays(work)
    found: dict[int, int] = {}
    for week in range(len(mondays) + 1):
        total = 0
        for c in crews:
            pieces = work.problem.crews[c].pieces
            rows = {n: m for _, _, n, m in hours[c] if bisect_right(mondays, pieces[n][0]) == week}
            total += _week_minutes(work, c, rows)
        found[week] = total
    return found


def _week_minutes(work: Work, c: int, rows: dict[int, int]) -> int:
    """Return the most zone minutes of a crew's week: every run costs start-up and clean-up."""
    crew = work.problem.crews[c].crew
    total = sum(rows.values())
    if crew.week_max_min is None or not rows:
        return total
    first, last = work.overhead(c)
    best = used = 0
    for runs, most in enumerate(sorted(rows.values(), reverse=True), start=1):
        used += most
        best = max(best, min(used, crew.week_max_min - runs * (first + last)))
    return min(total, max(0, best))


def _mondays(work: Work) -> list[int]:
    clock = work.problem.campaign.clock
    day = clock.first_day + timedelta(days=(7 - clock.first_day.weekday()) % 7)
    found = []
    while clock.day_start(day) < clock.horizon_min + DAY:
        found.append(clock.day_start(day))
        day += timedelta(days=7)
    return found


def _least(
    one: list[tuple[int, int, int]], other: list[tuple[int, int, int]]
) -> list[tuple[int, int, int]]:
    found = []
    i = j = 0
    while i < len(one) and j < len(other):
        start = max(one[i][0], other[j][0])
        end = min(one[i][1], other[j][1])
        if start < end:
            found.append((start, end, min(one[i][2], other[j][2])))
        if one[i][1] < other[j][1]:
            i += 1
        else:
            j += 1
    return found
