r"""Bound on the finish from the time there is: rigs, crews and window bands.

For a horizon :math:`T`, a rig :math:`r` and any set of minutes :math:`V`, the zones that can
only be worked inside :math:`V` share the minutes of :math:`V` before :math:`T` in which the rig
can work.  With shares :math:`x_{zr}` of zone work,

.. math::
   \sum_{r \in R} \sum_{z:\,U_z \subseteq V} p_{zr} x_{zr} \le C_{RV}(T), \qquad
   \sum_r x_{zr} = 1,

for each rig, each process and all rigs as :math:`R`; :math:`C` counts at each minute the
lesser of rigs and crews, and keeps crews' duties and weeks.  Any multipliers :math:`y \ge 0`
of the rows give a valid inequality

.. math::
   \sum_z \min_r p_{zr} \sum_{R \ni r,\,V \supseteq U_z} y_{RV} \le \sum y_{RV} C_{RV}(T)

so the least :math:`T` that satisfies it is a bound, whatever made :math:`y`.  A linear programme
proposes :math:`y`; the bound is then worked out in whole numbers (Dinkelbach's iteration).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.core.spans import Spans
from planner.optimise.bounds.hours import rig_curve
from planner.optimise.bounds.work import Work

SCALE = 1 << 20
MOST_BANDS = 16
MOST_ROUNDS = 12


class Capacity:
    """Rows of capacity for bands of zones, for each rig and for all together."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.problem = work.problem
        self.bands = _bands(work)
        self.members = [
            frozenset(
                z
                for z in range(len(self.problem.zones))
                if work.minutes[z] and _inside(work.where[z], band)
            )
            for band in self.bands
        ]
        self.sets = _rig_sets(work)
        self.rows = [(s, v) for v in range(len(self.bands)) for s in range(len(self.sets))]
        self.curves = [rig_curve(work, self.sets[s], self.bands[v]) for s, v in self.rows]
        self.of_zone: list[list[int]] = [[] for _ in self.problem.zones]
        for v, members in enumerate(self.members):
            for z in members:
                self.of_zone[z].append(v)

    def finish(self, volume_m3: float) -> int:
        """Return a minute before which no plan of at least this volume can finish [min]."""
        best = self.problem.start
        whole = (len(self.sets) - 1, len(self.bands) - 1)
        weights = [1 if row == whole else 0 for row in self.rows]
        for _ in range(MOST_ROUNDS):
            found = self.least_horizon(weights, volume_m3)
            if found <= best and best > self.problem.start:
                break
            best = max(best, found)
            proposal = self._propose(best, volume_m3)
            if proposal is None:
                break
            weights = proposal
        return best

    def least_horizon(self, weights: Sequence[int], volume_m3: float) -> int:
        """Return the least horizon that the inequality with these multipliers allows [min]."""
        need = self.needed(weights, volume_m3)
        return _least_minute(
            lambda t: (
                sum(
                    w * curve.before(t) for w, curve in zip(weights, self.curves, strict=True) if w
                )
                >= need
            ),
            self.problem.start,
            self.problem.end,
        )

    def needed(self, weights: Sequence[int], volume_m3: float) -> int:
        """Return the left side of the inequality for plans of at least this volume."""
        per_rig: dict[tuple[int, int], int] = {}
        for w, (s, v) in zip(weights, self.rows, strict=True):
            for r in self.sets[s] if w else ():
                per_rig[r, v] = per_rig.get((r, v), 0) + w
        loads = []
        for z, by_mix in enumerate(self.work.minutes):
            if not by_mix:
                continue
            prices = {
                r: sum(per_rig.get((r, v), 0) for v in self.of_zone[z])
                for rigs in by_mix.values()
                for r in rigs
            }
            least = min(
                sum(
                    min(prices[r] * times[k] for r, times in rigs.items())
                    for k in range(len(next(iter(rigs.values()))))
                )
                for rigs in by_mix.values()
            )
            loads.append((least, self.problem.left_volume[z]))
        return least_load(loads, volume_m3)

    def _propose(self, horizon: int, volume_m3: float) -> list[int] | None:
        """Return multipliers that show a horizon to be too short, or None if none do."""
        from planner.optimise.bounds.programme import overload_multipliers  # noqa: PLC0415

        found = overload_multipliers(self, horizon, volume_m3)
        if found is None:
            return None
        return [max(0, round(value * SCALE)) for value in found]


def least_load(loads: list[tuple[int, float]], volume_m3: float) -> int:
    """Return the least total load of zones that together hold at least a volume.

    Relaxed: zones in part, cheapest per m³ first; rounded down.  With all zones needed it is
    the plain sum.
    """
    total = sum(volume for _, volume in loads)
    spare = total - volume_m3
    if spare <= 1e-6:  # noqa: PLR2004 - cubic centimetres
        return sum(load for load, _ in loads)
    kept = float(sum(load for load, _ in loads))
    for load, volume in sorted(loads, key=lambda row: -row[0] / max(row[1], 1e-9)):
        part = min(1.0, spare / max(volume, 1e-9))
        kept -= part * load
        spare -= part * volume
        if spare <= 0:
            break
    return int(kept)


def _bands(work: Work) -> list[Spans]:
    """Return the sets of minutes to write rows for: distinct windows, and all together last."""
    distinct = sorted(
        {spans for z, spans in enumerate(work.where) if work.minutes[z]},
        key=lambda spans: (spans.minutes(), spans.starts),
    )
    if len(distinct) > MOST_BANDS:
        step = len(distinct) / MOST_BANDS
        distinct = [
            distinct[min(len(distinct) - 1, int((k + 1) * step) - 1)] for k in range(MOST_BANDS)
        ]
    whole = Spans([pair for spans in {s for s in work.where} for pair in spans])
    return [spans for spans in distinct if spans != whole] + [whole]


def _inside(inner: Spans, outer: Spans) -> bool:
    return all(outer.covers(start, end) for start, end in inner)


def _rig_sets(work: Work) -> list[tuple[int, ...]]:
    """Return the sets of rigs to write rows for: each rig, each process, all together last."""
    problem = work.problem
    sets = [(r,) for r in range(len(problem.rigs))]
    processes = sorted({rig.rig.process for rig in problem.rigs})
    for process in processes:
        sets.append(tuple(r for r, rig in enumerate(problem.rigs) if rig.rig.process == process))
    sets.append(tuple(range(len(problem.rigs))))
    return sorted(set(sets), key=lambda rigs: (len(rigs), rigs))


def _least_minute(holds: Callable[[int], bool], low: int, high: int) -> int:
    if not holds(high):
        return high
    while low < high:
        middle = (low + high) // 2
        if holds(middle):
            high = middle
        else:
            low = middle + 1
    return low
