"""Rules 10 to 13 for one spell: layers, zones before, panels, break-out, zones kept apart."""

from __future__ import annotations

from collections.abc import Iterator

from planner.core.clock import MINUTES_PER_DAY, MINUTES_PER_HOUR
from planner.core.rounding import down, up
from planner.core.spans import Spans
from planner.core.wording import moment
from planner.explain.cause import CauseKind
from planner.explain.ground import Ground
from planner.explain.hold import Hold, Place, from_on
from planner.model.identifiers import ZoneId
from planner.model.limits import ApartKind
from planner.model.zone import Zone
from planner.plan.plan import Spell


def order_holds(ground: Ground, place: Place) -> Iterator[Hold]:
    """Yield what the order of layers, pieces, zones and preparations allows."""
    zone, spell = ground.zones[place.spell.zone], place.spell
    yield from _not_before(ground, _begin(ground, place))
    yield from _not_before(ground, _layers(ground, spell))
    yield from _not_before(ground, _next_layer(ground, spell))
    yield from _not_before(ground, _zones_before(ground, zone))
    yield from _not_before(ground, _prepared(ground, place, zone))
    yield from _not_before(ground, _idle(ground, place))
    yield from _apart(ground, place, zone)
    yield from _not_before(ground, _open_limits(ground, spell, zone))


Bound = tuple[CauseKind, int, str]
"""Sort of thing, earliest start it allows [min], and what it is."""


def _not_before(ground: Ground, bounds: Iterator[Bound]) -> Iterator[Hold]:
    for kind, minute, said in bounds:
        yield Hold(
            kind=kind,
            allowed=from_on(ground, minute),
            text=lambda _start, said=said: said,  # type: ignore[misc]
        )


def _begin(ground: Ground, place: Place) -> Iterator[Bound]:
    begin = ground.campaign.start_min
    said = f"planning begins at {moment(ground.clock, begin)}"
    yield CauseKind.CAMPAIGN, begin + place.lead_min, said


def _layers(ground: Ground, spell: Spell) -> Iterator[Bound]:
    face = ground.face(spell)
    mates = ground.spells_of_zone[spell.zone]
    pieces = [row for row in mates if row.layer == spell.layer and row.start_min < spell.start_min]
    if pieces:
        end = pieces[-1].end_min
        said = f"the piece before it in the same layer ends at {moment(ground.clock, end)}"
        yield CauseKind.PIECE, end, said
        return
    gap_h = None if face is None else face.layer_gap_min_h
    below = _layer_below(ground, spell)
    if gap_h is None or below is None:
        return
    ready = below + up(MINUTES_PER_HOUR * gap_h)
    said = (
        f"layer {spell.layer - 1} of {spell.zone} ends at {moment(ground.clock, below)} and the "
        f"next may follow {gap_h:g} h later, from {moment(ground.clock, ready)}"
    )
    yield CauseKind.LAYER_GAP, ready, said


def _layer_below(ground: Ground, spell: Spell) -> int | None:
    """Return when the layer below ends, by the plan or by progress [min]."""
    done = [row for row in ground.campaign.done if row.zone_id == spell.zone]
    if any(row.layer == spell.layer and row.done_m3 > 0.0 for row in done):
        return None  # it is begun; no gap is asked of its rest
    planned = [
        row.end_min for row in ground.spells_of_zone[spell.zone] if row.layer == spell.layer - 1
    ]
    recorded = [row.at_min for row in done if row.layer == spell.layer - 1]
    return max(planned or recorded, default=None)


def _next_layer(ground: Ground, spell: Spell) -> Iterator[Bound]:
    face = ground.face(spell)
    mates = ground.spells_of_zone[spell.zone]
    later = [row for row in mates if row.start_min > spell.start_min]
    if face is None or face.layer_gap_max_h is None or not later:
        return
    follower = later[0]
    if follower.layer == spell.layer:
        return
    most = down(MINUTES_PER_HOUR * face.layer_gap_max_h)
    length = spell.end_min - spell.start_min
    said = (
        f"layer {follower.layer} follows at {moment(ground.clock, follower.start_min)} and may "
        f"come at most {face.layer_gap_max_h:g} h after this one"
    )
    yield CauseKind.NEXT_LAYER, follower.start_min - most - length, said


def _zones_before(ground: Ground, zone: Zone) -> Iterator[Bound]:
    for name in zone.after:
        end = complete_at(ground, name)
        if end is not None:
            said = f"zone {name} must be complete first, which is at {moment(ground.clock, end)}"
            yield CauseKind.AFTER, end, said
    if zone.ready_from_min is not None:
        said = f"zone {zone.zone_id} is ready from {moment(ground.clock, zone.ready_from_min)}"
        yield CauseKind.READY, zone.ready_from_min, said


def complete_at(ground: Ground, zone_id: ZoneId) -> int | None:
    """Return when a zone is complete, by the plan or by progress [min]."""
    spells = ground.spells_of_zone.get(zone_id)
    if spells:
        return max(row.end_min for row in spells)
    return ground.last_done.get(zone_id)


def _prepared(ground: Ground, place: Place, zone: Zone) -> Iterator[Bound]:
    spell, rules = place.spell, ground.rules
    panel_end = panel_end_min(ground, place, zone)
    if panel_end is not None:
        bound = panel_end + up(rules.panel_days * MINUTES_PER_DAY)
        said = (
            f"crew {place.run.crew} ends its test panel ({place.run.mix}, {zone.orientation}) at "
            f"{moment(ground.clock, panel_end)}; it must be {rules.panel_days:g} days old, from "
            f"{moment(ground.clock, bound)}"
        )
        yield CauseKind.PANEL, bound, said
    pieces = ground.broken_out_of.get(zone.zone_id)
    if pieces and spell == ground.spells_of_zone[zone.zone_id][0]:
        end = max(piece.end_min for piece in pieces)  # crews may overlap
        bound = end + up(MINUTES_PER_HOUR * rules.prepare_min_h)
        said = (
            f"break-out of {zone.zone_id} ends at {moment(ground.clock, end)} and preparing it "
            f"takes {rules.prepare_min_h:g} h"
        )
        yield CauseKind.BREAK_OUT, bound, said


def panel_end_min(ground: Ground, place: Place, zone: Zone) -> int | None:
    """Return when the panel ends that a spell waits for [min]; None: none is needed."""
    if ground.rules.panel_days <= 0.0:
        return None
    process = ground.rigs[place.run.rig].process
    for row in ground.campaign.done:
        rig = ground.rigs.get(row.rig_id) if row.rig_id else None
        is_same = row.crew_id == place.run.crew and rig is not None and rig.process is process
        if is_same and ground.zones[row.zone_id].orientation is zone.orientation:
            return None  # the crew has sprayed so before
    panel = ground.panels.get((place.run.crew, place.run.mix, zone.orientation))
    return None if panel is None else panel.end_min


def _idle(ground: Ground, place: Place) -> Iterator[Bound]:
    most = ground.rigs[place.run.rig].idle_max_min
    if most is None or place.after is None:
        return
    said = (
        f"{place.after.zone} follows in the same run at "
        f"{moment(ground.clock, place.after.start_min)}, and the rig may stand idle for at most "
        f"{most} min"
    )
    yield CauseKind.IDLE, place.after.start_min - most - place.length_min, said


def _opens(ground: Ground, spell: Spell) -> bool:
    """Return whether a spell is the row that opens its zone (rule 11)."""
    zone = ground.zones[spell.zone]
    is_open = zone.broken_out and ground.campaign.plans_break_out
    return not (
        is_open
        or spell.zone in ground.last_done
        or spell.zone in ground.broken_out_of
        or ground.spells_of_zone[spell.zone][0] != spell
    )


def open_time(ground: Ground, zone_id: ZoneId) -> tuple[int, int] | None:
    """Return when a zone counts as open (rule 11) [min]; None: it is not planned."""
    zone, end = ground.zones[zone_id], complete_at(ground, zone_id)
    if end is None:
        return None
    end += up(MINUTES_PER_HOUR * ground.rules.strength_hold_h)
    rows = [*ground.broken_out_of.get(zone_id, ()), *ground.spells_of_zone.get(zone_id, ())]
    from_start = zone.broken_out and ground.campaign.plans_break_out
    if from_start or zone_id in ground.last_done or not rows:
        return ground.campaign.start_min, end
    return min(row.start_min for row in rows), end


def _apart(ground: Ground, place: Place, zone: Zone) -> Iterator[Hold]:
    for pair in ground.campaign.apart:
        if zone.zone_id not in (pair.zone_a, pair.zone_b):
            continue
        other = pair.zone_b if pair.zone_a == zone.zone_id else pair.zone_a
        why = f" ({pair.why})" if pair.why else ""
        if pair.kind is ApartKind.WORK:
            yield _not_together(ground, place, other, why)
        elif _opens(ground, place.spell):
            yield from _not_before(ground, _not_open_together(ground, place.spell, other, why))


def _not_together(ground: Ground, place: Place, other: ZoneId, why: str) -> Hold:
    change = ground.rules.zone_change_min
    busy = [(row.start_min - change, row.end_min) for row in ground.spells_of_zone.get(other, ())]
    busy += [(row.start_min, row.end_min) for row in ground.broken_out_of.get(other, ())]
    taken = Spans((start - place.length_min + 1, end + change) for start, end in busy)
    allowed = taken.complement(0, ground.clock.horizon_min)

    def text(start: int) -> str:
        until = max(end for low, end in busy if low - place.length_min < start < end + change)
        return (
            f"{other} must not be worked at the same time{why} and is busy until "
            f"{moment(ground.clock, until)}"
        )

    return Hold(kind=CauseKind.APART, allowed=allowed, text=text)


def _not_open_together(ground: Ground, spell: Spell, other: ZoneId, why: str) -> Iterator[Bound]:
    opened = open_time(ground, other)
    if opened is not None and opened[1] <= spell.start_min:
        said = (
            f"{other} must not be open at the same time{why} and is open until "
            f"{moment(ground.clock, opened[1])}"
        )
        yield CauseKind.APART, opened[1], said


def _open_limits(ground: Ground, spell: Spell, zone: Zone) -> Iterator[Bound]:
    if not _opens(ground, spell):
        return
    for limit in ground.campaign.open_limits:
        if zone.zone_id not in limit.zones:
            continue
        opened = {
            name: found
            for name in dict.fromkeys(limit.zones)
            if name != zone.zone_id and (found := open_time(ground, name)) is not None
        }
        until = _full_until(list(opened.values()), limit.open_max, spell.start_min)
        if until is not None:
            names = sorted(n for n, (low, high) in opened.items() if low < until <= high)
            said = (
                f"group {limit.group} may have {limit.open_max} zones open, and "
                f"{', '.join(names)} are until {moment(ground.clock, until)}"
            )
            yield CauseKind.OPEN_LIMIT, until, said


def _full_until(opened: list[tuple[int, int]], most: int, start: int) -> int | None:
    """Return when a group last falls below its limit before a start [min]; None: it never is."""
    ends = sorted({end for _, end in opened if end <= start}, reverse=True)
    for end in ends:
        if sum(low < end <= high for low, high in opened) >= most:
            return end
    return None
