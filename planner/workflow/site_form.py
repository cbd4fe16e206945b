"""What the phone page asks for: choices, defaults, and the cells of a record."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from planner.core.clock import Clock
from planner.core.wording import moment
from planner.model.campaign import Campaign
from planner.plan.plan import Plan, Spell
from planner.site.entry import Stored

_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.h]?([0-5][0-9])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """What a zone's next spell says, to fill the form with."""

    layer: int
    rig: str
    crew: str
    position: str
    day: date


def zone_order(campaign: Campaign, plan: Plan | None, stored: Iterable[Stored]) -> list[str]:
    """Return the zones, those that the plan sprays next first."""
    seen = [str(row.entry.zone) for row in stored if row.entry.zone]
    begin = now_min(campaign.clock, stored)
    planned = sorted(plan.spells if plan else (), key=lambda row: row.start_min)
    soon = [str(spell.zone) for spell in planned if spell.end_min > begin]
    names = [str(zone.zone_id) for zone in campaign.zones]
    return list(dict.fromkeys([*soon, *reversed(seen), *names]))


def now_min(clock: Clock, stored: Iterable[Stored]) -> int:
    """Return the latest stop that anybody wrote down [min]; 0: nobody did."""
    stops = [clock.minute(row.entry.stop) for row in stored if row.entry.stop is not None]
    return max(stops, default=0)


def suggestion(
    campaign: Campaign, plan: Plan | None, zone: str, stored: Iterable[Stored], today: date
) -> Suggestion:
    """Return what the form begins with for a zone."""
    clock = campaign.clock
    day = min(max(today, clock.first_day), clock.last_day)
    done = {
        (str(row.entry.zone), row.entry.layer) for row in stored if row.entry.placed_m3 is not None
    }
    mine = sorted(
        (spell for spell in (plan.spells if plan else ()) if spell.zone == zone),
        key=lambda row: row.start_min,
    )
    to_come = [spell for spell in mine if (zone, spell.layer) not in done]
    spell: Spell | None = next(iter(to_come or mine), None)
    if spell is None:
        return Suggestion(layer=1, rig="", crew="", position="", day=day)
    return Suggestion(
        layer=spell.layer,
        rig=str(spell.rig),
        crew=str(spell.crew),
        position=str(spell.position),
        day=day,
    )


def clock_text(text: str) -> str:
    """Return a time of day as HH:MM from what people type: 905, 9.05, 9:05; else as it is.

    Examples
    --------
    >>> clock_text("905"), clock_text("9.05"), clock_text("21:30"), clock_text("noon")
    ('09:05', '09:05', '21:30', 'noon')
    """
    found = _CLOCK.fullmatch(text.strip())
    return f"{int(found.group(1)):02d}:{found.group(2)}" if found else text.strip()


def with_times(cells: Mapping[str, str], day: date, start: str, stop: str) -> dict[str, str]:
    """Return the cells of a record with start and stop; a stop before the start is next day."""
    found = dict(cells)
    first, last = clock_text(start), clock_text(stop)
    if first:
        found["start"] = f"{day.isoformat()}T{first}"
    if last:
        over = bool(first) and last <= first
        found["stop"] = f"{(day + timedelta(days=over)).isoformat()}T{last}"
    return found


def token_of(cells: Mapping[str, str], by: str, corrects: int | None) -> str:
    """Return what tells a record of the page from others: sent twice, it is written once."""
    parts = [by, str(corrects), *(f"{name}={text}" for name, text in sorted(cells.items()))]
    return f"page:{hashlib.sha256(chr(0).join(parts).encode()).hexdigest()}"


def entry_line(clock: Clock, row: Stored) -> str:
    """Return an entry in one line."""
    entry = row.entry
    layer = f" layer {entry.layer}" if entry.layer else ""
    left = "complete" if entry.left_m3 == 0 else f"{entry.left_m3 or 0:g} m³ left"
    words = (
        (True, str(row.number)),
        (entry.stop, _when(clock, row)),
        (entry.zone, f"{entry.zone}{layer}"),
        (entry.placed_m3 is not None, f"{entry.placed_m3 or 0:g} m³"),
        (entry.left_m3 is not None, left),
        (entry.found_depth_mm, f"found {entry.found_depth_mm or 0:g} mm"),
        (entry.found_area_m2, f"found {entry.found_area_m2 or 0:g} m²"),
        (entry.lost_min, f"lost {entry.lost_min or 0:g} min ({entry.lost_reason})"),
        (entry.item, f"ready: {entry.item}"),
        (True, row.by),
    )
    return " · ".join(text for holds, text in words if holds)


def _when(clock: Clock, row: Stored) -> str:
    stop = row.entry.stop
    return "" if stop is None else moment(clock, clock.minute(stop))
