"""Things that several zones, positions, rigs and crews share: a float, a rescue boat, a team."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import ResourceId


@dataclass(frozen=True, slots=True, kw_only=True)
class Resource:
    """One kind of thing of which there are only so many (resources.csv, rule 16).

    Attributes
    ----------
    resource_id
        Identifier.
    number
        How many of it there are [1].
    price_day
        For each one in use on a civil day [money].
    why
        What it is or why it is needed, for people.
    """

    resource_id: ResourceId
    number: int
    price_day: float = 0.0
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """How many of a resource something takes while it is in use (columns ``needs``)."""

    resource_id: ResourceId
    count: int = 1
