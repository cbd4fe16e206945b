"""The linear programmes that propose worth and prices for the packing bound.

Both ask by what factor cells and hours would have to be stretched for the demand to fit.  The
*fluid* programme lets work flow freely within nested capacities; the *master* puts together
whole choices of work.  Whatever they answer is a proposal only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

from planner.optimise.bounds.demand import Demand
from planner.optimise.bounds.kinds import Kinds
from planner.optimise.bounds.knapsack import Taken

SETTINGS = (
    "use_preprocessing:false use_dual_simplex:true",
    "use_preprocessing:false use_dual_simplex:false",
    "use_preprocessing:true use_dual_simplex:false",
)
"""Ways to solve, the next one where one fails."""
LOOSER = 1.0005
"""Rows of hours are proposed with this much more, so that cells come first where both bind."""
DEAR = 100.0
"""What a minute of work that nothing covers costs, against a stretch of 1."""


@dataclass(frozen=True)
class Supply:
    """What the programmes may use.

    Attributes
    ----------
    cells
        ``cells[t][s]``: how many cells of each shape a team has.
    crews
        Crews of each team; None where every rig can have one of its own.
    hours
        Most minutes of each row of hours.
    pays
        ``pays[post, row]``: whether minutes at a post count for a row.
    """

    cells: Sequence[NDArray[np.int64]]
    crews: Sequence[int | None]
    hours: Sequence[int]
    pays: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Column:
    """A choice of work of one post in one shape of cell."""

    team: int
    shape: int
    rig: int | None
    post: int
    work: tuple[Taken, ...]


@dataclass(frozen=True)
class Duals:
    """What a programme proposes: worth by kind, price by row of hours, value by shape."""

    stretch: float
    worth: NDArray[np.float64]
    hours: NDArray[np.float64]
    shape: dict[tuple[int, int], float]
    rig: dict[tuple[int, int, int], float]

    def value(self, team: int, shape: int, rig: int | None) -> float:
        """Return what a column of a shape must be worth more than to be of use."""
        own = 0.0 if rig is None else self.rig.get((team, shape, rig), 0.0)
        return own + self.shape.get((team, shape), 0.0)


@dataclass(frozen=True)
class Rough:
    """Rough kinds, as the programmes count them: mean minutes by post, and least of all."""

    of_kind: NDArray[np.int64]
    minutes: NDArray[np.float64]
    least: NDArray[np.float64]
    group: NDArray[np.int64]
    splits: NDArray[np.bool_]

    @classmethod
    def of(cls, kinds: Kinds) -> Rough:
        """Return the rough kinds of some kinds."""
        number = int(kinds.rough.max(initial=-1)) + 1
        weight = np.bincount(kinds.rough, weights=kinds.count, minlength=number)
        minutes = np.array(
            [
                np.bincount(kinds.rough, weights=row * kinds.count, minlength=number)
                for row in kinds.minutes.astype(float)
            ]
        ).reshape(-1, number)
        minutes = minutes / np.maximum(weight, 1.0)
        group = np.zeros(number, dtype=np.int64)
        group[kinds.rough] = kinds.group
        splits = np.zeros(number, dtype=bool)
        splits[kinds.rough] = kinds.piece >= 0
        return cls(kinds.rough, minutes, minutes.min(axis=0), group, splits)

    def __len__(self) -> int:
        return len(self.least)


class Programme:
    """Rows that both programmes share: demand, shapes of cells, hours; stretched by a factor."""

    def __init__(self, rough: Rough, demand: Demand, supply: Supply) -> None:
        self.solver = pywraplp.Solver.CreateSolver("GLOP")
        self.supply = supply
        infinity = self.solver.infinity()
        self.stretch = self.solver.NumVar(0.0, infinity, "stretch")
        self.solver.Objective().SetMinimization()
        self.rough = rough
        self.total = 1.0 + sum(
            float(rough.least[list(alternatives[0][0])].sum()) * len(members)
            for alternatives, members in demand.classes.items()
        )
        self.solver.Objective().SetCoefficient(self.stretch, self.total)
        self.cover = []
        for i in range(len(rough)):
            row = self.solver.Constraint(0.0, infinity)
            left = self.solver.NumVar(0.0, infinity, "")
            row.SetCoefficient(left, 1.0)
            self.solver.Objective().SetCoefficient(left, DEAR * float(rough.least[i]))
            self.cover.append(row)
        self._demand(demand)
        self.hours = [self._stretched(float(most) * LOOSER) for most in supply.hours]
        self.shape = {
            (t, s): self._stretched(float(crews * count))
            for t, (counts, crews) in enumerate(zip(supply.cells, supply.crews, strict=True))
            if crews is not None
            for s, count in enumerate(counts)
        }
        self.rig: dict[tuple[int, int, int], pywraplp.Constraint] = {}

    def _stretched(self, most: float) -> pywraplp.Constraint:
        row = self.solver.Constraint(-self.solver.infinity(), 0.0)
        row.SetCoefficient(self.stretch, -most)
        return row

    def _demand(self, demand: Demand) -> None:
        infinity = self.solver.infinity()
        volume = self.solver.Constraint(demand.volume_m3 - 1e-6, infinity)
        for alternatives, members in demand.classes.items():
            many = float(len(members))
            row = self.solver.Constraint(many if demand.is_whole else 0.0, many)
            mean = sum(demand.volumes[k] for k in members) / many
            for kinds, _ in alternatives:
                chosen = self.solver.NumVar(0.0, many, "")
                row.SetCoefficient(chosen, 1.0)
                if not demand.is_whole:
                    volume.SetCoefficient(chosen, mean)
                for i in set(kinds):
                    self.cover[i].SetCoefficient(chosen, -float(kinds.count(i)))
        if demand.is_whole:
            volume.SetBounds(-infinity, infinity)

    def use(self, team: int, shape: int, rig: int | None) -> pywraplp.Variable:
        """Return a new variable that uses cells of a shape."""
        used = self.solver.NumVar(0.0, self.solver.infinity(), "")
        if (team, shape) in self.shape:
            self.shape[team, shape].SetCoefficient(used, 1.0)
        if rig is not None:
            key = (team, shape, rig)
            if key not in self.rig:
                self.rig[key] = self._stretched(float(self.supply.cells[team][shape]))
            self.rig[key].SetCoefficient(used, 1.0)
        return used

    def charge(self, variable: pywraplp.Variable, post: int, minutes: float) -> None:
        """Count minutes at a post in the rows of hours."""
        for row, pays in zip(self.hours, self.supply.pays[post], strict=True):
            if pays:
                row.SetCoefficient(variable, minutes)

    def solve(self) -> Duals | None:
        """Return the proposal, or None if the programme could not be solved."""
        for settings in SETTINGS:
            self.solver.SetSolverSpecificParametersAsString(settings)
            status = self.solver.Solve()
            if status == pywraplp.Solver.OPTIMAL:
                break
        else:
            return None
        return Duals(
            self.solver.Objective().Value() / self.total,
            np.array([max(0.0, row.dual_value()) for row in self.cover]),
            np.array([max(0.0, -row.dual_value()) for row in self.hours]),
            {key: -row.dual_value() for key, row in self.shape.items()},
            {key: -row.dual_value() for key, row in self.rig.items()},
        )


class Master(Programme):
    """The programme over choices of work; grows by columns."""

    def add(self, column: Column) -> None:
        """Add a choice of work."""
        used = self.use(column.team, column.shape, column.rig)
        shares: dict[int, float] = {}
        for taken in column.work:
            i = int(self.rough.of_kind[taken.kind])
            shares[i] = shares.get(i, 0.0) + taken.share
        for i, share in shares.items():
            self.cover[i].SetCoefficient(used, share)
        self.charge(used, column.post, float(sum(taken.minutes for taken in column.work)))


class Fluid(Programme):
    """The programme over minutes in nested capacities."""

    def __init__(self, rough: Rough, demand: Demand, supply: Supply) -> None:
        super().__init__(rough, demand, supply)
        self.rows: dict[int, list[tuple[set[int], pywraplp.Constraint]]] = {}

    def add_post(
        self,
        post: int,
        *,
        team: int,
        rig: int | None,
        rows: list[tuple[set[int], NDArray[np.int64]]],
        longest: NDArray[np.int64],
        band: NDArray[np.int64],
    ) -> None:
        """Add a post.

        Parameters
        ----------
        rows
            Bands of each row of capacities, and its minutes by shape.
        longest
            Most minutes of each band alone in any shape.
        band
            Band of each rough kind; -1: none.
        """
        infinity = self.solver.infinity()
        bounds = [(bands, self.solver.Constraint(-infinity, 0.0)) for bands, _ in rows]
        most = np.max([minutes for _, minutes in rows], axis=0) if rows else np.zeros(0)
        for s in np.flatnonzero(most).tolist():
            if self.supply.cells[team][s]:
                used = self.use(team, s, rig)
                for (_, row), (_, minutes) in zip(bounds, rows, strict=True):
                    row.SetCoefficient(used, -float(minutes[s]))
        of_band = [[row for bands, row in bounds if b in bands] for b in range(len(longest))]
        for i in np.flatnonzero(band >= 0).tolist():
            length = float(self.rough.minutes[post, i])
            if length > longest[band[i]] and not self.rough.splits[i]:
                continue
            done = self.solver.NumVar(0.0, infinity, "")
            self.cover[i].SetCoefficient(done, 1.0)
            for row in of_band[int(band[i])]:
                row.SetCoefficient(done, length)
            self.charge(done, post, length)
        self.rows[post] = bounds

    def row_prices(self, post: int) -> NDArray[np.float64]:
        """Return the price of a minute in each row of capacities of a post."""
        return np.array([max(0.0, -row.dual_value()) for _, row in self.rows[post]])

    def band_prices(self, post: int, bands: int) -> NDArray[np.float64]:
        """Return the price of a minute in each band of a post."""
        prices = np.zeros(bands)
        for (mine, _), price in zip(self.rows[post], self.row_prices(post), strict=True):
            prices[sorted(mine)] += price
        return prices
