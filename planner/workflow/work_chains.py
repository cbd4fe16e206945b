"""The work chain of a zone, joined from the scenario, the water and a plan."""

from __future__ import annotations

from planner.access.air import Air
from planner.access.windows import Access
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.model.mix import MixFace
from planner.model.quality import Hold
from planner.model.zone import Zone
from planner.plan.plan import Plan
from planner.trade.faces import faces_for
from planner.trade.quantities import finish_minutes, volume_m3
from planner.trade.work_chain import work_chain
from planner.trade.work_chain_step import ChainStep, Sprayed, ZoneWork

NOTHING = Plan()


class WorkChains:
    """The work chains of a campaign; water and air are worked out once.

    Parameters
    ----------
    campaign
        The scenario.
    plan
        The plan; None: chains without times.
    """

    def __init__(self, campaign: Campaign, plan: Plan | None) -> None:
        self._campaign = campaign
        self._plan = NOTHING if plan is None else plan
        self._access = Access(campaign)
        self._air = Air(campaign.conditions.air_known, campaign.clock)
        self._zones = {zone.zone_id: zone for zone in campaign.zones}
        self._crews = {crew.crew_id: crew for crew in campaign.crews}

    def of(self, zone_id: ZoneId) -> list[ChainStep]:
        """Return the work chain of a zone.

        Raises
        ------
        KeyError
            If there is no such zone.
        """
        campaign, plan = self._campaign, self._plan
        zone = self._zones[zone_id]
        face = self._face(zone)
        spells = [
            Sprayed(
                layer=spell.layer,
                start_min=spell.start_min,
                end_min=spell.end_min,
                volume_m3=spell.volume_m3,
            )
            for spell in plan.spells
            if spell.zone == zone_id
        ]
        pieces = [piece for piece in plan.break_outs if piece.zone == zone_id]
        pieces.sort(key=lambda piece: piece.start_min)
        end = self._watched_min()
        return work_chain(
            ZoneWork(
                zone=zone,
                rules=campaign.rules,
                cure=campaign.cure,
                face=face,
                volume_m3=volume_m3(zone, campaign.rules),
                breaks_out=campaign.plans_break_out,
                broken=tuple(
                    (self._crews[piece.crew], (piece.start_min, piece.end_min)) for piece in pieces
                ),
                spells=tuple(sorted(spells, key=lambda one: one.start_min)),
                wet=self._wet(zone, end),
                end_min=end,
                since_min=max(campaign.start_min, zone.ready_from_min or 0),
                is_inspected=Hold.INSPECTION in campaign.quality.holds,
                finish_min=0 if face is None else finish_minutes(zone, face),
                air=self._air.hourly,
            )
        )

    def _face(self, zone: Zone) -> MixFace | None:
        """Return the mix of the plan, or the only one that the zone may be sprayed with."""
        mixes = {run.run: run.mix for run in self._plan.runs}
        used = {mixes[spell.run] for spell in self._plan.spells if spell.zone == zone.zone_id}
        for face in self._campaign.mixes:
            if face.mix_id in used and face.orientation is zone.orientation:
                return face
        able = list(faces_for(self._campaign, zone).values())
        return able[0] if len(able) == 1 else None

    def _watched_min(self) -> int:
        """Return until when the water is known [min]."""
        protect_h = max((face.protect_h or 0.0 for face in self._campaign.mixes), default=0.0)
        return self._campaign.clock.horizon_min + up(MINUTES_PER_HOUR * protect_h)

    def _wet(self, zone: Zone, end: int) -> Spans:
        if zone.wets_at_m is None:
            return Spans()
        return self._access.dry(zone).complement(0, end)
