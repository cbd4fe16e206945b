"""What is left of a zone after the progress that is recorded (contract, progress.csv)."""

from __future__ import annotations

from typing import NamedTuple

from planner.model.campaign import Campaign
from planner.model.mix import MixFace
from planner.model.progress import left_m3
from planner.model.zone import Zone
from planner.trade.quantities import layer_volumes

NOTHING_LEFT_M3 = 1e-6
"""Less than this counts as nothing: a cubic centimetre, the noise of six decimals [m³]."""


class LayerLeft(NamedTuple):
    """A layer that is still to be sprayed, or a part of it.

    Attributes
    ----------
    layer
        Counted from 1.
    volume_m3
        What is left, in place [m³].
    begun
        Whether a part is done, so that one more spell may complete it whatever joints allow.
    """

    layer: int
    volume_m3: float
    begun: bool


def remaining_layers(campaign: Campaign, zone: Zone, face: MixFace) -> tuple[LayerLeft, ...]:
    """Return what is left of each layer of a zone with a mix; complete layers are left out.

    A layer's share less what is done in it, never below nothing: what was sprayed beyond the
    share of one layer takes nothing off the next.  A row with ``left_m3`` says what is left at
    its time, and later rows take their own ``done_m3`` off that.  Rows of layers that the zone
    does not have with this mix are not looked at.
    """
    found = []
    for layer, share_m3 in enumerate(layer_volumes(zone, face, campaign.rules), start=1):
        rows = [row for row in campaign.done if row.zone_id == zone.zone_id and row.layer == layer]
        left = left_m3(share_m3, rows)
        if left > NOTHING_LEFT_M3:
            begun = any(row.done_m3 > 0.0 for row in rows) or left < share_m3 - NOTHING_LEFT_M3
            found.append(LayerLeft(layer, left, begun))
    return tuple(found)


def last_done(campaign: Campaign, zone: Zone) -> tuple[int, int] | None:
    """Return the layer last worked on and when, or None without progress [1, min].

    Of rows with the same time the one of the highest layer.
    """
    rows = [(row.at_min, row.layer) for row in campaign.done if row.zone_id == zone.zone_id]
    if not rows:
        return None
    at_min, layer = max(rows)
    return layer, at_min
