"""Rule 15 for one spell: how early its run may begin before the crew has too many hours."""

from __future__ import annotations

from datetime import date, timedelta

from planner.core.clock import MINUTES_PER_DAY
from planner.core.spans import Spans
from planner.core.wording import day_name, moment
from planner.explain.cause import CauseKind
from planner.explain.ground import Ground
from planner.explain.hold import Hold, Place
from planner.model.crew import Crew

Stretch = tuple[int, int]
NEAR_MIN = 8 * MINUTES_PER_DAY
"""No duty or week reaches further from a stretch of work than this [min]."""


def hours_hold(ground: Ground, place: Place, lowest: int) -> Hold | None:
    """Return which starts from ``lowest`` to the spell's own keep the crew's hours.

    None where the crew has no limit, or the spell does not begin its run.

    Parameters
    ----------
    lowest
        Earliest start that is asked about [min].
    """
    crew = ground.crews[place.run.crew]
    if place.before is not None or (crew.duty_max_min is None and crew.week_max_min is None):
        return None
    around = _work_around(ground, place, crew)
    said = {
        start: why
        for start in range(lowest, place.spell.start_min)
        if (why := _broken(ground, place, crew, around, start))
    }
    shut = Spans((start, start + 1) for start in said)
    allowed = shut.complement(lowest, ground.clock.horizon_min + 1)
    return Hold(kind=CauseKind.DUTY, allowed=allowed, text=lambda start: said[start])


def _work_around(ground: Ground, place: Place, crew: Crew) -> list[Stretch]:
    rows = ground.work_of_crew[crew.crew_id]
    return [(row.start_min, row.end_min) for row in rows if row != place.run]


def _broken(
    ground: Ground, place: Place, crew: Crew, around: list[Stretch], start: int
) -> str | None:
    """Return which limit a start breaks, in words; None: none."""
    begin = min(place.run.start_min, start - place.lead_min)
    rows = sorted([*around, (begin, place.run.end_min)])
    return _duty(ground, crew, rows, begin) or _week(ground, crew, rows, begin)


def too_many_hours(ground: Ground, crew: Crew, start: int, end: int) -> str | None:
    """Return which limit one more stretch of work breaks, in words; None: none.

    Parameters
    ----------
    start, end
        A stretch in which the crew does nothing in this plan [min].
    """
    if crew.duty_max_min is None and crew.week_max_min is None:
        return None
    near = ground.crew_work_near(crew.crew_id, start - NEAR_MIN, end + NEAR_MIN)
    rows = sorted([*((row.start_min, row.end_min) for row in near), (start, end)])
    return _duty(ground, crew, rows, start) or _week(ground, crew, rows, start)


def _duty(ground: Ground, crew: Crew, rows: list[Stretch], begin: int) -> str | None:
    if crew.duty_max_min is None or crew.rest_min_min is None:
        return None
    index = next(k for k, row in enumerate(rows) if row[0] == begin)
    first = last = index
    while first and rows[first][0] - rows[first - 1][1] < crew.rest_min_min:
        first -= 1
    while last + 1 < len(rows) and rows[last + 1][0] - rows[last][1] < crew.rest_min_min:
        last += 1
    length = rows[last][1] - rows[first][0]
    if length <= crew.duty_max_min:
        return None
    return (
        f"crew {crew.crew_id} would be on duty from {moment(ground.clock, rows[first][0])} to "
        f"{moment(ground.clock, rows[last][1])}, more than {crew.duty_max_min / 60:g} h"
    )


def _week(ground: Ground, crew: Crew, rows: list[Stretch], begin: int) -> str | None:
    if crew.week_max_min is None:
        return None
    monday = _monday(ground.clock.day(begin))
    low = ground.clock.day_start(monday)
    high = ground.clock.day_start(monday + timedelta(days=7))
    worked = sum(end - start for start, end in rows if low <= start < high)
    if worked <= crew.week_max_min:
        return None
    return (
        f"crew {crew.crew_id} would work more than {crew.week_max_min / 60:g} h in the week "
        f"from {day_name(monday)}"
    )


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
