"""Windows as a calendar file (RFC 5545), for the phones of those who work in them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from planner.access.windows import Access
from planner.core.clock import Clock
from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId

PRODUCT = "-//Ebbwork//windows//EN"
_SHOWN = 4
_CAUTION = (
    "Predicted, not shortened by the time to get in and out. Tide boards, flow alarms, permits"
    " and people on site decide."
)


def window_calendar(campaign: Campaign, zone_id: ZoneId | None = None) -> bytes:
    """Return the windows of one zone, or of all, as a calendar file.

    Zones that share a window share an event.  The stamp of each event is the campaign's first
    minute, so that the same scenario gives the same file.
    """
    from icalendar import Calendar, Event  # noqa: PLC0415 - slow to import, and seldom wanted

    clock = campaign.clock
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    for (start, end), zones in _shared(campaign, zone_id):
        event = Event()
        event.add("uid", f"{start}-{end}-{zones[0]}-{campaign.fingerprint[:16]}@ebbwork")
        event.add("dtstamp", clock.epoch_utc)
        event.add("dtstart", _utc(clock, start))
        event.add("dtend", _utc(clock, end))
        event.add("summary", f"Window {_names(zones)}")
        event.add("description", f"{campaign.name}: {', '.join(zones)}. {_CAUTION}")
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    found: bytes = calendar.to_ical()
    return found


def _shared(
    campaign: Campaign, zone_id: ZoneId | None
) -> Iterable[tuple[tuple[int, int], list[ZoneId]]]:
    access = Access(campaign)
    found: dict[tuple[int, int], list[ZoneId]] = {}
    for zone in campaign.zones:
        if zone_id in (None, zone.zone_id):
            for span in access.windows(zone):
                found.setdefault(span, []).append(zone.zone_id)
    return sorted(found.items())


def _utc(clock: Clock, minute: int) -> datetime:
    return clock.local(minute).astimezone(UTC)


def _names(zones: list[ZoneId]) -> str:
    more = f" and {len(zones) - _SHOWN} more" if len(zones) > _SHOWN else ""
    return ", ".join(zones[:_SHOWN]) + more
