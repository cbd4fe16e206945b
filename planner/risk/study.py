"""Many lives of a plan, block by block, on as many threads as there are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import reduce
from threading import Lock
from typing import TypeVar

import numpy as np

from planner.access.curve import Floats
from planner.model.campaign import Campaign
from planner.plan.plan import Plan
from planner.risk.chance import BLOCK_RUNS, Chance, Draws, stacked
from planner.risk.inputs import Driver, RiskInputs, Rule
from planner.risk.outings import Outing, Tally, outings, tally
from planner.risk.programme import Kind, programme
from planner.risk.site import Ground, Site, StoppedError

__all__ = ["Bench", "Lives", "Settings", "StoppedError", "Study", "study"]

K = TypeVar("K")

RUNS = 10_000
OFF_RUNS = 250
"""Runs with which each driver is switched off in turn (our choice) [1]."""
OUTSIDE = (Driver.SURGE, Driver.WEATHER)
"""Drivers that a weather allowance is for."""
_GROUPS_TOGETHER = 9


@dataclass(frozen=True, kw_only=True)
class Settings:
    """How a study is made; ``stop`` ends it early, ``tell`` hears the share that is done."""

    runs: int = RUNS
    seed: int = 1
    rule: Rule = Rule.NEXT
    workers: int = 2
    stop: Callable[[], bool] = lambda: False
    tell: Callable[[float], None] = lambda _share: None


@dataclass(frozen=True, kw_only=True, eq=False)
class Lives:
    """What came of some runs; a row each.

    Attributes
    ----------
    finish_min
        End of the last spell [min]; inf: not done when the calendar ended.
    zone_min
        End of each planned zone's last layer [min].
    cost, cost_lines
        Sum of the cost lines, and each of them [money].
    scores
        Driver to a figure of how much of it came.
    counts
        What happened how often.
    tally
        How the plan's outings went.
    """

    finish_min: Floats
    zone_min: Floats
    cost: Floats
    cost_lines: dict[str, Floats]
    scores: dict[Driver, Floats]
    counts: dict[str, Floats]
    tally: Tally

    def rows(self, part: slice) -> Lives:
        """Return some runs; the tally stays that of all."""
        return Lives(
            finish_min=self.finish_min[part],
            zone_min=self.zone_min[part],
            cost=self.cost[part],
            cost_lines={name: values[part] for name, values in self.cost_lines.items()},
            scores={name: values[part] for name, values in self.scores.items()},
            counts={name: values[part] for name, values in self.counts.items()},
            tally=self.tally,
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class Study:
    """A plan, lived many times.

    Attributes
    ----------
    campaign, plan, inputs, settings
        What was asked.
    longer
        The campaign with its calendar going on; ``clock`` for dates beyond the last day.
    drivers
        What was drawn.
    lives
        Every run.
    without
        Some runs again, each driver (or all that come from outside) as planned.
    outings
        The plan's shifts in their windows.
    zones
        Planned zones, the columns of ``lives.zone_min``.
    """

    campaign: Campaign
    longer: Campaign
    plan: Plan
    inputs: RiskInputs
    settings: Settings
    drivers: tuple[Driver, ...]
    lives: Lives
    without: dict[tuple[Driver, ...], Lives] = field(default_factory=dict)
    outings: tuple[Outing, ...] = ()
    zones: tuple[str, ...] = ()


class Bench:
    """A plan ready to be lived.

    Parameters
    ----------
    campaign, plan
        A plan that is valid for the campaign.
    inputs
        What is drawn.
    seed
        Seed of chance.
    """

    def __init__(self, campaign: Campaign, plan: Plan, inputs: RiskInputs, *, seed: int) -> None:
        self.inputs = inputs
        self.programme = programme(campaign, plan, deepest=inputs.growth_depth.high)
        self.ground = Ground.of(self.programme, overtime_min=inputs.overtime_min)
        self.layout, self.calendar = self.ground.layout, self.ground.calendar
        self.chance = Chance(self.programme, self.calendar, inputs, seed=seed)
        self.drivers = inputs.active(has_panels=self.programme.has_panels)
        self.outings = outings(self.programme, self.calendar)

    def live(self, draws: Draws, rule: Rule, *, stop: Callable[[], bool] = lambda: False) -> Lives:
        """Return what comes of runs whose chance is given.

        Raises
        ------
        StoppedError
            If ``stop`` says so.
        """
        site = Site(self.ground, draws, rule)
        site.live(stop)
        lines = site.ledger.lines()
        spray = np.flatnonzero(self.layout.kind == Kind.SPRAY)
        finish = site.state.end[:, spray].max(axis=1, initial=0.0)
        return Lives(
            finish_min=np.where(site.state.todo == 0, finish, np.inf),
            zone_min=site.state.end[:, self.layout.last_items],
            cost=np.sum(list(lines.values()), axis=0),
            cost_lines=lines,
            scores=self._scores(draws, site),
            counts={**site.state.counts, "relocations": site.ledger.moves},
            tally=tally(site, self.outings),
        )

    def _scores(self, draws: Draws, site: Site) -> dict[Driver, Floats]:
        """Return one figure for each driver and run, for ranking."""
        planned = slice(0, self.programme.campaign.clock.days)
        return {
            Driver.GROWTH: draws.growth,
            Driver.RATE: draws.slowness,
            Driver.REBOUND: draws.rebound,
            Driver.BREAKDOWN: site.state.counts["repair_min"],
            Driver.LATE: draws.late_min.mean(axis=1),
            Driver.PANELS: draws.failed_panels.sum(axis=1),
            Driver.SURGE: self._water_lost(site),
            Driver.WEATHER: draws.wet[:, planned].sum(axis=1).astype(float),
        }

    def _water_lost(self, site: Site) -> Floats:
        """Return how many of the plan's windows the water took from each run, wholly or partly."""
        found = np.zeros(site.state.runs)
        if site.fitter.water is None:
            return found
        for outing in self.outings:
            window = self.calendar.windows[outing.room.window]
            opened, closed = site.fitter.water.of(outing.room.window)
            found += (opened > window.start_min + outing.room.way_in_min) | (
                closed < window.end_min - outing.room.way_out_min
            )
        return found


def study(campaign: Campaign, plan: Plan, inputs: RiskInputs, settings: Settings) -> Study:
    """Return what may come of a plan.

    Parameters
    ----------
    campaign, plan
        A plan that is valid for the campaign, with at least one spell.
    inputs
        What is drawn.
    settings
        Runs, seed, rule and threads; the same whatever the number of threads.

    Raises
    ------
    StoppedError
        If it was stopped.
    """
    bench = Bench(campaign, plan, inputs, seed=settings.seed)
    sizes = block_sizes(settings.runs)
    few = min(settings.runs, OFF_RUNS)
    switched = _switched(bench.drivers)
    together = [
        switched[k : k + _GROUPS_TOGETHER] for k in range(0, len(switched), _GROUPS_TOGETHER)
    ]
    done, lock, whole = [0.0], Lock(), len(sizes) + len(together)

    def tell() -> None:
        with lock:
            done[0] += 1.0
            settings.tell(done[0] / whole)

    def block(number: int) -> Lives:
        draws = bench.chance.block(number).first(sizes[number])
        lives = bench.live(draws, settings.rule, stop=settings.stop)
        tell()
        return lives

    def without(groups: Sequence[tuple[Driver, ...]]) -> list[Lives]:
        parts = bench.chance.variants(groups, runs=few)
        lives = bench.live(stacked(parts), settings.rule, stop=settings.stop)
        tell()
        return [lives.rows(slice(k * few, (k + 1) * few)) for k in range(len(groups))]

    with ThreadPoolExecutor(max_workers=max(1, settings.workers)) as pool:
        blocks = [pool.submit(block, number) for number in range(len(sizes))]
        others = [pool.submit(without, groups) for groups in together]
        lives = joined([future.result() for future in blocks])
        found = [one for future in others for one in future.result()]
    return Study(
        campaign=campaign,
        longer=bench.calendar.campaign,
        plan=plan,
        inputs=inputs,
        settings=settings,
        drivers=bench.drivers,
        lives=lives,
        without=dict(zip(switched, found, strict=True)),
        outings=bench.outings,
        zones=tuple(str(zone.zone_id) for zone in bench.programme.zones),
    )


def block_sizes(runs: int) -> list[int]:
    """Return how many runs of each block are wanted.

    Examples
    --------
    >>> block_sizes(6000)
    [2500, 2500, 1000]
    """
    whole, rest = divmod(runs, BLOCK_RUNS)
    return [BLOCK_RUNS] * whole + ([rest] if rest else [])


def joined(parts: Sequence[Lives]) -> Lives:
    """Return the runs of several blocks as one."""

    def all_of(pick: Callable[[Lives], Floats]) -> Floats:
        return np.concatenate([pick(part) for part in parts])

    def by_name(pick: Callable[[Lives], dict[K, Floats]]) -> dict[K, Floats]:
        tables = [pick(part) for part in parts]
        return {name: np.concatenate([table[name] for table in tables]) for name in tables[0]}

    return Lives(
        finish_min=all_of(lambda part: part.finish_min),
        zone_min=all_of(lambda part: part.zone_min),
        cost=all_of(lambda part: part.cost),
        cost_lines=by_name(lambda part: part.cost_lines),
        scores=by_name(lambda part: part.scores),
        counts=by_name(lambda part: part.counts),
        tally=reduce(lambda one, other: one + other, [part.tally for part in parts]),
    )


def _switched(drivers: Sequence[Driver]) -> list[tuple[Driver, ...]]:
    outside = tuple(driver for driver in drivers if driver in OUTSIDE)
    single: list[tuple[Driver, ...]] = [(driver,) for driver in drivers]
    return [*single, outside] if len(outside) > 1 else single
