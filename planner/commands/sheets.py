"""``ebbwork sheets``: paper and calendars of a plan."""

from __future__ import annotations

from argparse import Namespace

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, write_rows
from planner.commands.listings import load
from planner.commands.words import SAFETY, count
from planner.scenario.suggest import did_you_mean


def run_sheets(arguments: Namespace) -> Exit:
    """Write the papers that are asked for, and list them.

    Raises
    ------
    RefusedError
        If the crew is not in the plan, or no shift lies in the days asked for.
    """
    from planner.workflow.checking import check_folder  # noqa: PLC0415 - heavy
    from planner.workflow.papers import Order, Papers, write_papers  # noqa: PLC0415 - heavy

    loaded = load(arguments.scenario)
    checked = check_folder(loaded, arguments.plan)
    if checked.violations:
        say(
            f"The plan breaks {len(checked.violations)} rules of this scenario and is not printed;"
            f" see: ebbwork check {arguments.scenario} {arguments.plan}"
            f"; after records of the site: ebbwork replan {arguments.scenario} {arguments.plan}"
        )
        return Exit.PARTLY
    papers = Papers(arguments.scenario, loaded.campaign, checked.plan, checked.summary)
    if arguments.crew is not None and arguments.crew not in papers.crews:
        msg = (
            f"{arguments.crew!r} has no work in this plan; there are {', '.join(papers.crews)}"
            f"{did_you_mean(arguments.crew, papers.crews)}"
        )
        raise RefusedError(msg)
    order = Order(
        crew=arguments.crew,
        first_day=arguments.first_day,
        last_day=arguments.last_day,
        calendars=arguments.ics,
        workbook=arguments.xlsx,
        report=arguments.report,
    )
    names = write_papers(papers, order, arguments.out)
    if not names:
        msg = "No shift of the plan lies in these days; nothing was written."
        raise RefusedError(msg)
    write_rows(("file",), ([name] for name in names))
    say(f"{count(len(names), 'file')} written to {arguments.out}.")
    if papers.issue is None:
        say("This plan is not issued; sheets and calendars say so (ebbwork history issue).")
    say(SAFETY)
    return Exit.DONE
