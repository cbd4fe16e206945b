"""The campaign's days and time zone."""

from __future__ import annotations

import re
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from planner.core.clock import Clock
from planner.scenario.draft import Draft
from planner.scenario.findings import Findings
from planner.scenario.grid import shorten
from planner.scenario.suggest import nearest

DAYS_MAX = 3660
"""Longest campaign, ten years [d]."""
DAYS_ODD = 1100
"""Campaigns longer than three years draw a warning [d]."""


def clock_of(draft: Draft, findings: Findings) -> Clock | None:
    """Return the campaign's calendar, or None with problems."""
    keys = draft.keys
    zone = keys.text("campaign.time_zone")
    if zone and not _is_zone(zone):
        _note_zone(zone, draft, findings)
        zone = ""
    first, last = keys.day("campaign.start"), keys.day("campaign.end")
    if first is None or last is None:
        return None
    count = (last - first).days + 1
    file, row = draft.label("campaign"), draft.raw.lines.get("campaign.end")
    if count < 1:
        findings.error(
            "end-before-start",
            f"the campaign ends on {last}, before it starts on {first}; swap or mend the dates",
            file=file,
            row=row,
            column="campaign.end",
        )
        return None
    if count > DAYS_MAX:
        findings.error(
            "campaign-too-long",
            f"{count} days; a campaign has at most {DAYS_MAX}",
            file=file,
            row=row,
            column="campaign.end",
        )
        return None
    if count > DAYS_ODD:
        findings.warn(
            "odd-number",
            f"the campaign lasts {count} days; is the year right?",
            file=file,
            row=row,
            column="campaign.end",
        )
    return Clock(time_zone=zone, first_day=first, last_day=last) if zone else None


def _is_zone(name: str) -> bool:
    # Some systems also keep zones that count leap seconds; they are not IANA names.
    if name.startswith(("posix", "right")):
        return False
    if "/" not in name and name not in available_timezones():
        return False
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def _note_zone(zone: str, draft: Draft, findings: Findings) -> None:
    zones = available_timezones()
    places = {name.rpartition("/")[2]: name for name in sorted(zones) if "/" in name}
    close = nearest(zone, zones)
    if close is None:
        place = nearest(zone.rpartition("/")[2].replace(" ", "_"), places)
        close = places[place] if place else None
    is_offset = re.search(r"[+-]\s*[0-9]", zone) is not None
    if is_offset:
        said = "an offset is not a time zone, because it knows no summer time"
    else:
        said = f'did you mean "{close}"?' if close else "it is not in the list"
    findings.error(
        "unknown-time-zone",
        f"{shorten(zone)} is not a time zone; {said} (the IANA name, for example Europe/London)",
        file=draft.label("campaign"),
        row=draft.raw.lines.get("campaign.time_zone"),
        column="campaign.time_zone",
    )
