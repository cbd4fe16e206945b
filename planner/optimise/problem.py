r"""The campaign in integers: what the search, the exact models and the bounds all read.

Sets.  Zones :math:`z` with jobs per mix (a job is the zone's remaining layers on that face);
rigs :math:`r`; spraying and break-out crews :math:`c`; positions :math:`p`; *pieces*, the
maximal stretches of a crew's shift free of its closures.  Everything is an index into a
tuple, every time a whole campaign minute, every order that of the tables, so that the same
input gives the same search.

A *spray span* :math:`[a, b)` of a job is a stretch inside which a whole spell must lie
(rules 1-3: shortened window, zone change before, trimming after, dry until protected).
A run of rig :math:`r` at :math:`p` by crew :math:`c` lies in a piece of :math:`c` and in a span
of ``room[r, p]`` (rig on site, neither closed, position's water limits).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from planner.core.rounding import down, up
from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import MixId, Orientation, ZoneId
from planner.model.limits import ApartKind
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.optimise.jobs import CrewJob, Job, LayerJob, RigJob, Way
from planner.optimise.sharing import Needs, needs_of
from planner.options.build import Options, may_spray, rig_takes
from planner.options.cards import barred
from planner.trade.quantities import finish_minutes
from planner.trade.rates import break_out_minutes, move_minutes, panel_run_minutes
from planner.trade.remaining import last_done, remaining_layers

HOUR = 60
DAY = 24 * HOUR


__all__ = [
    "DAY",
    "HOUR",
    "CrewJob",
    "Job",
    "LayerJob",
    "Moves",
    "Problem",
    "RigJob",
    "Way",
    "build_problem",
]


@dataclass(frozen=True)
class Problem:
    """The campaign as the optimiser sees it; build with :func:`build_problem`."""

    campaign: Campaign
    options: Options
    zones: tuple[Zone, ...]
    jobs: tuple[dict[int, Job], ...]
    ways: tuple[tuple[Way, ...], ...]
    rigs: tuple[RigJob, ...]
    crews: tuple[CrewJob, ...]
    mixes: tuple[MixId, ...]
    after: tuple[tuple[int, ...], ...]
    apart_work: tuple[tuple[int, ...], ...]
    apart_open: tuple[tuple[int, ...], ...]
    groups: tuple[tuple[tuple[int, ...], int], ...]
    shortened: tuple[Spans, ...]
    start: int
    end: int
    zone_change: int
    spell_min: int
    prepare: int
    panel_wait: int
    hold: int
    max_open: int | None
    breaks_out: bool
    gang: tuple[Span, ...] | None

    @cached_property
    def at(self) -> dict[tuple[int, int, int], tuple[Way, ...]]:
        """Return the ways by (rig, position, mix)."""
        found: dict[tuple[int, int, int], list[Way]] = {}
        for ways in self.ways:
            for way in ways:
                found.setdefault((way.rig, way.position, way.mix), []).append(way)
        return {key: tuple(ways) for key, ways in found.items()}

    @cached_property
    def reach_sets(self) -> dict[tuple[int, int], frozenset[int]]:
        """Return the zones that a rig reaches from a position with any mix."""
        found: dict[tuple[int, int], set[int]] = {}
        for ways in self.ways:
            for way in ways:
                found.setdefault((way.rig, way.position), set()).add(way.zone)
        return {key: frozenset(zones) for key, zones in found.items()}

    @cached_property
    def way_of(self) -> dict[tuple[int, int, int, int], Way]:
        """Return the way by (zone, mix, rig, position)."""
        return {
            (way.zone, way.mix, way.rig, way.position): way for ways in self.ways for way in ways
        }

    @cached_property
    def room(self) -> dict[tuple[int, int], Spans]:
        """Return when a run of a rig at a position is possible, crews aside."""
        access = self.options.access
        cache: dict[tuple[int, Spans], Spans] = {}
        found = {}
        for r, rig in enumerate(self.rigs):
            free = access.rig_open(rig.rig).clip(self.start, self.end)
            for p, position in enumerate(self.campaign.positions):
                place = access.position_open(position)
                if (r, place) not in cache:
                    cache[r, place] = free & place
                found[r, p] = cache[r, place]
        return found

    @cached_property
    def open_minutes(self) -> tuple[int, ...]:
        """Return how long each zone can be sprayed in all, by its best mix [min]."""
        return tuple(
            max((job.mid.minutes() for job in jobs.values()), default=0) for jobs in self.jobs
        )

    def nearest(self, r: int, here: int | None) -> tuple[int, ...]:
        """Return the positions a rig can work from: nearest first, else by zones reached."""
        if (r, here) not in self._nearest:
            loads = {p: len(zones) for (k, p), zones in self.reach_sets.items() if k == r}
            if here is None:
                order = sorted(loads, key=lambda p: (-loads[p], p))
            else:
                order = sorted(loads, key=lambda p: (self.moves[r, here, p], -loads[p], p))
            self._nearest[r, here] = tuple(order)
        return self._nearest[r, here]

    @cached_property
    def _nearest(self) -> dict[tuple[int, int | None], tuple[int, ...]]:
        return {}

    @cached_property
    def moves(self) -> Moves:
        """Return relocation minutes by (rig, from, to)."""
        return Moves(self)

    @cached_property
    def needs(self) -> Needs:
        """Return what zones, positions, rigs and crews take of what is shared (rule 16)."""
        return needs_of(self.campaign)

    @cached_property
    def break_minutes(self) -> dict[tuple[int, int], int]:
        """Return the break-out minutes of each (zone, break-out crew), unsplit."""
        volumes = self.full_volume
        return {
            (z, c): break_out_minutes(volumes[z], crew.crew)
            for z in range(len(self.zones))
            for c, crew in enumerate(self.crews)
            if not crew.sprays
        }

    @cached_property
    def full_volume(self) -> tuple[float, ...]:
        """Return each zone's whole in-place volume, progress or not [m³]."""
        from planner.trade.quantities import volume_m3  # noqa: PLC0415 - keeps the head short

        return tuple(volume_m3(zone, self.campaign.rules) for zone in self.zones)

    @cached_property
    def left_volume(self) -> tuple[float, ...]:
        """Return each zone's volume still to be placed, by its first job; 0 without one [m³]."""
        return tuple(
            sum(part.volume_m3 for part in next(iter(jobs.values())).layers) if jobs else 0.0
            for jobs in self.jobs
        )

    @cached_property
    def complete(self) -> frozenset[int]:
        """Return the zones that progress shows as complete already."""
        found = set()
        for z, zone in enumerate(self.zones):
            if not any(row.zone_id == zone.zone_id for row in self.campaign.done):
                continue
            faces = self.options.faces[zone.zone_id].values()
            if any(not remaining_layers(self.campaign, zone, face) for face in faces):
                found.add(z)
        return frozenset(found)

    @cached_property
    def panelled(self) -> frozenset[tuple[int, int, Orientation]]:
        """Return the (crew, mix, orientation) whose test panel lies behind (rule 12).

        Progress says so: the crew has sprayed a zone of that orientation, which a rig of the
        mix's process has sprayed.
        """
        done = self.campaign.done
        process = {row.rig.rig_id: row.rig.process for row in self.rigs}
        orientation = {zone.zone_id: zone.orientation for zone in self.zones}
        crews = {(row.zone_id, row.crew_id) for row in done if row.zone_id in orientation}
        rigs = {(row.zone_id, row.rig_id) for row in done if row.rig_id in process}
        kinds = {
            (crew, process[rig], orientation[zone])
            for zone, crew in crews
            for other, rig in rigs
            if other == zone and rig is not None
        }
        return frozenset(
            (c, m, face.orientation)
            for c, crew in enumerate(self.crews)
            for m, mix in enumerate(self.mixes)
            for face in self.campaign.mixes
            if face.mix_id == mix and (crew.crew.crew_id, face.process, face.orientation) in kinds
        )

    @cached_property
    def panelled_crews(self) -> frozenset[int]:
        """Return the crews with any test panel behind them."""
        return frozenset(c for c, _, _ in self.panelled)

    @cached_property
    def first_end(self) -> tuple[int | None, ...]:
        """Return when progress says each zone was last sprayed [min]; None: not begun."""
        found: list[int | None] = []
        for zone in self.zones:
            done = last_done(self.campaign, zone)
            found.append(None if done is None else done[1])
        return tuple(found)

    @cached_property
    def broken_out(self) -> tuple[bool, ...]:
        """Return whether each zone needs no break-out."""
        return tuple(
            zone.broken_out or self.first_end[z] is not None for z, zone in enumerate(self.zones)
        )


class Moves(dict[tuple[int, int, int], int]):
    """Relocation minutes by (rig, from, to), each worked out when first asked for [min]."""

    def __init__(self, problem: Problem) -> None:
        super().__init__()
        self.problem = problem

    def __missing__(self, key: tuple[int, int, int]) -> int:
        r, origin, target = key
        places = self.problem.campaign.positions
        rig = self.problem.rigs[r].rig
        minutes = 0 if origin == target else move_minutes(rig, places[origin], places[target])
        self[key] = minutes
        return minutes


def build_problem(options: Options) -> Problem:
    """Return the integers of a campaign."""
    campaign = options.campaign
    rules = campaign.rules
    index = {zone.zone_id: z for z, zone in enumerate(campaign.zones)}
    mixes = tuple(dict.fromkeys(face.mix_id for face in campaign.mixes))
    mix_index = {mix: m for m, mix in enumerate(mixes)}
    jobs = tuple(_jobs(options, zone, mix_index) for zone in campaign.zones)
    return Problem(
        campaign=campaign,
        options=options,
        zones=campaign.zones,
        jobs=jobs,
        ways=_ways(options, mix_index),
        rigs=tuple(_rig(options, rig, mix_index) for rig in campaign.rigs),
        crews=tuple(_crew(options, crew, mix_index) for crew in campaign.crews),
        mixes=mixes,
        after=tuple(tuple(index[name] for name in zone.after) for zone in campaign.zones),
        apart_work=_apart(campaign, index, ApartKind.WORK),
        apart_open=_apart(campaign, index, ApartKind.OPEN),
        groups=tuple(
            (tuple(index[name] for name in limit.zones), limit.open_max)
            for limit in campaign.open_limits
        ),
        shortened=tuple(options.access.shortened(zone) for zone in campaign.zones),
        start=campaign.start_min,
        end=campaign.clock.horizon_min,
        zone_change=rules.zone_change_min,
        spell_min=rules.spell_min_min,
        prepare=up(rules.prepare_min_h * HOUR),
        panel_wait=up(rules.panel_days * DAY),
        hold=up(rules.strength_hold_h * HOUR),
        max_open=None if rules.max_open_days is None else down(rules.max_open_days * DAY),
        breaks_out=campaign.plans_break_out,
        gang=_gang(options),
    )


def _jobs(options: Options, zone: Zone, mix_index: dict[MixId, int]) -> dict[int, Job]:
    found = {}
    for mix, face in options.faces[zone.zone_id].items():
        left = remaining_layers(options.campaign, zone, face)
        if not left:
            continue
        found[mix_index[mix]] = Job(
            mix=mix_index[mix],
            face=face,
            layers=tuple(LayerJob(part.layer, part.volume_m3, part.begun) for part in left),
            gap_min=up((face.layer_gap_min_h or 0.0) * HOUR),
            gap_max=None if face.layer_gap_max_h is None else down(face.layer_gap_max_h * HOUR),
            finish=finish_minutes(zone, face),
            mid=options.spray_spans(zone, face, last=False),
            last=options.spray_spans(zone, face, last=True),
        )
    return found


def _ways(options: Options, mix_index: dict[MixId, int]) -> tuple[tuple[Way, ...], ...]:
    index = {zone.zone_id: z for z, zone in enumerate(options.campaign.zones)}
    rigs = {rig.rig_id: r for r, rig in enumerate(options.campaign.rigs)}
    places = {place.position_id: p for p, place in enumerate(options.campaign.positions)}
    return tuple(
        tuple(
            Way(
                index[zone.zone_id],
                mix_index[option.mix],
                rigs[option.rig],
                places[option.position],
                option.rate_m3_h,
                option.hose_m,
                option.laid_m,
                option.minutes,
            )
            for option in options.by_zone[zone.zone_id]
        )
        for zone in options.campaign.zones
    )


def _rig(options: Options, rig: Rig, mix_index: dict[MixId, int]) -> RigJob:
    campaign = options.campaign
    places = {place.position_id: p for p, place in enumerate(campaign.positions)}
    at = rig.at
    for row in sorted(campaign.done, key=lambda row: row.at_min):
        if row.rig_id == rig.rig_id and row.position_id is not None:
            at = row.position_id
    mixes = dict.fromkeys(
        mix_index[face.mix_id] for face in campaign.mixes if rig_takes(rig, face)
    )
    return RigJob(
        rig=rig,
        mixes=tuple(mixes),
        start_up=rig.start_up_min,
        clean_up=rig.clean_up_min,
        idle_max=rig.idle_max_min,
        panel=panel_run_minutes(rig, campaign.rules),
        at=None if at is None else places[at],
    )


def _crew(options: Options, crew: Crew, mix_index: dict[MixId, int]) -> CrewJob:
    campaign = options.campaign
    hours = options.access.crew_open(crew).clip(campaign.start_min, campaign.clock.horizon_min)
    pieces = [
        (a, b, number)
        for number, (start, end) in enumerate(options.access.shifts(crew.shift_id))
        for a, b in hours.clip(start, end)
    ]
    able = [face for face in campaign.mixes if may_spray(crew, face)]
    shut = {
        (mix_index[face.mix_id], face.orientation): barred(
            options.access, campaign, crew, face.process, face.orientation
        )
        for face in able
    }
    return CrewJob(
        crew=crew,
        pieces=tuple(pieces),
        can=frozenset(
            kind for kind, spans in shut.items() if not all(a in spans for a, _, _ in pieces)
        ),
        barred={kind: spans for kind, spans in shut.items() if spans},
    )


def _apart(
    campaign: Campaign, index: dict[ZoneId, int], kind: ApartKind
) -> tuple[tuple[int, ...], ...]:
    found: list[set[int]] = [set() for _ in campaign.zones]
    for pair in campaign.apart:
        if pair.kind is kind:
            a, b = index[pair.zone_a], index[pair.zone_b]
            found[a].add(b)
            found[b].add(a)
    return tuple(tuple(sorted(others)) for others in found)


def _gang(options: Options) -> tuple[Span, ...] | None:
    shift = options.campaign.rules.relocation_shift
    if shift is None:
        return None
    start = options.campaign.start_min
    return tuple((max(a, start), b) for a, b in options.access.shifts(shift) if b > start)
