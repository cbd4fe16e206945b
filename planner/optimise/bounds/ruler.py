"""Sets of minutes measured for whole arrays of stretches at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.core.spans import Spans

Minutes = NDArray[np.int64]


class Ruler:
    """A set of minutes, ready to be measured.

    Parameters
    ----------
    spans
        The set.
    """

    def __init__(self, spans: Spans) -> None:
        self.starts: Minutes = np.array(spans.starts, dtype=np.int64)
        self.ends: Minutes = np.array(spans.ends, dtype=np.int64)

    def hull(self, low: Minutes, high: Minutes) -> tuple[Minutes, Minutes]:
        """Return the first minute and the end of the last minute in each ``[low, high)``.

        Where nothing of the set lies in a stretch, both are its start.
        """
        if not len(self.starts):
            return low.copy(), low.copy()
        k = np.searchsorted(self.ends, low, side="right")
        first = np.maximum(low, self.starts[np.minimum(k, len(self.starts) - 1)])
        none = (k == len(self.starts)) | (first >= high)
        j = np.searchsorted(self.starts, high, side="left") - 1
        last = np.minimum(high, self.ends[np.maximum(j, 0)])
        return np.where(none, low, first), np.where(none, low, last)
