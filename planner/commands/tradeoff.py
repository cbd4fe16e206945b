"""``ebbwork tradeoff``: what relocations buy: the best finish, then its cost, for each number."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner.commands.codes import Exit
from planner.commands.console import ProgressLine, RefusedError, say
from planner.commands.interrupts import Interrupts, in_background
from planner.commands.listings import load
from planner.commands.text_table import is_readable, show_rows
from planner.commands.words import SAFETY

if TYPE_CHECKING:
    from planner.core.clock import Clock
    from planner.workflow.loading import Loaded
    from planner.workflow.tradeoff import TradeOff

EFFORT = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeOrder:
    """What a user asks of ``tradeoff``; ``seconds`` bounds all searches, None: no limit [s]."""

    scenario: Path
    seconds: float | None
    effort: float
    workers: int
    seed: int
    out: Path | None = None
    table: bool = False


def tradeoff_arguments(
    command: ArgumentParser,
    *,
    seconds: Callable[[str], float],
    effort: Callable[[str], float],
    whole: tuple[Callable[[str], int], Callable[[str], int]],
) -> None:
    """Add the arguments of ``tradeoff``, the scenario aside; ``whole``: of workers and seed."""
    workers, seed = whole
    command.add_argument(
        "--seconds",
        metavar="S",
        type=seconds,
        help="time for all searches together (default: no limit)",
    )
    command.add_argument(
        "--effort",
        metavar="N",
        type=effort,
        default=EFFORT,
        help=f"how long to search for each of up to 8 points, as for plan (default {EFFORT:g})",
    )
    command.add_argument(
        "--workers", metavar="N", type=workers, default=2, help="threads of a search (default 2)"
    )
    command.add_argument(
        "--seed", metavar="N", type=seed, default=1, help="seed of the search (default 1)"
    )
    command.add_argument(
        "--out",
        metavar="FILE",
        type=Path,
        help="write the chart as a page (.html), or the table (.csv)",
    )
    command.add_argument("--table", action="store_true", help="a table to read instead of CSV")


def run_tradeoff(order: TradeOrder, *, interrupts: Interrupts) -> Exit:
    """Search for the points of the trade-off and show them."""
    if order.out is not None and order.out.suffix not in {".html", ".csv"}:
        msg = f"--out {order.out}: name a file that ends in .html (the chart) or .csv (the table)"
        raise RefusedError(msg)
    loaded = load(order.scenario)
    with interrupts.kept():
        found = _search(order, loaded, interrupts)
        if found is None:
            return Exit.INTERRUPTED if interrupts.asked else Exit.NO_PLAN
        _show(order, found, loaded.campaign.clock)
    if interrupts.asked:
        return Exit.INTERRUPTED
    return Exit.PARTLY if any(point.best.plan.unplanned for point in found.points) else Exit.DONE


def _search(order: TradeOrder, loaded: Loaded, interrupts: Interrupts) -> TradeOff | None:
    from planner.optimise.engine import NoPlanInTimeError, Settings  # noqa: PLC0415 - heavy
    from planner.workflow.tradeoff import NO_LIMIT_S, trade_off  # noqa: PLC0415 - heavy

    settings = Settings(
        seed=order.seed,
        workers=order.workers,
        effort=order.effort,
        seconds=NO_LIMIT_S if order.seconds is None else order.seconds,
        stop=interrupts.stop,
    )
    shown = ProgressLine()
    try:
        return in_background(lambda: trade_off(loaded, settings, listener=shown), interrupts)
    except NoPlanInTimeError:
        say("No plan was found in the time. Nothing was written; give --seconds more.")
        return None
    finally:
        shown.clear()


def _show(order: TradeOrder, found: TradeOff, clock: Clock) -> None:
    from planner.reports.trade_off import (  # noqa: PLC0415 - heavy
        HEADING,
        READ_HEADING,
        trade_rows,
        trade_rows_to_read,
        trade_sentences,
    )

    if is_readable(asked=order.table):
        show_rows(READ_HEADING, trade_rows_to_read(found.points, clock), as_table=True)
    else:
        show_rows(HEADING, trade_rows(found.points, clock), as_table=False)
    sys.stdout.flush()
    for sentence in trade_sentences(
        found.points,
        clock,
        fewest_bound=found.fewest_bound,
        stopped_early=found.stopped_early,
    ):
        say(sentence)
    if order.out is not None:
        _write(order.out, found, clock)
        say(f"Written to {order.out}")
    say(SAFETY)


def _write(out: Path, found: TradeOff, clock: Clock) -> None:
    from planner.reports.figures.trade_off import trade_off_chart  # noqa: PLC0415 - heavy
    from planner.reports.trade_off import trade_csv  # noqa: PLC0415 - heavy

    try:
        if out.suffix == ".html":
            trade_off_chart(found.points, clock).write_html(out, include_plotlyjs=True)
        else:
            out.write_text(trade_csv(found.points, clock), encoding="utf-8")
    except OSError as failure:
        msg = f"{out} cannot be written: {failure.strerror or failure}; give --out another."
        raise RefusedError(msg) from failure
