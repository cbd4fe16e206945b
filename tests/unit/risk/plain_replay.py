"""The life of one run once more, told in plain Python: one thing after the other.

It shares with the planner the windows of :class:`~planner.access.windows.Access`, and the draws;
everything else is written anew, for the rule ``sequence`` with one crew on each rig, without
break-out and panels.
"""

from __future__ import annotations

import math
from typing import Any

from planner.access.windows import Access


class PlainSite:
    """One run of a programme, with the draws of that run."""

    def __init__(self, programme, longer, draws, run, *, overtime_min, level=None):
        self.items = programme.items
        self.stays = programme.stays
        self.campaign = longer
        self.access = Access(longer)
        self.draws, self.run = draws, run
        self.overtime_min = overtime_min
        self.level = level
        self.end = {}
        crews = {item.crew for item in self.items}
        shift_of = {row.crew_id: row.shift_id for row in longer.crews}
        self.stints = sorted(
            (*span, crew) for crew in crews for span in self.access.shifts(shift_of[crew])
        )

    def finish(self):
        """Return the end of the last spell; rigs whose zones wait for others come later."""
        waiting = {stay.rig for stay in self.stays}
        while waiting:
            ready = [rig for rig in sorted(waiting) if self._can_be_told(rig, waiting)]
            assert ready, "two rigs wait for each other: not for this plain site"
            self._rig(ready[0])
            waiting.remove(ready[0])
        return max(self.end.values())

    def _can_be_told(self, rig, waiting):
        rigs = {
            self.items[other].rig
            for stay in self.stays if stay.rig == rig
            for k in stay.items
            for other, _ in self.items[k].waits
        }  # fmt: skip
        return not (rigs & waiting) - {rig}

    def _rig(self, name):
        (rig,) = [row for row in self.campaign.rigs if row.rig_id == name]
        number = [row.rig_id for row in self.campaign.rigs].index(name)
        stays = [stay for stay in self.stays if stay.rig == name]
        (crew_id,) = {self.items[k].crew for stay in stays for k in stay.items}
        (crew,) = [row for row in self.campaign.crews if row.crew_id == crew_id]
        shifts = self.access.shifts(crew.shift_id)
        places = {place.position_id: place for place in self.campaign.positions}
        state: dict[str, Any] = {
            "free": 0,
            "last_work": -(10**9),
            "shift": None,
            "duty": None,
            "run": None,
        }
        failures, next_failure = 0, self.draws.failing_min[self.run, number, 0]
        at = None
        for stay in stays:
            if at is not None and at != stay.position:
                minutes = _move(rig, places[at], places[stay.position])
                self._relocate(state, shifts, crew, max(state["free"], stay.release_min), minutes)
            at = stay.position
            for k in stay.items:
                left = until = self.draws.minutes[self.run, k]
                if left == 0:
                    self.end[k] = self.end[self.items[k].waits[0][0]]
                    continue
                while left > 0:
                    start, stop, stretch, fresh, shift = self._room(
                        state, rig, crew, shifts, k, left
                    )
                    room = left if start + left <= stretch else stop - start
                    spent = min(left, room, next_failure)
                    broke = spent >= next_failure and next_failure < left
                    left -= spent
                    until = start + spent
                    if fresh:
                        begin = start - rig.start_up_min - self.campaign.rules.zone_change_min
                        state["duty"] = begin if state["duty"] is None else state["duty"]
                    state.update(
                        free=until + rig.clean_up_min,
                        crew=until + rig.clean_up_min,
                        last_work=until + rig.clean_up_min,
                        run=None if broke else (shift, until),
                    )
                    if broke:
                        repair = self.draws.repair_min[self.run, number, failures]
                        state["free"] = until + max(rig.clean_up_min, repair)
                        failures += 1
                        next_failure = self.draws.failing_min[self.run, number, failures]
                    else:
                        next_failure -= spent
                self.end[k] = until

    def _relocate(self, state, shifts, crew, earliest, minutes):
        for number, (start, end) in enumerate(shifts):
            since = max(earliest, start)
            if state["shift"] != number:
                since = max(since, state["last_work"] + (crew.rest_min_min or 0))
            since = max(since, state.get("crew", 0))
            if end > since and since + minutes <= end:
                if state["shift"] != number:
                    state.update(shift=number, duty=None)
                state["duty"] = since if state["duty"] is None else state["duty"]
                state.update(
                    free=since + minutes, crew=since + minutes, last_work=since + minutes, run=None
                )
                return
        raise AssertionError("the calendar is too short for this test")

    def _room(self, state, rig, crew, shifts, k, left):  # noqa: C901, PLR0912, PLR0915, PLR0917
        item, rules = self.items[k], self.campaign.rules
        (zone,) = [row for row in self.campaign.zones if row.zone_id == item.zone]
        (face,) = [f for f in self.campaign.mixes if f.mix_id == item.mix]
        ready = item.release_min
        for other, lag in item.waits:
            ready = max(ready, self.end[other] + lag)
        share = left / self.draws.minutes[self.run, k]
        known = math.ceil(round(self.draws.known_min[self.run, k] * share, 6))
        planned = item.minutes
        if item.extra:
            planned = self.items[item.waits[0][0]].minutes
            if self.items[item.waits[0][0]].extra:
                planned = next(
                    self.items[j].minutes for j in range(k, -1, -1) if not self.items[j].extra
                )
        need = min(known, rules.spell_min_min if zone.joint_allowed else planned)
        for number, (shift_start, shift_end) in enumerate(shifts):
            if shift_end <= max(ready - self.overtime_min, 0):
                continue
            same = state["shift"] == number
            crew_free = state.get("crew", 0)
            if not same:
                crew_free = max(
                    crew_free, shift_start, state["last_work"] + (crew.rest_min_min or 0)
                )
            if crew_free >= shift_end:
                continue
            late = self.draws.late_min[
                self.run, self.stints.index((shift_start, shift_end, crew.crew_id))
            ]
            for window in self.access.windows(zone):
                w_open, w_close = window[0] + rules.get_in_min, window[1] - rules.get_out_min
                dry = self._dry_until(zone, face, w_open, w_close)
                if dry is None or w_open >= shift_end or dry[1] <= shift_start:
                    continue
                day = self.campaign.clock.day_index(max(shift_start, w_open))
                if self.draws.wet[self.run, day]:
                    continue
                true_open, true_close = self._true(zone, window)
                opens = max(w_open, true_open + rules.get_in_min, shift_start) + late
                fresh = not (same and state["run"] is not None and state["run"][0] == number)
                if fresh:
                    base = max(crew_free, shift_start, state["free"]) + rig.start_up_min
                else:
                    base = state["run"][1]
                start = max(max(base, opens) + rules.zone_change_min, ready, dry[0])
                if not fresh and start - state["run"][1] > rig.idle_max_min:
                    fresh = True
                    again = rig.clean_up_min + rig.start_up_min + rules.zone_change_min
                    start = max(start, state["run"][1] + again)
                begin = start - rig.start_up_min - rules.zone_change_min if fresh else start
                duty = min(begin, state["duty"]) if same and state["duty"] is not None else begin
                limit = min(shift_end, duty + (crew.duty_max_min or 10**9)) - rig.clean_up_min
                longer = min(shift_end + self.overtime_min, duty + (crew.duty_max_min or 10**9))
                closes = min(dry[1], w_close - item.trim_min)
                true_stop = true_close - rules.get_out_min - item.trim_min
                planned_stop = min(limit, closes)
                stop = min(planned_stop, true_stop)
                if start + need <= planned_stop and start < stop:
                    if not same:
                        state.update(shift=number, duty=None)
                    stretch = min(longer - rig.clean_up_min, closes, true_stop)
                    return start, stop, stretch, fresh, number
        raise AssertionError("the calendar is too short for this test")

    def _dry_until(self, zone, face, start, end):
        """Return the stretch of a window in which a spell may lie."""
        if end <= start:
            return None
        if zone.wets_at_m is None:
            return start, end
        protect = math.ceil(60 * (face.protect_h or 0.0))
        for low, high in self.access.dry(zone):
            stretch = max(low, start), min(high - protect, end)
            if stretch[1] > stretch[0]:
                return stretch
        return None

    def _true(self, zone, window):
        """Look at the water minute by minute: when it first keeps the limit, when it ends."""
        if self.level is None or zone.water_max_m is None:
            return window
        opened = None
        for minute in range(window[0], window[1] + 1):
            low = self.level(minute) <= zone.water_max_m + 1e-9
            if opened is None and low:
                opened = minute
            if opened is not None and not low:
                return opened, minute - 1
        return (opened, window[1]) if opened is not None else (10**9, -(10**9))


def _move(rig, start, end):
    metres = math.hypot(end.x_m - start.x_m, end.y_m - start.y_m)
    return math.ceil(round(rig.move_min + rig.move_min_per_100m * metres / 100.0, 6))
