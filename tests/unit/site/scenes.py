"""Records of the small campaign of :mod:`tests.builders`, times written as hours of its first day.

The winter time of London is UTC, so that campaign minute 540 is 09:00 UTC on 2 March 2026.
"""

from datetime import UTC, datetime, timedelta

from planner.model.identifiers import CrewId, PositionId, RigId, ZoneId
from planner.site.entry import Entry, Stored

MIDNIGHT = datetime(2026, 3, 2, tzinfo=UTC)


def at(minute):
    """The UTC time of a campaign minute."""
    return None if minute is None else MIDNIGHT + timedelta(minutes=minute)


def sprayed(zone="Z1", start=540, stop=600, placed=1.0, layer=1, **more):
    """An hour of spraying 1 m³ with rig R1, crew C1, at P1."""
    fields = {
        "zone": ZoneId(zone),
        "layer": layer,
        "placed_m3": placed,
        "start": at(start),
        "stop": at(stop),
        "rig": RigId("R1"),
        "crew": CrewId("C1"),
        "position": PositionId("P1"),
    }
    return Entry(**(fields | more))


def found(zone="Z1", area=None, depth=None, stop=600):
    """A measure after break-out."""
    return Entry(zone=ZoneId(zone), stop=at(stop), found_area_m2=area, found_depth_mm=depth)


def stored(*entries):
    """Entries as they stand in the journal, numbered from 1."""
    return tuple(
        Stored(number=number, recorded_at=MIDNIGHT, by="Ann", entry=entry)
        for number, entry in enumerate(entries, start=1)
    )
