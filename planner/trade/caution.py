"""What a caution is: what can hurt, whom it concerns, and which code decides."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.rig import Rig
from planner.model.sourced import Trust
from planner.model.zone import Zone


class Scope(StrEnum):
    """What a caution is about."""

    SITE = "site"
    ZONE = "zone"
    RIG = "rig"
    CREW = "crew"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A hazard that the tables of the scenario tell of; it approves nothing.

    Attributes
    ----------
    code
        Stable kebab-case word.
    title
        A few words.
    scope
        What its subjects are.
    subjects
        Identifiers that it applies to, in table order; none: the whole site.
    text
        What can hurt, with the figures of the scenario.
    follow
        Which kind of local code decides; begins with "Follow your local code for".
    source
        Where outside figures come from.
    trust
        How far these can be trusted.
    """

    code: str
    title: str
    scope: Scope
    subjects: tuple[str, ...] = ()
    text: str
    follow: str
    source: str
    trust: Trust


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Whom cautions are asked for: part of a campaign."""

    campaign: Campaign
    zones: tuple[Zone, ...]
    rigs: tuple[Rig, ...]
    crews: tuple[Crew, ...]
