"""What keeps work away: closures, zones kept apart, limits on open zones."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.model.identifiers import ZoneId


class ClosureScope(StrEnum):
    """What a closure holds for."""

    SITE = "site"
    POSITION = "position"
    ZONE = "zone"
    SECTION = "section"
    RIG = "rig"
    CREW = "crew"
    PROCESS = "process"


class ClosureKind(StrEnum):
    """What sort of thing a closure is, for totals."""

    BERTH = "berth"
    HOLIDAY = "holiday"
    NOISE = "noise"
    WILDLIFE = "wildlife"
    WEATHER = "weather"
    PLANT = "plant"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """A stretch in which nothing of a scope works (contract, closures.csv).

    Attributes
    ----------
    scope, target
        What it holds for; ``target`` is empty for the site.
    from_min, to_min
        Stretch [min]; may reach beyond the campaign.
    weekdays
        Days on which the daily hours start, Monday = 0; None: every day.
    start_tod, end_tod
        Given: closed only between these hours [minutes after midnight]; both None: all day.
        With ``weekdays`` given and no hours: the whole of those days.
    why
        Reason, for people.
    kind
        Sort of reason, for totals.
    """

    scope: ClosureScope
    target: str
    from_min: int
    to_min: int
    weekdays: frozenset[int] | None = None
    start_tod: int | None = None
    end_tod: int | None = None
    why: str = ""
    kind: ClosureKind = ClosureKind.OTHER


class ApartKind(StrEnum):
    """Whether two zones may not be open, or not be worked, at the same time."""

    OPEN = "open"
    WORK = "work"


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """Two zones that the structure's engineer keeps apart (contract, apart.csv)."""

    zone_a: ZoneId
    zone_b: ZoneId
    kind: ApartKind
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLimit:
    """A group of zones of which never more than ``open_max`` are open (open_limits.csv)."""

    group: str
    zones: tuple[ZoneId, ...]
    open_max: int
    why: str = ""
