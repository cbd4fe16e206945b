"""Turn a solution of the programme into a plan, so that others can check it."""

from collections import defaultdict
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from planner.model.identifiers import CrewId, ZoneId
from planner.plan.plan import BreakOut, Plan, Relocation, Run, RunKind, Spell, Unplanned
from tests.exact import quantities
from tests.exact.arcs import SINK, Arc, Kind, Node
from tests.exact.model import Model


def plan_of(model: Model, solution: NDArray[np.float64]) -> Plan:
    """Return the plan of a solution."""
    spells: list[Spell] = []
    runs: list[Run] = []
    moves: list[Relocation] = []
    for arcs in _duties(model, solution):
        kind = arcs[0].kind
        if kind is Kind.MOVE:
            moves.append(_relocation(model, arcs[0]))
        else:
            run = _run(model, arcs, f"{arcs[0].rig}-{arcs[0].start}")
            runs.append(run)
            spells.extend(_spell(model, arc, run) for arc in arcs if arc.kind is Kind.SPELL)
    chosen = {key for key, number in model.mix.items() if solution[number] > 0.5}
    planned = {zone for zone, _ in chosen}
    return Plan(
        spells=tuple(sorted(spells, key=lambda s: (s.start_min, s.rig))),
        runs=tuple(sorted(runs, key=lambda r: (r.start_min, r.rig))),
        relocations=tuple(sorted(moves, key=lambda m: (m.start_min, m.rig))),
        break_outs=tuple(_break_outs(model, solution)),
        unplanned=tuple(
            Unplanned(zone=zone.zone_id, reason="no plan with more volume has room for it")
            for zone in model.scene.campaign.zones
            if zone.zone_id not in planned
        ),
    )


def _duties(model: Model, solution: NDArray[np.float64]) -> Iterator[list[Arc]]:
    """Follow every rig from its source and return its relocations, panels and runs."""
    at = 0
    for network in model.networks:
        taken: dict[Node, Arc] = {}
        for number, arc in enumerate(network.arcs, start=at):
            if solution[number] > 0.5:
                taken[arc.tail] = arc
        at += len(network.arcs)
        node, run = network.source, list[Arc]()
        while node != SINK:
            arc = taken[node]
            node = arc.head
            if arc.kind in {Kind.MOVE, Kind.PANEL}:
                yield [arc]
            elif arc.works:
                run.append(arc)
            if arc.kind is Kind.CLEAN_UP:
                yield run
                run = []


def _run(model: Model, arcs: list[Arc], name: str) -> Run:
    grid, first = model.scene.grid, arcs[0]
    if first.crew is None or first.position is None or first.mix is None:
        msg = f"{name} has no crew, position or mix"
        raise ValueError(msg)
    panel = first.kind is Kind.PANEL
    return Run(
        run=name,
        rig=first.rig,
        crew=first.crew,
        position=first.position,
        mix=first.mix,
        start_min=first.start * grid,
        end_min=arcs[-1].end * grid,
        kind=RunKind.PANEL if panel else RunKind.SPRAY,
        orientation=first.orientation if panel else None,
    )


def _spell(model: Model, arc: Arc, run: Run) -> Spell:
    campaign, grid = model.scene.campaign, model.scene.grid
    zone = next(z for z in campaign.zones if z.zone_id == arc.zone)
    rig = next(r for r in campaign.rigs if r.rig_id == arc.rig)
    position = next(p for p in campaign.positions if p.position_id == run.position)
    hose = quantities.hose(campaign, position, zone, rig)
    equivalent = quantities.equivalent_m(campaign, position, zone, rig)
    if hose is None or equivalent is None:
        msg = f"{rig.rig_id} does not reach {zone.zone_id}"
        raise ValueError(msg)
    layers = model.scene.jobs[zone.zone_id, run.mix].layers
    layer_m3 = quantities.volume_m3(campaign, zone) / layers
    return Spell(
        run=run.run,
        rig=run.rig,
        crew=run.crew,
        position=run.position,
        zone=zone.zone_id,
        layer=arc.layer,
        start_min=arc.spray_from * grid,
        end_min=arc.end * grid,
        volume_m3=layer_m3 * (arc.end - arc.spray_from) / arc.whole,
        hose_m=equivalent,
        hose_laid_m=hose[1],
    )


def _relocation(model: Model, arc: Arc) -> Relocation:
    grid = model.scene.grid
    if arc.position is None or arc.to is None:
        raise ValueError("a relocation without positions")
    return Relocation(
        rig=arc.rig,
        crew=arc.crew,
        from_position=arc.position,
        to_position=arc.to,
        start_min=arc.start * grid,
        end_min=arc.end * grid,
    )


def _break_outs(model: Model, solution: NDArray[np.float64]) -> Iterator[BreakOut]:
    """Join the slots of break-out to pieces, cut where a shift or a window ends."""
    scene = model.scene
    for zone_id, pieces in model.break_out.items():
        by_crew: dict[CrewId, list[int]] = defaultdict(list)
        for (crew, slot), number in pieces.items():
            if solution[number] > 0.5:
                by_crew[crew].append(slot)
        for crew, slots in sorted(by_crew.items()):
            cuts = {end for _, end in scene.crew_shifts[crew]}
            cuts |= {end for _, end in scene.windows[zone_id]}
            for start, end in _joined(sorted(slots), cuts):
                yield _break_out(model, crew, zone_id, start * scene.grid, end * scene.grid)


def _joined(slots: list[int], cuts: set[int]) -> list[tuple[int, int]]:
    out: list[tuple[int, int]] = []
    for slot in slots:
        if out and out[-1][1] == slot and slot not in cuts:
            out[-1] = (out[-1][0], slot + 1)
        else:
            out.append((slot, slot + 1))
    return out


def _break_out(model: Model, crew: CrewId, zone_id: ZoneId, start: int, end: int) -> BreakOut:
    campaign = model.scene.campaign
    noun = next(c for c in campaign.crews if c.crew_id == crew)
    zone = next(z for z in campaign.zones if z.zone_id == zone_id)
    total = quantities.break_out_min(campaign, zone, noun)
    volume = quantities.volume_m3(campaign, zone) * (end - start) / total
    return BreakOut(crew=crew, zone=zone_id, start_min=start, end_min=end, volume_m3=volume)
