"""Rules 1 to 7 for one spell: windows, wetting, shifts, and where rig and crew are."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from planner.access.windows import Access
from planner.core.rounding import up
from planner.core.spans import Spans
from planner.core.wording import moment
from planner.explain.cause import CauseKind
from planner.explain.ground import Ground, Work
from planner.explain.hold import Hold, Place, from_on, starts_in
from planner.model.limits import ClosureScope
from planner.model.zone import Zone
from planner.plan.plan import BreakOut, Relocation, Run


def place_holds(ground: Ground, place: Place) -> Iterator[Hold]:
    """Yield what windows, water, shifts, rig, crew and position allow."""
    yield _window(ground, place)
    yield from _wetting(ground, place)
    yield _shift(ground, place)
    yield from _away(ground, place)
    yield from _rig_busy(ground, place)
    yield from _crew_busy(ground, place)


def shut_by(access: Access, zone: Zone, minute: int) -> str:
    """Return what keeps a zone shut at a minute, in words; empty: it is open."""
    if minute < 0 or minute in access.windows(zone):
        return ""
    return "; ".join(
        dict.fromkeys(layer.cause for layer in access.layers(zone) if minute in layer.spans)
    )


def _window(ground: Ground, place: Place) -> Hold:
    zone, clock = ground.zones[place.spell.zone], ground.clock
    change, get_in = ground.rules.zone_change_min, ground.get_in_min(zone)
    stay = place.length_min + ground.finish_after(place.spell)
    allowed = starts_in(ground.access.shortened(zone), before=change, after=stay)

    def text(start: int) -> str:
        opens = _opening(ground, zone, start)
        if opens is None:
            return f"zone {zone.zone_id} is not open then"
        why = shut_by(ground.access, zone, opens - 1)
        until = f" (until then: {why})" if why else ""
        return (
            f"the window of {zone.zone_id} opens at {moment(clock, opens)}{until}; then come "
            f"{get_in} min to get in and {change} min of zone change"
        )

    return Hold(kind=CauseKind.WINDOW, allowed=allowed, text=text)


def _opening(ground: Ground, zone: Zone, start: int) -> int | None:
    """Return when the window opens that a start comes too early for."""
    for opens, shuts in ground.access.windows(zone):
        if start < shuts:
            return opens
    return None


def _wetting(ground: Ground, place: Place) -> Iterator[Hold]:
    zone, face = ground.zones[place.spell.zone], ground.face(place.spell)
    if zone.wets_at_m is None or face is None:
        return
    hours = face.protect_h or 0.0
    dry = ground.access.dry(zone)

    def text(start: int) -> str:
        wet = dry.complement(start, start + place.length_min + up(60.0 * hours))
        last = moment(ground.clock, wet.ends[-1]) if wet else ""
        return (
            f"water may reach the face of {zone.zone_id} until {last}; it must stay dry while it "
            f"is sprayed and for {hours:g} h after"
        )

    allowed = starts_in(dry, before=0, after=place.length_min + up(60.0 * hours))
    yield Hold(kind=CauseKind.WET, allowed=allowed, text=text)


def _shift(ground: Ground, place: Place) -> Hold:
    crew = ground.crews[place.run.crew]
    turns = ground.access.shifts(crew.shift_id)
    allowed = starts_in(turns, before=place.lead_min, after=place.length_min + place.tail_min)

    def text(start: int) -> str:
        begins = next((turn[0] for turn in turns if turn[0] > start - place.lead_min), None)
        when = "" if begins is None else f" begins at {moment(ground.clock, begins)}"
        return f"shift {crew.shift_id} of crew {crew.crew_id}{when}; {_lead(ground, place)}"

    return Hold(kind=CauseKind.SHIFT, allowed=allowed, text=text)


def _lead(ground: Ground, place: Place) -> str:
    change = ground.rules.zone_change_min
    start_up = place.lead_min - change
    if start_up:
        return f"then come {start_up} min of start-up and {change} min of zone change"
    return f"then come {change} min of zone change"


def _away(ground: Ground, place: Place) -> Iterator[Hold]:
    """Yield closures and stays on site of rig, crew and position, and its water limits."""
    run = place.run
    rig, crew = ground.rigs[run.rig], ground.crews[run.crew]
    position = ground.positions[run.position]
    rows = (
        (
            CauseKind.RIG_AWAY,
            ground.access.rig_open(rig),
            f"rig {run.rig} is not on site",
            ((ClosureScope.RIG, run.rig), (ClosureScope.PROCESS, rig.process)),
        ),
        (
            CauseKind.CREW,
            ground.access.crew_open(crew),
            f"crew {run.crew} is not on site",
            ((ClosureScope.CREW, run.crew),),
        ),
        (
            CauseKind.POSITION,
            ground.access.position_open(position),
            f"the water is outside the limits of position {run.position}",
            ((ClosureScope.POSITION, run.position),),
        ),
    )
    for kind, open_, otherwise, targets in rows:

        def text(
            start: int,
            open_: Spans = open_,
            otherwise: str = otherwise,
            targets: tuple[tuple[ClosureScope, str], ...] = targets,
        ) -> str:
            shut = open_.complement(max(0, start - place.lead_min), place.spell.end_min)
            at = shut.ends[-1] - 1 if shut else start
            why = _why_shut(ground, at, targets) or otherwise
            return f"{why} until {moment(ground.clock, at + 1)}; {_lead(ground, place)}"

        allowed = starts_in(open_, before=place.lead_min, after=place.length_min + place.tail_min)
        yield Hold(kind=kind, allowed=allowed, text=text)


def _why_shut(
    ground: Ground, minute: int, targets: tuple[tuple[ClosureScope, str], ...]
) -> str | None:
    for scope, target in ((ClosureScope.SITE, ""), *targets):
        why = ground.closed(scope, str(target), minute)
        if why is not None:
            return why
    return None


def _rig_busy(ground: Ground, place: Place) -> Iterator[Hold]:
    if place.before is not None:
        mate = place.before
        said = (
            f"rig {mate.rig} sprays layer {mate.layer} of {mate.zone} in the same run until "
            f"{moment(ground.clock, mate.end_min)}; {_lead(ground, place)}"
        )
        allowed = from_on(ground, mate.end_min + place.lead_min)
        yield Hold(kind=CauseKind.RIG, allowed=allowed, text=lambda _start: said)
        return
    row = row_before(ground, place.run)
    if row is None:
        yield from _position_full(ground, place)
        return
    moved = isinstance(row, Relocation)
    said = f"{done_until(ground, row)}; {_lead(ground, place)}"
    yield Hold(
        kind=CauseKind.RELOCATION if moved else CauseKind.RIG,
        allowed=from_on(ground, row.end_min + place.lead_min),
        text=lambda _start: said,
    )


def row_before(ground: Ground, run: Run) -> Run | Relocation | None:
    """Return what a rig does last before a run."""
    rows = ground.work_of_rig[run.rig]
    index = rows.index(run)
    return rows[index - 1] if index else None


def done_until(ground: Ground, row: Work) -> str:
    """Return what is being done, and until when, in words."""
    until = moment(ground.clock, row.end_min)
    if isinstance(row, Relocation):
        who = f"crew {row.crew}" if row.crew else "the lifting gang"
        return f"rig {row.rig} is brought to {row.to_position} by {who} until {until}"
    if isinstance(row, BreakOut):
        return f"crew {row.crew} breaks out {row.zone} until {until}"
    what = f"run {row.run}" if row.kind == "spray" else f"test panel {row.run}"
    return f"crew {row.crew} works in {what} of rig {row.rig} at {row.position} until {until}"


def _crew_busy(ground: Ground, place: Place) -> Iterator[Hold]:
    if place.before is not None:
        return
    rows = ground.work_of_crew[place.run.crew]
    index = rows.index(place.run)
    if not index:
        return
    row = rows[index - 1]
    if row == row_before(ground, place.run):
        return
    said = f"{done_until(ground, row)}; {_lead(ground, place)}"
    allowed = from_on(ground, row.end_min + place.lead_min)
    yield Hold(kind=CauseKind.CREW, allowed=allowed, text=lambda _start: said)


def _position_full(ground: Ground, place: Place) -> Iterator[Hold]:
    """Yield what room there is where a rig is set up without being brought there."""
    run = place.run
    if ground.stands_at(run.rig, -1) == run.position and ground.rigs[run.rig].at is not None:
        return  # it stands there from the start
    room = ground.positions[run.position].rigs_max
    others = [
        (start, end)
        for rig in ground.rigs
        if rig != run.rig
        for position, start, end in stays_of(ground, rig)
        if position == run.position
    ]
    edges = sorted({start for start, _ in others} | {end for _, end in others})
    full = Spans(
        (low, high)
        for low, high in pairwise(edges)
        if sum(start <= low and high <= end for start, end in others) >= room
    )
    before = full.clip(0, run.start_min)
    if not before:
        return
    until = before.ends[-1]
    said = (
        f"position {run.position} has room for {room} and is taken until "
        f"{moment(ground.clock, until)}; {_lead(ground, place)}"
    )
    allowed = from_on(ground, until + place.lead_min)
    yield Hold(kind=CauseKind.POSITION, allowed=allowed, text=lambda _start: said)


def stays_of(ground: Ground, rig_id: str) -> list[tuple[str, int, int]]:
    """Return where a rig takes up room: position, from, to (rule 7) [min]."""
    rig = next(row for row in ground.campaign.rigs if row.rig_id == rig_id)
    rows = ground.work_of_rig.get(rig.rig_id, [])
    runs = [row for row in rows if isinstance(row, Run)]
    if not runs:
        return []
    last_end = runs[-1].end_min
    at = ground.stands_at(rig.rig_id, -1) if rig.at is not None else None
    since = max(0, rig.available_from_min)
    found: list[tuple[str, int, int]] = []
    for row in rows:
        if isinstance(row, Relocation):
            if at is not None:
                found.append((at, since, min(row.start_min, last_end)))
            at, since = row.to_position, row.end_min
        elif at is None:
            at, since = row.position, row.start_min
    if at is not None:
        found.append((at, since, last_end))
    return [(place, start, end) for place, start, end in found if start < end]
