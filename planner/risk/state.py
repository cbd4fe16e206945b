"""Where many lives of one campaign stand, an array entry for each run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import Floats
from planner.plan.costs import standing_at_start
from planner.risk.chance import Draws
from planner.risk.programme import Kind, Programme, may_do

Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
NOWHERE = -1
NEVER = np.inf


@dataclass(frozen=True, kw_only=True, eq=False)
class Layout:
    """A programme in numbers: items, stays, rigs, crews and positions counted from 0."""

    programme: Programme
    has_panels: bool
    kind: Ints
    zone: Ints
    mix: Ints
    face: Ints
    crew: Ints
    release: Floats
    planned_min: Floats
    trim: Floats
    may_split: Bools
    waits: Ints
    lags: Floats
    wait_count: Ints
    next_extra: Ints
    stay_items: Ints
    stay_rig: Ints
    stay_position: Ints
    stay_start: Floats
    stay_release: Floats
    stay_before: Ints
    allowed: Bools
    rig_number: dict[str, int]
    crew_number: dict[str, int]
    position_number: dict[str, int]
    standing: Ints
    last_items: Ints


class State:
    """What changes while runs go on; times in campaign minutes, ``NEVER`` not yet.

    Attributes
    ----------
    end, whole, left
        Of each item: when it was done, its spraying in all, and what is left of it [min].
    reckoned
        Of each item: minutes that the site reckons with for a minute that it really takes [1].
    stay_of, pointer
        Of each rig: its stay (``NOWHERE``: none), and the item of it that comes next.
    stay_rig, stay_begun, stay_left
        Of each stay: its rig, whether it has begun, when the rig left the position.
    rig_at, rig_free, crew_free
        Position of each rig; since when rigs and crews are free, cleaned up.
    run_stint, run_mix, run_last
        Of each rig's open run: stint, mix, end of its last spell.
    """

    def __init__(self, layout: Layout, draws: Draws) -> None:
        programme = layout.programme
        runs, items = draws.minutes.shape
        rigs, crews = len(programme.campaign.rigs), len(programme.campaign.crews)
        begin = float(programme.campaign.start_min)
        self.runs = runs
        self.end: Floats = np.full((runs, items), NEVER)
        self.whole: Floats = draws.minutes
        self.left: Floats = draws.minutes.copy()
        self.reckoned: Floats = np.divide(
            draws.known_min,
            draws.minutes,
            out=np.ones(draws.minutes.shape),
            where=draws.minutes > 0.0,
        )
        self.stay_of: Ints = np.full((runs, rigs), NOWHERE)
        self.pointer: Ints = np.zeros((runs, rigs), dtype=np.intp)
        self.stay_rig: Ints = np.tile(layout.stay_rig, (runs, 1))
        self.stay_begun: Bools = np.zeros(self.stay_rig.shape, dtype=bool)
        self.stay_left: Floats = np.full(self.stay_rig.shape, NEVER)
        self.rig_at: Ints = np.tile(layout.standing, (runs, 1))
        self.rig_free: Floats = np.full((runs, rigs), begin)
        self.crew_free: Floats = np.full((runs, crews), begin)
        self.crew_last: Floats = np.full((runs, crews), -NEVER)
        self.run_stint: Ints = np.full((runs, rigs), NOWHERE)
        self.run_mix: Ints = np.full((runs, rigs), NOWHERE)
        self.run_last: Floats = np.full((runs, rigs), -NEVER)
        self.duty_from: Floats = np.full((runs, crews), NEVER)
        self.duty_stint: Ints = np.full((runs, crews), NOWHERE)
        self.week_min: Floats = np.zeros((runs, crews))
        self.week_of: Ints = np.full((runs, crews), NOWHERE)
        self.failing: Floats = draws.failing_min[:, :, 0].copy()
        self.failures: Ints = np.zeros((runs, rigs), dtype=np.intp)
        faces = len(programme.campaign.mixes)
        self.panel_ready: Floats = np.full((runs, crews, faces), -NEVER)
        if programme.has_panels:
            self.panel_ready[:] = NEVER
        self.todo: Ints = np.full(runs, items)
        self.counts: dict[str, Floats] = {
            name: np.zeros(runs)
            for name in ("stopped_by_water", "stopped_by_time", "breakdowns", "repair_min")
        }

    def unfinished(self) -> Ints:
        """Return the runs in which something is still to be done."""
        return np.flatnonzero(self.todo > 0)


def layout_of(programme: Programme) -> Layout:
    """Return a programme in numbers."""
    campaign, items, stays = programme.campaign, programme.items, programme.stays
    rigs = {str(rig.rig_id): k for k, rig in enumerate(campaign.rigs)}
    crews = {str(crew.crew_id): k for k, crew in enumerate(campaign.crews)}
    places = {str(place.position_id): k for k, place in enumerate(campaign.positions)}
    zones = {zone.zone_id: zone for zone in campaign.zones}
    mixes = {name: k for k, name in enumerate(dict.fromkeys(f.mix_id for f in campaign.mixes))}
    faces = {(face.mix_id, face.orientation): k for k, face in enumerate(campaign.mixes)}
    number = {zone.zone_id: k for k, zone in enumerate(campaign.zones)}
    waits, lags = programme.wait_arrays()
    release = np.array([float(item.release_min) for item in items])
    planned = np.array([float(item.minutes) for item in items])
    for k, item in enumerate(items):  # a layer more is begun where the one before it would be
        if item.extra:
            planned[k] = planned[item.waits[0][0]]
    return Layout(
        programme=programme,
        has_panels=programme.has_panels,
        kind=np.array([int(item.kind) for item in items], dtype=np.intp),
        zone=np.array([NOWHERE if i.zone is None else number[i.zone] for i in items]),
        mix=np.array([NOWHERE if i.mix is None else mixes[i.mix] for i in items]),
        face=np.array(
            [
                0 if i.mix is None or i.orientation is None else faces[i.mix, i.orientation]
                for i in items
            ]
        ),
        crew=np.array([crews[item.crew] for item in items], dtype=np.intp),
        release=release,
        planned_min=planned,
        trim=np.array([float(item.trim_min) for item in items]),
        may_split=np.array(
            [item.zone is not None and _may_split(item.kind, zones[item.zone]) for item in items]
        ),
        waits=waits,
        lags=lags,
        wait_count=np.array([len(item.waits) for item in items], dtype=np.intp),
        next_extra=_next_extra(programme),
        stay_items=_padded([stay.items for stay in stays]),
        stay_rig=np.array([rigs[stay.rig] for stay in stays], dtype=np.intp),
        stay_position=np.array([places[stay.position] for stay in stays], dtype=np.intp),
        stay_start=np.array([float(stay.start_min) for stay in stays]),
        stay_release=np.array([float(stay.release_min) for stay in stays]),
        stay_before=np.array(
            [NOWHERE if stay.before is None else stay.before for stay in stays], dtype=np.intp
        ),
        allowed=_allowed(programme),
        rig_number=rigs,
        crew_number=crews,
        position_number=places,
        standing=_standing(programme, rigs, places),
        last_items=np.array(
            [programme.last_item[zone.zone_id] for zone in programme.zones], dtype=np.intp
        ),
    )


def _may_split(kind: Kind, zone: object) -> bool:
    return kind is Kind.BREAK or bool(getattr(zone, "joint_allowed", False))


def _next_extra(programme: Programme) -> Ints:
    found = np.full(len(programme.items), NOWHERE, dtype=np.intp)
    for k, item in enumerate(programme.items):
        if item.extra:
            found[item.waits[0][0]] = k
    return found


def _padded(rows: list[tuple[int, ...]]) -> Ints:
    most = max((len(row) for row in rows), default=0)
    found = np.full((len(rows), most + 1), NOWHERE, dtype=np.intp)
    for k, row in enumerate(rows):
        found[k, : len(row)] = row
    return found


def _allowed(programme: Programme) -> Bools:
    """Return which crew may do which item."""
    campaign = programme.campaign
    found = np.zeros((len(campaign.crews), len(programme.items)), dtype=bool)
    for k, crew in enumerate(campaign.crews):
        for j, item in enumerate(programme.items):
            if item.kind is Kind.BREAK:
                found[k, j] = item.crew == crew.crew_id
            else:
                found[k, j] = may_do(crew, item, campaign.mixes)
    return found


def _standing(programme: Programme, rigs: dict[str, int], places: dict[str, int]) -> Ints:
    found = np.full(len(rigs), NOWHERE, dtype=np.intp)
    for rig, place in standing_at_start(programme.campaign).items():
        found[rigs[rig]] = places[place]
    return found
