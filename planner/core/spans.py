"""Sets of whole minutes as sorted, disjoint, non-touching half-open spans.

Half-open ``[start, end)`` everywhere: spans that touch are one span, empty ones vanish.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from itertools import accumulate

Span = tuple[int, int]


class Spans:
    """An immutable set of minutes.

    Parameters
    ----------
    pairs
        Any spans ``(start, end)`` [min], in any order, overlapping or not; those with
        ``end <= start`` are dropped.

    Examples
    --------
    >>> Spans([(5, 9), (0, 3), (3, 4)])
    Spans([(0, 4), (5, 9)])
    >>> (Spans([(0, 10)]) - Spans([(4, 6)])) & Spans([(2, 7)])
    Spans([(2, 4), (6, 7)])
    """

    __slots__ = ("_hash", "_prefix", "ends", "starts")

    starts: tuple[int, ...]
    ends: tuple[int, ...]

    def __init__(self, pairs: Iterable[Span] = ()) -> None:
        starts: list[int] = []
        ends: list[int] = []
        for start, end in sorted(pairs):
            if end <= start:
                continue
            if ends and start <= ends[-1]:
                ends[-1] = max(ends[-1], end)
            else:
                starts.append(start)
                ends.append(end)
        self.starts = tuple(starts)
        self.ends = tuple(ends)
        self._prefix: tuple[int, ...] | None = None
        self._hash: int | None = None

    @classmethod
    def in_order(cls, starts: list[int], ends: list[int]) -> Spans:
        """Return spans that are known to be sorted, disjoint, apart and not empty."""
        made = cls()
        made.starts = tuple(starts)
        made.ends = tuple(ends)
        return made

    @classmethod
    def whole(cls, start: int, end: int) -> Spans:
        """Return one span, or nothing when it is empty."""
        return cls([(start, end)])

    def __iter__(self) -> Iterator[Span]:
        return iter(zip(self.starts, self.ends, strict=True))

    def __len__(self) -> int:
        return len(self.starts)

    def __bool__(self) -> bool:
        return bool(self.starts)

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        if not isinstance(other, Spans):
            return NotImplemented
        return self.starts == other.starts and self.ends == other.ends

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash((self.starts, self.ends))
        return self._hash

    def __repr__(self) -> str:
        return f"Spans({list(self)})"

    def __contains__(self, minute: object) -> bool:
        return isinstance(minute, int) and self.around(minute) is not None

    def __or__(self, other: Spans) -> Spans:
        return Spans([*self, *other])

    def __and__(self, other: Spans) -> Spans:
        starts: list[int] = []
        ends: list[int] = []
        i = j = 0
        while i < len(self.starts) and j < len(other.starts):
            start = max(self.starts[i], other.starts[j])
            end = min(self.ends[i], other.ends[j])
            if start < end:
                starts.append(start)
                ends.append(end)
            if self.ends[i] < other.ends[j]:
                i += 1
            else:
                j += 1
        return Spans.in_order(starts, ends)

    def __sub__(self, other: Spans) -> Spans:
        if not self.starts or not other.starts:
            return self
        return self & other.complement(self.starts[0], self.ends[-1])

    def complement(self, start: int, end: int) -> Spans:
        """Return the minutes of ``[start, end)`` that are not in this set."""
        edges: list[Span] = []
        at = start
        for low, high in self:
            if high <= start:
                continue
            if low >= end:
                break
            edges.append((at, low))
            at = max(at, high)
        edges.append((at, end))
        return Spans(edges)

    def clip(self, start: int, end: int) -> Spans:
        """Return the minutes of this set that lie in ``[start, end)``, in logarithmic time."""
        first = bisect_right(self.ends, start)
        last = bisect_left(self.starts, end)
        if last <= first or start >= end:
            return Spans()
        starts = list(self.starts[first:last])
        ends = list(self.ends[first:last])
        starts[0] = max(start, starts[0])
        ends[-1] = min(end, ends[-1])
        return Spans.in_order(starts, ends)

    def shrink(self, *, first: int = 0, last: int = 0) -> Spans:
        """Return each span shortened by ``first`` at its start and ``last`` at its end [min]."""
        if first < 0 or last < 0:
            return Spans([(start + first, end - last) for start, end in self])
        kept = [k for k in range(len(self.starts)) if self.ends[k] - self.starts[k] > first + last]
        return Spans.in_order(
            [self.starts[k] + first for k in kept], [self.ends[k] - last for k in kept]
        )

    def grow(self, *, before: int = 0, after: int = 0) -> Spans:
        """Return each span lengthened by ``before`` and ``after`` [min]; neighbours may join."""
        return Spans([(start - before, end + after) for start, end in self])

    def at_least(self, minutes: int) -> Spans:
        """Return the spans that are ``minutes`` long or longer."""
        return Spans([(start, end) for start, end in self if end - start >= minutes])

    def around(self, minute: int) -> Span | None:
        """Return the span that holds a minute, or None."""
        index = bisect_right(self.starts, minute) - 1
        if index >= 0 and minute < self.ends[index]:
            return self.starts[index], self.ends[index]
        return None

    def covers(self, start: int, end: int) -> bool:
        """Return whether every minute of ``[start, end)`` is in this set; true when empty."""
        if end <= start:
            return True
        index = bisect_right(self.starts, start) - 1
        return index >= 0 and end <= self.ends[index]

    def touches(self, start: int, end: int) -> bool:
        """Return whether any minute of ``[start, end)`` is in this set."""
        if end <= start:
            return False
        index = bisect_left(self.starts, end) - 1
        return index >= 0 and self.ends[index] > start

    def first_fit(self, after: int, length: int) -> int | None:
        """Return the earliest start at or after ``after`` with ``length`` minutes in one span."""
        index = max(0, bisect_right(self.starts, after) - 1)
        for k in range(index, len(self.starts)):
            start = max(after, self.starts[k])
            if start + length <= self.ends[k]:
                return start
        return None

    def last_fit(self, before: int, length: int) -> int | None:
        """Return the latest start of ``length`` minutes in one span that end by ``before``."""
        for k in range(bisect_right(self.starts, before) - 1, -1, -1):
            end = min(before, self.ends[k])
            if end - length >= self.starts[k]:
                return end - length
        return None

    def minutes(self) -> int:
        """Return how many minutes the set holds [min]."""
        return sum(self.ends) - sum(self.starts)

    def minutes_before(self, minute: int) -> int:
        """Return how many minutes of the set lie before a minute, in logarithmic time [min]."""
        if self._prefix is None:
            lengths = (end - start for start, end in self)
            self._prefix = (0, *accumulate(lengths))
        index = bisect_right(self.starts, minute)
        if index == 0:
            return 0
        return self._prefix[index] - max(0, self.ends[index - 1] - minute)

    def nth_minute(self, count: int) -> int | None:
        """Return the least minute before which ``count`` minutes of the set lie, or None."""
        if count <= 0:
            return self.starts[0] if self.starts else None
        self.minutes_before(0)
        prefix = self._prefix or (0,)
        index = bisect_left(prefix, count)
        if index >= len(prefix):
            return None
        return self.starts[index - 1] + count - prefix[index - 1]
