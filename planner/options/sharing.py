"""Which things could never be in use together, because they take more than there is (rule 16)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone

Owner = Zone | Position | Rig | Crew


def lacking(campaign: Campaign, *owners: Owner) -> str | None:
    """Return what is missing for some things to be in use at once, in words; None: nothing.

    Examples of the words: ``2 of float where there is 1``.
    """
    wanted = Counter[str]()
    for owner in owners:
        for need in owner.needs:
            wanted[need.resource_id] += need.count
    for resource in campaign.resources:
        asked = wanted[resource.resource_id]
        if asked > resource.number:
            there = "is" if resource.number == 1 else "are"
            return f"{asked} of {resource.resource_id} where there {there} {resource.number}"
    return None


def may_share(campaign: Campaign, crews: Collection[Crew], *owners: Owner) -> bool:
    """Return whether some things and one of some crews can be in use at once."""
    if not campaign.resources:
        return True
    return any(lacking(campaign, crew, *owners) is None for crew in crews)
