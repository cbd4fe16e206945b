"""Why a zone is not in a plan: the reason told with the plan, and the facts behind it."""

from __future__ import annotations

from collections.abc import Iterator

from planner.core.wording import time_range
from planner.explain.ground import Ground
from planner.model.identifiers import ZoneId
from planner.model.mix import MixFace
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.options.build import Options
from planner.trade.faces import faces_for
from planner.trade.rates import placing_rate_m3_h, spell_minutes
from planner.trade.remaining import remaining_layers

NEAREST = 3


def why_left_out(ground: Ground, zone_id: ZoneId) -> tuple[str, ...]:
    """Return why a zone is left out, in sentences; nothing where the plan sprays it.

    First the reason that the plan gives, then what reaches the zone or nearly does, its longest
    window, and the shortest time that its longest layer takes.
    """
    reasons = [row.reason for row in ground.plan.unplanned if row.zone == zone_id]
    if zone_id in ground.spells_of_zone:
        return ()
    zone = ground.zones[zone_id]
    return (*reasons, *_reach(ground, zone), *_windows(ground, zone), *_layers(ground, zone))


def _reach(ground: Ground, zone: Zone) -> Iterator[str]:
    for rig in ground.campaign.rigs:
        if not faces_for(ground.campaign, zone, rig):
            yield f"Rig {rig.rig_id} sprays no mix that {zone.zone_id} may use."
            continue
        places = [
            str(position.position_id)
            for position in ground.campaign.positions
            if ground.reach.reaches(position, zone, rig)
        ]
        if places:
            yield f"Rig {rig.rig_id} reaches it from {', '.join(places)}."
        else:
            near = ground.reach.shortfalls(zone, [rig], most=NEAREST)
            yield from (f"Out of reach: {short.sentence()}." for short in near)


def _windows(ground: Ground, zone: Zone) -> Iterator[str]:
    found = ground.access.shortened(zone)
    if not found:
        yield "People can work at it at no time in the campaign's days."
        return
    start, end = max(found, key=lambda span: (span[1] - span[0], -span[0]))
    yield (
        f"People can work at it in {len(found)} stretches; the longest is "
        f"{time_range(ground.clock, start, end)}, {end - start} min."
    )


def _layers(ground: Ground, zone: Zone) -> Iterator[str]:
    options = Options(ground.campaign, ground.access, ground.reach)
    best: tuple[int, str] | None = None
    for rig in ground.campaign.rigs:
        for mix, face in faces_for(ground.campaign, zone, rig).items():
            for need, room, place in _tries(ground, options, zone, rig, face):
                text = (
                    f"Its longest layer takes {need} min with {mix} by {rig.rig_id} from {place}; "
                    f"the longest stretch with crew, rig and position free is {max(0, room)} min."
                )
                if best is None or need - room < best[0]:
                    best = (need - room, text)
    if best is not None:
        yield best[1]


def _tries(
    ground: Ground, options: Options, zone: Zone, rig: Rig, face: MixFace
) -> Iterator[tuple[int, int, str]]:
    left = remaining_layers(ground.campaign, zone, face)
    for position in ground.campaign.positions:
        hose = ground.reach.run(position, zone, rig)
        if not left or hose is None or not ground.reach.reaches(position, zone, rig):
            continue
        rate = placing_rate_m3_h(rig, face, hose.hose_m)
        need = max(spell_minutes(part.volume_m3, rate) for part in left)
        room = options.longest_stretch(zone, face, rig, position, last=False)
        yield need, room, str(position.position_id)
