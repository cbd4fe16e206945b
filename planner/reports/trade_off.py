"""Relocations against finish, as rows and sentences."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.rounding import up
from planner.core.wording import moment
from planner.plan.measures import gap
from planner.plan.trade_off import TradePoint
from planner.reports.labels import count, money

HEADING = (
    "relocations_max",
    "relocations",
    "finish",
    "finish_h",
    "finish_bound_h",
    "finish_gap",
    "cost",
    "cost_bound",
    "cost_gap",
    "planned_m3",
)

READ_HEADING = (
    "relocations_max",
    "relocations",
    "done",
    "not_done_before",
    "cost",
    "not_below",
    "planned_m3",
)


def trade_rows(points: Sequence[TradePoint], clock: Clock) -> Iterator[tuple[object, ...]]:
    """Yield a row for each point, under :data:`HEADING`; gaps as shares of the value [1]."""
    for point in points:
        best = point.best
        yield (
            point.relocations_max,
            best.relocations,
            clock.text(_minute(best.finish_h)),
            round(best.finish_h, 4),
            round(point.finish_bound_h, 4),
            round(gap(best.finish_h, point.finish_bound_h), 4),
            round(best.cost, 2),
            round(point.cost_bound, 2),
            round(gap(best.cost, point.cost_bound), 4),
            round(best.volume_m3, 3),
        )


def trade_rows_to_read(points: Sequence[TradePoint], clock: Clock) -> Iterator[tuple[object, ...]]:
    """Yield a row for each point for people, under :data:`READ_HEADING`."""
    for point in points:
        best = point.best
        yield (
            point.relocations_max,
            best.relocations,
            moment(clock, _minute(best.finish_h)),
            moment(clock, _minute(point.finish_bound_h)),
            money(best.cost),
            money(point.cost_bound),
            round(best.volume_m3, 2),
        )


def trade_csv(points: Sequence[TradePoint], clock: Clock) -> str:
    """Return the rows as the text of a CSV file."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADING)
    writer.writerows(trade_rows(points, clock))
    return text.getvalue()


def trade_sentences(
    points: Sequence[TradePoint], clock: Clock, *, fewest_bound: float, stopped_early: bool
) -> list[str]:
    """Return what the trade-off says: its two ends, what a move buys, what is proven."""
    first, last = points[0], points[-1]
    found = [
        (
            f"{count(first.best.relocations, 'relocation')}: done "
            f"{moment(clock, _minute(first.best.finish_h))}, {money(first.best.cost)} in all."
        )
    ]
    saved = first.best.finish_h - last.best.finish_h
    more = last.best.relocations - first.best.relocations
    if saved > 0.0 and more > 0:
        found.append(
            f"{count(last.best.relocations, 'relocation')}: done "
            f"{moment(clock, _minute(last.best.finish_h))}, {saved:.1f} h sooner, "
            f"{money(last.best.cost)} in all."
        )
    else:
        found.append("More relocations brought no earlier finish.")
    if first.best.relocations <= fewest_bound:
        found.append("Fewer relocations cannot do this volume (proven).")
    else:
        found.append(f"No plan of this volume has fewer than {fewest_bound:g} relocations.")
    if stopped_early:
        found.append("The time ended a search early: give --seconds more for better points.")
    return found


def _minute(hours: float) -> int:
    return up(hours * MINUTES_PER_HOUR)
