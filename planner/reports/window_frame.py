"""Windows as a table for the page: civil times, length, time at the face."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from planner.access.windows import Access
from planner.model.campaign import Campaign
from planner.model.zone import Zone


def windows_frame(campaign: Campaign, access: Access, zones: Sequence[Zone]) -> pd.DataFrame:
    """Return the windows of some zones, one row each, in time order for each zone."""
    clock = campaign.clock
    rows = []
    for zone in zones:
        inner = access.shortened(zone)
        for start, end in access.windows(zone):
            rows.append(
                {
                    "Zone": zone.zone_id,
                    "From": clock.local(start).replace(tzinfo=None),
                    "To": clock.local(end).replace(tzinfo=None),
                    "Minutes": end - start,
                    "At the face (min)": inner.clip(start, end).minutes(),
                }
            )
    return pd.DataFrame(rows, columns=["Zone", "From", "To", "Minutes", "At the face (min)"])
