"""Random needs of shared resources, for random campaigns."""

from dataclasses import replace
from typing import TypeVar

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import ResourceId
from planner.model.position import Position
from planner.model.resource import Need, Resource
from planner.model.rig import Rig
from planner.model.zone import Zone
from tests.properties.luck import Luck

Owner = TypeVar("Owner", Zone, Position, Rig, Crew)


def with_resources(luck: Luck, campaign: Campaign) -> Campaign:
    """Return a campaign in which some things take some of one to three resources."""
    resources = tuple(
        Resource(
            resource_id=ResourceId(f"S{k}"),
            number=luck.whole(1, 3),
            price_day=luck.one_of((0.0, 10.0)),
        )
        for k in range(luck.whole(1, 3))
    )
    return replace(
        campaign,
        resources=resources,
        zones=tuple(_needing(luck, one, resources) for one in campaign.zones),
        positions=tuple(_needing(luck, one, resources) for one in campaign.positions),
        rigs=tuple(_needing(luck, one, resources) for one in campaign.rigs),
        crews=tuple(_needing(luck, one, resources) for one in campaign.crews),
    )


def without_needs(campaign: Campaign) -> Campaign:
    """Return the campaign with nothing to share."""
    return replace(
        campaign,
        resources=(),
        zones=tuple(replace(one, needs=()) for one in campaign.zones),
        positions=tuple(replace(one, needs=()) for one in campaign.positions),
        rigs=tuple(replace(one, needs=()) for one in campaign.rigs),
        crews=tuple(replace(one, needs=()) for one in campaign.crews),
    )


def _needing(luck: Luck, owner: Owner, resources: tuple[Resource, ...]) -> Owner:
    taken = luck.some_of(resources, 25)
    needs = tuple(
        Need(resource_id=one.resource_id, count=1 if luck.chance(80) else one.number)
        for one in taken
    )
    return replace(owner, needs=needs)
