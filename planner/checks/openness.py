"""Rule 11: how many zones are open, and which never together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.checks.case import Case
from planner.checks.order import complete_at
from planner.checks.rows import Sprayed
from planner.checks.violation import UNPLANNED, Place, Violation
from planner.core.rounding import up
from planner.model.identifiers import ZoneId
from planner.model.limits import ApartKind
from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenTime:
    """The stretch in which a zone counts as open, and the row that opens it.

    ``is_from_start`` says that it is open when the plan begins, whatever the plan does.
    """

    zone: ZoneId
    start_min: int
    end_min: int
    place: Place
    is_from_start: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Busy:
    """A stretch of work on a zone: a spell with its zone change, or a break-out piece."""

    start_min: int
    end_min: int
    place: Place
    text: str


def rule_11(case: Case) -> Iterator[Violation]:
    """Keep zones apart that must not be open, or worked, together; keep open limits."""
    opened = {zone.zone_id: found for zone in case.campaign.zones if (found := _open(case, zone))}
    for pair in case.campaign.apart:
        if pair.kind is ApartKind.OPEN:
            yield from _open_together(case, opened, pair.zone_a, pair.zone_b)
        else:
            yield from _worked_together(case, pair.zone_a, pair.zone_b)
    for limit in case.campaign.open_limits:
        group = [opened[zone] for zone in dict.fromkeys(limit.zones) if zone in opened]
        yield from _too_many(case, group, limit.group, limit.open_max)


def _open(case: Case, zone: Zone) -> OpenTime | None:
    """Return when a zone is open; None: never in the time of the plan."""
    end = complete_at(case, zone.zone_id)
    if end is None:
        return None  # unplanned zones are not counted
    end += up(60.0 * case.rules.strength_hold_h)
    begins = case.campaign.start_min
    is_broken_out = zone.broken_out and case.campaign.plans_break_out
    first = _first_row(case, zone.zone_id)
    is_from_start = first is None or is_broken_out or case.record.has(zone.zone_id)
    start = begins if first is None or is_from_start else first.start_min
    place = Place(UNPLANNED, None) if first is None else first.place
    if end <= start:
        return None
    return OpenTime(
        zone=zone.zone_id, start_min=start, end_min=end, place=place, is_from_start=is_from_start
    )


def _first_row(case: Case, zone_id: ZoneId) -> Busy | None:
    works = [*case.pieces_by_zone.get(zone_id, ()), *case.spells_by_zone.get(zone_id, ())]
    if not works:
        return None
    first = min(works, key=lambda work: work.start_min)
    return Busy(
        start_min=first.start_min, end_min=first.end_min, place=first.place, text=str(first)
    )


def _open_together(
    case: Case, opened: dict[ZoneId, OpenTime], zone_a: ZoneId, zone_b: ZoneId
) -> Iterator[Violation]:
    if zone_a not in opened or zone_b not in opened:
        return
    first, second = sorted(
        (opened[zone_a], opened[zone_b]),
        key=lambda one: (not one.is_from_start, one.start_min, one.zone),
    )
    common = min(first.end_min, second.end_min) - second.start_min
    if common > 0 and not second.is_from_start:
        yield second.place.breaks(
            11,
            f"Zone {second.zone} is opened at {case.text(second.start_min)} while zone "
            f"{first.zone} is open until {case.text(first.end_min)}; the two are kept apart and "
            f"are open together for {common} min.",
            common,
        )


def _busy(case: Case, zone_id: ZoneId) -> list[Busy]:
    change = case.rules.zone_change_min
    works = [*case.pieces_by_zone.get(zone_id, ()), *case.spells_by_zone.get(zone_id, ())]
    stretches = [
        Busy(
            start_min=work.start_min - (change if isinstance(work, Sprayed) else 0),
            end_min=work.end_min,
            place=work.place,
            text=str(work),
        )
        for work in works
    ]
    return sorted(stretches, key=lambda one: (one.start_min, one.end_min))


def _worked_together(case: Case, zone_a: ZoneId, zone_b: ZoneId) -> Iterator[Violation]:
    others = _busy(case, zone_b)
    for one in _busy(case, zone_a):
        for other in others:
            common = min(one.end_min, other.end_min) - max(one.start_min, other.start_min)
            if common > 0:
                later = one if one.start_min >= other.start_min else other
                yield later.place.breaks(
                    11,
                    f"At {case.text(later.start_min)}, {one.text} and {other.text} are worked on "
                    f"together for {common} min; zones {zone_a} and {zone_b} are kept apart.",
                    common,
                )


def _too_many(case: Case, group: list[OpenTime], name: str, open_max: int) -> Iterator[Violation]:
    """Yield each opening beyond the limit; what is open from the start opens nothing."""
    standing: list[OpenTime] = []
    order = sorted(group, key=lambda one: (not one.is_from_start, one.start_min, one.zone))
    for one in order:
        standing = [other for other in standing if other.end_min > one.start_min]
        standing.append(one)
        if len(standing) > open_max and not one.is_from_start:
            zones = ", ".join(sorted(other.zone for other in standing))
            yield one.place.breaks(
                11,
                f"Zone {one.zone} is opened at {case.text(one.start_min)} as number "
                f"{len(standing)} of group {name} ({zones}); at most {open_max} may be open.",
                len(standing) - open_max,
            )
