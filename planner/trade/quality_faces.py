"""Tests of the faces themselves: bond by area, and the inspection of each prepared face."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate

from planner.core.rounding import up
from planner.model.identifiers import MixId, Orientation, ZoneId
from planner.model.quality import Hold, Quality
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.quality_trial import (
    CONTRACT,
    PREFIX,
    Placed,
    Trial,
    TrialKind,
    days_later,
    due_figure,
    given,
)

NOISE_M2 = 1e-9


def bond(placed: Iterable[Placed], quality: Quality) -> list[Trial]:
    """Return the sets of bond tests: mix by mix and orientation by orientation, by area.

    A set belongs to each ``bond_m2`` that is finished, and one to what is left over.
    """
    finished: dict[tuple[MixId, Orientation], list[Placed]] = defaultdict(list)
    for one in placed:
        if one.area_m2 > 0.0:
            finished[one.mix, one.orientation].append(one)
    found = []
    for (mix, orientation), rows in sorted(finished.items()):
        rows.sort(key=lambda one: (one.end_min, one.zone))
        total = sum(one.area_m2 for one in rows)
        count = up(total / quality.bond_m2)
        figures = (
            _sets(count, total, quality),
            due_figure(quality.bond_age_d, "quality.bond_age_d"),
        )
        for k in range(1, count + 1):
            last = _reaching(rows, min(k * quality.bond_m2, total))
            found.append(
                Trial(
                    name=f"{PREFIX[TrialKind.BOND]}/{mix}/{orientation}/{k}",
                    kind=TrialKind.BOND,
                    mix=mix,
                    orientation=orientation,
                    zone=last.zone,
                    made_min=last.end_min,
                    due_min=days_later(last.end_min, quality.bond_age_d),
                    pieces=quality.bond_pulls,
                    specified_mpa=quality.bond_mpa,
                    age_d=quality.bond_age_d,
                    figures=figures,
                )
            )
    return found


def _reaching(rows: Sequence[Placed], area_m2: float) -> Placed:
    """Return the row with which the area finished so far reaches an area."""
    sums = accumulate(one.area_m2 for one in rows)
    short = sum(sum_m2 < area_m2 - NOISE_M2 for sum_m2 in sums)
    return rows[min(short, len(rows) - 1)]


def _sets(count: int, area_m2: float, quality: Quality) -> Figure:
    return Figure(
        name="sets of pulls",
        value=float(count),
        unit="1",
        formula="ceil(area finished / bond_m2)",
        inputs=(
            Input(name="area_m2", value=area_m2, source="zones.csv: zones of mix and orientation"),
            given("quality.bond_m2", quality.bond_m2),
            given("quality.bond_pulls", quality.bond_pulls),
        ),
        source="EN 14487-1, inspection classes; the area for each set is remembered, not read",
        trust=Trust.MEMORY,
        note="the zone named is the one with which that area is reached; where to pull is for"
        " the engineer",
    )


def inspections(
    placed: Iterable[Placed], ready: Mapping[ZoneId, int], quality: Quality
) -> list[Trial]:
    """Return an inspection of each prepared face before its first layer, where that is a stop.

    Parameters
    ----------
    ready
        End of break-out of each zone, where it is planned [min].
    """
    if Hold.INSPECTION not in quality.holds:
        return []
    first: dict[ZoneId, Placed] = {}
    for one in sorted(placed, key=lambda one: one.start_min):
        first.setdefault(one.zone, one)
    figure = Figure(
        name="due",
        value=None,
        unit="",
        formula="after break-out and cleaning of bars, before the first layer",
        inputs=(Input(name="quality.hold", value="inspection", source=CONTRACT),),
        source="stop of the contract",
        trust=Trust.GIVEN,
    )
    return [
        Trial(
            name=f"{PREFIX[TrialKind.INSPECTION]}/{zone}",
            kind=TrialKind.INSPECTION,
            orientation=one.orientation,
            zone=zone,
            made_min=ready.get(zone),
            due_min=one.start_min,
            figures=(figure,),
        )
        for zone, one in first.items()
    ]
