"""One way of staging a job, as its plan turned out, and which of several is best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

SAME_M3 = 1e-6
MONEY = "money_"


@dataclass(frozen=True, slots=True, kw_only=True)
class Staging:
    """The figures of one plan of one variant.

    Attributes
    ----------
    variant, name, processes
        Short name, name in words, processes that spray.
    seed, status, stopped_early
        How it was found, and what is known of it.
    axis, at
        What was scaled and to which value; empty where nothing was.
    planned_m3, left_out
        Volume planned [m³] and zones that are not [1].
    finish, finish_day
        End of the last spell as text with offset, and in days from the campaign's start [d].
    relocations, windows_used, crew_shifts, site_days
        Counts.
    rebound_m3
        Rebound and waste to carry away [m³].
    cost, total
        What the planner counts, and the whole estimate [money].
    paid_h, shut_h
        Hours of crews that are paid, and those in which their faces are shut [h].
    bound, gap
        Proven bounds and gaps of the plan's goals, by goal.
    money
        The estimate by groups of lines.
    """

    variant: str
    name: str
    processes: tuple[str, ...]
    seed: int
    status: str
    stopped_early: bool
    axis: str = ""
    at: float = 0.0
    planned_m3: float
    left_out: int
    finish: str
    finish_day: float
    relocations: int
    windows_used: int
    crew_shifts: int
    site_days: int
    rebound_m3: float
    cost: float
    total: float
    paid_h: float
    shut_h: float
    value: Mapping[str, float] = field(default_factory=dict)
    bound: Mapping[str, float] = field(default_factory=dict)
    gap: Mapping[str, float] = field(default_factory=dict)
    money: Mapping[str, float] = field(default_factory=dict)

    @property
    def total_m3(self) -> float | None:
        """Return the estimate for each m³ in place, None where nothing is planned [money/m³]."""
        return self.total / self.planned_m3 if self.planned_m3 else None


def staging_of(row: Mapping[str, object]) -> Staging | None:
    """Return a row of a sweep as a staging; None where the sweep found no plan."""
    if row.get("finish") is None:
        return None
    return Staging(
        variant=str(row["variant"]),
        name=str(row["name"]),
        processes=tuple(str(row["processes"]).split(";")),
        seed=_whole(row, "seed"),
        status=str(row["status"]),
        stopped_early=bool(row["stopped_early"]),
        axis=str(row["axis"]),
        at=_number(row, "at"),
        planned_m3=_number(row, "planned_m3"),
        left_out=_whole(row, "left_out"),
        finish=str(row["finish"]),
        finish_day=_number(row, "finish_day"),
        relocations=_whole(row, "relocations"),
        windows_used=_whole(row, "windows_used"),
        crew_shifts=_whole(row, "crew_shifts"),
        site_days=_whole(row, "site_days"),
        rebound_m3=_number(row, "rebound_m3"),
        cost=_number(row, "cost"),
        total=_number(row, "total"),
        paid_h=_number(row, "paid_h"),
        shut_h=_number(row, "shut_h"),
        value=_group(row, "value_"),
        bound=_group(row, "bound_"),
        gap=_group(row, "gap_"),
        money=_group(row, MONEY),
    )


def _number(row: Mapping[str, object], name: str) -> float:
    value = row[name]
    if isinstance(value, int | float):
        return float(value)
    msg = f"column {name} of a sweep holds {value!r}, which is no number"
    raise ValueError(msg)


def _whole(row: Mapping[str, object], name: str) -> int:
    return int(_number(row, name))


def _group(row: Mapping[str, object], start: str) -> dict[str, float]:
    return {
        name.removeprefix(start): float(value)
        for name, value in row.items()
        if name.startswith(start) and isinstance(value, int | float)
    }


def best_seeds(found: Sequence[Staging], goals: Sequence[str]) -> list[Staging]:
    """Return the best plan of each variant: most volume, then the goals in order, then the seed.

    The order of the variants is kept.
    """
    best: dict[str, Staging] = {}
    for staging in found:
        old = best.get(staging.variant)
        if old is None or _rank(staging, goals) < _rank(old, goals):
            best[staging.variant] = staging
    return list(best.values())


def _rank(staging: Staging, goals: Sequence[str]) -> tuple[float, ...]:
    values = (round(staging.value.get(goal, 0.0), 6) for goal in goals)
    return (-round(staging.planned_m3, 6), *values, float(staging.seed))


def whole(found: Sequence[Staging]) -> list[Staging]:
    """Return those that plan as much as any of them: only these can be laid side by side."""
    most_m3 = max((staging.planned_m3 for staging in found), default=0.0)
    return [staging for staging in found if staging.planned_m3 >= most_m3 - SAME_M3]


def cheapest(found: Sequence[Staging]) -> Staging | None:
    """Return the one with the lowest estimate among those that plan the most."""
    return min(whole(found), key=lambda staging: (staging.total, staging.variant), default=None)


def rival(found: Sequence[Staging], winner: Staging) -> Staging | None:
    """Return the cheapest other one, of other processes where there is one."""
    others = [staging for staging in whole(found) if staging is not winner]
    foreign = [staging for staging in others if not set(staging.processes) & set(winner.processes)]
    return cheapest(foreign or others)


def drivers(winner: Staging, other: Staging) -> list[tuple[str, float]]:
    """Return by how much the winner is dearer (below 0: cheaper) in each group, most first."""
    names = sorted(set(winner.money) | set(other.money))
    found = [(n, winner.money.get(n, 0.0) - other.money.get(n, 0.0)) for n in names]
    return sorted((pair for pair in found if pair[1]), key=lambda pair: -abs(pair[1]))
