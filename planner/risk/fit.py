"""How a piece of work would go in a shift, for many runs at once."""

from __future__ import annotations

from dataclasses import dataclass
from threading import Lock

import numpy as np

from planner.access.curve import Floats
from planner.risk.calendar import Calendar, Room, Stint
from planner.risk.chance import Draws
from planner.risk.programme import Kind
from planner.risk.state import NEVER, NOWHERE, Bools, Ints, Layout, State
from planner.risk.surge import TrueWindows


@dataclass(frozen=True, kw_only=True)
class Visit:
    """A crew in one of its shifts with a rig; rig None: a crew that breaks out."""

    stint: Stint
    crew: int
    rig: int | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Fit:
    """How items would go in the first room that takes them; an entry for each run asked about.

    Attributes
    ----------
    ok
        Whether the item can be begun, as far as the site can know.
    start, stop
        Spraying could begin then, and must end then by water, shift and hours of duty [min].
    planned_stop, stretch
        ``stop`` if the water came as predicted, and if the crew stays longer [min].
    fresh
        Whether it takes a new run, with its start-up.
    """

    ok: Bools
    start: Floats
    stop: Floats
    planned_stop: Floats
    stretch: Floats
    fresh: Bools

    @classmethod
    def nothing(cls, count: int) -> Fit:
        """Return fits for items that go nowhere."""
        return cls(
            ok=np.zeros(count, dtype=bool),
            start=np.full(count, NEVER),
            stop=np.full(count, -NEVER),
            planned_stop=np.full(count, -NEVER),
            stretch=np.full(count, -NEVER),
            fresh=np.ones(count, dtype=bool),
        )

    def put(self, rows: Ints, other: Fit, picked: Ints | Bools) -> None:
        """Write the picked entries of another fit into some rows of this one."""
        for name in ("ok", "start", "stop", "planned_stop", "stretch", "fresh"):
            getattr(self, name)[rows] = getattr(other, name)[picked]

    def of(self, rows: Bools) -> Fit:
        """Return some entries."""
        names = ("ok", "start", "stop", "planned_stop", "stretch", "fresh")
        return Fit(**{name: getattr(self, name)[rows] for name in names})


_FROM, _TO, _OPEN, _SPRAY_FROM, _SPRAY_TO, _CLOSE, _WAY_IN, _WAY_OUT = range(8)
HALF_DECIMAL = 5e-7
"""Times are rounded up after six decimals [min]."""
_LATEST_MIN = 240.0  # no overtime is longer (inputs.KEYS)
_EMPTY = (NEVER, -NEVER, NEVER, NEVER, -NEVER, -NEVER, 0.0, 0.0)


class Board:
    """The rooms of items in one visit's shift as arrays; rows are made when first asked for."""

    def __init__(self, calendar: Calendar, stint: Stint, rig: int | None, may: Bools) -> None:
        self._calendar = calendar
        self._stint = stint
        self._rig = None if rig is None else calendar.campaign.rigs[rig].rig_id
        self._rows: list[tuple[Room, ...]] = [()]
        self._lock = Lock()
        self.may = may
        self.row_of: Ints = np.full(may.size, NOWHERE, dtype=np.intp)
        self.times: Floats = np.empty((0, 0, 0))
        self.window: Ints = np.empty((0, 0), dtype=np.intp)
        self.day: Ints = np.empty((0, 0), dtype=np.intp)
        self.count: Ints = np.zeros(1, dtype=np.intp)
        self.numbers: tuple[int, ...] = ()

    def know(self, items: Ints) -> None:
        """Make the rows of some items, where they are not there yet."""
        new = items[self.row_of[items] == NOWHERE]
        if not new.size:
            return
        with self._lock:
            row_of = self.row_of.copy()
            for item in np.unique(new):
                if row_of[item] == NOWHERE:
                    rooms = self._calendar.rooms(int(item), self._rig, self._stint)
                    row_of[item] = len(self._rows) if rooms else 0
                    if rooms:
                        self._rows.append(rooms)
            self._fill()
            self.row_of = row_of
            self.may &= row_of != 0

    def _fill(self) -> None:
        rows = self._rows
        most = max(len(row) for row in rows)
        if self.window.shape[0] == len(rows):
            return
        times = np.empty((8, len(rows), most))
        times[:] = np.array(_EMPTY)[:, None, None]
        window = np.full((len(rows), most), NOWHERE, dtype=np.intp)
        day = np.zeros((len(rows), most), dtype=np.intp)
        for k, row in enumerate(rows):
            for j, room in enumerate(row):
                times[:, k, j] = (
                    room.from_min,
                    room.to_min,
                    room.open_min,
                    room.spray_from_min,
                    room.spray_to_min,
                    room.close_min,
                    room.way_in_min,
                    room.way_out_min,
                )
                window[k, j] = room.window
                day[k, j] = room.day
        self.times, self.window, self.day = times, window, day
        self.count = np.array([len(row) for row in rows])
        self.numbers = tuple({room.window for row in rows for room in row} - {NOWHERE})


class Boards:
    """Every board of a calendar, shared by all blocks of runs."""

    def __init__(self, calendar: Calendar, layout: Layout) -> None:
        self._calendar = calendar
        self._layout = layout
        self._boards: dict[tuple[int, int | None], Board] = {}

    def of(self, visit: Visit) -> Board:
        """Return the board of a visit.

        Its ``may`` tells which items the crew may do, that are not planned later, and that have
        a room as far as is known; it has one entry more, for no item.
        """
        key = (visit.stint.index, visit.rig)
        found = self._boards.get(key)
        if found is None:
            layout = self._layout
            mine = layout.crew == visit.crew
            since = np.where(mine, layout.release, self._calendar.takeover_min)
            may = layout.allowed[visit.crew] & (since < visit.stint.end_min + _LATEST_MIN)
            found = Board(self._calendar, visit.stint, visit.rig, np.append(may, False))
            found = self._boards.setdefault(key, found)
        return found


@dataclass(frozen=True, kw_only=True, eq=False)
class Asked:
    """Items that are asked about, an entry each, with one room each (rows of ``times``).

    ``numbers`` are the windows that occur.
    """

    runs: Ints
    items: Ints
    ready: Floats
    times: Floats
    window: Ints
    day: Ints
    numbers: tuple[int, ...]


class Fitter:
    """Works out how items would go, with what the site knows and with what really comes."""

    def __init__(
        self,
        layout: Layout,
        boards: Boards,
        calendar: Calendar,
        draws: Draws,
        state: State,
        *,
        overtime_min: float,
    ) -> None:
        self._layout = layout
        self._boards = boards
        self._calendar = calendar
        self._draws = draws
        self._state = state
        self._overtime_min = overtime_min
        self._rules = calendar.campaign.rules
        self._rigs = calendar.campaign.rigs
        self._crews = calendar.campaign.crews
        self.water = None if draws.residual_m is None else TrueWindows(calendar, draws.residual_m)
        self._has_panels = layout.has_panels
        self._any_wet = bool(draws.wet.any())

    def fit(self, visit: Visit, runs: Ints, items: Ints) -> tuple[Fit, bool]:
        """Return how items would go, and whether any waits for what is not done yet."""
        fit = Fit.nothing(runs.size)
        board = self._boards.of(visit)
        board.know(items)
        place = board.row_of[items]
        ready = self._ready(runs, items, visit.crew)
        waits = bool((ready == NEVER).any())
        some = np.flatnonzero((place > 0) & (ready < visit.stint.end_min + self._overtime_min))
        if not some.size:
            return fit, waits
        for k in range(int(board.count[place[some]].max())):
            asked = Asked(
                runs=runs[some],
                items=items[some],
                ready=ready[some],
                times=board.times[:, place[some], k],
                window=board.window[place[some], k],
                day=board.day[place[some], k],
                numbers=board.numbers,
            )
            part = self._fit_room(visit, asked)
            fit.put(some[part.ok], part, part.ok)
            some = some[~part.ok]
            if not some.size:
                break
        return fit, waits

    def _ready(self, runs: Ints, items: Ints, crew: int) -> Floats:
        """Return from when on an item may be begun, its own rooms aside [min]."""
        state, layout = self._state, self._layout
        mine = layout.crew[items] == crew
        ready = np.where(mine, layout.release[items], self._calendar.takeover_min[items])
        most = int(layout.wait_count[items].max(initial=0))
        for k in range(most):
            other = layout.waits[items, k]
            end = state.end[runs, other] + layout.lags[items, k]
            ready = np.maximum(ready, np.where(other == NOWHERE, -NEVER, end))
        if not self._has_panels:
            return ready
        panels = state.panel_ready[runs, crew, layout.face[items]]
        return np.where(layout.kind[items] == Kind.SPRAY, np.maximum(ready, panels), ready)

    def _fit_room(self, visit: Visit, asked: Asked) -> Fit:
        runs, items, times = asked.runs, asked.items, asked.times
        opened, closed, dry = self._true_room(asked)
        start, fresh = self._begin(visit, asked, opened)
        before, clean = self.before(visit.rig), self.clean(visit.rig)
        if self._has_panels:
            is_panel = self._layout.kind[items] == Kind.PANEL
            free = np.maximum(self._state.crew_free[runs, visit.crew], times[_FROM])
            plain = np.maximum.reduce([free, self._rig_free(visit, runs), asked.ready])
            start, fresh = np.where(is_panel, plain, start), fresh | is_panel
            before, clean = np.where(is_panel, 0.0, before), np.where(is_panel, 0.0, clean)
        duty = self._duty_end(visit, runs, start - np.where(fresh, before, 0.0))
        trim = self._layout.trim[items]
        closes = np.minimum(times[_SPRAY_TO], times[_CLOSE] - trim)
        planned_stop = np.minimum(np.minimum(times[_TO], duty) - clean, closes)
        over = np.where(times[_TO] == visit.stint.end_min, self._overtime_min, 0.0)
        longer = np.minimum(np.minimum(times[_TO] + over, duty) - clean, closes)
        stop = np.minimum(planned_stop, closed - trim)
        ok = (start + self._need(visit, runs, items) <= planned_stop) & (start < stop)
        return Fit(
            ok=ok & dry,
            start=start,
            stop=stop,
            planned_stop=planned_stop,
            stretch=np.minimum(longer, closed - trim),
            fresh=fresh,
        )

    def before(self, rig: int | None) -> Floats | float:
        """Return start-up and zone change of a new run [min]."""
        if rig is None:
            return 0.0
        return float(self._rigs[rig].start_up_min + self._rules.zone_change_min)

    def clean(self, rig: int | None) -> Floats | float:
        """Return the cleaning up after a run [min]."""
        return 0.0 if rig is None else float(self._rigs[rig].clean_up_min)

    def _rig_free(self, visit: Visit, runs: Ints) -> Floats:
        if visit.rig is None:
            return np.full(runs.size, -NEVER)
        return np.asarray(self._state.rig_free[runs, visit.rig], dtype=float)

    def _begin(self, visit: Visit, asked: Asked, opened: Floats) -> tuple[Floats, Bools]:
        """Return when spraying would begin, and whether it takes a new run."""
        state, runs, times = self._state, asked.runs, asked.times
        late = self._draws.late_min[runs, visit.stint.index]
        begin = np.maximum(np.maximum(times[_OPEN], opened), times[_FROM]) + late
        ready = np.maximum(asked.ready, times[_SPRAY_FROM])
        free = np.maximum(state.crew_free[runs, visit.crew], times[_FROM])
        if visit.rig is None:
            start = np.maximum(np.maximum(begin, free), ready)
            return start, np.ones(runs.size, dtype=bool)
        record = self._rigs[visit.rig]
        change = float(self._rules.zone_change_min)
        up, clean = float(record.start_up_min), float(record.clean_up_min)
        going = state.run_stint[runs, visit.rig] == visit.stint.index
        going &= state.run_mix[runs, visit.rig] == self._layout.mix[asked.items]
        last = state.run_last[runs, visit.rig]
        new = np.maximum(free, state.rig_free[runs, visit.rig]) + up
        start = np.maximum(np.maximum(np.where(going, last, new), begin) + change, ready)
        if record.idle_max_min is not None:
            idle = going & (start - last > record.idle_max_min)
            start = np.where(idle, np.maximum(start, last + clean + up + change), start)
            going &= ~idle
        return start, ~going

    def _duty_end(self, visit: Visit, runs: Ints, begin: Floats) -> Floats:
        """Return until when a crew may work, its hours of duty and of the week kept [min]."""
        record, state = self._crews[visit.crew], self._state
        end: Floats = np.full(runs.size, NEVER)
        if record.duty_max_min is not None:
            end = np.minimum(state.duty_from[runs, visit.crew], begin) + record.duty_max_min
        if record.week_max_min is not None:
            spent = state.week_min[runs, visit.crew]
            since = np.where(
                state.duty_from[runs, visit.crew] < NEVER, state.crew_last[runs, visit.crew], begin
            )
            end = np.minimum(end, np.minimum(since, begin) + record.week_max_min - spent)
        return end

    def _need(self, visit: Visit, runs: Ints, items: Ints) -> Floats:
        """Return the room that the site wants before it begins [min].

        A layer that may be split: the shortest spell.  Another: as much as it reckons with, and
        never more than the plan had for it, so that one that has grown is begun all the same.
        """
        layout = self._layout
        known = np.ceil(
            self._state.reckoned[runs, items] * self._state.left[runs, items] - HALF_DECIMAL
        )
        least = 1.0 if visit.rig is None else float(self._rules.spell_min_min)
        return np.minimum(
            known, np.where(layout.may_split[items], least, layout.planned_min[items])
        )

    def _true_room(self, asked: Asked) -> tuple[Floats, Floats, Bools]:
        """Return when people may really begin, when they must stop, and whether it is dry."""
        runs = asked.runs
        opened, closed = np.full(runs.size, -NEVER), np.full(runs.size, NEVER)
        dry = np.ones(runs.size, dtype=bool)
        if self._any_wet:
            dry = ~self._draws.wet[runs, asked.day] | (asked.window == NOWHERE)
        if self.water is None:
            return opened, closed, dry
        for number in asked.numbers:
            rows = np.flatnonzero(asked.window == number)
            if rows.size:
                opening, closing = self.water.of(number)
                opened[rows] = opening[runs[rows]] + asked.times[_WAY_IN, rows]
                closed[rows] = closing[runs[rows]] - asked.times[_WAY_OUT, rows]
        return opened, closed, dry
