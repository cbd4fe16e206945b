"""What the tables of a scenario tell of that can hurt people; nothing here approves anything.

Every caution names the kind of local code that decides.  The list is as long as the tables are
telling: a hazard that no table shows is not in it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection

from planner.model.campaign import Campaign
from planner.model.identifiers import CrewId, RigId, ZoneId
from planner.model.sourced import Trust
from planner.trade import (
    cautions_machines as machines,
)
from planner.trade import (
    cautions_overhead as overhead,
)
from planner.trade import (
    cautions_people as people,
)
from planner.trade import (
    cautions_water as water,
)
from planner.trade.caution import Asked, Caution, Scope

__all__ = ["CAUTIONS", "Caution", "Scope", "cautions_for"]

CAUTIONS: tuple[Callable[[Asked], Caution | None], ...] = (
    water.confined_space,
    water.gas_and_air,
    water.sewer_flow,
    water.over_water,
    water.floats,
    water.vessel_wash,
    water.divers,
    overhead.fall_out,
    overhead.no_entry,
    overhead.way_out,
    overhead.propping,
    overhead.heights,
    water.room_to_spray,
    machines.hose_whip,
    machines.couplings,
    machines.boom_arm,
    machines.engines,
    machines.silica,
    machines.eyes_and_skin,
    machines.noise,
    machines.lifting,
    people.fatigue,
    people.night,
    people.breaking,
    water.wash_water,
)
"""Every caution, in the order in which they are shown: what kills first, first."""

SITE = Caution(
    code="not-an-approval",
    title="What this list is",
    scope=Scope.SITE,
    text=(
        "This list comes from the tables of the scenario and from nothing else: it finds no hazard"
        " that they do not show, and it allows nothing. Whoever is in charge assesses the risks on"
        " site, and may always say no."
    ),
    follow="Follow your local code for risk assessment, permits and licensed practice.",
    source="docs/cautions.md",
    trust=Trust.PRACTICE,
)


def cautions_for(
    campaign: Campaign,
    *,
    zones: Collection[ZoneId] | None = None,
    rigs: Collection[RigId] | None = None,
    crews: Collection[CrewId] | None = None,
) -> tuple[Caution, ...]:
    """Return the cautions that apply to part of a campaign, each once.

    Parameters
    ----------
    zones, rigs, crews
        Whom they are asked for, for example those of one shift; None: all of the campaign.

    Returns
    -------
    tuple
        The one about the whole site first, then by weight; ``subjects`` holds the identifiers
        that each applies to, in table order.
    """
    asked = Asked(
        campaign=campaign,
        zones=tuple(z for z in campaign.zones if zones is None or z.zone_id in zones),
        rigs=tuple(r for r in campaign.rigs if rigs is None or r.rig_id in rigs),
        crews=tuple(c for c in campaign.crews if crews is None or c.crew_id in crews),
    )
    found = (rule(asked) for rule in CAUTIONS)
    return (SITE, *(caution for caution in found if caution is not None))
