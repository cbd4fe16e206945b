"""``ebbwork history``: plans as they were issued, and how the finish moved."""

from __future__ import annotations

import secrets
from argparse import Namespace
from collections.abc import Callable, Mapping
from datetime import UTC, datetime

from planner.commands.codes import Exit
from planner.commands.console import say, write_rows
from planner.commands.listings import load
from planner.commands.text_table import is_readable, show_rows
from planner.commands.words import SAFETY

LIST = ("number", "issued_at", "by", "note", "finish", "planned_m3", "status", "scenario_sha256")
FORECAST = ("number", "issued_at", "plan_finish", "forecast", "forecast_low", "forecast_high")


def run_history(arguments: Namespace) -> Exit:
    """Do one of the actions of ``history``."""
    return _ACTIONS[arguments.action](arguments)


def _issue(arguments: Namespace) -> Exit:
    from planner.workflow.issuing import BrokenPlanError, issue_plan  # noqa: PLC0415 - heavy
    from planner.workflow.site import Writer  # noqa: PLC0415 - heavy

    loaded = load(arguments.scenario)
    now = datetime.now(UTC)  # noqa: TID251 - the rim reads the clock and passes it in
    writer = Writer(by=arguments.by, at=now, token=secrets.token_hex(16))
    try:
        done = issue_plan(arguments.scenario, loaded, arguments.plan, writer, note=arguments.note)
    except BrokenPlanError as broken:
        say(
            f"The plan breaks {len(broken.violations)} rules of the scenario as it is now and is"
            f" not issued; see: ebbwork check {arguments.scenario} {arguments.plan}"
            f"; after records of the site: ebbwork replan {arguments.scenario} {arguments.plan}"
        )
        return Exit.PARTLY
    if not done.is_new:
        say(f"This very plan is issue {done.issue.number} already.")
    else:
        say(f"Kept as issue {done.issue.number}, with the scenario as it is now.")
    if not done.same_scenario:
        say("It was made from another state of this scenario; it keeps every rule as it is now.")
    say(SAFETY)
    return Exit.DONE


def _list(arguments: Namespace) -> Exit:
    from planner.workflow.issuing import issued_plans  # noqa: PLC0415 - heavy

    rows = (
        (
            row.number,
            _text(row.issued_at),
            row.by,
            row.note,
            _text(row.finish),
            row.planned_m3,
            row.status,
            row.scenario_sha256,
        )
        for row in issued_plans(arguments.scenario)
    )
    show_rows(LIST, rows, as_table=is_readable(asked=arguments.table))
    return Exit.DONE


def _diff(arguments: Namespace) -> Exit:
    from planner.workflow.issuing import issue_differences  # noqa: PLC0415 - heavy

    words = issue_differences(arguments.scenario, arguments.before, arguments.after)
    write_rows(("difference",), ([sentence] for sentence in words))
    if not words:
        say("The two plans are the same.")
    return Exit.DONE


def _forecast(arguments: Namespace) -> Exit:
    from planner.workflow.issuing import issued_plans  # noqa: PLC0415 - heavy

    rows = (
        (
            row.number,
            _text(row.issued_at),
            _text(row.finish),
            _text(row.forecast),
            _text(row.forecast_low),
            _text(row.forecast_high),
        )
        for row in issued_plans(arguments.scenario)
    )
    show_rows(FORECAST, rows, as_table=is_readable(asked=arguments.table))
    return Exit.DONE


def _text(moment: datetime | None) -> str:
    return "" if moment is None else moment.isoformat(timespec="minutes")


_ACTIONS: Mapping[str, Callable[[Namespace], Exit]] = {
    "issue": _issue,
    "list": _list,
    "diff": _diff,
    "forecast": _forecast,
}
