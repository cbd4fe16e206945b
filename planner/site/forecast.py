r"""When the rest will be done, by what was measured so far.

The plan's own minutes of nozzle work are scaled, zone by zone, with what is left, what was found
and the measured factors (:mod:`planner.site.shrink`):

.. math::

    M = \sum_z L_z\, m_z, \qquad N = e^{w s^2/2} \sum_z \frac{L_z\, m_z\, g_z}{f}, \qquad
    F = \frac{a\,N/M + 1 - a}{1 - l}, \qquad H = u\,M\,F

L_z: volume left [m³]; m_z: the plan's minutes for each m³ of that zone; g_z: growth, 1 where the
zone was measured or begun; f: factor on the placing rate, s the scatter of single spells and w the
weight that measurements have beside the plan (a sum of spells takes the mean, not the median);
a: nozzle time as a share of the plan's runs, the rest of which (start-up, changes, clean-up) takes
what it takes; l: share lost.  u: open minutes that the plan uses for each minute of nozzle time,
open being when a planned zone can be worked in a spraying crew's shift: by its part still to come,
or, where that is less than half of what is left, by the whole plan.  The finish is where the open
minutes from now on reach H.  The interval takes the logarithms of f, g and 1 - l as independent
and adds their variances (first order); what few spells scatter by chance is left out.

This treats all windows alike: a forecast of the whole, not of a zone.  A new plan with the records
says more about single days; a simulation (``ebbwork risk``) more about the spread.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist

from planner.access.windows import Access
from planner.core.spans import Spans
from planner.model.campaign import Campaign
from planner.model.identifiers import MixId, ZoneId
from planner.model.mix import MixFace
from planner.model.zone import Zone
from planner.plan.measures import finish_min
from planner.plan.plan import Plan, RunKind
from planner.site.entry import Stored
from planner.site.export import found_of, with_records
from planner.site.measured import Measured
from planner.site.shrink import (
    GROWTH_PRIOR,
    INTERVAL,
    NOZZLE_PRIOR,
    RATE_PRIOR,
    Estimate,
    ShareEstimate,
    ratio_estimate,
    share_estimate,
)
from planner.trade.faces import faces_for
from planner.trade.remaining import remaining_layers

_NOISE_MIN = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """What the records say: factors on rate, material and volume, and the share of time lost."""

    rate: Estimate
    nozzle: Estimate
    growth: Estimate
    loss: ShareEstimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """The rest of the work.

    Attributes
    ----------
    now_min
        Latest time of the records, or the campaign's start [min].
    left_m3, forecast_m3
        What is left by survey and finds, and with the growth expected of the rest [m³].
    nozzle_min, planned_nozzle_min
        Nozzle work for what is left, by the measurements and at the plan's speed [min].
    factor, factor_low, factor_high
        F of the module's text with its interval [1].
    plan_finish_min
        Finish of the plan [min]; None: it holds no spell.
    finish_min, finish_low_min, finish_high_min
        Finish by the measurements with its interval [min]; None: not within the campaign's days.
    """

    now_min: int
    left_m3: float
    forecast_m3: float
    nozzle_min: float
    planned_nozzle_min: float
    factor: float
    factor_low: float
    factor_high: float
    plan_finish_min: int | None
    finish_min: int | None
    finish_low_min: int | None
    finish_high_min: int | None


def learnt(campaign: Campaign, stored: Sequence[Stored]) -> Learnt:
    """Return the factors that the entries that hold now show, shrunk towards the plan."""
    measured = Measured(campaign, stored)
    return Learnt(
        rate=ratio_estimate(
            [math.log(pair.measured_m3_h / pair.planned_m3_h) for pair in measured.rates()],
            RATE_PRIOR,
        ),
        nozzle=ratio_estimate(
            [math.log(pair.measured / pair.planned) for pair in measured.nozzle()], NOZZLE_PRIOR
        ),
        growth=ratio_estimate(
            [math.log(find.found_m3 / find.surveyed_m3) for find in measured.finds()],
            GROWTH_PRIOR,
        ),
        loss=share_estimate([loss.share for loss in measured.losses()]),
    )


def now_of(campaign: Campaign, stored: Iterable[Stored]) -> int:
    """Return the latest time that the records speak of; at least the start of planning [min]."""
    clock = campaign.clock
    stops = [clock.minute(row.entry.stop) for row in stored if row.entry.stop is not None]
    return max([campaign.start_min, *stops])


def forecast(
    campaign: Campaign, plan: Plan, stored: Sequence[Stored], access: Access | None = None
) -> Forecast:
    """Return when the rest will be done (module's text).

    Parameters
    ----------
    campaign
        As it is written; the records are added here.
    plan
        The plan that is worked to.
    stored
        Entries that hold now.
    access
        Windows of the campaign, where they are worked out already.
    """
    known = learnt(campaign, stored)
    now = now_of(campaign, stored)
    works = list(_works(campaign, plan, stored))
    left_m3 = math.fsum(work.left_m3 for work in works)
    unseen_m3 = math.fsum(work.left_m3 for work in works if not work.is_seen)
    planned = math.fsum(work.minutes for work in works)
    grown = math.fsum(work.minutes for work in works if not work.is_seen)
    nozzle = _per_rate(known.rate) * (planned + grown * (known.growth.middle - 1.0))
    share = _nozzle_share(plan)
    work = share * nozzle / planned + 1.0 - share if planned else 1.0
    factor = work / (1.0 - known.loss.middle)
    on_nozzle = (work - 1.0 + share) / work
    on_growth = on_nozzle * grown * known.growth.middle * _per_rate(known.rate) / max(nozzle, 1.0)
    spread = _spread(known, on_nozzle=on_nozzle, on_growth=on_growth)
    reach = NormalDist().inv_cdf(0.5 + INTERVAL / 2.0) * spread
    low, high = factor * math.exp(-reach), factor * math.exp(reach)
    hours = _work_hours(campaign, plan, access or Access(campaign))
    needed = planned * _open_per_min(plan, hours, now, planned)
    to_come = hours.clip(now, campaign.clock.horizon_min)
    return Forecast(
        now_min=now,
        left_m3=left_m3,
        forecast_m3=left_m3 + unseen_m3 * (known.growth.middle - 1.0),
        nozzle_min=nozzle,
        planned_nozzle_min=planned,
        factor=factor,
        factor_low=low,
        factor_high=high,
        plan_finish_min=finish_min(plan),
        finish_min=_reached(to_come, needed * factor, now),
        finish_low_min=_reached(to_come, needed * low, now),
        finish_high_min=_reached(to_come, needed * high, now),
    )


def _per_rate(rate: Estimate) -> float:
    """Return nozzle minutes for each planned one [1].

    A sum of spells takes the mean of the scattered minutes, which lies exp(s²/2) above their
    median; the plan, which the prior stands for, is a mean already.
    """
    told = rate.count / (RATE_PRIOR.worth + rate.count)
    return math.exp(told * rate.scatter**2 / 2.0) / rate.middle


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    """What is left of a zone [m³], by the plan's speed [min], and whether it was seen."""

    left_m3: float
    minutes: float
    is_seen: bool


def _works(campaign: Campaign, plan: Plan, stored: Sequence[Stored]) -> Iterable[_Work]:
    seen = set(found_of(stored)) | {row.entry.zone for row in stored if row.entry.is_work}
    told = with_records(campaign, stored)
    mixes = {run.run: run.mix for run in plan.runs}
    volume: dict[ZoneId, float] = {}
    minutes: dict[ZoneId, int] = {}
    mix: dict[ZoneId, MixId] = {}
    for spell in plan.spells:
        volume[spell.zone] = volume.get(spell.zone, 0.0) + spell.volume_m3
        minutes[spell.zone] = minutes.get(spell.zone, 0) + spell.end_min - spell.start_min
        if spell.run in mixes:
            mix[spell.zone] = mixes[spell.run]
    for zone in told.zones:
        if volume.get(zone.zone_id, 0.0) <= 0.0:
            continue
        left = _left_m3(told, zone, mix.get(zone.zone_id))
        per_m3 = minutes[zone.zone_id] / volume[zone.zone_id]
        yield _Work(left_m3=left, minutes=left * per_m3, is_seen=zone.zone_id in seen)


def _left_m3(campaign: Campaign, zone: Zone, mix: MixId | None) -> float:
    faces = faces_for(campaign, zone)
    face: MixFace | None = faces.get(mix) if mix is not None else None
    if face is None:
        face = next(iter(faces.values()), None)
    if face is None:
        return zone.in_place_m3(campaign.rules.overbreak)
    return math.fsum(row.volume_m3 for row in remaining_layers(campaign, zone, face))


def _nozzle_share(plan: Plan) -> float:
    """Return nozzle time as a share of the time of spray runs [1]."""
    runs = sum(run.end_min - run.start_min for run in plan.runs if run.kind is RunKind.SPRAY)
    return min(1.0, _nozzle_min(plan, 0) / runs) if runs else 1.0


def _nozzle_min(plan: Plan, now: int) -> int:
    """Return the plan's nozzle minutes after a minute [min]."""
    return sum(
        spell.end_min - max(now, spell.start_min) for spell in plan.spells if spell.end_min > now
    )


def _open_per_min(plan: Plan, hours: Spans, now: int, planned: float) -> float:
    """Return the open minutes that the plan uses for each minute of nozzle time [1]."""
    end = finish_min(plan)
    if end is None:
        return 1.0
    to_come = _nozzle_min(plan, now)
    begin = now
    if to_come < planned / 2.0:
        begin = min(run.start_min for run in plan.runs)
        to_come = _nozzle_min(plan, 0)
    return hours.clip(begin, max(begin, end)).minutes() / max(to_come, 1)


def _spread(known: Learnt, *, on_nozzle: float, on_growth: float) -> float:
    """Return the standard deviation of the factor's logarithm, to first order [1].

    Parameters
    ----------
    on_nozzle, on_growth
        Shares of the factor that move with the placing rate, and with the growth [1].
    """
    kept = 1.0 - known.loss.middle
    variance = on_nozzle**2 * known.rate.log_variance
    variance += on_growth**2 * known.growth.log_variance
    variance += known.loss.variance / kept**2
    return math.sqrt(variance)


def _work_hours(campaign: Campaign, plan: Plan, access: Access) -> Spans:
    """Return when a planned zone is open in the shift of a crew that sprays [min]."""
    zones = {spell.zone for spell in plan.spells}
    crews = {run.crew for run in plan.runs}
    windows = {access.shortened(zone) for zone in campaign.zones if zone.zone_id in zones}
    shifts = [
        Spans(access.shifts(crew.shift_id)) & access.crew_open(crew)
        for crew in campaign.crews
        if crew.crew_id in crews
    ]
    opened = Spans(span for part in windows for span in part)
    return opened & Spans(span for part in shifts for span in part)


def _reached(hours: Spans, minutes: float, now: int) -> int | None:
    """Return when the open hours reach a sum; None: not within the campaign's days [min]."""
    if minutes <= _NOISE_MIN:
        return now
    return hours.nth_minute(math.ceil(minutes - _NOISE_MIN))
