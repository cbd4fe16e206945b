"""Windows: when each zone, position, rig and crew is open, and why not otherwise.

A zone's windows are the maximal stretches in which the water keeps the zone's limits, less the
closures of site, section and zone, within the campaign's days and at least ``window_min_min``
long before rounding; then they are rounded inwards (contract, section 2).  Zones that share
limits and closures share the work.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.access.closures import SITE, Closures, Shut, Target
from planner.access.conditions import condition_layers
from planner.access.curve import Intervals, common
from planner.access.edges import long_enough, spans_of, whole_minutes
from planner.access.lost import Layer, Lost, lost_spans
from planner.access.shifts import shift_spans
from planner.access.water_hours import Limits, WaterHours
from planner.access.wet_weather import WetHours
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import up
from planner.core.spans import Span, Spans
from planner.model.campaign import Campaign
from planner.model.crew import Crew
from planner.model.identifiers import ShiftId
from planner.model.limits import ClosureKind, ClosureScope
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.zone import Zone


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shut:
    """What tells the closed hours of places apart, water aside; ``wet``: key of wet weather."""

    targets: tuple[Target, ...]
    wet: str | None = None
    heeds_weather: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Key:
    """What tells the open hours of places apart; least length in minutes."""

    limits: Limits
    shut: _Shut
    least_min: int


class Access:
    """When places, rigs and crews of a campaign are open; everything is worked out once.

    All spans are campaign minutes within the campaign's days, unless said.

    Parameters
    ----------
    campaign
        The campaign.

    Raises
    ------
    ValueError
        By any question that needs a water table which cannot be used (``level.source_for``).
    """

    def __init__(self, campaign: Campaign) -> None:
        self._campaign = campaign
        self._horizon_min = campaign.clock.horizon_min
        self._whole = Spans.whole(0, self._horizon_min)
        protect_h = max((face.protect_h or 0.0 for face in campaign.mixes), default=0.0)
        self._watched_min = self._horizon_min + up(MINUTES_PER_HOUR * protect_h)
        self._closures = Closures(campaign.closures, campaign.clock)
        self._water = WaterHours(campaign, watched_min=self._watched_min)
        self._wet = WetHours(campaign.wet_weather)
        self._conditions = condition_layers(campaign.conditions, campaign.clock)
        self._hours: dict[_Shut, Intervals] = {}
        self._open: dict[_Key, Spans] = {}
        self._shortened: dict[tuple[_Key, int, int], Spans] = {}
        self._shifts: dict[ShiftId, tuple[Span, ...]] = {}

    def windows(self, zone: Zone) -> Spans:
        """Return the windows of a zone, not shortened [min]."""
        return self._spans(self._key(zone))

    def shortened(self, zone: Zone) -> Spans:
        """Return the windows of a zone less getting in and getting out [min]."""
        rules = self._campaign.rules
        get_in = rules.get_in_min if zone.get_in_min is None else zone.get_in_min
        get_out = rules.get_out_min if zone.get_out_min is None else zone.get_out_min
        key = (self._key(zone), get_in, get_out)
        if key not in self._shortened:
            self._shortened[key] = self._spans(key[0]).shrink(first=get_in, last=get_out)
        return self._shortened[key]

    def dry(self, zone: Zone) -> Spans:
        """Return when water, allowance included, stays below ``wets_at_m`` of a zone [min].

        From 0 to the horizon and on for the longest protection of any mix.  A level that is
        not known counts as wet.
        """
        if zone.wets_at_m is None:
            return Spans.whole(0, self._watched_min)
        return self._water.dry(zone.section, zone.wets_at_m)

    def position_open(self, position: Position) -> Spans:
        """Return when neither a closure nor the water keeps a run from a position [min]."""
        limits = self._water.limits(None, max_m=position.water_max_m, min_m=position.water_min_m)
        targets = (SITE, (ClosureScope.POSITION, position.position_id))
        if position.water_max_m is None and position.water_min_m is None:
            return self._whole - self._closures.shut(targets)
        shut = _Shut(targets=self._closures.known(targets))
        return self._spans(_Key(limits=limits, shut=shut, least_min=0))

    def rig_open(self, rig: Rig) -> Spans:
        """Return when a rig is on site and neither site, rig nor process is closed [min]."""
        targets = (SITE, (ClosureScope.RIG, rig.rig_id), (ClosureScope.PROCESS, rig.process))
        here = self._whole.clip(rig.available_from_min, rig.available_to_min)
        return here - self._closures.shut(targets)

    def crew_open(self, crew: Crew) -> Spans:
        """Return when a crew is on site and neither it nor the site is closed [min].

        Shifts are not regarded here.
        """
        targets = (SITE, (ClosureScope.CREW, crew.crew_id))
        here = self._whole.clip(crew.available_from_min, crew.available_to_min)
        return here - self._closures.shut(targets)

    def shifts(self, shift_id: ShiftId) -> tuple[Span, ...]:
        """Return the occurrences of a shift in order, cut to the campaign's days [min].

        Raises
        ------
        KeyError
            If the campaign has no such shift.
        """
        if shift_id not in self._shifts:
            table = {shift.shift_id: shift for shift in self._campaign.shifts}
            self._shifts[shift_id] = shift_spans(table[shift_id], self._campaign.clock)
        return self._shifts[shift_id]

    def lost(self, zone: Zone) -> list[Lost]:
        """Return every minute of the campaign outside a zone's windows, with its causes."""
        *layers, short = self.layers(zone)
        lost = self.windows(zone).complement(0, self._horizon_min)
        return lost_spans(lost, layers, otherwise=short.cause)

    def layers(self, zone: Zone) -> list[Layer]:
        """Return what takes each minute outside a zone's windows, cause by cause.

        A minute may be taken by several; what no cause takes is left over in windows that are
        too short, the last layer.
        """
        key = self._key(zone)
        layers = [
            *(
                Layer(spans=shut.spans, cause=_closed(target, shut), group=_group(shut.kind))
                for target in key.shut.targets
                for shut in self._closures.rows(target)
            ),
            *self._conditions,
            *self._wet.layers(key.shut.wet),
            *self._water.layers(key.limits, self._horizon_min),
        ]
        taken = Spans(span for layer in layers for span in layer.spans)
        lost = self._spans(key).complement(0, self._horizon_min)
        cause = f"window shorter than {key.least_min} min"
        return [*layers, Layer(spans=lost - taken, cause=cause, group="short window")]

    def _key(self, zone: Zone) -> _Key:
        targets: list[Target] = [SITE, (ClosureScope.ZONE, zone.zone_id)]
        if zone.section is not None:
            targets.append((ClosureScope.SECTION, zone.section))
        return _Key(
            limits=self._water.limits(
                zone.section, max_m=zone.water_max_m, min_m=zone.water_min_m
            ),
            shut=_Shut(
                targets=self._closures.known(targets),
                wet=self._wet.key(zone.section),
                heeds_weather=True,
            ),
            least_min=self._campaign.rules.window_min_min,
        )

    def _spans(self, key: _Key) -> Spans:
        if key not in self._open:
            self._open[key] = self._make_spans(key)
        return self._open[key]

    def _make_spans(self, key: _Key) -> Spans:
        found, keeps = self._open_hours(key.shut), None
        source = self._water.binding(key.limits)
        if source is not None:
            found = common(self._water.kept(key.limits, source), found)
            keeps = self._water.keeps(key.limits, source)
        return spans_of(*whole_minutes(long_enough(found, key.least_min), keeps))

    def _open_hours(self, shut: _Shut) -> Intervals:
        if shut not in self._hours:
            open_ = self._whole - self._closures.shut(shut.targets)
            if shut.heeds_weather:
                open_ -= self._wet.shut(shut.wet)
                for layer in self._conditions:
                    open_ -= layer.spans
            self._hours[shut] = Intervals(
                starts=np.array(open_.starts, dtype=float), ends=np.array(open_.ends, dtype=float)
            )
        return self._hours[shut]


def _closed(target: Target, shut: Shut) -> str:
    scope, name = target
    what = f"{scope} closed" if scope is ClosureScope.SITE else f"{scope} {name} closed"
    if shut.kind is not ClosureKind.OTHER:
        what = f"{what} ({shut.kind})"
    return f"{what}: {shut.why}" if shut.why else what


def _group(kind: ClosureKind) -> str:
    return "closure" if kind is ClosureKind.OTHER else kind.value
