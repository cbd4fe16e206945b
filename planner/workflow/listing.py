"""Rows of what a scenario allows: access windows, and what reaches what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from planner.access.windows import Access
from planner.model.campaign import Campaign
from planner.model.identifiers import MixId, PositionId, RigId, ZoneId
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone
from planner.reach.hoses import HoseRun, Reach
from planner.trade.faces import faces_for
from planner.trade.rates import placing_rate_m3_h


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowRow:
    """One window of a zone, not shortened: civil times with offset, length [min]."""

    zone: ZoneId
    start: str
    end: str
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachRow:
    """One combination that reaches, crews aside: hose [m], rise [m], rate in place [m³/h]."""

    position: PositionId
    zone: ZoneId
    rig: RigId
    mix: MixId
    hose_m: float
    hose_laid_m: float
    rise_m: float
    rate_m3_h: float


def windows_rows(campaign: Campaign, zone_id: ZoneId | None = None) -> Iterator[WindowRow]:
    """Yield the windows of one zone, or of all, in table and time order."""
    access = Access(campaign)
    clock = campaign.clock
    for zone in campaign.zones:
        if zone_id is not None and zone.zone_id != zone_id:
            continue
        for start, end in access.windows(zone):
            yield WindowRow(
                zone=zone.zone_id,
                start=clock.text(start),
                end=clock.text(end),
                minutes=end - start,
            )


def reach_rows(campaign: Campaign) -> Iterator[ReachRow]:
    """Yield every position, zone, rig and mix that go together, in table order."""
    reach = Reach(campaign)
    for position in campaign.positions:
        for zone in campaign.zones:
            for rig in campaign.rigs:
                run = reach.run(position, zone, rig)
                if run is not None and reach.reaches(position, zone, rig):
                    yield from _mix_rows(campaign, position, zone, rig, run)


def _mix_rows(
    campaign: Campaign, position: Position, zone: Zone, rig: Rig, run: HoseRun
) -> Iterator[ReachRow]:
    for mix, face in faces_for(campaign, zone, rig).items():
        yield ReachRow(
            position=position.position_id,
            zone=zone.zone_id,
            rig=rig.rig_id,
            mix=mix,
            hose_m=run.hose_m,
            hose_laid_m=run.laid_m,
            rise_m=run.rise_m,
            rate_m3_h=placing_rate_m3_h(rig, face, run.hose_m),
        )
