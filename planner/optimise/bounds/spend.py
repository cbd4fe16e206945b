"""Bound on the cost: what every plan must pay whatever else it does."""

from __future__ import annotations

from planner.core.quantities import gross_m3
from planner.optimise.bounds.demand import least_load
from planner.optimise.bounds.work import Work
from planner.plan.costs import flow_control_line

SCALE = 1000


def least_cost(
    work: Work,
    possible: frozenset[int],
    volume_m3: float,
    *,
    finish_min: int,
    relocations: int,
) -> float:
    """Return a proven lower bound on the cost of plans of at least this volume [money].

    Material, hose and rebound of each zone by its cheapest mix; site days from the first day
    of work possible to the day of the least finish cannot be known, so at least the days that
    the work itself fills; relocations by their bound; gates and pumps, hired whatever is planned.
    """
    del finish_min
    problem = work.problem
    prices = problem.campaign.prices
    loads = []
    for z in sorted(possible):
        waste = problem.campaign.rules.waste
        options = []
        for m in work.zones[z]:
            job = problem.jobs[z][m]
            volume = problem.left_volume[z]
            through = gross_m3(in_place_m3=volume, rebound=job.face.rebound, waste=waste)
            process = job.face.process
            options.append(
                through * prices.material_m3.get(job.face.mix_id, 0.0)
                + through * prices.hose_m3.get(process, 0.0)
                + (through - volume) * prices.rebound_m3
            )
        loads.append((int(min(options) * SCALE), problem.left_volume[z]))
    hired = sum(flow_control_line(problem.campaign).values())
    return least_load(loads, volume_m3) / SCALE + relocations * prices.relocation + hired
