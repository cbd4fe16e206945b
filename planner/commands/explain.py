"""``ebbwork explain``: where the rigs' time goes, and what one more of something could bring."""

from __future__ import annotations

import time
from argparse import ArgumentParser
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import say, write_lines
from planner.commands.interrupts import Interrupts, in_background
from planner.commands.listings import load
from planner.commands.text_table import is_readable, show_rows, terminal_width, text_table

if TYPE_CHECKING:
    from planner.explain.one_more import Gain
    from planner.explain.shares import RigShare
    from planner.model.campaign import Campaign
    from planner.plan.plan import Plan

SECONDS = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ExplainOrder:
    """What a user asks of ``explain``; ``seconds`` bounds the proofs of ``one_more`` [s]."""

    scenario: Path
    plan: Path
    one_more: bool
    seconds: float
    table: bool = False


def explain_arguments(command: ArgumentParser, *, seconds: Callable[[str], float]) -> None:
    """Add the arguments of ``explain``, the scenario aside."""
    command.add_argument("plan", metavar="PLAN", type=Path, help="plan folder")
    command.add_argument(
        "--one-more",
        action="store_true",
        help="instead, what one more rig, crew, position, 30 minutes of window or 50 m of hose "
        "could bring at most",
    )
    command.add_argument(
        "--seconds",
        metavar="S",
        type=seconds,
        default=SECONDS,
        help=f"with --one-more: time for the proofs (default {SECONDS:g})",
    )
    command.add_argument("--table", action="store_true", help="a table to read instead of CSV")


def run_explain(order: ExplainOrder, *, interrupts: Interrupts) -> Exit:
    """Show what binds a plan, as CSV or as a table."""
    from planner.plan.store import read_plan  # noqa: PLC0415 - heavy
    from planner.reports import what_binds as words  # noqa: PLC0415 - heavy

    loaded = load(order.scenario)
    plan, summary = read_plan(order.plan, loaded.campaign)
    same = summary.get("scenario_sha256") == loaded.campaign.fingerprint
    if not same:
        say("The plan says that it was made from another scenario, or an older one.")
    if not plan.spells:
        say("Nothing is planned, so nothing binds.")
        return Exit.PARTLY
    clock, as_table = loaded.campaign.clock, is_readable(asked=order.table)
    if not order.one_more:
        found = _shares(loaded.campaign, plan)
        if as_table:
            show_rows(words.SHARES, words.share_rows_to_read(found), as_table=True)
        else:
            show_rows(words.SHARES, words.share_rows(found), as_table=False)
        _say(words.binding_sentences(found))
        return Exit.DONE
    proven = proven_finish_h(summary.get("bound")) if same else None
    with interrupts.kept():
        gains = gains_of(
            loaded.campaign, plan, seconds=order.seconds, proven_h=proven, interrupts=interrupts
        )
    if as_table:
        show_rows(words.READ_GAINS, words.gain_rows_to_read(gains, clock), as_table=True)
    else:
        show_rows(words.GAINS, words.gain_rows(gains, clock), as_table=False)
    _say(words.gain_sentences(gains, clock))
    return Exit.INTERRUPTED if interrupts.asked else Exit.DONE


def show_both(
    campaign: Campaign,
    plan: Plan,
    *,
    seconds: float,
    proven_h: float | None,
    interrupts: Interrupts,
) -> None:
    """Write both tables for reading to standard output, as ``plan --explain`` does."""
    from planner.reports import what_binds as words  # noqa: PLC0415 - heavy

    if not plan.spells:
        return
    found = _shares(campaign, plan)
    width = terminal_width()
    rows = (row for row in words.share_rows_to_read(found) if row[0] == words.ALL_RIGS)
    write_lines([*words.binding_sentences(found), *text_table(words.SHARES, rows, width=width)])
    gains = gains_of(campaign, plan, seconds=seconds, proven_h=proven_h, interrupts=interrupts)
    rows_more = words.gain_rows_to_read(gains, campaign.clock)
    lines = ["", *words.gain_sentences(gains, campaign.clock)]
    write_lines([*lines, *text_table(words.READ_GAINS, rows_more, width=width)])


def gains_of(
    campaign: Campaign,
    plan: Plan,
    *,
    seconds: float,
    proven_h: float | None,
    interrupts: Interrupts,
) -> list[Gain]:
    """Return what one more of each thing could bring at most, as far as the time goes."""
    from planner.explain.one_more import changes  # noqa: PLC0415 - heavy
    from planner.workflow.one_more import Limits, one_more  # noqa: PLC0415 - heavy

    limits = Limits(clock=time.monotonic, until_s=time.monotonic() + seconds, stop=interrupts.stop)
    found = in_background(
        lambda: list(one_more(campaign, plan, limits, proven_h=proven_h)), interrupts
    )
    missing = 1 + sum(1 for _ in changes(campaign)) - len(found)
    if missing:
        say(f"The time was up before {missing} of the additions; give --seconds more.")
    return found


def _shares(campaign: Campaign, plan: Plan) -> tuple[RigShare, ...]:
    from planner.explain.ground import Ground  # noqa: PLC0415 - heavy
    from planner.explain.shares import shares  # noqa: PLC0415 - heavy

    return shares(Ground(campaign, plan))


def proven_finish_h(bounds: object) -> float | None:
    """Return a plan's own bound on the finish, where it holds for every plan of its volume [h].

    It does where the finish is its first goal; a bound of 0 says nothing.

    Parameters
    ----------
    bounds
        Bound by goal, goals in order, as in summary.json.
    """
    if not isinstance(bounds, Mapping) or next(iter(bounds), "") != "finish":
        return None
    found = bounds["finish"]
    return float(found) if isinstance(found, int | float) and found > 0 else None


def _say(sentences: list[str]) -> None:
    for sentence in sentences:
        say(sentence)
