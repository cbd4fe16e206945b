"""Which mixes a zone may be sprayed with (contract, zones.csv, mixes.csv, progress.csv)."""

from __future__ import annotations

from planner.model.campaign import Campaign
from planner.model.identifiers import MixId, Process
from planner.model.mix import MixFace
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.trade.quantities import layer_count


def faces_for(campaign: Campaign, zone: Zone, rig: Rig | None = None) -> dict[MixId, MixFace]:
    """Return the mixes a zone may use, each with its row for the zone's orientation.

    A mix is left out where the zone's list does not name it, where it has no row for the
    orientation, where the zone takes more than one layer and the gap between layers is not
    known, where the zone can be wetted and the time until first wetting is not known, and where
    progress was made with the other process.

    Parameters
    ----------
    rig
        Given: only mixes that this rig sprays.

    Returns
    -------
    dict
        In the order of the mix table.
    """
    kept = begun_process(campaign, zone)
    return {
        face.mix_id: face
        for face in campaign.mixes
        if face.orientation is zone.orientation
        and (not zone.mixes or face.mix_id in zone.mixes)
        and (kept is None or face.process is kept)
        and (rig is None or rig_sprays(rig, face))
        and is_known_enough(zone, face)
    }


def is_known_enough(zone: Zone, face: MixFace) -> bool:
    """Return whether a mix gives the times that a zone needs of it (contract, mixes.csv)."""
    if zone.wets_at_m is not None and face.protect_h is None:
        return False
    return face.layer_gap_min_h is not None or layer_count(zone, face) == 1


def rig_sprays(rig: Rig, face: MixFace) -> bool:
    """Return whether a rig sprays a mix: same process, and on its list where it has one."""
    return rig.process is face.process and (not rig.mixes or face.mix_id in rig.mixes)


def begun_process(campaign: Campaign, zone: Zone) -> Process | None:
    """Return the process a zone was begun with, by its latest progress row that names a rig."""
    process = {rig.rig_id: rig.process for rig in campaign.rigs}
    rows = [
        (row.at_min, process[row.rig_id])
        for row in campaign.done
        if row.zone_id == zone.zone_id and row.rig_id in process
    ]
    return max(rows, key=lambda row: row[0])[1] if rows else None
