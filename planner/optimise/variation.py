"""Small changes to a guide: what the search tries next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from planner.optimise.guide import Guide
from planner.optimise.problem import Problem

KEY_SPREADS_MIN = (15.0, 60.0, 240.0)
Stays = list[list[int]]
FREE_ONE_IN = 12
"""One change in so many lets the rigs choose their positions anew."""


@dataclass(frozen=True)
class Variation:
    """Draws one change at a time from a seeded generator."""

    problem: Problem
    rng: np.random.Generator

    def of(self, guide: Guide, *, places: bool) -> Guide:
        """Return a changed copy; ``places``: positions may change, not only preferences."""
        kinds: list[Callable[[Guide], Guide]] = [self._keys, self._keys, self._swap, self._weights]
        if places:
            kinds += [
                self._reorder,
                self._transfer,
                self._drop,
                self._add,
                self._replace,
                self._share,
                self._free,
            ]
        if places and self._pick(FREE_ONE_IN) == 0:
            guide = guide.with_stays(((),) * len(guide.stays))
        if guide.banned and self._pick(2):
            guide = self._readmit(guide)
        return kinds[self._pick(len(kinds))](guide)

    def _readmit(self, guide: Guide) -> Guide:
        """Try zones again that were left out, with what they wait for."""
        names = sorted(guide.banned)
        again = {names[self._pick(len(names))] for _ in range(1 + self._pick(3))}
        keys = list(guide.keys)
        for z in sorted(again):
            keys[z] -= float(self.rng.choice((0.0, 60.0, 600.0)))
        wanted = set(again)
        for z in sorted(again):
            wanted |= set(self.problem.after[z])
        return replace(guide, keys=tuple(keys), banned=guide.banned - wanted)

    def _pick(self, count: int) -> int:
        return int(self.rng.integers(count))

    def _keys(self, guide: Guide) -> Guide:
        keys = list(guide.keys)
        spread = KEY_SPREADS_MIN[self._pick(len(KEY_SPREADS_MIN))]
        for _ in range(1 + self._pick(min(8, len(keys)))):
            keys[self._pick(len(keys))] += float(self.rng.normal(0.0, spread))
        return replace(guide, keys=tuple(keys))

    def _swap(self, guide: Guide) -> Guide:
        keys = list(guide.keys)
        a, b = self._pick(len(keys)), self._pick(len(keys))
        keys[a], keys[b] = keys[b] - 1.0, keys[a] + 1.0
        return replace(guide, keys=tuple(keys))

    def _weights(self, guide: Guide) -> Guide:
        return replace(
            guide,
            weights=replace(
                guide.weights,
                wait=float(self.rng.choice((1.0, 1.0, 4.0))),
                close=float(self.rng.choice((0.0, 0.1, 0.25, 0.5, 1.0))),
                length=float(self.rng.choice((0.0, 0.2, 0.4, 0.8))),
                patience=int(self.rng.choice((1, 2, 3, 6))),
                fill=bool(self.rng.choice((True, True, False))),
                begun=float(self.rng.choice((0.0, 60.0))),
                roam=float(self.rng.choice((0.0, 1.3, 2.0, 4.0))),
                look=int(self.rng.choice((1440, 4320, 10080))),
                scarce=float(self.rng.choice((0.0, 2.0, 8.0))),
                ahead=int(self.rng.choice((3, 6, 12))),
                inner=float(self.rng.choice((0.0, 2.0, 6.0))),
                leave=True,
            ),
        )

    # -- positions -----------------------------------------------------------------------------

    def _with(self, guide: Guide, stays: Stays) -> Guide:
        return guide.with_stays(tuple(tuple(row) for row in stays))

    def _rig_with(self, stays: Stays, least: int) -> int | None:
        rigs = [r for r, row in enumerate(stays) if len(row) >= least]
        return rigs[self._pick(len(rigs))] if rigs else None

    def _reorder(self, guide: Guide) -> Guide:
        stays = [list(row) for row in guide.stays]
        r = self._rig_with(stays, 2)
        if r is None:
            return self._keys(guide)
        i, j = sorted((self._pick(len(stays[r])), self._pick(len(stays[r]))))
        if self._pick(2):
            stays[r][i : j + 1] = reversed(stays[r][i : j + 1])
        else:
            stays[r].insert(i, stays[r].pop(j))
        return self._with(guide, stays)

    def _transfer(self, guide: Guide) -> Guide:
        stays = [list(row) for row in guide.stays]
        r = self._rig_with(stays, 1)
        if r is None or len(stays) == 1:
            return self._keys(guide)
        p = stays[r].pop(self._pick(len(stays[r])))
        others = [k for k in range(len(stays)) if k != r and (k, p) in self.problem.reach_sets]
        if not others:
            return self._keys(guide)
        other = others[self._pick(len(others))]
        stays[other].insert(self._pick(len(stays[other]) + 1), p)
        return self._with(guide, stays)

    def _drop(self, guide: Guide) -> Guide:
        stays = [list(row) for row in guide.stays]
        r = self._rig_with(stays, 2)
        if r is None:
            return self._keys(guide)
        del stays[r][self._pick(len(stays[r]))]
        return self._with(guide, stays)

    def _places(self, r: int) -> list[int]:
        return sorted(p for (k, p) in self.problem.reach_sets if k == r)

    def _add(self, guide: Guide) -> Guide:
        stays = [list(row) for row in guide.stays]
        r = self._pick(len(stays))
        places = self._places(r)
        if not places:
            return self._keys(guide)
        stays[r].insert(self._pick(len(stays[r]) + 1), places[self._pick(len(places))])
        return self._with(guide, stays)

    def _replace(self, guide: Guide) -> Guide:
        stays = [list(row) for row in guide.stays]
        r = self._rig_with(stays, 1)
        if r is None:
            return self._keys(guide)
        places = self._places(r)
        stays[r][self._pick(len(stays[r]))] = places[self._pick(len(places))]
        return self._with(guide, stays)

    def _share(self, guide: Guide) -> Guide:
        z = self._pick(len(guide.keys))
        pairs = sorted({(way.rig, way.position) for way in self.problem.ways[z]})
        wanted = [(r, p) for r, p in pairs if p in guide.stays[r]]
        if len(wanted) <= 1:
            return self._keys(guide)
        chosen = wanted[self._pick(len(wanted))]
        return replace(guide, share={**guide.share, z: frozenset({chosen})})

    def _free(self, guide: Guide) -> Guide:
        if not guide.share:
            return self._share(guide)
        names = sorted(guide.share)
        z = names[self._pick(len(names))]
        return replace(guide, share={k: v for k, v in guide.share.items() if k != z})
