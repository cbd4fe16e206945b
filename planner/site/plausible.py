"""Whether an entry can be true: what it lacks, what contradicts itself, what is odd."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.campaign import Campaign
from planner.model.zone import Zone
from planner.scenario.draft import Row
from planner.scenario.findings import Findings
from planner.site.entry import Entry
from planner.trade.faces import faces_for
from planner.trade.quantities import layer_count, layer_volumes
from planner.trade.remaining import remaining_layers

LONGEST_H = 16.0
"""A spell longer than this is odd [h] (common practice: a long shift is 12 h)."""
MUCH = 1.5
"""A layer that took this many times what was left of it is odd [1] (from memory)."""
WATER_ODD_M = 1.0
_NOISE = 1e-9


@dataclass
class Ledger:
    """Where the problems of records go.

    Attributes
    ----------
    campaign
        What ids and layers are compared with.
    file
        How problems name the record.
    findings
        Gets the problems.
    errors
        How many were errors [1].
    """

    campaign: Campaign
    file: str
    findings: Findings
    errors: int = 0

    def error(self, row: Row, column: str, message: str) -> None:
        """Note something for which the record is refused."""
        self.errors += 1
        self.findings.error("record", message, file=self.file, row=row.place, column=column)

    def warn(self, row: Row, column: str, message: str) -> None:
        """Note something odd but possible."""
        self.findings.warn("odd-record", message, file=self.file, row=row.place, column=column)


def check(entry: Entry, row: Row, ledger: Ledger) -> None:
    """Note what an entry lacks or contradicts."""
    _check_substance(entry, row, ledger)
    _check_needs(entry, row, ledger)
    _check_times(entry, row, ledger)
    _check_bags(entry, row, ledger)
    zone = next((z for z in ledger.campaign.zones if z.zone_id == entry.zone), None)
    if zone is not None and entry.layer is not None:
        _check_layer(entry, zone, row, ledger)


def _check_substance(entry: Entry, row: Row, ledger: Ledger) -> None:
    told = (entry.placed_m3, entry.left_m3, entry.lost_min, entry.water_m, entry.item, entry.note)
    if not entry.is_find and all(value is None for value in told):
        ledger.error(
            row,
            "placed_m3",
            "the record tells nothing; write what was placed, left, found, lost, seen or is ready",
        )


def _check_needs(entry: Entry, row: Row, ledger: Ledger) -> None:
    needs = (
        (entry.is_work, ("zone", "layer", "stop"), "a placed or left volume needs it"),
        (entry.is_find, ("zone", "stop"), "a measure after break-out needs it"),
        (bool(entry.lost_min), ("crew", "stop", "lost_reason"), "lost minutes need it"),
        (entry.water_m is not None, ("stop",), "a water level needs the time of its reading"),
        (entry.bags is not None, ("placed_m3",), "bags are compared with what stayed in place"),
    )
    lacking = {
        name: why
        for holds, names, why in needs
        for name in names
        if holds and getattr(entry, name) is None
    }
    for name, why in lacking.items():
        ledger.error(row, name, f"the cell is empty; {why}")
    if entry.lost_reason is not None and entry.lost_min is None:
        ledger.error(row, "lost_min", "a reason is given; write the minutes that were lost")


def _check_times(entry: Entry, row: Row, ledger: Ledger) -> None:
    start, stop, clock = entry.start, entry.stop, ledger.campaign.clock
    if stop is not None:
        if clock.minute(stop) >= clock.horizon_min:
            ledger.error(
                row,
                "stop",
                f"{stop:%Y-%m-%d %H:%M} lies after the campaign's last day, {clock.last_day};"
                " move campaign.end, or correct the time",
            )
        elif clock.minute(stop) < 0:
            ledger.warn(row, "stop", f"{stop:%Y-%m-%d %H:%M} lies before the campaign's first day")
    if start is None or stop is None:
        return
    if stop <= start:
        ledger.error(row, "stop", "it is not after start; past midnight write the next day's date")
        return
    hours = (stop - start).total_seconds() / 3600.0
    if hours > LONGEST_H:
        ledger.warn(row, "stop", f"{hours:.1f} h from start to stop is unusually long")
    minutes = entry.minutes
    if entry.placed_m3 and minutes is not None and minutes <= 0:
        ledger.error(
            row, "lost_min", "as long as start to stop or longer, yet something was placed"
        )


def _check_bags(entry: Entry, row: Row, ledger: Ledger) -> None:
    nozzle_m3 = entry.nozzle_m3
    if nozzle_m3 is None or entry.placed_m3 is None:
        return
    if nozzle_m3 + _NOISE < entry.placed_m3:
        ledger.error(
            row,
            "bags",
            f"{entry.bags:g} bags of {entry.bag_l:g} l are {nozzle_m3:.3f} m³ through the nozzle,"
            f" less than the {entry.placed_m3:g} m³ placed; count the bags, litres or volume anew",
        )


def _check_layer(entry: Entry, zone: Zone, row: Row, ledger: Ledger) -> None:
    campaign, layer = ledger.campaign, entry.layer or 1
    faces = faces_for(campaign, zone).values()
    most = max((layer_count(zone, face) for face in faces), default=layer)
    if layer > most:
        plural = "s" if most > 1 else ""
        ledger.error(row, "layer", f"zone {zone.zone_id} has {most} layer{plural}, not {layer}")
        return
    left = [
        found.volume_m3
        for face in faces
        for found in remaining_layers(campaign, zone, face)
        if found.layer == layer
    ]
    share = max((layer_volumes(zone, face, campaign.rules)[0] for face in faces), default=0.0)
    most_m3 = max(left, default=share)
    if entry.placed_m3 and most_m3 and entry.placed_m3 > MUCH * most_m3:
        ledger.warn(
            row,
            "placed_m3",
            f"{entry.placed_m3:g} m³ where {most_m3:.3f} m³ were left of layer {layer}; it is"
            " taken as written",
        )
