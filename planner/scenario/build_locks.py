"""Locks of a campaign, and the closures that keep their days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from planner.core.clock import Clock
from planner.core.wording import moment
from planner.model.identifiers import PositionId, RigId, ZoneId
from planner.model.limits import Closure, ClosureScope
from planner.model.lock import Lock
from planner.scenario.calendar import begins, ends
from planner.scenario.draft import Draft


def build_locks(draft: Draft, clock: Clock) -> tuple[Lock, ...]:
    """Return the locks in file order."""
    found = []
    for row in draft.rows("locks"):
        start, end = row.moment("from"), row.moment("to")
        found.append(
            Lock(
                zone_id=ZoneId(row.text("zone")),
                rigs=tuple(RigId(name) for name in row.names("rigs")),
                positions=tuple(PositionId(name) for name in row.names("positions")),
                from_min=None if start is None else begins(clock, start),
                to_min=None if end is None else ends(clock, end),
                why=row.text("why"),
            )
        )
    return tuple(found)


def lock_closures(locks: Iterable[Lock], clock: Clock) -> tuple[Closure, ...]:
    """Return closures of the zones outside the days that they are locked to."""
    return tuple(closure for lock in locks for closure in _outside(lock, clock))


def _outside(lock: Lock, clock: Clock) -> Iterator[Closure]:
    more = f": {lock.why}" if lock.why else ""
    if lock.from_min is not None and lock.from_min > 0:
        why = f"locked, not before {moment(clock, lock.from_min)}{more}"
        yield _closure(lock, 0, lock.from_min, why)
    if lock.to_min is not None and lock.to_min < clock.horizon_min:
        why = f"locked, not after {moment(clock, lock.to_min)}{more}"
        yield _closure(lock, lock.to_min, clock.horizon_min, why)


def _closure(lock: Lock, start: int, end: int, why: str) -> Closure:
    return Closure(
        scope=ClosureScope.ZONE, target=str(lock.zone_id), from_min=start, to_min=end, why=why
    )
