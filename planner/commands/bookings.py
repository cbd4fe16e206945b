"""``ebbwork import-bookings``: the bookings of a calendar file become closures."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from planner.commands.codes import Exit
from planner.commands.console import say, say_problems


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingOrder:
    """What is asked for: which file goes into which scenario, and what it closes."""

    scenario: Path
    calendar: Path
    scope: str
    name: str
    kind: str
    anew: bool


def run_import(order: BookingOrder) -> Exit:
    """Write the bookings of a calendar file into closures.csv of a scenario.

    Raises
    ------
    InputRefusedError
        If calendar or scenario cannot be used; nothing is written then.
    """
    from planner.scenario.bookings import (  # noqa: PLC0415 - heavy
        Target,
        with_bookings,
        write_closures,
    )
    from planner.scenario.calendar_file import read_bookings  # noqa: PLC0415 - heavy
    from planner.scenario.findings import Findings  # noqa: PLC0415 - heavy
    from planner.scenario.reader import campaign_of  # noqa: PLC0415 - heavy
    from planner.scenario.tables import read_tables  # noqa: PLC0415 - heavy

    tables = read_tables(order.scenario)
    campaign, _ = campaign_of(tables)
    findings = Findings()
    bookings = read_bookings(order.calendar, campaign.clock, findings)
    findings.raise_errors()
    say_problems(findings.problems())
    target = Target(scope=order.scope, name=order.name, kind=order.kind)
    changed, fresh = with_bookings(
        tables, bookings, target=target, clock=campaign.clock, anew=order.anew
    )
    _, problems = campaign_of(changed)
    say_problems(problems)
    write_closures(changed, order.scenario)
    whose = f"{order.scope} {order.name}".strip()
    say(
        f"{len(bookings)} bookings of {whose} touch the campaign; {fresh} are new in its closures."
        " They close as they stand in the file: compare them with the harbour's own list."
    )
    return Exit.DONE
