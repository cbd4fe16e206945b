"""What the records of the site say, as rows and as sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.model.campaign import Campaign
from planner.reports.labels import count
from planner.reports.wording import moment
from planner.site.entry import Stored
from planner.site.forecast import Forecast, Learnt
from planner.site.measured import Measured
from planner.site.shrink import INTERVAL, Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingRow:
    """One figure: what, from how many records, as measured, as estimated with its interval."""

    figure: str
    records: int
    measured: float | str | None
    estimate: float | str | None
    low: float | str | None
    high: float | str | None
    unit: str


def standing_rows(
    campaign: Campaign, stored: Sequence[Stored], known: Learnt, told: Forecast | None
) -> list[StandingRow]:
    """Return the factors on the plan, what they mean for the rest, and the water seen."""
    rows = [
        _factor("placing rate against the plan", known.rate),
        _factor("material for each m³ in place against the plan", known.nozzle),
        *_rebound(campaign, stored, known),
        _factor("volume found after break-out against the survey", known.growth),
        StandingRow(
            figure="time lost",
            records=known.loss.count,
            measured=_rounded(known.loss.raw),
            estimate=_rounded(known.loss.middle),
            low=_rounded(known.loss.low),
            high=_rounded(known.loss.high),
            unit="share of the time at the nozzle and lost",
        ),
    ]
    measured = Measured(campaign, stored)
    rows += _losses(measured)
    rows += _water(measured)
    if told is not None:
        rows += _rest(campaign, told)
    return rows


def _factor(name: str, known: Estimate) -> StandingRow:
    return StandingRow(
        figure=name,
        records=known.count,
        measured=_rounded(known.raw),
        estimate=_rounded(known.middle),
        low=_rounded(known.low),
        high=_rounded(known.high),
        unit="factor",
    )


def _rebound(campaign: Campaign, stored: Sequence[Stored], known: Learnt) -> Iterator[StandingRow]:
    """Yield what the material factor means as rebound: R = 1 - (1 + waste) / (nozzle / placed)."""
    pairs = Measured(campaign, stored).nozzle()
    if not pairs:
        return
    kept = 1.0 + campaign.rules.waste
    planned = sum(pair.planned for pair in pairs) / len(pairs)
    measured = sum(pair.measured for pair in pairs) / len(pairs)

    def share(nozzle: float) -> float:
        return round(1.0 - kept / nozzle, 4)

    factor = known.nozzle
    yield StandingRow(
        figure="rebound, waste as planned",
        records=len(pairs),
        measured=share(measured),
        estimate=share(planned * factor.middle),
        low=share(planned * factor.low),
        high=share(planned * factor.high),
        unit=f"share of what leaves the nozzle (planned {share(planned):g})",
    )


def _losses(measured: Measured) -> Iterator[StandingRow]:
    reasons: dict[str, list[float]] = {}
    for loss in measured.losses():
        for reason, minutes in loss.reasons:
            reasons.setdefault(reason, []).append(minutes)
    for reason, found in sorted(reasons.items(), key=lambda item: -sum(item[1])):
        yield StandingRow(
            figure=f"lost: {reason}",
            records=len(found),
            measured=sum(found),
            estimate=None,
            low=None,
            high=None,
            unit="min",
        )


def _water(measured: Measured) -> Iterator[StandingRow]:
    found = [difference for _, difference in measured.water()]
    if found:
        yield StandingRow(
            figure="water read above the prediction",
            records=len(found),
            measured=_rounded(sum(found) / len(found)),
            estimate=None,
            low=_rounded(min(found)),
            high=_rounded(max(found)),
            unit="m (mean, least, most)",
        )


def _rest(campaign: Campaign, told: Forecast) -> Iterator[StandingRow]:
    clock = campaign.clock

    def day(minute: int | None) -> str | None:
        return "after the campaign" if minute is None else clock.text(minute)

    yield StandingRow(
        figure="left in place",
        records=0,
        measured=round(told.left_m3, 3),
        estimate=round(told.forecast_m3, 3),
        low=None,
        high=None,
        unit="m³ (as known; with the growth expected)",
    )
    yield StandingRow(
        figure="nozzle time left",
        records=0,
        measured=round(told.planned_nozzle_min),
        estimate=round(told.nozzle_min),
        low=None,
        high=None,
        unit="min (by the plan; by the records)",
    )
    yield StandingRow(
        figure="finish",
        records=0,
        measured=None if told.plan_finish_min is None else clock.text(told.plan_finish_min),
        estimate=day(told.finish_min),
        low=day(told.finish_low_min),
        high=day(told.finish_high_min),
        unit="date (by the plan; by the records)",
    )


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4)


def standing_sentences(
    campaign: Campaign, stored: Sequence[Stored], known: Learnt, told: Forecast | None
) -> list[str]:
    """Return the same in a few sentences."""
    counted = count(len(stored), "record")
    found = [
        f"{counted} counted; intervals are {INTERVAL:.0%}; few records are drawn to the plan."
    ]
    if known.rate.count:
        found.append(_ratio("Placing", known.rate, known.rate.count, "spell"))
    if known.nozzle.count:
        found.append(
            _ratio("Material for each m³ in place", known.nozzle, known.nozzle.count, "spell")
        )
    if known.growth.count:
        found.append(_ratio("Volumes found", known.growth, known.growth.count, "zone"))
    found += _water_sentence(campaign, stored)
    if told is not None:
        found += _finish(campaign, told)
    return found


def _ratio(what: str, known: Estimate, number: int, noun: str) -> str:
    raw = "" if known.raw is None else f"{known.raw - 1.0:+.0%} in {count(number, noun)}; "
    return (
        f"{what}: {raw}for the rest {known.middle - 1.0:+.0%} against the plan"
        f" ({known.low - 1.0:+.0%} to {known.high - 1.0:+.0%})."
    )


def _water_sentence(campaign: Campaign, stored: Sequence[Stored]) -> Iterator[str]:
    found = [difference for _, difference in Measured(campaign, stored).water()]
    if not found:
        return
    most, allowed = max(found), campaign.water.allowance_m
    yield (
        f"The water stood up to {most:+.2f} m against the prediction in"
        f" {count(len(found), 'reading')}; the allowance is {allowed:g} m."
    )
    if most > allowed:
        yield (
            "CAUTION: the water was higher than prediction and allowance together; stop and look"
            " at datum, gauge, prediction and allowance before anybody relies on the windows."
        )


def _finish(campaign: Campaign, told: Forecast) -> Iterator[str]:
    clock = campaign.clock
    if told.plan_finish_min is None:
        return
    plan = moment(clock, told.plan_finish_min)
    if told.finish_min is None:
        yield f"By the records the rest does not end within the campaign's days (plan: {plan})."
        return
    high = (
        "beyond the campaign's days"
        if told.finish_high_min is None
        else moment(clock, told.finish_high_min)
    )
    low = told.finish_low_min if told.finish_low_min is not None else told.finish_min
    yield (
        f"By the records the rest ends about {moment(clock, told.finish_min)}"
        f" ({moment(clock, low)} to {high}); the plan says {plan}."
    )
