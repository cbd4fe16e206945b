"""Rigs that go from stay to stay, and stays that go from rig to rig."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from planner.access.curve import Floats
from planner.core.rounding import DECIMALS
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.reach.hoses import Reach
from planner.risk.calendar import Calendar, Stint
from planner.risk.fit import Visit
from planner.risk.programme import Kind
from planner.risk.state import NEVER, NOWHERE, Ints, Layout, State
from planner.trade.rates import move_minutes, placing_rate_m3_h

if TYPE_CHECKING:
    from planner.risk.ledger import Ledger

MARGIN_MIN = 480.0
"""Only where the rig that takes over then still has a shift less to do (our choice) [min]."""
HAND_OVERS_MAX = 3
"""On one Monday at most so many stays are handed over (our choice) [1]."""


class Mover:
    """Keeps track of where rigs are and what they are to do there."""

    def __init__(
        self, layout: Layout, calendar: Calendar, state: State, ledger: Ledger, factors: Floats
    ) -> None:
        self._layout = layout
        self._calendar = calendar
        self._state = state
        self._ledger = ledger
        self._rigs = calendar.campaign.rigs
        self._places = calendar.campaign.positions
        self._from: Ints = np.full(state.stay_of.shape, NOWHERE)
        self._planned_whole = state.whole
        self._factors = factors

    def settle(self, runs: Ints, rig: int) -> None:
        """Let a rig's programme go on past what is done; its next stay is taken up."""
        state, layout = self._state, self._layout
        while runs.size:
            stay = state.stay_of[runs, rig]
            idle = stay == NOWHERE
            items = layout.stay_items[stay, state.pointer[runs, rig]]
            over = ~idle & (items == NOWHERE)
            passed = ~idle & ~over & (state.end[runs, items] < NEVER)
            state.pointer[runs[passed], rig] += 1
            self._next_stay(runs[over | idle], rig)
            runs = runs[passed]

    def _next_stay(self, runs: Ints, rig: int) -> None:
        """Take up the rig's next stay in the order of the plan, where there is one."""
        if not runs.size:
            return
        state, layout = self._state, self._layout
        waiting = (state.stay_rig[runs] == rig) & ~state.stay_begun[runs]
        some = waiting.any(axis=1)
        old = state.stay_of[runs, rig]
        new = np.where(some, np.argmax(waiting, axis=1), NOWHERE)
        ended = old != NOWHERE
        here = layout.stay_position[new] == state.rig_at[runs, rig]
        leaves_now = ended & (~some | here)
        state.stay_left[runs[leaves_now], old[leaves_now]] = state.rig_free[runs[leaves_now], rig]
        goes = ended & some & ~here
        self._from[runs[goes], rig] = old[goes]
        state.stay_of[runs, rig] = new
        state.pointer[runs, rig] = 0
        state.stay_begun[runs[some], new[some]] = True
        if some.any():
            self.arrive(runs[some], rig)

    def arrive(self, runs: Ints, rig: int) -> None:
        """Set up a rig that stands nowhere yet; the first set-up is no relocation."""
        state, layout = self._state, self._layout
        stay = state.stay_of[runs, rig]
        come = (state.rig_at[runs, rig] == NOWHERE) & (stay != NOWHERE)
        before = layout.stay_before[stay]
        left = np.where(before == NOWHERE, -NEVER, state.stay_left[runs, before])
        come &= left < NEVER
        rows, stays = runs[come], stay[come]
        state.rig_at[rows, rig] = layout.stay_position[stays]
        state.rig_free[rows, rig] = np.maximum(state.rig_free[rows, rig], left[come])
        self._ledger.set_up(rows, layout.stay_position[stays])

    def gang(self, stint: Stint, runs: Ints) -> int:
        """Let the lifting gang relocate what waits for it; return how many moves were made."""
        return sum(self._move(stint, rig, runs, None) for rig in range(len(self._rigs)))

    def by_crew(self, stint: Stint, crew: int, rigs: list[int], runs: Ints) -> int:
        """Let a spray crew relocate its rigs; return how many moves were made."""
        by = Visit(stint=stint, crew=crew)
        return sum(self._move(stint, rig, runs, by) for rig in rigs)

    def _move(self, stint: Stint, rig: int, runs: Ints, by: Visit | None) -> int:
        state, layout = self._state, self._layout
        stay = state.stay_of[runs, rig]
        at, to = state.rig_at[runs, rig], layout.stay_position[stay]
        due = (stay != NOWHERE) & (at != NOWHERE) & (at != to)
        runs, stay, at, to = runs[due], stay[due], at[due], to[due]
        if not runs.size:
            return 0
        earliest = self._earliest(runs, rig, stay)
        if by is not None:
            earliest = np.maximum(earliest, state.crew_free[runs, by.crew])
        pairs, which = np.unique(np.stack((at, to)), axis=1, return_inverse=True)
        done = 0
        for k in range(pairs.shape[1]):
            mine = which.reshape(-1) == k
            pair = (int(pairs[0, k]), int(pairs[1, k]))
            begun = self._begun(stint, rig, pair, earliest[mine])
            done += self._make(rig, pair, runs[mine], begun, by)
        return done

    def _earliest(self, runs: Ints, rig: int, stay: Ints) -> Floats:
        state, layout = self._state, self._layout
        before = layout.stay_before[stay]
        left = np.where(before == NOWHERE, -NEVER, state.stay_left[runs, before])
        planned = np.where(layout.stay_rig[stay] == rig, layout.stay_release[stay], 0.0)
        return np.asarray(np.maximum.reduce([state.rig_free[runs, rig], left, planned]))

    def _minutes(self, rig: int, pair: tuple[int, int]) -> int:
        return move_minutes(self._rigs[rig], self._places[pair[0]], self._places[pair[1]])

    def _begun(self, stint: Stint, rig: int, pair: tuple[int, int], earliest: Floats) -> Floats:
        """Return when moves would begin in a stint [min]; ``NEVER``: not in it."""
        minutes = self._minutes(rig, pair)
        start, end = (self._places[k].position_id for k in pair)
        begun = np.full(earliest.shape, NEVER)
        for low, high in self._calendar.moving(self._rigs[rig].rig_id, start, end, stint):
            when = np.maximum(earliest, low)
            begun = np.where((begun == NEVER) & (when + minutes <= high), when, begun)
        return begun

    def _make(
        self, rig: int, pair: tuple[int, int], runs: Ints, begun: Floats, by: Visit | None
    ) -> int:
        """Make the moves that can begin; return how many."""
        state = self._state
        runs, begun = runs[begun < NEVER], begun[begun < NEVER]
        if not runs.size:
            return 0
        end = begun + self._minutes(rig, pair)
        old = self._from[runs, rig]
        some = old != NOWHERE
        state.stay_left[runs[some], old[some]] = begun[some]
        self._from[runs, rig] = NOWHERE
        state.rig_at[runs, rig] = pair[1]
        state.rig_free[runs, rig] = end
        state.run_stint[runs, rig] = NOWHERE
        self._ledger.relocation(rig, runs, begun, end, by)
        self._ledger.set_up(runs, np.full(runs.size, pair[1]))
        if by is not None:
            crew = by.crew
            state.duty_from[runs, crew] = np.minimum(state.duty_from[runs, crew], begun)
            state.week_min[runs, crew] += end - begun
            state.crew_free[runs, crew] = state.crew_last[runs, crew] = end
        return int(runs.size)

    def share_out(self, runs: Ints) -> None:
        """On a Monday: rigs that are behind hand their last stay to one that is ahead."""
        rigs = range(len(self._rigs))
        for _ in range(HAND_OVERS_MAX):
            load = self._loads(runs)
            for donor in rigs:
                for taker in rigs:
                    if donor != taker:
                        self._hand_over(runs, load, donor, taker)
        for rig in rigs:
            idle = runs[self._state.stay_of[runs, rig] == NOWHERE]
            self.settle(idle, rig)

    def _loads(self, runs: Ints) -> Floats:
        """Return the spraying that is left for each rig, as it is known [min]."""
        state, layout = self._state, self._layout
        load = np.zeros((runs.size, len(self._rigs)))
        for stay in range(layout.stay_rig.size):
            items = layout.stay_items[stay]
            items = items[items != NOWHERE]
            left = state.left[runs][:, items].sum(axis=1)
            load[np.arange(runs.size), state.stay_rig[runs, stay]] += left
        return load

    def _hand_over(self, runs: Ints, load: Floats, donor: int, taker: int) -> None:
        state, layout = self._state, self._layout
        waiting = (state.stay_rig[runs] == donor) & ~state.stay_begun[runs]
        factors = self._factors[:, taker]
        waiting &= np.isfinite(factors)[None, :]
        some = waiting.any(axis=1)
        last = waiting.shape[1] - 1 - np.argmax(waiting[:, ::-1], axis=1)
        items = layout.stay_items[last]
        minutes = np.where(items == NOWHERE, 0.0, state.left[runs[:, None], items]).sum(axis=1)
        longer = load[:, taker] + minutes * np.where(some, factors[last], 0.0)
        better = some & (longer + MARGIN_MIN < load[:, donor])
        rows = np.flatnonzero(better)
        if not rows.size:
            return
        load[rows, donor] -= minutes[rows]
        load[rows, taker] = longer[rows]
        state.stay_rig[runs[rows], last[rows]] = taker
        chosen = items[rows]
        real = chosen != NOWHERE
        where = np.broadcast_to(runs[rows][:, None], chosen.shape)[real]
        factor = np.broadcast_to(factors[last[rows]][:, None], chosen.shape)[real]
        slower = np.ceil(np.round(state.left[where, chosen[real]] * factor, DECIMALS))
        if state.whole is self._planned_whole:
            state.whole = state.whole.copy()
        state.left[where, chosen[real]] = state.whole[where, chosen[real]] = slower


def tied_stays(layout: Layout) -> list[bool]:
    """Return which stays wait for work elsewhere, or are waited for: they stay with their rig.

    Handing such a stay over could make two rigs wait for each other.
    """
    stays = layout.programme.stays
    home = {item: s for s, stay in enumerate(stays) for item in stay.items}
    found = [stay.before is not None for stay in stays]
    for stay in stays:
        if stay.before is not None:
            found[stay.before] = True
    for k, item in enumerate(layout.programme.items):
        for other, _ in item.waits:
            here, there = home.get(k), home.get(other)
            if here != there and here is not None and there is not None:
                found[here] = found[there] = True
    return found


def _rate_m3_h(reach: Reach, place: Position, zone: Zone, rig: Rig, face: MixFace) -> float:
    """Return the placing rate of a rig for a zone; 0: it cannot [m³/h]."""
    run = reach.run(place, zone, rig)
    if run is None or not reach.reaches(place, zone, rig):
        return 0.0
    if rig.mixes and face.mix_id not in rig.mixes:
        return 0.0
    return placing_rate_m3_h(rig, face, run.hose_m)


def hand_over_factors(layout: Layout, calendar: Calendar) -> Floats:
    """Return for each stay and rig how much longer its spraying takes; inf: cannot [1]."""
    campaign = calendar.campaign
    reach = Reach(campaign)
    zones = {zone.zone_id: zone for zone in campaign.zones}
    faces = {(face.mix_id, face.orientation): face for face in campaign.mixes}
    found = np.full((len(layout.programme.stays), len(campaign.rigs)), np.inf)
    tied = tied_stays(layout)
    for s, stay in enumerate(layout.programme.stays):
        items = [layout.programme.items[k] for k in stay.items]
        if tied[s] or any(item.kind is not Kind.SPRAY for item in items):
            continue
        place = campaign.positions[layout.stay_position[s]]
        own = campaign.rigs[layout.stay_rig[s]]
        for r, rig in enumerate(campaign.rigs):
            if rig.process is own.process:
                rates = [
                    _rate_m3_h(
                        reach, place, zones[item.zone], rig, faces[item.mix, item.orientation]
                    )
                    for item in items
                    if item.zone and item.mix and item.orientation
                ]
                if min(rates) > 0.0:
                    pairs = zip(items, rates, strict=True)
                    found[s, r] = max(item.rate_m3_h / rate for item, rate in pairs)
    return found
