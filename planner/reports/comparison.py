"""Stagings side by side as rows and in words: which is cheapest, and what decides it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.estimate.crossing import Crossing
from planner.estimate.staging import SAME_M3, Staging, cheapest, drivers, rival, whole
from planner.reports.labels import count, money

MONEY_NAMES = {
    "day": "site days",
    "rig_day": "rigs",
    "crew_shift": "crew-shifts",
    "crew_standby": "crews standing by",
    "relocation": "relocations",
    "set_up": "set-ups",
    "material": "material",
    "hose": "hose wear",
    "rebound": "rebound carried away",
    "flow_control": "gates and pumps",
    "resource": "shared resources",
    "mobilise": "mobilisation",
    "demobilise": "demobilisation",
    "access": "access",
    "containment": "containment",
    "break_out": "break-out",
    "disposal": "rubble",
    "curing": "curing",
    "tests": "tests",
    "standby": "standby while faces are shut",
    "night": "night premium",
    "lifting": "lifting",
    "wear": "hose wear by length",
    "extra": "further items",
    "on_top": "overheads, risk, profit",
    "other": "other lines",
}
BUNDLES = {
    "time": ("day", "rig_day", "crew_shift", "crew_standby", "standby", "night", "resource"),
    "material": ("material", "hose", "wear", "rebound"),
    "moves": ("relocation", "set_up", "lifting"),
    "once": ("mobilise", "demobilise", "access", "containment", "flow_control"),
    "work on faces": ("break_out", "disposal", "curing", "tests", "extra", "other"),
    "on top": ("on_top",),
}
"""Groups of money as the charts show them."""
BUNDLE_COLOURS = {
    "time": "#0072B2",
    "material": "#009E73",
    "moves": "#E69F00",
    "once": "#56B4E9",
    "work on faces": "#CC79A7",
    "on top": "#888888",
}
MINUS = "\N{MINUS SIGN}"
MOST_DRIVERS = 3
DRIVER_SHARE = 0.05
"""A group counts as deciding when it makes at least this share of the largest difference."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareRow:
    """One staging as a row; gaps are fractions, ``finish_gap`` of hours from the start."""

    variant: str
    name: str
    processes: str
    status: str
    seed: int
    planned_m3: float
    left_out: int
    finish: str
    cost: float
    total: float
    total_m3: float | str
    relocations: int
    windows_used: int
    rebound_m3: float
    crew_shifts: int
    site_days: int
    paid_h: float
    shut_h: float
    cost_bound: float | str
    cost_gap: float | str
    finish_gap: float | str
    stopped_early: str


def compare_rows(found: Sequence[Staging]) -> Iterator[CompareRow]:
    """Yield a row for each staging, in the order given."""
    for staging in found:
        yield CompareRow(
            variant=staging.variant,
            name=staging.name,
            processes=";".join(staging.processes),
            status=staging.status,
            seed=staging.seed,
            planned_m3=round(staging.planned_m3, 3),
            left_out=staging.left_out,
            finish=staging.finish,
            cost=round(staging.cost, 2),
            total=round(staging.total, 2),
            total_m3="" if staging.total_m3 is None else round(staging.total_m3, 2),
            relocations=staging.relocations,
            windows_used=staging.windows_used,
            rebound_m3=round(staging.rebound_m3, 2),
            crew_shifts=staging.crew_shifts,
            site_days=staging.site_days,
            paid_h=round(staging.paid_h, 1),
            shut_h=round(staging.shut_h, 1),
            cost_bound=_known(staging.bound, "cost", 2),
            cost_gap=_known(staging.gap, "cost", 4),
            finish_gap=_known(staging.gap, "finish", 4),
            stopped_early="yes" if staging.stopped_early else "no",
        )


def _known(values: object, name: str, decimals: int) -> float | str:
    value = values.get(name) if isinstance(values, dict) else None
    return "" if value is None else round(value, decimals)


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveRow:
    """One point of a curve: a staging of the scaled job."""

    axis: str
    at: float
    unit: str
    variant: str
    total: float
    total_m3: float | str
    cost: float
    planned_m3: float
    left_out: int
    finish: str
    relocations: int
    crew_shifts: int
    seed: int


def curve_rows(axis: str, unit: str, found: Sequence[Staging]) -> Iterator[CurveRow]:
    """Yield a row for each point, in the order given."""
    for staging in found:
        yield CurveRow(
            axis=axis,
            at=staging.at,
            unit=unit,
            variant=staging.variant,
            total=round(staging.total, 2),
            total_m3="" if staging.total_m3 is None else round(staging.total_m3, 2),
            cost=round(staging.cost, 2),
            planned_m3=round(staging.planned_m3, 3),
            left_out=staging.left_out,
            finish=staging.finish,
            relocations=staging.relocations,
            crew_shifts=staging.crew_shifts,
            seed=staging.seed,
        )


def verdict(found: Sequence[Staging]) -> tuple[str, ...]:
    """Return which staging is cheapest and what decides it, in two sentences.

    Further sentences say where the difference is smaller than what is proven, and name stagings
    that plan less than the most: they are another job.
    """
    winner = cheapest(found)
    if winner is None:
        return ("No staging plans anything.",)
    other = rival(found, winner)
    told = [f"{winner.name} is the only staging that plans {winner.planned_m3:.1f} m³."]
    if other is not None:
        told = [_margin(winner, other), _decides(winner, other), *_unproven(winner, other)]
    less = [staging for staging in found if staging not in whole(found)]
    if less:
        names = ", ".join(f"{s.name} ({s.planned_m3:.1f} m³)" for s in less)
        told.append(f"Not compared, because they plan less: {names}.")
    return tuple(told)


def _margin(winner: Staging, other: Staging) -> str:
    saved = other.total - winner.total
    share = 100.0 * saved / other.total if other.total else 0.0
    days = winner.finish_day - other.finish_day
    when = "done at the same time"
    if round(abs(days)):
        when = f"done {count(round(abs(days)), 'day')} {'later' if days > 0 else 'sooner'}"
    return (
        f"{winner.name} costs {money(winner.total)}, {money(saved)} ({share:.0f} %) less than "
        f"{other.name}, and is {when}."
    )


def _decides(winner: Staging, other: Staging) -> str:
    own = [(name, change) for name, change in drivers(winner, other) if name != "on_top"]
    least = DRIVER_SHARE * max((abs(change) for _, change in own), default=0.0)
    saves = [pair for pair in own if pair[1] < -least][:MOST_DRIVERS]
    adds = [pair for pair in own if pair[1] > least][:MOST_DRIVERS]
    if not saves:
        return "Nothing decides it: both cost about the same in every group."
    text = f"What decides it: {_listed(saves)}"
    return f"{text}; against it speak {_listed(adds)}." if adds else f"{text}."


def _unproven(winner: Staging, other: Staging) -> Iterator[str]:
    """Say where a better plan of the other staging might cost less than the winner's."""
    bound = other.bound.get("cost")
    if bound is None:
        return
    room = other.cost - bound
    if room > other.total - winner.total:
        yield (
            f"This is what was planned, not a proof: as far as is proven, a better plan of "
            f"{other.name} could save up to {money(room)}."
        )


def _listed(pairs: Sequence[tuple[str, float]]) -> str:
    return ", ".join(
        f"{MONEY_NAMES.get(name, name)} ({'+' if change > 0 else MINUS}{money(abs(change))})"
        for name, change in pairs
    )


def crossing_words(
    one: Sequence[Staging], other: Sequence[Staging], found: Sequence[Crossing], unit: str
) -> str:
    """Return where the cheaper staging changes along a scale, in one or two sentences."""
    if not one or not other:
        return "One of the two plans nothing at any value."
    first, second = one[0].name, other[0].name
    if not found:
        return _no_crossing(one, other)
    places = " and ".join(_place(crossing, unit, one) for crossing in found)
    return f"{first} and {second} cost the same at about {places}."


def _place(crossing: Crossing, unit: str, along: Sequence[Staging]) -> str:
    """Return where both cost the same; for a job that grows, how many m³ that is."""
    planned_m3 = {staging.at: staging.planned_m3 for staging in along}
    low_m3, high_m3 = planned_m3[crossing.low], planned_m3[crossing.high]
    share = (crossing.at - crossing.low) / (crossing.high - crossing.low)
    at_m3 = low_m3 + share * (high_m3 - low_m3)
    volume = f", {at_m3:.0f} m³ in place" if abs(high_m3 - low_m3) > SAME_M3 else ""
    between = f"(between the planned {crossing.low:g} and {crossing.high:g})"
    return f"{crossing.at:.3g} {unit}{volume} {between}"


def _no_crossing(one: Sequence[Staging], other: Sequence[Staging]) -> str:
    totals = {staging.at: staging for staging in other}
    pairs = [(a, totals[a.at]) for a in one if a.at in totals]
    both = [(a, b) for a, b in pairs if abs(a.planned_m3 - b.planned_m3) <= SAME_M3]
    if not both:
        return "At no value do both plan the same volume."
    cheaper = both[0][0].name if both[0][0].total <= both[0][1].total else both[0][1].name
    said = f"{cheaper} is cheaper wherever both plan the same volume."
    lost = [
        b.name if b.planned_m3 < a.planned_m3 else a.name for a, b in pairs if (a, b) not in both
    ]
    if lost:
        worst = max(set(lost), key=lost.count)
        return f"{said} At {count(len(lost), 'value')} {worst} cannot do the whole job."
    return said
