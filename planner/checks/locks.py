"""Rule 17: a zone that is locked to rigs or positions is sprayed by those, from those.

The days of a lock reach the audit as closures of the zone and are kept by rules 1 and 13.
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.checks.case import Case
from planner.checks.violation import Violation


def rule_17(case: Case) -> Iterator[Violation]:
    """Keep zones to the rigs and positions that locks.csv ties them to."""
    locks = {lock.zone_id: lock for lock in case.campaign.locks}
    for spell in case.spells:
        lock = locks.get(spell.row.zone)
        if lock is None:
            continue
        for what, own, allowed in (
            ("rig", spell.ran.row.rig, lock.rigs),
            ("position", spell.ran.row.position, lock.positions),
        ):
            if allowed and own not in allowed:
                yield spell.place.breaks(
                    17,
                    f"Zone {spell.row.zone} is locked to {what} {' or '.join(allowed)} and is "
                    f"sprayed with {what} {own}.",
                    1,
                )
