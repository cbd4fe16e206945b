"""Everything that chance decides, drawn before a run begins, in blocks of runs.

Each driver has a stream of its own for each block, so the same seed gives the same runs however
many workers share the blocks, and switching one driver off leaves the others as they were.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from planner.access.curve import Floats
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import DECIMALS
from planner.model.identifiers import ZoneId
from planner.model.zone import Zone
from planner.risk.calendar import Calendar
from planner.risk.inputs import Driver, RiskInputs
from planner.risk.programme import Item, Kind, Programme
from planner.risk.spread import drawn, tied
from planner.risk.surge import months_of_hours, residual_courses

BLOCK_RUNS = 2500
"""Runs that are drawn together; part of what a seed means, so it never changes with workers."""
REBOUND_MOST = 0.95
"""However bad, a twentieth of what is sprayed stays (our choice) [1]."""
_SPARE_FAILURES = 12


@dataclass(frozen=True, kw_only=True, eq=False)
class Draws:
    """What chance has decided for a number of runs; a row each.

    Attributes
    ----------
    volume_m3, minutes, known_min
        Of each item: volume in place [m³], time that it really takes, and time that it takes at
        the scenario's own rates, which is what the site reckons with [min].
    through
        Volume through the nozzle for each volume in place [1].
    failing_min, repair_min
        Of each rig: spraying until the next breakdown, and time of repair, one by one [min].
    late_min
        Of each stint [min].
    failed_panels
        Of each item: how often a panel fails before one passes [1].
    wet
        Of each civil day: whether weather closes the faces.
    residual_m
        Of each hour [m]; None: water as predicted.
    growth, slowness, rebound
        Summed up for ranking: volume, spraying time and through the nozzle, as factors of
        the plan's [1].
    """

    volume_m3: Floats
    minutes: Floats
    known_min: Floats
    through: Floats
    failing_min: Floats
    repair_min: Floats
    late_min: Floats
    failed_panels: Floats
    wet: np.ndarray
    residual_m: np.ndarray | None
    growth: Floats
    slowness: Floats
    rebound: Floats

    @property
    def runs(self) -> int:
        """Return the number of runs [1]."""
        return int(self.minutes.shape[0])

    def first(self, count: int) -> Draws:
        """Return the first runs alone."""
        cut: dict[str, Any] = {
            field.name: None if value is None else value[:count]
            for field in fields(self)
            for value in (getattr(self, field.name),)
        }
        return Draws(**cut)


def stacked(parts: Sequence[Draws]) -> Draws:
    """Return several draws as one, one below the other."""
    found: dict[str, Any] = {}
    for field in fields(Draws):
        values = [getattr(part, field.name) for part in parts]
        found[field.name] = None if values[0] is None else np.concatenate(values)
    return Draws(**found)


class Chance:
    """Draws blocks of runs for a programme.

    Parameters
    ----------
    programme, calendar
        What is to be done, and when it may be.
    inputs
        What is drawn.
    seed
        Any whole number from 0.
    """

    def __init__(
        self, programme: Programme, calendar: Calendar, inputs: RiskInputs, *, seed: int
    ) -> None:
        self._programme = programme
        self._calendar = calendar
        self._inputs = inputs
        self._seed = seed
        self._places = _Places.of(programme)

    def block(self, number: int, *, off: Collection[Driver] = ()) -> Draws:
        """Return the draws of one block, without some drivers."""
        return self._assembled(
            {driver: self._piece(driver, number, is_off=driver in off) for driver in Driver}
        )

    def variants(self, groups: Sequence[tuple[Driver, ...]], *, runs: int) -> list[Draws]:
        """Return the first runs of the first block, once for each group without its drivers."""
        drawn, plain = (
            {driver: _first(self._piece(driver, 0, is_off=is_off), runs) for driver in Driver}
            for is_off in (False, True)
        )
        return [
            self._assembled(drawn | {driver: plain[driver] for driver in group})
            for group in groups
        ]

    def _piece(self, driver: Driver, number: int, *, is_off: bool) -> tuple[Any, ...]:
        """Return what one driver does to the runs of a block."""
        inputs = without(self._inputs, [driver]) if is_off else self._inputs
        make: Callable[[RiskInputs, np.random.Generator], tuple[Any, ...]] = {
            Driver.GROWTH: self._growth,
            Driver.RATE: self._slowness,
            Driver.REBOUND: self._rebound,
            Driver.BREAKDOWN: self._breakdowns,
            Driver.LATE: self._late,
            Driver.PANELS: self._panels,
            Driver.SURGE: self._surge,
            Driver.WEATHER: self._weather,
        }[driver]
        return make(inputs, self._stream(driver, number))

    def _assembled(self, pieces: Mapping[Driver, tuple[Any, ...]]) -> Draws:
        """Return the draws that the drivers' pieces make together."""
        places = self._places
        area, depth = pieces[Driver.GROWTH]
        (slow,) = pieces[Driver.RATE]
        through, stays = pieces[Driver.REBOUND]
        failing, repair = pieces[Driver.BREAKDOWN]
        volume = self._volumes(area * depth, depth)
        known = whole_minutes(volume, places.rates)
        known[:, places.is_panel] = places.planned_min[places.is_panel]
        minutes = whole_minutes(volume * slow / stays, places.rates)
        minutes[:, places.is_panel] = known[:, places.is_panel]
        planned = places.planned_min[places.is_spray].sum() or 1.0
        return Draws(
            volume_m3=volume,
            minutes=minutes,
            known_min=known,
            through=through,
            failing_min=failing,
            repair_min=repair,
            late_min=pieces[Driver.LATE][0],
            failed_panels=pieces[Driver.PANELS][0],
            wet=pieces[Driver.WEATHER][0],
            residual_m=pieces[Driver.SURGE][0],
            growth=volume[:, places.is_spray].sum(axis=1) / places.planned_m3,
            slowness=(slow * places.planned_min)[:, places.is_spray].sum(axis=1) / planned,
            rebound=(through * places.planned_volume).sum(axis=1)
            / (places.plan_through * places.planned_volume).sum(),
        )

    def _stream(self, driver: Driver, number: int) -> np.random.Generator:
        key = (list(Driver).index(driver), number)
        return np.random.default_rng(np.random.SeedSequence(self._seed, spawn_key=key))

    def _growth(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[Floats, Floats]:
        """Return the factors of area and depth of each zone."""
        places = self._places
        found = []
        for amount in (inputs.growth_area, inputs.growth_depth):
            shared = rng.standard_normal((BLOCK_RUNS, places.sections))[:, places.section_of]
            own = rng.standard_normal((BLOCK_RUNS, places.section_of.size))
            factor = drawn(tied(shared, own, inputs.growth_section), amount, inputs.shape)
            found.append(np.where(places.is_known, 1.0, factor))
        return found[0], found[1]

    def _slowness(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[Floats]:
        """Return the factor of each item's time because of the rate."""
        places = self._places
        shared = rng.standard_normal((BLOCK_RUNS, places.rigs))[:, places.rig_of]
        own = rng.standard_normal((BLOCK_RUNS, places.rig_of.size))
        factor = drawn(tied(shared, own, inputs.rate_rig), inputs.rate, inputs.shape)
        return (np.where(places.is_spray, 1.0 / factor, 1.0),)

    def _rebound(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[Floats, Floats]:
        """Return what goes through the nozzle for 1 m³ in place, and the change of what stays."""
        places = self._places
        shared = rng.standard_normal((BLOCK_RUNS, places.faces))[:, places.face_of]
        zones = rng.standard_normal((BLOCK_RUNS, places.section_of.size))
        own = zones[:, np.maximum(places.zone_of, 0)]
        factor = drawn(tied(shared, own, inputs.rebound_mix), inputs.rebound, inputs.shape)
        share = np.minimum(factor * places.planned_rebound, REBOUND_MOST)
        share = np.where(factor == 1.0, places.planned_rebound, share)
        stays = np.where(places.is_spray, (1.0 - share) / (1.0 - places.planned_rebound), 1.0)
        return (1.0 + self._programme.campaign.rules.waste) / (1.0 - share), stays

    def _volumes(self, growth: Floats, depth: Floats) -> Floats:
        """Return the volume of each item; a layer more takes its share from the planned ones."""
        places = self._places
        zone = np.maximum(places.zone_of, 0)
        whole = growth[:, zone] * places.zone_m3
        more = self._layers_more(depth)[:, zone]
        planned = places.layers
        share = np.where(
            places.extra == 0,
            places.share * planned / (planned + more),
            np.where(places.extra <= more, 1.0 / (planned + more), 0.0),
        )
        share = np.where(places.is_break, places.share, share)
        return np.where(places.zone_of < 0, 0.0, whole * share)

    def _layers_more(self, depth: Floats) -> Floats:
        found = np.zeros(depth.shape)
        for zone, steps in self._places.steps.items():
            for step in steps:
                found[:, zone] += depth[:, zone] > step
        return found

    def _breakdowns(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[Floats, Floats]:
        rigs = self._places.rigs
        hours = self._inputs.breakdown_hours
        mean_min = np.inf if hours is None else MINUTES_PER_HOUR * hours
        count = int(_SPARE_FAILURES + 4.0 * self._places.busiest_min / mean_min)
        if inputs.breakdown_hours is None:
            never = np.full((BLOCK_RUNS, rigs, count), np.inf)
            return never, np.zeros(never.shape)
        gaps = np.ceil(rng.exponential(mean_min, (BLOCK_RUNS, rigs, count)))
        repair = drawn(rng.standard_normal(gaps.shape), inputs.repair_h, inputs.shape)
        return gaps, np.ceil(MINUTES_PER_HOUR * repair)

    def _late(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[Floats]:
        scores = rng.standard_normal((BLOCK_RUNS, len(self._calendar.stints)))
        return (np.ceil(np.round(drawn(scores, inputs.late_min, inputs.shape), DECIMALS)),)

    def _panels(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[Floats]:
        count = rng.geometric(1.0 - inputs.panel_fail, (BLOCK_RUNS, self._places.is_panel.size))
        return (np.where(self._places.is_panel, count - 1.0, 0.0),)

    def _weather(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[np.ndarray]:
        months = self._calendar.months
        lost = np.array(inputs.weather_lost)[months - 1]
        return (wet_days(lost, inputs.weather_spell_days, BLOCK_RUNS, rng),)

    def _surge(self, inputs: RiskInputs, rng: np.random.Generator) -> tuple[np.ndarray | None]:
        if self._inputs.residual is None:
            return (None,)
        months = months_of_hours(self._calendar.clock)
        if inputs.residual is None:
            return (np.zeros((BLOCK_RUNS, months.size), dtype=np.float32),)
        return (residual_courses(inputs.residual, months, BLOCK_RUNS, rng),)


def _first(piece: tuple[Any, ...], runs: int) -> tuple[Any, ...]:
    return tuple(None if part is None else part[:runs].copy() for part in piece)


def whole_minutes(volume_m3: Floats, rate_m3_h: Floats) -> Floats:
    """Return times in whole minutes, rounded up after six decimals [min]."""
    return np.asarray(np.ceil(np.round(MINUTES_PER_HOUR * volume_m3 / rate_m3_h, DECIMALS)))


def without(inputs: RiskInputs, off: Collection[Driver]) -> RiskInputs:
    """Return the inputs with some drivers as the plan has them."""
    plain = RiskInputs()
    names = {
        Driver.GROWTH: ("growth_area", "growth_depth"),
        Driver.RATE: ("rate",),
        Driver.REBOUND: ("rebound",),
        Driver.BREAKDOWN: ("breakdown_hours",),
        Driver.LATE: ("late_min",),
        Driver.PANELS: ("panel_fail",),
        Driver.SURGE: ("residual",),
        Driver.WEATHER: ("weather_lost",),
    }
    changes = {name: getattr(plain, name) for driver in off for name in names[driver]}
    return replace(inputs, **changes)


def wet_days(lost: Floats, spell_days: float, count: int, rng: np.random.Generator) -> np.ndarray:
    r"""Return which days are wet, a row for each run.

    A chain of two states: a wet day follows a wet one with chance
    :math:`1 - 1 / L` or the day's own share p, whichever is more, and a dry one with the chance
    that keeps the share of wet days at p.

    Parameters
    ----------
    lost
        Share of wet days, day by day [1].
    spell_days
        Mean length L of wet spells [d].
    count
        Number of runs [1].
    rng
        Source of chance.
    """
    chance = rng.random((count, lost.size))
    found = np.zeros(chance.shape, dtype=bool)
    wet = chance[:, 0] < lost[0] if lost.size else np.zeros(count, dtype=bool)
    for day, share in enumerate(lost):
        if day:
            stay = max(1.0 - 1.0 / spell_days, share)
            begin = share * (1.0 - stay) / (1.0 - share)
            wet = chance[:, day] < np.where(wet, stay, begin)
        found[:, day] = wet
    return found


@dataclass(frozen=True, kw_only=True, eq=False)
class _Places:
    """Where each item stands among zones, sections, rigs and faces."""

    zone_of: np.ndarray
    section_of: np.ndarray
    sections: int
    is_known: np.ndarray
    rig_of: np.ndarray
    rigs: int
    face_of: np.ndarray
    faces: int
    rates: Floats
    planned_min: Floats
    planned_volume: Floats
    planned_rebound: Floats
    plan_through: Floats
    planned_m3: float
    zone_m3: Floats
    share: Floats
    layers: Floats
    extra: Floats
    steps: dict[int, tuple[float, ...]]
    is_spray: np.ndarray
    is_panel: np.ndarray
    is_break: np.ndarray
    busiest_min: float

    @classmethod
    def of(cls, programme: Programme) -> _Places:
        items, zones, campaign = programme.items, programme.zones, programme.campaign
        number = {zone.zone_id: k for k, zone in enumerate(zones)}
        zone_of = np.array([-1 if row.zone is None else number[row.zone] for row in items])
        names = [zone.section or f"zone {zone.zone_id}" for zone in zones]
        sections = {name: k for k, name in enumerate(dict.fromkeys(names))}
        rigs = {rig.rig_id: k for k, rig in enumerate(campaign.rigs)}
        faces = {(face.mix_id, face.orientation): k for k, face in enumerate(campaign.mixes)}
        rebound = np.array(
            [
                campaign.mixes[faces[row.mix, row.orientation]].rebound
                if row.mix is not None and row.orientation is not None
                else 0.0
                for row in items
            ]
        )
        volume = np.array([row.volume_m3 for row in items])
        is_spray = np.array([row.kind is Kind.SPRAY for row in items])
        is_break = np.array([row.kind is Kind.BREAK for row in items])
        zone_m3 = np.zeros(len(zones))
        np.add.at(zone_m3, zone_of[is_spray], volume[is_spray])
        whole = np.where(zone_of < 0, 1.0, zone_m3[np.maximum(zone_of, 0)])
        crews = {crew.crew_id: crew.rate_m3_h or 1.0 for crew in campaign.crews}
        minutes = np.array([float(row.minutes) for row in items])
        rig_of = np.array([rigs[row.rig] if row.rig is not None else 0 for row in items])
        begun = {row.zone_id for row in campaign.done}
        return cls(
            zone_of=zone_of,
            section_of=np.array([sections[name] for name in names], dtype=np.intp),
            sections=len(sections),
            is_known=np.array([zone.zone_id in begun or zone.broken_out for zone in zones]),
            rig_of=rig_of,
            rigs=len(rigs),
            face_of=np.array(
                [
                    faces[row.mix, row.orientation]
                    if row.mix is not None and row.orientation is not None
                    else 0
                    for row in items
                ]
            ),
            faces=max(len(faces), 1),
            rates=np.array([_rate(row, crews[row.crew]) for row in items]),
            planned_min=minutes,
            planned_volume=np.where(is_spray, volume, 0.0),
            planned_rebound=rebound,
            plan_through=(1.0 + campaign.rules.waste) / (1.0 - rebound),
            planned_m3=float(volume[is_spray].sum()) or 1.0,
            zone_m3=whole,
            share=np.divide(volume, whole, out=np.zeros_like(volume), where=whole > 0.0),
            layers=_layers(programme),
            extra=np.array([float(row.extra) for row in items]),
            steps=_steps(programme, number),
            is_spray=is_spray,
            is_panel=np.array([row.kind is Kind.PANEL for row in items]),
            is_break=is_break,
            busiest_min=max(
                (float(minutes[is_spray & (rig_of == k)].sum()) for k in range(len(rigs))),
                default=0.0,
            ),
        )


def _rate(item: Item, break_rate_m3_h: float) -> float:
    if item.kind is Kind.BREAK:
        return break_rate_m3_h
    return item.rate_m3_h or 1.0


def _layers(programme: Programme) -> Floats:
    """Return how many layers the zone of each item has as planned [1]."""
    most: dict[object, int] = {}
    for item in programme.items:
        if item.zone is not None and not item.extra:
            most[item.zone] = max(most.get(item.zone, 1), item.layer)
    return np.array([float(most.get(item.zone, 1)) for item in programme.items])


def _steps(programme: Programme, number: dict[ZoneId, int]) -> dict[int, tuple[float, ...]]:
    """Return the factors of depth above which a zone takes a layer more, and one more."""
    zones: dict[ZoneId, Zone] = {zone.zone_id: zone for zone in programme.zones}
    found: dict[int, list[float]] = {}
    for item in programme.items:
        if not item.extra or item.zone is None:
            continue
        zone = zones[item.zone]
        if zone.depth_mm is None:
            continue
        most = next(
            face.layer_max_mm
            for face in programme.campaign.mixes
            if face.mix_id == item.mix and face.orientation is item.orientation
        )
        planned = item.layer - item.extra
        found.setdefault(number[item.zone], []).append(
            (planned + item.extra - 1) * most / zone.depth_mm * (1.0 + 1e-9)
        )
    return {zone: tuple(sorted(steps)) for zone, steps in found.items()}
