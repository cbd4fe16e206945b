"""A linear programme in whole numbers, built row by row and solved by HiGHS through scipy."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import inf

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

Terms = Mapping[int, float]
OPTIMAL, TIME_OUT, NO_SOLUTION = 0, 1, 2  # status of scipy.optimize.milp


class NotProvenError(Exception):
    """HiGHS stopped before it had proven an optimum."""


@dataclass(slots=True)
class Programme:
    """Variables and rows of a linear programme in whole numbers."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[dict[int, float], float, float]] = field(default_factory=list)

    def variable(self, *, low: float = 0.0, high: float = 1.0, whole: bool = True) -> int:
        """Add a variable and return its number."""
        self.lower.append(low)
        self.upper.append(high)
        self.whole.append(whole)
        return len(self.lower) - 1

    def row(
        self, terms: Iterable[tuple[int, float]], *, low: float = -inf, high: float = inf
    ) -> None:
        """Demand ``low <= sum of terms <= high``; terms of one variable add up."""
        summed: dict[int, float] = {}
        for number, factor in terms:
            summed[number] = summed.get(number, 0.0) + factor
        self.rows.append((summed, low, high))

    def minimise(self, objective: Terms, *, seconds: float) -> tuple[float, NDArray[np.float64]]:
        """Return the least value of an objective and a solution that has it.

        Raises
        ------
        NotProvenError
            If the time ran out.
        ValueError
            If there is no solution.
        """
        costs = np.zeros(len(self.lower))
        for number, factor in objective.items():
            costs[number] = factor
        result = milp(
            costs,
            integrality=np.array(self.whole, dtype=int),
            bounds=Bounds(self.lower, self.upper),
            constraints=self._constraint(),
            options={"mip_rel_gap": 0.0, "time_limit": seconds},
        )
        if result.status == NO_SOLUTION:
            raise ValueError("the programme has no solution")
        if result.status != OPTIMAL:
            raise NotProvenError(result.message)
        return float(result.fun), np.asarray(result.x, dtype=np.float64)

    def _constraint(self) -> LinearConstraint:
        numbers: list[int] = []
        factors: list[float] = []
        starts = [0]
        for terms, _, _ in self.rows:
            numbers.extend(terms)
            factors.extend(terms.values())
            starts.append(len(numbers))
        matrix = csr_array((factors, numbers, starts), shape=(len(self.rows), len(self.lower)))
        return LinearConstraint(
            matrix, [low for _, low, _ in self.rows], [high for _, _, high in self.rows]
        )
