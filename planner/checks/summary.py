"""summary.json held against the plan, figure by figure."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import datetime

from planner.checks import figures
from planner.checks.case import Case
from planner.checks.violation import SUMMARY, Place, Violation
from planner.core.clock import MINUTES_PER_HOUR
from planner.core.rounding import DECIMALS
from planner.model.identifiers import Goal
from planner.plan.plan import Status

_HERE = Place(SUMMARY, None)
_RULE = "summary"
_SLACK = 1e-6  # relative; also absolute, for numbers below 1
_MONEY_SLACK = 0.05  # a cent on each cost line, should they be rounded
_KEYS = (
    "campaign",
    "scenario_sha256",
    "version",
    "seed",
    "workers",
    "seconds",
    "status",
    "planned_m3",
    "planned_m3_bound",
    "unplanned_m3",
    "finish",
    "relocations",
    "late",
    "night_runs",
    "joints",
    "cost",
    "cost_lines",
    "bound",
    "gap",
)  # fmt: skip - contract, section 5


def summary_figures(case: Case, summary: Mapping[str, object]) -> Iterator[Violation]:
    """Yield each figure of a summary that the plan or the scenario does not bear out."""
    for key in _KEYS:
        if key not in summary:
            yield _HERE.breaks(_RULE, f"summary.json has no {key}; contract section 5 asks it.", 1)
    yield from _names(case, summary)
    yield from _volumes(case, summary)
    yield from _finish(case, summary)
    for key, goal in (
        ("relocations", Goal.RELOCATIONS),
        ("late", Goal.LATE),
        ("night_runs", Goal.NIGHT_RUNS),
        ("joints", Goal.JOINTS),
    ):
        yield from _same(summary, key, figures.value(case, goal))
    yield from _cost(case, summary)
    yield from _proof(case, summary)


def number(value: object) -> float | None:
    """Return a JSON value as a number; None: it is none."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    return None


def _shown(value: object) -> str:
    """Return a value as summary.json writes it."""
    return json.dumps(value, ensure_ascii=False, default=str)


def _off(stated: object, real: float, slack: float = 0.0) -> float | None:
    """Return by how much a stated number is off; None: it is right."""
    found = number(stated)
    if found is None:
        return 1.0
    off = abs(found - real)
    return None if off <= max(slack, _SLACK * max(1.0, abs(real))) else off


def _same(
    summary: Mapping[str, object], key: str, real: float, *, slack: float = 0.0
) -> Iterator[Violation]:
    if key not in summary:
        return
    off = _off(summary[key], real, slack)
    if off is not None:
        yield _HERE.breaks(
            _RULE,
            f"{key} is given as {_shown(summary[key])}; the plan's rows make it {real:.10g}.",
            off,
        )


def _names(case: Case, summary: Mapping[str, object]) -> Iterator[Violation]:
    for key, real in (
        ("campaign", case.campaign.name),
        ("scenario_sha256", case.campaign.fingerprint),
    ):
        if key in summary and summary[key] != real:
            yield _HERE.breaks(
                _RULE,
                f"{key} is {_shown(summary[key])}, but the scenario's is {_shown(real)}; the plan "
                "was made for another scenario, or the scenario has changed since.",
                1,
            )


def _volumes(case: Case, summary: Mapping[str, object]) -> Iterator[Violation]:
    planned = figures.planned_m3(case)
    yield from _same(summary, "planned_m3", planned)
    least, most = figures.unplanned_m3(case)
    stated = number(summary.get("unplanned_m3"))
    nearest = least if stated is None else min(max(stated, least), most)
    yield from _same(summary, "unplanned_m3", nearest)
    if "planned_m3_bound" not in summary:
        return
    bound = number(summary["planned_m3_bound"])
    short = 1.0 if bound is None else planned - bound
    if bound is None or short > _SLACK * max(1.0, planned):
        yield _HERE.breaks(
            _RULE,
            f"planned_m3_bound is {_shown(summary['planned_m3_bound'])}, below the {planned:.4f} "
            "m³ that the plan itself plans; it is an upper bound.",
            short,
        )


def _minute(case: Case, text: object) -> int | None:
    if not isinstance(text, str):
        return None
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return None
    return case.clock.minute(moment)


def _finish(case: Case, summary: Mapping[str, object]) -> Iterator[Violation]:
    if "finish" not in summary:
        return
    real = figures.finish_min(case)
    stated = _minute(case, summary["finish"])
    is_null = summary["finish"] is None
    if stated == real and is_null == (real is None):
        return
    right = "null: nothing is planned" if real is None else case.clock.text(real)
    off = abs((stated or 0) - (real or 0))
    yield _HERE.breaks(
        _RULE, f"finish is given as {_shown(summary['finish'])}; it is {right}.", max(1, off)
    )


def _cost(case: Case, summary: Mapping[str, object]) -> Iterator[Violation]:
    lines = figures.cost_lines(case)
    yield from _same(summary, "cost", sum(lines.values()), slack=_MONEY_SLACK)
    stated = summary.get("cost_lines")
    if not isinstance(stated, Mapping):
        if "cost_lines" in summary:
            yield _HERE.breaks(_RULE, "cost_lines is not an object of names and money.", 1)
        return
    for name in sorted({*lines, *stated}):
        real = lines.get(name, 0.0)
        off = _off(stated.get(name, 0.0), real, _MONEY_SLACK)
        if off is not None:
            yield _HERE.breaks(
                _RULE,
                f"cost_lines.{name} is given as {_shown(stated.get(name))}; the plan's rows "
                f"make it {real:.2f}.",
                off,
            )


def _proof(case: Case, summary: Mapping[str, object]) -> Iterator[Violation]:
    bounds, gaps = summary.get("bound"), summary.get("gap")
    if not isinstance(bounds, Mapping) or not isinstance(gaps, Mapping):
        if "bound" in summary and "gap" in summary:
            yield _HERE.breaks(_RULE, "bound and gap are not objects keyed by goal.", 1)
        return
    for key in sorted({*bounds, *gaps}):
        if key not in {goal.value for goal in Goal}:
            yield _HERE.breaks(_RULE, f"{_shown(key)} in bound or gap is no goal.", 1)
            continue
        yield from _goal(case, Goal(key), bounds.get(key), gaps.get(key))
    yield from _finish_bound(case, summary, bounds)
    yield from _status(case, summary, bounds)


def _goal(case: Case, goal: Goal, bound: object, gap: object) -> Iterator[Violation]:
    if not case.plan.spells and bound is None and gap is None:
        return  # nothing is planned, so nothing is measured
    low, stated = number(bound), number(gap)
    if low is None or stated is None:
        yield _HERE.breaks(
            _RULE,
            f"Goal {goal} needs a number as bound and as gap, not {_shown(bound)}, {_shown(gap)}.",
            1,
        )
        return
    real = figures.value(case, goal)
    if low > real + _SLACK * max(1.0, abs(real)):
        yield _HERE.breaks(
            _RULE,
            f"bound.{goal} is {low:.10g}, above the plan's own {real:.10g}; it is a lower bound.",
            low - real,
        )
    gap_is = abs(real - low) / max(abs(real), 1e-9)
    off = abs(stated - gap_is)
    # a bound written to six decimals moves the gap of a small value
    if not off <= _SLACK * max(1.0, gap_is) + _SLACK / max(abs(real), 1e-9):
        yield _HERE.breaks(
            _RULE,
            f"gap.{goal} is given as {stated:.10g}; the value {real:.10g} and the bound "
            f"{low:.10g} make it {gap_is:.10g}.",
            off,
        )


def _finish_bound(
    case: Case, summary: Mapping[str, object], bounds: Mapping[str, object]
) -> Iterator[Violation]:
    hours = number(bounds.get(Goal.FINISH.value))
    if hours is None:
        return
    stated = _minute(case, summary.get("finish_bound"))
    off = 1.0 if stated is None else abs(stated - hours * MINUTES_PER_HOUR)
    if case.plan.spells and (stated is None or off > 1.0 + _SLACK):
        yield _HERE.breaks(
            _RULE,
            f"finish_bound is given as {_shown(summary.get('finish_bound'))}; bound.finish of "
            f"{hours:.4f} h from the campaign's first minute is "
            f"{case.clock.text(round(hours * MINUTES_PER_HOUR))}.",
            off,
        )


def _status(
    case: Case, summary: Mapping[str, object], bounds: Mapping[str, object]
) -> Iterator[Violation]:
    status = summary.get("status")
    if "status" not in summary:
        return
    if status not in {one.value for one in Status}:
        yield _HERE.breaks(
            _RULE, f"status is {_shown(status)}; it is optimal, feasible or none.", 1
        )
        return
    if not case.plan.spells:
        return  # without a plan nothing tells the three apart
    if status == Status.NONE:
        yield _HERE.breaks(_RULE, "status is none, but there is a plan.", 1)
        return
    is_closed = bool(bounds) and all(_is_met(case, key, bound) for key, bound in bounds.items())
    if status == Status.OPTIMAL and not is_closed:
        yield _HERE.breaks(_RULE, "status is optimal, but some goal's gap is not 0.", 1)
    planned, most = figures.planned_m3(case), number(summary.get("planned_m3_bound"))
    is_all = most is not None and most <= planned + _SLACK * max(1.0, planned)
    if status == Status.FEASIBLE and is_closed and is_all:
        yield _HERE.breaks(
            _RULE, "status is feasible, but every gap is 0 and so is that of the volume.", 1
        )


def _is_met(case: Case, key: object, bound: object) -> bool:
    low = number(bound)
    if low is None or key not in {goal.value for goal in Goal}:
        return False
    goal = Goal(str(key))
    real = figures.value(case, goal)
    if goal is Goal.FINISH:
        return round(abs(real - low) * MINUTES_PER_HOUR, DECIMALS) < 1.0  # less than a minute
    return abs(real - low) <= _SLACK * max(1.0, abs(real))
