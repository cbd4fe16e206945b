"""What break-out found: area and depth measured anew, in place of the survey (zones.csv).

A mean depth that is measured on the broken-out face holds the rough face already, so no overbreak
is added to it.  An area measured anew with the surveyed depth is worked out as the survey was.
"""

from __future__ import annotations

from typing import NamedTuple

from planner.core.quantities import MM_PER_M, in_place_m3
from planner.scenario.draft import Row


class Amounts(NamedTuple):
    """Quantities of a zone that count: found ones before surveyed ones.

    Attributes
    ----------
    area_m2, depth_mm, volume_m3
        As in :class:`planner.model.zone.Zone`.
    surveyed_m3
        Volume in place by the survey, where something was measured anew [m³]; None: nothing was,
        or the survey gives none.
    """

    area_m2: float | None
    depth_mm: float | None
    volume_m3: float | None
    surveyed_m3: float | None


def depth_mm_of(row: Row) -> float | None:
    """Return the depth that sets the layers of a zone: found, or surveyed [mm]."""
    found = row.number("found_depth_mm")
    return row.number("depth_mm") if found is None else found


def amounts_of(row: Row, overbreak: float) -> Amounts:
    """Return the quantities of a row of zones.csv.

    Parameters
    ----------
    row
        The parsed row.
    overbreak
        Share added to surveyed depths [1].
    """
    surveyed = Amounts(
        row.number("area_m2"), row.number("depth_mm"), row.number("volume_m3"), None
    )
    found_area, found_depth = row.number("found_area_m2"), row.number("found_depth_mm")
    if found_area is None and found_depth is None:
        return surveyed
    area_m2 = surveyed.area_m2 if found_area is None else found_area
    depth_mm = depth_mm_of(row)
    volume_m3 = None
    if found_depth is not None and area_m2 is not None:
        volume_m3 = area_m2 * found_depth / MM_PER_M
    return Amounts(area_m2, depth_mm, volume_m3, _volume(surveyed, overbreak))


def _volume(amounts: Amounts, overbreak: float) -> float | None:
    if amounts.volume_m3 is not None:
        return amounts.volume_m3
    if amounts.area_m2 is None or amounts.depth_mm is None:
        return None
    return in_place_m3(area_m2=amounts.area_m2, depth_mm=amounts.depth_mm, overbreak=overbreak)
