"""Why a zone is not in a plan: one plain sentence that names what stands in the way."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from planner.core.spans import Spans
from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, ZoneId
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.options.build import Options, may_spray, rig_takes
from planner.options.cards import barred
from planner.options.sharing import lacking, may_share
from planner.trade.quantities import finish_minutes
from planner.trade.rates import placing_rate_m3_h, spell_minutes
from planner.trade.remaining import remaining_layers


def why_unplanned(options: Options, zone: Zone, planned: frozenset[ZoneId]) -> str:
    """Return the first thing that stands in the way of a zone, from mix to calendar.

    Parameters
    ----------
    options
        Options of the campaign.
    zone
        A zone that the plan leaves out.
    planned
        Zones that the plan completes.
    """
    causes: tuple[Callable[[], str | None], ...] = (
        lambda: _no_mix(options, zone),
        lambda: _nothing(options, zone),
        lambda: _no_rig(options, zone),
        lambda: _out_of_reach(options, zone),
        lambda: _locked(options, zone),
        lambda: _no_crew(options, zone),
        lambda: _not_together(options, zone),
        lambda: _no_window(options, zone),
        lambda: _too_short(options, zone),
        lambda: _no_break_out(options, zone),
        lambda: _waits(options, zone, planned),
    )
    for cause in causes:
        found = cause()
        if found is not None:
            return found
    return (
        "It could be sprayed, but no room was found for it in the campaign's days beside the "
        "zones that are planned."
    )


def _no_mix(options: Options, zone: Zone) -> str | None:
    if options.faces[zone.zone_id]:
        return None
    rows = [face for face in options.campaign.mixes if face.orientation is zone.orientation]
    rows = [face for face in rows if not zone.mixes or face.mix_id in zone.mixes]
    if not rows:
        return f"No mix that the zone may use has a row for {zone.orientation} faces."
    if zone.wets_at_m is not None and all(face.protect_h is None for face in rows):
        return (
            f"No mix for {zone.orientation} faces says how long it must be kept dry (protect_h), "
            "and water reaches this zone."
        )
    return (
        f"No mix for {zone.orientation} faces says how long to wait between layers "
        "(layer_gap_min_h), and this zone needs more than one layer."
    )


def _nothing(options: Options, zone: Zone) -> str | None:
    campaign = options.campaign
    if any(remaining_layers(campaign, zone, face) for face in _faces(options, zone)):
        return None
    return "It holds nothing to spray: less than a cubic centimetre in place."


def _faces(options: Options, zone: Zone) -> list[MixFace]:
    return list(options.faces[zone.zone_id].values())


def _no_rig(options: Options, zone: Zone) -> str | None:
    faces = _faces(options, zone)
    if any(rig_takes(rig, face) for rig in options.campaign.rigs for face in faces):
        return None
    names = " or ".join(face.mix_id for face in faces)
    return f"No rig sprays {names}, the mixes that this zone may use."


def _out_of_reach(options: Options, zone: Zone) -> str | None:
    faces = _faces(options, zone)
    rigs = [r for r in options.campaign.rigs if any(rig_takes(r, face) for face in faces)]
    found = options.reach.why_unreached(zone, rigs)
    return None if found is None else f"{found[:1].upper()}{found[1:]}."


def _locked(options: Options, zone: Zone) -> str | None:
    """Say where nothing that a lock allows reaches the zone (rule 17)."""
    lock = next((row for row in options.campaign.locks if row.zone_id == zone.zone_id), None)
    if lock is None:
        return None
    if any(options.allows(zone, rig, at) for _, rig, at in _within_reach(options, zone)):
        return None
    ties = [f"rig {' or '.join(lock.rigs)}"] if lock.rigs else []
    ties += [f"position {' or '.join(lock.positions)}"] if lock.positions else []
    return (
        f"It is locked to {' and '.join(ties)} (locks.csv), and that does not reach or spray it."
    )


def _no_crew(options: Options, zone: Zone) -> str | None:
    crews = options.campaign.crews
    able = [
        (crew, face) for crew in crews for face in _faces(options, zone) if may_spray(crew, face)
    ]
    if any(_has_card(options, crew, face) for crew, face in able):
        return None
    if able:
        return (
            f"No spraying crew has the cards for {zone.orientation} faces (cards.csv) in any of "
            "its shifts."
        )
    processes = " or ".join(sorted({face.process for face in _faces(options, zone)}))
    return f"No spraying crew may spray {processes} mix on {zone.orientation} faces."


def _has_card(options: Options, crew: Crew, face: MixFace) -> bool:
    shut = barred(options.access, options.campaign, crew, face.process, face.orientation)
    shifts = options.access.shifts(crew.shift_id)
    return not shut or any(not shut.covers(a, b) for a, b in shifts)


def _not_together(options: Options, zone: Zone) -> str | None:
    """Say where rule 16 alone keeps every rig, crew and position away."""
    if not options.campaign.resources:
        return None
    words = None
    for crews, rig, place in _within_reach(options, zone):
        if may_share(options.campaign, crews, zone, rig, place):
            return None
        words = words or lacking(options.campaign, zone, rig, place, *crews[:1])
    if words is None:
        return None
    return (
        f"Zone, position, rig and crew together take {words}, whichever of those that could spray"
        " it."
    )


def _within_reach(options: Options, zone: Zone) -> Iterator[tuple[list[Crew], Rig, Position]]:
    """Yield the crews, rigs and positions that could spray a zone, time and sharing aside."""
    for face in _faces(options, zone):
        crews = [crew for crew in options.campaign.crews if may_spray(crew, face)]
        for rig in options.campaign.rigs:
            for place in options.campaign.positions if rig_takes(rig, face) else ():
                if options.reach.reaches(place, zone, rig):
                    yield crews, rig, place


def _no_window(options: Options, zone: Zone) -> str | None:
    windows = options.access.windows(zone)
    least = options.campaign.rules.window_min_min
    if not windows:
        return (
            f"It has no window of {least} min or more in the campaign's days; what keeps it shut, "
            f"most first: {', '.join(_shut_by(options, zone))}."
        )
    if not options.access.shortened(zone):
        return "Getting in and out takes longer than its longest window."
    faces = _faces(options, zone)
    if any(options.spray_spans(zone, face, last=False) for face in faces):
        return None
    change = options.campaign.rules.zone_change_min
    ready = zone.ready_from_min or 0
    workable = options.access.shortened(zone).shrink(first=change)
    if not workable:
        return (
            f"In its longest window no time is left for spraying after getting in and out and "
            f"the {change} min of a zone change."
        )
    if not workable.clip(
        max(ready, options.campaign.start_min), options.campaign.clock.horizon_min
    ):
        return "None of its windows comes after the time from which it is ready."
    if zone.wets_at_m is not None:
        hours = max((face.protect_h or 0.0) for face in faces)
        return (
            f"In none of its windows does the fresh surface stay dry until it is safe from "
            f"wetting ({hours:g} h)."
        )
    return None


def _shut_by(options: Options, zone: Zone) -> list[str]:
    """Return the sorts of causes that keep a zone shut, the one that takes most time first."""
    end = options.campaign.clock.horizon_min
    taken: dict[str, Spans] = {}
    for layer in options.access.layers(zone):
        here = layer.spans.clip(0, end)
        taken[layer.group] = taken.get(layer.group, Spans()) | here
    return sorted((name for name in taken if taken[name]), key=lambda name: -taken[name].minutes())


def _too_short(options: Options, zone: Zone) -> str | None:
    if options.by_zone[zone.zone_id]:
        return None
    need, room = _best_try(options, zone)
    longest = max((b - a for a, b in options.access.shortened(zone)), default=0)
    if zone.joint_allowed:
        trimming = max(finish_minutes(zone, face) for face in _faces(options, zone))
        if room <= 0 < trimming:
            return (
                f"After its last spell {trimming} min of trimming must fit into the same window; "
                f"none is long enough for both: the longest is {longest} min."
            )
        return (
            f"No stretch of {need} min, the shortest spell, is open to a crew, a rig and this "
            f"zone at once: the longest is {room} min."
        )
    return (
        f"Its longest layer needs {need} min in one spell and may not be split; its longest "
        f"window is {longest} min for people, of which a crew and a rig can spray {room} min."
    )


def _best_try(options: Options, zone: Zone) -> tuple[int, int]:
    """Return minutes needed and minutes there, of the option that comes nearest to fitting."""
    campaign = options.campaign
    best: tuple[int, int, int] | None = None
    for face in _faces(options, zone):
        left = remaining_layers(campaign, zone, face)
        for rig in campaign.rigs:
            if not rig_takes(rig, face):
                continue
            for position in options.allowed(zone, rig):
                hose = options.reach.run(position, zone, rig)
                if hose is None or not options.reach.reaches(position, zone, rig):
                    continue
                rate = placing_rate_m3_h(rig, face, hose.hose_m)
                need = max(spell_minutes(part.volume_m3, rate) for part in left)
                if zone.joint_allowed:
                    need = min(need, campaign.rules.spell_min_min)
                room = options.longest_stretch(zone, face, rig, position, last=True)
                if best is None or need - room < best[0]:
                    best = (need - room, need, room)
    return (0, 0) if best is None else best[1:]


def _no_break_out(options: Options, zone: Zone) -> str | None:
    campaign = options.campaign
    if not campaign.plans_break_out or zone.broken_out:
        return None
    crews = [crew for crew in campaign.crews if crew.kind is CrewKind.BREAK_OUT]
    if not may_share(campaign, crews, zone):
        words = lacking(campaign, zone, crews[0])
        return f"Zone and break-out crew together take {words}, for every break-out crew."
    windows = options.access.shortened(zone)
    for crew in crews:
        hours = options.access.crew_open(crew)
        if any(windows & hours.clip(a, b) for a, b in options.access.shifts(crew.shift_id)):
            return None
    return "No break-out crew has a shift inside any of its windows."


def _waits(options: Options, zone: Zone, planned: frozenset[ZoneId]) -> str | None:
    zones = {one.zone_id: one for one in options.campaign.zones}
    blockers = [
        name
        for name in zone.after
        if name not in planned and not _is_complete(options, zones[name])
    ]
    if not blockers:
        return None
    verb = "is" if len(blockers) == 1 else "are"
    return f"It must wait for {', '.join(blockers)}, which {verb} not planned."


def _is_complete(options: Options, zone: Zone) -> bool:
    """Return whether progress shows that nothing is left of a zone."""
    campaign = options.campaign
    if not any(row.zone_id == zone.zone_id for row in campaign.done):
        return False
    return any(not remaining_layers(campaign, zone, face) for face in _faces(options, zone))
