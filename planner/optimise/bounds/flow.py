"""Work as a flow of minutes into cells: one relaxation for counts and for money.

Every valid plan gives a point of it: the share of each task done at each post, the share of
each cell's capacity used there, the crews' turns that this takes.  A *turn* is one shift
occurrence of one crew; turns whose cells have the same shapes are put together.  Goals differ
in the columns' costs and in the rows that they add.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.optimise.bounds.demand import Demand
from planner.optimise.bounds.lp import Model
from planner.optimise.bounds.packing import Packing, Shapes
from planner.optimise.bounds.posts import NEVER
from planner.optimise.bounds.ruler import Minutes


@dataclass(frozen=True, slots=True)
class Turn:
    """Turns of a team that are alike: shape of each of their cells, and their occurrences."""

    team: int
    shapes: tuple[int, ...]
    occurrences: tuple[int, ...]


class Flow:
    """The relaxation for plans that finish by a minute.

    Attributes
    ----------
    model
        Columns and rows so far; costs are 0 until they are set.
    done
        Column of each (post, kind): tasks done there.
    used
        Column of each (turn, cell of the turn, post): cells used there.
    turns
        Columns of each turn: whether each crew of the team takes it.
    chosen
        Column of each (class of zones, alternative): zones done that way.
    """

    def __init__(self, packing: Packing, demand: Demand, minute: int) -> None:
        self.packing = packing
        self.demand = demand
        self.minute = minute
        self.model = Model()
        self.shapes: list[Shapes] = []
        self.turn_rows: list[Turn] = []
        for t, cells in enumerate(packing.site.cells):
            shapes = packing.cut(t, np.arange(len(cells.before(minute))), minute)
            self.shapes.append(shapes)
            self.turn_rows += self._turns(t, shapes)
        self.chosen: dict[tuple[int, int], int] = {}
        self.done: dict[tuple[int, int], int] = {}
        self.used: dict[tuple[int, int, int], int] = {}
        self._demand()
        self.turns = [
            [self.model.column(float(len(turn.occurrences))) for _ in self._crews(turn)]
            for turn in self.turn_rows
        ]
        self._hours()
        self._posts()
        self._cells()

    def _turns(self, t: int, shapes: Shapes) -> list[Turn]:
        site = self.packing.site
        team, cells = site.teams[t], site.cells[t]
        by_occurrence: dict[int, list[int]] = {}
        for k, shape in enumerate(shapes.of_cell.tolist()):
            occurrence = team.pieces[int(cells.piece[k])][2]
            by_occurrence.setdefault(occurrence, []).append(shape)
        alike: dict[tuple[int, ...], list[int]] = {}
        for occurrence, row in by_occurrence.items():
            alike.setdefault(tuple(sorted(row)), []).append(occurrence)
        return [Turn(t, row, tuple(which)) for row, which in alike.items()]

    def _crews(self, turn: Turn) -> tuple[int, ...]:
        return self.packing.site.teams[turn.team].crews

    def _demand(self) -> None:
        model, demand = self.model, self.demand
        self.cover = [model.row(low=0.0) for _ in range(len(self.packing.kinds))]
        volume: dict[int, float] = {}
        for k, (alternatives, members) in enumerate(demand.classes.items()):
            many = float(len(members))
            row = model.row(low=many if demand.is_whole else 0.0, high=many)
            most = max(demand.volumes[z] for z in members)
            for a, (kinds, cost) in enumerate(alternatives):
                column = model.column(many, cost)
                self.chosen[k, a] = column
                model.add(row, column, 1.0)
                volume[column] = most
                for i in set(kinds):
                    model.add(self.cover[i], column, -float(kinds.count(i)))
        if not demand.is_whole:
            model.row(volume, low=demand.volume_m3 - 1e-6)

    def _hours(self) -> None:
        self.hours = [
            self.model.row(high=float(row.curve.before(self.minute))) for row in self.packing.rows
        ]

    def _posts(self) -> None:
        """Rows of capacities at each post, and the columns of work there."""
        model, packing = self.model, self.packing
        kinds = packing.kinds
        self.rows: dict[int, list[tuple[int, Minutes]]] = {}
        for t, shapes in enumerate(self.shapes):
            for row, j in enumerate(packing.of_team[t]):
                caps = packing.bands[j].rows(shapes.caps[row], shapes.own[row], shapes.more[row])
                bounds = [(bands, model.row(high=0.0)) for bands, _ in caps]
                self.rows[j] = [
                    (bound, minutes) for (_, bound), (_, minutes) in zip(bounds, caps, strict=True)
                ]
                longest = shapes.own[row].max(axis=1, initial=0)
                band = packing.bands[j].of_group[kinds.group]
                minutes = kinds.minutes[j]
                fits = (minutes < NEVER) & (band >= 0)
                fits &= (minutes <= longest[band]) | (kinds.piece >= 0)
                for i in np.flatnonzero(fits).tolist():
                    column = model.column(float(kinds.count[i]))
                    self.done[j, i] = column
                    model.add(self.cover[i], column, 1.0)
                    for bands, bound in bounds:
                        if int(band[i]) in bands:
                            model.add(bound, column, float(minutes[i]))
                    for hours, pays in zip(self.hours, packing.pays[j], strict=True):
                        if pays:
                            model.add(hours, column, float(minutes[i]))

    def _cells(self) -> None:
        """Columns of cells used at each post, within the rigs and the crews that take turns."""
        model = self.model
        for q, turn in enumerate(self.turn_rows):
            many = float(len(turn.occurrences))
            for k, s in enumerate(turn.shapes):
                crews = model.row(dict.fromkeys(self.turns[q], -1.0), high=0.0)
                rigs: dict[int, int] = {}
                for j in self.packing.of_team[turn.team]:
                    rows = self.rows[j]
                    if not any(minutes[s] for _, minutes in rows):
                        continue
                    rig = self.packing.site.posts[j].rig
                    crew_count = self.packing.site.teams[turn.team].count
                    column = model.column(many * (1 if rig is not None else crew_count))
                    self.used[q, k, j] = column
                    model.add(crews, column, 1.0)
                    if rig is not None:
                        if rig not in rigs:
                            rigs[rig] = model.row(high=many)
                        model.add(rigs[rig], column, 1.0)
                    for bound, minutes in rows:
                        model.add(bound, column, -float(minutes[s]))
