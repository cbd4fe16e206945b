"""Bound on the volume that fits at all."""

from __future__ import annotations

from planner.optimise.bounds.demand import demand_of
from planner.optimise.bounds.flow import Flow
from planner.optimise.bounds.hours import rows_of
from planner.optimise.bounds.lp import Solver
from planner.optimise.bounds.packing import Packing
from planner.optimise.bounds.posts import Site
from planner.optimise.bounds.work import Work

MOST_COLUMNS = 30_000


def most_volume_m3(work: Work, zones: frozenset[int]) -> float:
    """Return a proven upper bound on the volume that a plan of some zones can hold [m³].

    The volume of all of them, or what the flow of minutes lets through by the campaign's end.
    """
    volume = work.problem.left_volume
    total = sum(volume[z] for z in sorted(zones))
    site = Site(work, work.problem.end)
    if len(site.posts) * len(site.tasks) > MOST_COLUMNS or not zones:
        return total
    packing = Packing(site, rows_of(work, site.teams))
    demand = demand_of(work, packing.kinds, zones, 0.0, lambda z, _: -volume[z])
    model = Flow(packing, demand, work.problem.end).model
    duals = model.solve(Solver.GLOP).duals
    return min(total, -model.safe_bound(duals)) if duals else total
