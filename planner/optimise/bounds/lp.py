"""A mixed-integer programme in plain lists, solved by the solvers inside OR-Tools.

Only proven bounds count, never a solution and never a lone claim that there is none.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from enum import Enum
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from ortools.math_opt import model_pb2

INFINITY = float("inf")
TOLERANCE = 1e-7
"""Relative error allowed to a search's bound; the solvers' own is finer by ten [1]."""
MACHINE = 2.3e-16
"""Greatest relative error of one operation on floats [1]."""


class Solver(Enum):
    """Solvers that OR-Tools brings."""

    GLOP = "glop"
    HIGHS = "highs"
    SCIP = "scip"


@dataclass(frozen=True, slots=True)
class Answer:
    """What a solver came to.

    Attributes
    ----------
    bound
        Lower bound on the objective that it claims; None: none.
    value
        Objective of its best solution; None: none.
    duals
        Dual value of each row, of linear programmes only.
    columns
        Its best solution, empty without one: good for a proposal.
    """

    bound: float | None
    value: float | None
    duals: tuple[float, ...] = ()
    columns: tuple[float, ...] = ()


@dataclass
class Model:
    """Minimise the columns' costs within the rows.

    Every column has finite limits, so that any dual values give a bound.
    """

    cost: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)

    def column(
        self, high: float, cost: float = 0.0, *, low: float = 0.0, whole: bool = False
    ) -> int:
        """Add a column and return its index."""
        self.cost.append(cost)
        self.low.append(low)
        self.high.append(high)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(
        self,
        terms: Mapping[int, float] | None = None,
        *,
        low: float = -INFINITY,
        high: float = INFINITY,
    ) -> int:
        """Add a row and return its index."""
        self.row_low.append(low)
        self.row_high.append(high)
        index = len(self.row_low) - 1
        for column, factor in (terms or {}).items():
            self.add(index, column, factor)
        return index

    def add(self, row: int, column: int, factor: float) -> None:
        """Put a column into a row; each pair once."""
        if factor:
            self.entries.append((row, column, factor))

    def safe_bound(self, duals: tuple[float, ...]) -> float:
        r"""Return the bound that dual values give, whatever made them, rounding errors taken off.

        For rows :math:`l \le Ax \le h` and columns :math:`0 \le a \le x \le b`,

        .. math:: c x = \sum_i y_i (A x)_i + (c - A^T y) x \ge
            \sum_i \min(y_i l_i, y_i h_i) + \sum_j \min(d_j a_j, d_j b_j), \quad d = c - A^T y.

        A dual value on a side that has no limit is set to 0 first.
        """
        y = np.array(duals)
        row_low, row_high = np.array(self.row_low), np.array(self.row_high)
        y = np.where(
            ((y > 0) & ~np.isfinite(row_low)) | ((y < 0) & ~np.isfinite(row_high)), 0.0, y
        )
        sides = np.where(y > 0, row_low, np.where(y < 0, row_high, 0.0))
        cost = np.array(self.cost)
        reduced, weight = cost.copy(), np.abs(cost)
        table = np.array(self.entries).reshape(-1, 3)
        columns = table[:, 1].astype(np.int64)
        parts = table[:, 2] * y[table[:, 0].astype(np.int64)]
        np.subtract.at(reduced, columns, parts)
        np.add.at(weight, columns, np.abs(parts))
        count = np.bincount(columns, minlength=len(cost))
        slack = MACHINE * (count + 2) * weight
        low, high = np.array(self.low), np.array(self.high)
        ends = np.minimum((reduced - slack) * low, (reduced - slack) * high)
        ends = np.minimum(ends, np.minimum((reduced + slack) * low, (reduced + slack) * high))
        terms = [*(y * sides).tolist(), *ends.tolist()]
        return math.fsum(terms) - 4 * MACHINE * math.fsum(abs(term) for term in terms)

    def proven(self, *, nodes: int, seconds: float) -> float | None:
        """Return a lower bound on the objective; None where nothing could be proven.

        The linear programme's own bound is worked out from its dual values.  Where a search over
        the integers claims more, a second solver has to claim it too.
        """
        linear = self.solve(Solver.GLOP)
        best = self.safe_bound(linear.duals) if linear.duals else None
        if not any(self.whole):
            return best
        claims = []
        for solver in (Solver.HIGHS, Solver.SCIP):
            bound = self.solve(solver, nodes=nodes, seconds=seconds).bound
            if bound is None or (best is not None and bound <= best + TOLERANCE * abs(bound)):
                return best
            claims.append(bound - TOLERANCE * abs(bound))
        return min(claims)

    def solve(
        self, solver: Solver, *, seconds: float = INFINITY, nodes: int | None = None
    ) -> Answer:
        """Return what a solver comes to; integers are let go for the linear one.

        A solver that breaks down claims nothing.
        """
        from ortools.math_opt.python import mathopt  # noqa: PLC0415 - heavy

        model = mathopt.Model.from_model_proto(self._proto(linear=solver is Solver.GLOP))
        kinds = {
            Solver.GLOP: mathopt.SolverType.GLOP,
            Solver.HIGHS: mathopt.SolverType.HIGHS,
            Solver.SCIP: mathopt.SolverType.GSCIP,
        }
        limits = mathopt.SolveParameters(
            time_limit=None if seconds == INFINITY else timedelta(seconds=seconds),
            node_limit=nodes,
        )
        try:
            result = mathopt.solve(model, kinds[solver], params=limits)
        except (AttributeError, RuntimeError):  # OR-Tools 9.15 fails to word some breakdowns
            return Answer(None, None)
        duals: tuple[float, ...] = ()
        if solver is Solver.GLOP and result.has_dual_feasible_solution():
            rows = [model.get_linear_constraint(k) for k in range(len(self.row_low))]
            duals = tuple(result.dual_values(rows))
        bound = result.termination.objective_bounds.dual_bound
        has_value = result.has_primal_feasible_solution()
        columns: tuple[float, ...] = ()
        if has_value:
            every = [model.get_variable(k) for k in range(len(self.cost))]
            columns = tuple(result.variable_values(every))
        return Answer(
            bound if math.isfinite(bound) else None,
            result.objective_value() if has_value else None,
            duals,
            columns,
        )

    def _proto(self, *, linear: bool) -> model_pb2.ModelProto:
        from ortools.math_opt import model_pb2  # noqa: PLC0415 - heavy

        proto = model_pb2.ModelProto()
        columns, rows = len(self.cost), len(self.row_low)
        proto.variables.ids.extend(range(columns))
        proto.variables.lower_bounds.extend(self.low)
        proto.variables.upper_bounds.extend(self.high)
        proto.variables.integers.extend([False] * columns if linear else self.whole)
        used = [k for k in range(columns) if self.cost[k]]
        proto.objective.linear_coefficients.ids.extend(used)
        proto.objective.linear_coefficients.values.extend(self.cost[k] for k in used)
        proto.linear_constraints.ids.extend(range(rows))
        proto.linear_constraints.lower_bounds.extend(self.row_low)
        proto.linear_constraints.upper_bounds.extend(self.row_high)
        entries = sorted(self.entries)
        matrix = proto.linear_constraint_matrix
        matrix.row_ids.extend(row for row, _, _ in entries)
        matrix.column_ids.extend(column for _, column, _ in entries)
        matrix.coefficients.extend(factor for _, _, factor in entries)
        return proto
