"""What an exact neighbourhood's slots and relocations cost, run in the night, or make late.

Money is counted in whole units, as far as it depends on the choice of slots, days and
relocations; what every answer pays (material by volume, rebound) is left out.  It guides the
search only: the plan's cost is measured by its one definition afterwards.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from planner.optimise.relocating import MoveRow
from planner.optimise.variables import Variables

NIGHT_FROM_TOD = 22 * 60
NIGHT_TO_TOD = 6 * 60


class Money:
    """Objective terms of one neighbourhood."""

    def __init__(self, own: Variables, moves: list[MoveRow]) -> None:
        self.own = own
        self.moves = moves
        self.prices = own.problem.campaign.prices
        self.clock = own.problem.campaign.clock

    def terms(self) -> list[cp_model.LinearExprT]:
        """Return the money of shifts, runs, relocations, set-ups and days."""
        return [*self._runs(), *self._shifts(), *self._moves(), *self._days()]

    def _runs(self) -> list[cp_model.LinearExprT]:
        """Return what each run wastes in its line."""
        own = self.own
        found: list[cp_model.LinearExprT] = []
        for k, slot in enumerate(own.near.slots):
            rig = own.problem.rigs[slot.rig]
            waste = self.prices.line_waste_m3.get(rig.rig.process, 0.0)
            mixes = [own.problem.mixes[m] for m in rig.mixes]
            material = max((self.prices.material_m3.get(mix, 0.0) for mix in mixes), default=0.0)
            if round(waste * material):
                found.append(round(waste * material) * own.used[k])
        return found

    def _shifts(self) -> list[cp_model.LinearExprT]:
        """Return the price of each crew's shift, where no kept work pays it already."""
        own = self.own
        found: list[cp_model.LinearExprT] = []
        shifts: dict[tuple[int, int, int], list[cp_model.IntVar]] = defaultdict(list)
        for k, slot in enumerate(own.near.slots):
            shifts[slot.crew, slot.piece_start, slot.piece_end].append(own.used[k])
        for (c, start, end), used in sorted(shifts.items(), key=lambda row: row[0]):
            price = round(self.prices.crew_shift.get(own.problem.crews[c].crew.crew_id, 0.0))
            kept = any(a < end and b > start for a, b in own.kept_hours(c))
            if price and not kept:
                worked = own.model.new_bool_var("")
                for one in used:
                    own.model.add_implication(one, worked)
                found.append(price * worked)
        return found

    def _moves(self) -> list[cp_model.LinearExprT]:
        own = self.own
        price = round(self.prices.relocation)
        found: list[cp_model.LinearExprT] = [price * row.moved for row in self.moves if price]
        for row in self.moves:
            if row.other is None:
                continue
            for p, here in own.pos[row.other].items():
                cost = round(own.problem.campaign.positions[p].set_up_cost)
                if cost:
                    paid = own.model.new_bool_var("")
                    own.model.add_bool_or([row.moved.negated(), here.negated(), paid])
                    found.append(cost * paid)
        return found

    def _days(self) -> list[cp_model.LinearExprT]:
        """Return the price of the days to the last activity, of the site and of each rig."""
        own = self.own
        found: list[cp_model.LinearExprT] = []
        rigs = {None: range(len(own.near.slots))} | {r: own.rig_slots(r) for r in own.near.rigs}
        for r, slots in rigs.items():
            price = round(
                self.prices.day
                if r is None
                else self.prices.rig_day.get(own.problem.rigs[r].rig.rig_id, 0.0)
            )
            kept = [run.end for run in own.near.kept.runs if r is None or run.rig == r]
            if not price or (kept and max(kept) > own.near.horizon):
                continue
            low = self.clock.day_index(own.near.start)
            high = self.clock.day_index(own.near.horizon) + 1
            last = own.model.new_int_var(low, high, "")
            for k in slots:
                day = self.clock.day_index(own.near.slots[k].end - 1)
                own.model.add(last >= day).only_enforce_if(own.used[k])
            if kept:
                own.model.add(last >= self.clock.day_index(max(kept) - 1))
            found.append(price * last)
        return found

    def nights(self) -> list[cp_model.IntVar]:
        """Return for each slot whether its run touches the night (22:00-06:00 local)."""
        own = self.own
        found = []
        for k, slot in enumerate(own.near.slots):
            spans = self._night_spans(slot.start, slot.end)
            if not spans:
                continue
            touched = own.model.new_bool_var("")
            self._clear_of_night(k, spans, touched)
            found.append(touched)
        return found

    def _clear_of_night(
        self, k: int, spans: list[tuple[int, int]], touched: cp_model.IntVar
    ) -> None:
        """Say that a used slot's run either touches the night or lies between two nights."""
        own = self.own
        slot = own.near.slots[k]
        edges = [slot.start, *(edge for span in spans for edge in span), slot.end]
        free = [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]
        options = [touched, own.used[k].negated()]
        for a, b in free:
            inside = own.model.new_bool_var("")
            own.model.add(own.begin[k] >= a).only_enforce_if(inside)
            own.model.add(own.stop[k] <= b).only_enforce_if(inside)
            options.append(inside)
        own.model.add_bool_or(options)

    def _night_spans(self, start: int, end: int) -> list[tuple[int, int]]:
        first = self.clock.local(start).date()
        found = []
        for shift in (-1, 0, 1, 2):
            day = first.fromordinal(first.toordinal() + shift)
            a, b = self.clock.daily(day, start_tod=NIGHT_FROM_TOD, end_tod=NIGHT_TO_TOD)
            if max(a, start) < min(b, end):
                found.append((max(a, start), min(b, end)))
        return found

    def lateness(self) -> list[cp_model.IntVar]:
        """Return for each zone with a due date the minutes its freed end lies beyond it [min]."""
        own = self.own
        found = []
        for a, atom in enumerate(own.near.atoms):
            due = own.problem.zones[atom.zone].due_min
            if due is None or not atom.ends_zone:
                continue
            late = own.model.new_int_var(
                0, max(1, own.near.horizon - min(due, own.near.horizon)), ""
            )
            own.model.add(late >= own.end[a] - due)
            found.append(late)
        return found
