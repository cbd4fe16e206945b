"""Rule 15: how long crews are on duty, and how much they work in a week."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from planner.checks.case import Case
from planner.checks.rows import Work
from planner.checks.violation import Violation
from planner.model.crew import Crew


def rule_15(case: Case) -> Iterator[Violation]:
    """Keep duties within duty_max_h and weeks within week_max_h."""
    for crew_id, works in case.works_by_crew().items():
        yield from _duties(case, case.crews[crew_id], works)
        yield from _weeks(case, case.crews[crew_id], works)


def duties(works: list[Work], rest_min: int) -> list[list[Work]]:
    """Return works in time order as duties: a gap shorter than the rest joins two."""
    found: list[list[Work]] = []
    end = 0
    for work in works:
        if found and work.start_min - end < rest_min:
            found[-1].append(work)
            end = max(end, work.end_min)
        else:
            found.append([work])
            end = work.end_min
    return found


def _duties(case: Case, crew: Crew, works: list[Work]) -> Iterator[Violation]:
    if crew.duty_max_min is None or crew.rest_min_min is None:
        return
    for duty in duties(works, crew.rest_min_min):
        start, end = duty[0].start_min, max(work.end_min for work in duty)
        over = end - start - crew.duty_max_min
        if over > 0:
            yield duty[-1].place.breaks(
                15,
                f"Crew {crew.crew_id} is on duty from {case.text(start)} to {case.text(end)}, "
                f"{over} min more than {crew.duty_max_min} min, without a rest of "
                f"{crew.rest_min_min} min in between.",
                over,
            )


def monday(day: date) -> date:
    """Return the Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def _weeks(case: Case, crew: Crew, works: list[Work]) -> Iterator[Violation]:
    if crew.week_max_min is None:
        return
    weeks: dict[date, list[Work]] = defaultdict(list)
    for work in works:
        weeks[monday(case.clock.local(work.start_min).date())].append(work)
    for first_day, inside in sorted(weeks.items()):
        over = sum(work.length_min for work in inside) - crew.week_max_min
        if over > 0:
            yield inside[-1].place.breaks(
                15,
                f"Crew {crew.crew_id} works {over} min more than {crew.week_max_min} min in the "
                f"week from Monday {first_day.isoformat()}.",
                over,
            )
