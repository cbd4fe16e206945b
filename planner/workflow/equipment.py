"""Machines, air and water of every rig at every position, for the route that asks most of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.model.campaign import Campaign
from planner.model.identifiers import Process
from planner.model.machine import Trait
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.sourced import Trust
from planner.model.zone import Zone
from planner.reach.hoses import HoseRun, Reach
from planner.trade.air import gun_kpa
from planner.trade.faces import faces_for
from planner.trade.figure import Figure, Input
from planner.trade.line_advice import line_advice
from planner.trade.line_figures import ROUTES, Line, line_figures, ventilation
from planner.trade.machine_figures import IN_RIGS, machine_of, people_figure

NO_REACH = "it reaches no zone that it may spray from any position"


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """What a rig wants at a position.

    Attributes
    ----------
    row
        Number of the row, from 1.
    rig, position
        Who, and where; None: it reaches nothing from anywhere.
    zones
        Zones that it reaches from there and may spray.
    governing
        The one whose route asks most of the rig: the highest pressure at a dry gun, the longest
        equivalent hose of a wet pump.
    figures
        Every number of the row, in the order of the table.
    advice
        What to look at; nothing of it rules a line out.
    """

    row: int
    rig: Rig
    position: Position | None = None
    zones: tuple[Zone, ...] = ()
    governing: Zone | None = None
    figures: tuple[Figure, ...] = ()
    advice: tuple[str, ...] = ()

    def figure(self, name: str) -> Figure | None:
        """Return a number of the row by its name, or None where it has none."""
        return next((figure for figure in self.figures if figure.name == name), None)

    def value(self, name: str) -> float | None:
        """Return the value of a number by its name, or None where there is none."""
        figure = self.figure(name)
        return None if figure is None else figure.value


def equipment(campaign: Campaign) -> tuple[Equipment, ...]:
    """Return a row for each rig and each position from which it reaches something."""
    reach = Reach(campaign)
    found: list[Equipment] = []
    for rig in campaign.rigs:
        before = len(found)
        for position in campaign.positions:
            zones = _sprayed(campaign, reach.reached(position, rig), rig)
            if zones:
                row = len(found) + 1
                found.append(_row(reach, rig, position, zones, row=row))
        if len(found) == before:
            found.append(Equipment(row=before + 1, rig=rig, advice=(NO_REACH,)))
    return tuple(found)


def _sprayed(campaign: Campaign, zones: Sequence[Zone], rig: Rig) -> tuple[Zone, ...]:
    return tuple(zone for zone in zones if faces_for(campaign, zone, rig))


def _row(
    reach: Reach, rig: Rig, position: Position, zones: tuple[Zone, ...], *, row: int
) -> Equipment:
    campaign = reach.campaign
    runs = [(zone, run) for zone in zones if (run := reach.run(position, zone, rig)) is not None]
    zone, run = max(runs, key=lambda item: _weight(rig, item[1]))
    line = Line(laid_m=run.laid_m, rise_m=run.rise_m, bends=_bends(rig, run))
    people = people_figure(rig, campaign.crews)
    wanted = line_figures(rig, line)
    closed = [each for each in zones if each.closed_space]
    air = [ventilation(people, diameter_m=_widest_m(campaign, closed))] if closed else []
    figures = (*_route_figures(rig, run, len(zones)), *wanted, *air, people)
    return Equipment(
        row=row,
        rig=rig,
        position=position,
        zones=zones,
        governing=zone,
        figures=figures,
        advice=line_advice(
            rig, line, {figure.name: figure for figure in figures}, closed=bool(closed)
        ),
    )


def _weight(rig: Rig, run: HoseRun) -> tuple[float, float]:
    if rig.process is Process.DRY:
        return gun_kpa(laid_m=run.laid_m, rise_m=run.rise_m), run.hose_m
    return run.hose_m, run.laid_m


def _bends(rig: Rig, run: HoseRun) -> float:
    """Return the bends of a run, found back from its equivalent length [1]."""
    if rig.bend_m <= 0.0:
        return 0.0
    beyond_m = run.hose_m - run.laid_m - rig.rise_factor * max(0.0, run.rise_m)
    return round(beyond_m / rig.bend_m, 3)


def _widest_m(campaign: Campaign, zones: Sequence[Zone]) -> float | None:
    sections = {zone.section for zone in zones}
    bores = [pipe.diameter_m for pipe in campaign.water.sewer if pipe.section in sections]
    return max(bores, default=None)


def _route_figures(rig: Rig, run: HoseRun, zones: int) -> tuple[Figure, ...]:
    def figure(name: str, value: float, formula: str, *inputs: Input) -> Figure:
        return Figure(
            name=name,
            value=value,
            unit="" if name == "zones" else "m",
            formula=formula,
            inputs=inputs,
            source=ROUTES if name != "zones" else "routes, rigs.csv and mixes.csv",
            trust=Trust.GIVEN,
        )

    laid = Input(name="hose_laid_m", value=run.laid_m, source=ROUTES)
    rise = Input(name="rise_m", value=run.rise_m, source=ROUTES)
    return (
        figure("zones", float(zones), "counted: within reach, with a mix that the rig sprays"),
        figure("hose_laid_m", run.laid_m, "sum of length along the route with the least of it"),
        figure("rise_m", run.rise_m, "height of the zone over the position along the route"),
        figure(
            "hose_m",
            run.hose_m,
            "hose_laid_m + bend_m x bends + rise_factor x max(0, rise_m) (contract, section 3)",
            laid,
            Input(name="bend_m", value=rig.bend_m, source=origin(rig, "bend_m")),
            Input(name="bends", value=_bends(rig, run), source=ROUTES),
            Input(name="rise_factor", value=rig.rise_factor, source=origin(rig, "rise_factor")),
            rise,
        ),
        _hose_max(rig),
    )


def _hose_max(rig: Rig) -> Figure:
    machine = machine_of(rig)
    filled = machine is not None and "hose_max_m" in rig.type_filled
    span = None if machine is None else machine.span(Trait.LEVEL)
    return Figure(
        name="hose_max_m",
        value=rig.hose_max_m,
        unit="m",
        formula="the rated reach: the limit of the line",
        source=span.source if filled and span is not None else IN_RIGS,
        trust=span.trust if filled and span is not None else Trust.GIVEN,
    )


def origin(rig: Rig, column: str) -> str:
    """Return where the value of a column of a rig comes from, in words."""
    return f"usual of {rig.type_id}" if column in rig.type_filled else f"{IN_RIGS} or its default"
