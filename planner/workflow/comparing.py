"""Stagings of one job side by side, and the job scaled until the cheaper one changes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.core.problems import InputRefusedError
from planner.estimate.crossing import Crossing, Point, crossings
from planner.estimate.staging import SAME_M3, Staging, best_seeds, staging_of
from planner.scenario.raw import Tables
from planner.scenario.reader import campaign_of
from planner.workflow.loading import Loaded
from planner.workflow.scaling import Axis, Scale, scale_of, scaled
from planner.workflow.sweep_task import NO_LIMIT_S, Row, Task
from planner.workflow.variants import Variant

BASE = "base"
EFFORT = 5.0
"""How hard each plan of a comparison is searched for, in units of about a second."""


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """How hard to plan.

    Attributes
    ----------
    seeds
        Seeds 1 to this number; the best plan of each variant counts.
    effort, seconds
        As for ``ebbwork plan``, for each plan.
    goals
        Goals in order; none: the scenario's own.
    """

    seeds: int = 1
    effort: float = EFFORT
    seconds: float = NO_LIMIT_S
    goals: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Two stagings over one scale.

    Attributes
    ----------
    scale
        What is scaled.
    one, other
        Their plans in the order of the values.
    crossings
        Where the cheaper one changes.
    """

    scale: Scale
    one: tuple[Staging, ...]
    other: tuple[Staging, ...]
    crossings: tuple[Crossing, ...]


def base_variant(loaded: Loaded) -> Variant:
    """Return the scenario as it stands, as one of the stagings."""
    return Variant(variant=BASE, name="As it stands", why="", loaded=loaded)


def compare_tasks(variants: Iterable[Variant], how: How) -> list[Task]:
    """Return the tasks that lay stagings side by side."""
    return [_task(variant, seed, how) for variant in variants for seed in range(1, how.seeds + 1)]


def _task(variant: Variant, seed: int, how: How) -> Task:
    return Task(
        variant=variant.variant,
        name=variant.name,
        tables=variant.loaded.tables,
        seed=seed,
        effort=how.effort,
        seconds=how.seconds,
        goals=how.goals,
    )


def stagings(rows: Iterable[Row], goals: Sequence[str]) -> list[Staging]:
    """Return the best plan of each variant; those without any are left out."""
    found = [staging for row in rows if (staging := staging_of(row)) is not None]
    return best_seeds([staging for staging in found if not staging.axis], goals)


def curve_tasks(
    one: Variant, other: Variant, axis: Axis, values: Sequence[float], how: How
) -> list[Task]:
    """Return the tasks of one curve; a value that makes an impossible scenario is left out."""
    found = []
    for variant in (one, other):
        for value in values:
            campaign = variant.loaded.campaign
            tables = scaled(variant.loaded.tables, campaign, axis, value)
            if not _can_be_read(tables):
                continue
            for seed in range(1, how.seeds + 1):
                task = Task(
                    variant=variant.variant,
                    name=variant.name,
                    tables=tables,
                    seed=seed,
                    effort=how.effort,
                    seconds=how.seconds,
                    goals=how.goals,
                    axis=axis.value,
                    at=value,
                )
                found.append(task)
    return found


def _can_be_read(tables: Tables) -> bool:
    try:
        campaign_of(tables)
    except InputRefusedError:
        return False
    return True


def curve(
    rows: Iterable[Row], one: Variant, other: Variant, axis: Axis, goals: Sequence[str]
) -> Curve:
    """Return the curve of two stagings out of the rows of a sweep."""
    found = [staging for row in rows if (staging := staging_of(row)) is not None]
    first = _along(found, one.variant, axis, goals)
    second = _along(found, other.variant, axis, goals)
    by_value = {staging.at: staging for staging in second}
    points = [_point(staging, by_value.get(staging.at)) for staging in first]
    return Curve(
        scale=scale_of(one.loaded.campaign, axis),
        one=tuple(first),
        other=tuple(second),
        crossings=tuple(crossings(points)),
    )


def _along(
    found: Sequence[Staging], variant: str, axis: Axis, goals: Sequence[str]
) -> list[Staging]:
    mine = [staging for staging in found if (staging.variant, staging.axis) == (variant, axis)]
    values = sorted({staging.at for staging in mine})
    return [
        best_seeds([staging for staging in mine if staging.at == value], goals)[0]
        for value in values
    ]


def _point(one: Staging, other: Staging | None) -> Point:
    """Return both estimates where both plan the same volume, which is the whole job."""
    if other is None or abs(one.planned_m3 - other.planned_m3) > SAME_M3:
        least = None if one.left_out else one.total
        rest = None if other is None or other.left_out else other.total
        return Point(at=one.at, one=least, other=rest)
    return Point(at=one.at, one=one.total, other=other.total)
