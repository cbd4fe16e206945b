"""Draws for random campaigns: whole steps of a grid, chances, choices."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Luck:
    """Draw small things; with ``step_min`` above 1 every time lies on that grid.

    ``pick`` returns a whole number between two others, both included: Hypothesis, or a seeded
    generator.  A drawn 0 is always the plain case, so that Hypothesis shrinks towards campaigns
    without features.
    """

    pick: Callable[[int, int], int]
    step_min: int

    @property
    def on_grid(self) -> bool:
        """Return whether all times are to lie on a grid."""
        return self.step_min > 1

    def chance(self, percent: int) -> bool:
        """Return True about so often."""
        return self.pick(0, 99) >= 100 - percent

    def whole(self, low: int, high: int) -> int:
        """Return a whole number, both ends included."""
        return self.pick(low, high)

    def minutes(self, low: int, high: int) -> int:
        """Return minutes between two values, on the grid."""
        return self.step_min * self.whole(-(-low // self.step_min), high // self.step_min)

    def hours(self, low: int, high: int) -> float:
        """Return hours between two values, on the grid."""
        return self.minutes(60 * low, 60 * high) / 60.0

    def tenths(self, low: float, high: float) -> float:
        """Return a number with one decimal."""
        return self.whole(round(10 * low), round(10 * high)) / 10.0

    def one_of(self, choices: Sequence[T]) -> T:
        """Return one of some values; the first is the plainest."""
        return choices[self.whole(0, len(choices) - 1)]

    def some_of(self, choices: Sequence[T], percent: int) -> tuple[T, ...]:
        """Return those of some values that come up."""
        return tuple(choice for choice in choices if self.chance(percent))


def seeded(seed: int) -> Callable[[int, int], int]:
    """Return draws of a seeded generator: even, independent, and the same on every machine."""
    rng = np.random.default_rng(seed)
    return lambda low, high: int(rng.integers(low, high, endpoint=True))
