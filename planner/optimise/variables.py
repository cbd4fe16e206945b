"""Variables of an exact neighbourhood: slots with their rigs' places, and atoms with choices.

For each slot: whether it is used, where its rig stands (one position, or not yet set up, or
gone), and the start and end of the run.  For each atom: start, length, and one choice of slot
and position.  Both kinds keep the rules that concern them alone: windows, rooms, start-up,
clean-up, duties and weeks.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from planner.core.rounding import up
from planner.core.spans import Spans
from planner.optimise.board import Board
from planner.optimise.freeing import Atom, Neighbourhood
from planner.optimise.problem import Problem

MINUTES = 60.0
SAME_M3 = 1e-6


@dataclass(frozen=True, slots=True)
class Place:
    """A slot and position an atom may go to, how long it takes there, and when it may start."""

    slot: int
    position: int
    minutes: int
    starts: cp_model.Domain


class Variables:
    """The variables of one neighbourhood, with the rules of single runs and spells."""

    def __init__(self, board: Board, near: Neighbourhood, places: dict[int, list[int]]) -> None:
        self.model = cp_model.CpModel()
        self.board = board
        self.near = near
        self.problem: Problem = near.problem
        self.places = places
        self.used: list[cp_model.IntVar] = []
        self.begin: list[cp_model.IntVar] = []
        self.stop: list[cp_model.IntVar] = []
        self.size: list[cp_model.IntVar] = []
        self.pos: list[dict[int, cp_model.IntVar]] = []
        self.before: list[cp_model.IntVar] = []
        self.gone: list[cp_model.IntVar] = []
        self.by_rig: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        self.by_crew: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        self.start: list[cp_model.IntVar] = []
        self.length: list[cp_model.IntVar] = []
        self.end: list[cp_model.IntVar] = []
        self.choice: list[dict[tuple[int, int], cp_model.IntVar]] = []
        self._add_slots()
        self._add_atoms()

    def rig_slots(self, r: int) -> list[int]:
        """Return the slots of the stretch of a rig, in time order."""
        return [
            k for k, slot in enumerate(self.near.slots) if slot.rig == r and slot.fixed is None
        ]

    def places_in(self, k: int) -> list[int]:
        """Return the positions the rig may stand at in a slot."""
        slot = self.near.slots[k]
        return self.places[slot.rig] if slot.fixed is None else [slot.fixed]

    def kept_hours(self, c: int) -> list[tuple[int, int]]:
        """Return the kept work of a crew."""
        kept = self.near.kept
        found = [(run.start, run.end) for run in kept.runs if run.crew == c]
        found += [(move.start, move.end) for move in kept.moves if move.crew == c]
        return found

    # -- slots -----------------------------------------------------------------------------

    def _add_slots(self) -> None:
        model = self.model
        for k, slot in enumerate(self.near.slots):
            duty = self.problem.crews[slot.crew].crew.duty_max_min
            longest = slot.end - slot.start
            used = model.new_bool_var(f"used{k}")
            begin = model.new_int_var(slot.start, slot.end, f"begin{k}")
            stop = model.new_int_var(slot.start, slot.end, f"stop{k}")
            size = model.new_int_var(0, longest if duty is None else min(longest, duty), "")
            run = model.new_optional_interval_var(begin, size, stop, used, "")
            self.by_rig[slot.rig].append(run)
            self.by_crew[slot.crew].append(run)
            self.used.append(used)
            self.begin.append(begin)
            self.stop.append(stop)
            self.size.append(size)
            self.pos.append({p: model.new_bool_var("") for p in self.places_in(k)})
            self.before.append(model.new_bool_var(""))
            self.gone.append(model.new_bool_var(""))
            model.add_exactly_one(self.before[k], self.gone[k], *self.pos[k].values())
            model.add_implication(used, self.before[k].negated())
            model.add_implication(used, self.gone[k].negated())
            if slot.fixed is not None:
                model.add(self.pos[k][slot.fixed] == 1)
        self._keep_rooms()
        self._keep_hours()
        self._keep_states()

    def _keep_rooms(self) -> None:
        """Rule 5: a run lies where rig and position are open; the longest such stretch."""
        for k, slot in enumerate(self.near.slots):
            for p, here in self.pos[k].items():
                spans = self.problem.room[slot.rig, p].clip(slot.start, slot.end)
                if spans.covers(slot.start, slot.end):
                    continue
                if not spans:
                    self.model.add_implication(here, self.used[k].negated())
                    continue
                low, high = max(spans, key=lambda span: span[1] - span[0])
                self.model.add(self.begin[k] >= low).only_enforce_if(here, self.used[k])
                self.model.add(self.stop[k] <= high).only_enforce_if(here, self.used[k])

    def _keep_hours(self) -> None:
        """Rule 15, as far as runs go: duties, rests and weeks of each crew."""
        for c, crew in enumerate(self.problem.crews):
            mine = [k for k, slot in enumerate(self.near.slots) if slot.crew == c]
            if crew.crew.duty_max_min is not None:
                for one, other in pairwise(mine):
                    self._keep_duty(one, other, crew.crew.duty_max_min)
            if crew.crew.week_max_min is not None:
                self._keep_week(c, mine, crew.crew.week_max_min)

    def _keep_duty(self, one: int, other: int, duty: int) -> None:
        slots = self.near.slots
        rest = self.problem.crews[slots[one].crew].crew.rest_min_min or 0
        both = (self.used[one], self.used[other])
        if slots[one].piece_start == slots[other].piece_start:
            self.model.add(self.stop[other] - self.begin[one] <= duty).only_enforce_if(*both)
        elif slots[other].start - slots[one].end < rest:
            self.model.add(self.begin[other] - self.stop[one] >= rest).only_enforce_if(*both)

    def _keep_week(self, c: int, mine: list[int], most: int) -> None:
        weeks: dict[int, list[int]] = defaultdict(list)
        for k in mine:
            weeks[self.board.week(self.near.slots[k].start)].append(k)
        kept = self.kept_hours(c)
        for week in sorted(weeks):
            fixed = sum(b - a for a, b in kept if self.board.week(a) == week)
            parts = []
            for k in weeks[week]:
                part = self.model.new_int_var(0, self.near.slots[k].end, "")
                self.model.add(part >= self.size[k]).only_enforce_if(self.used[k])
                parts.append(part)
            self.model.add(sum(parts) <= max(0, most - fixed))

    def _keep_states(self) -> None:
        """Keep a rig's states in order: not yet set up, standing, gone."""
        model = self.model
        for r in self.near.rigs:
            slots = self.rig_slots(r)
            if not slots:
                continue
            if self.near.first_place[r] is not None:
                model.add(self.before[slots[0]] == 0)
            if self.near.last_place[r] is not None:
                model.add(self.gone[slots[-1]] == 0)
            for one, other in pairwise(slots):
                model.add_implication(self.before[other], self.before[one])
                model.add_implication(self.gone[one], self.gone[other])
                if self.near.slots[other].start < self.near.slots[one].end:
                    model.add(self.stop[one] <= self.begin[other]).only_enforce_if(
                        self.used[one], self.used[other]
                    )

    # -- atoms -----------------------------------------------------------------------------

    def _add_atoms(self) -> None:
        model = self.model
        in_slot: dict[int, list[cp_model.IntervalVar]] = defaultdict(list)
        for a, atom in enumerate(self.near.atoms):
            places = self._places_of(atom)
            lengths = sorted({place.minutes for place in places}) or [1]
            start = model.new_int_var(self.near.start, self.near.horizon, f"start{a}")
            length = model.new_int_var_from_domain(cp_model.Domain.from_values(lengths), "")
            end = model.new_int_var(self.near.start, self.near.horizon, "")
            model.add(end == start + length)
            self.start.append(start)
            self.length.append(length)
            self.end.append(end)
            self.choice.append({})
            for place in places:
                in_slot[place.slot].append(self._add_choice(a, place))
            model.add_exactly_one(self.choice[a].values())
        for k in range(len(self.near.slots)):
            model.add_no_overlap(in_slot.get(k, []))
            here = [x for chosen in self.choice for (s, _), x in chosen.items() if s == k]
            model.add_bool_or([*here, self.used[k].negated()])

    def _add_choice(self, a: int, place: Place) -> cp_model.IntervalVar:
        model = self.model
        k = place.slot
        start, end = self.start[a], self.end[a]
        here = model.new_bool_var("")
        self.choice[a][k, place.position] = here
        model.add_implication(here, self.pos[k][place.position])
        model.add_implication(here, self.used[k])
        model.add_linear_expression_in_domain(start, place.starts).only_enforce_if(here)
        model.add(self.length[a] == place.minutes).only_enforce_if(here)
        rig = self.problem.rigs[self.near.slots[k].rig]
        change = self.problem.zone_change
        model.add(self.begin[k] <= start - change - rig.start_up).only_enforce_if(here)
        model.add(self.stop[k] >= end + rig.clean_up).only_enforce_if(here)
        return model.new_optional_fixed_size_interval_var(
            start - change, change + place.minutes, here, ""
        )

    def _places_of(self, atom: Atom) -> list[Place]:
        """Return every place an atom may go to."""
        problem = self.problem
        job = problem.jobs[atom.zone][atom.mix]
        spans = job.last if atom.ends_zone else job.mid
        found = []
        for k, slot in enumerate(self.near.slots):
            low = self._crew_from(k, atom)
            inside = None if low is None else spans.clip(slot.start, slot.end)
            if low is None or not inside:
                continue
            for p in self.places_in(k):
                place = self._place(atom, k, p, low, inside)
                if place is not None:
                    found.append(place)
        return found

    def _place(self, atom: Atom, k: int, p: int, low: int, spans: Spans) -> Place | None:
        problem = self.problem
        slot = self.near.slots[k]
        way = problem.way_of.get((atom.zone, atom.mix, slot.rig, p))
        if way is None:
            return None
        minutes = up(MINUTES * atom.volume / way.rate)
        if minutes < problem.spell_min and not self._is_whole(atom):
            return None
        rig = problem.rigs[slot.rig]
        first = max(low, slot.start + rig.start_up + problem.zone_change)
        last = slot.end - rig.clean_up - minutes
        starts = [
            [max(x, first), min(y - minutes, last)]
            for x, y in spans
            if max(x, first) <= min(y - minutes, last)
        ]
        return Place(k, p, minutes, cp_model.Domain.from_intervals(starts)) if starts else None

    def _is_whole(self, atom: Atom) -> bool:
        layer = self.problem.jobs[atom.zone][atom.mix].layers[atom.layer]
        return abs(layer.volume_m3 - atom.volume) < SAME_M3

    def _crew_from(self, k: int, atom: Atom) -> int | None:
        """Return from when a slot's crew may spray an atom (rules 4 and 12); None: never."""
        problem = self.problem
        crew = self.near.slots[k].crew
        kind = (atom.mix, problem.zones[atom.zone].orientation)
        if not problem.crews[crew].may(kind, self.near.slots[k].start):
            return None
        if not problem.panel_wait:
            return problem.start
        made = self.board.panels.get((crew, *kind))
        return None if made is None else made + problem.panel_wait
