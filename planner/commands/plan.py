"""``ebbwork plan``: read, plan, check, write, and say what came of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from planner import __version__
from planner.checks.report import line
from planner.commands.codes import Exit
from planner.commands.console import ProgressLine, RefusedError, say, say_problems
from planner.commands.interrupts import Interrupts, in_background
from planner.commands.targets import as_typed, plan_target
from planner.commands.words import SAFETY, cautions
from planner.model.identifiers import Goal
from planner.plan.store import is_plan_folder

if TYPE_CHECKING:
    from planner.workflow.loading import Loaded
    from planner.workflow.planning import Planned

EXPLAIN_SHARE = 0.25
"""Share of the time that ``--explain`` takes from the search [1]."""
START_S = 0.4
"""The interpreter's start, before a command can look at a clock [s]; 0.1 to 0.3 measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What a user asks of ``plan``; ``seconds`` bounds the whole command [s].

    ``explain``: what binds the plan is shown as well.
    """

    scenario: Path
    out: Path | None
    seconds: float
    workers: int
    seed: int
    effort: float
    goals: tuple[Goal, ...] | None = None
    explain: bool = False


class NoPlanError(Exception):
    """There is nothing to write; the message says why and what to do."""


def run_plan(
    order: Order, *, interrupts: Interrupts, started_s: float, clock: Callable[[], float]
) -> Exit:
    """Plan a scenario and write the plan folder.

    Parameters
    ----------
    order
        What is asked.
    interrupts
        Where signals arrive.
    started_s, clock
        When the command began, and the clock that said so [s].
    """
    target = plan_target(order.scenario, order.out)
    loaded = _load(order)
    left_s = order.seconds - START_S - (clock() - started_s)
    with interrupts.kept():
        try:
            planned = _search(order, loaded, interrupts=interrupts, left_s=left_s)
        except NoPlanError as nothing:
            say(str(nothing))
            return Exit.INTERRUPTED if interrupts.asked else Exit.NO_PLAN
        if planned.violations:
            return _tell_fault(order, loaded, planned, target)
        done = _keep(loaded, planned, target, interrupts=interrupts)
        if order.explain and not interrupts.asked:
            left_s = order.seconds - START_S - (clock() - started_s)
            _explain(loaded, planned, interrupts=interrupts, left_s=left_s)
        return done


def _explain(loaded: Loaded, planned: Planned, *, interrupts: Interrupts, left_s: float) -> None:
    from planner.commands.explain import proven_finish_h, show_both  # noqa: PLC0415 - heavy

    show_both(
        loaded.campaign,
        planned.plan,
        seconds=left_s,
        proven_h=proven_finish_h(planned.proof.bound),
        interrupts=interrupts,
    )


def _load(order: Order) -> Loaded:
    from planner.workflow.loading import load_scenario, with_goals  # noqa: PLC0415 - heavy

    loaded = load_scenario(order.scenario)
    say_problems(loaded.warnings)
    return loaded if order.goals is None else with_goals(loaded, order.goals)


def _search(order: Order, loaded: Loaded, *, interrupts: Interrupts, left_s: float) -> Planned:
    from planner.optimise.engine import NoPlanInTimeError, Settings  # noqa: PLC0415 - heavy
    from planner.workflow.planning import closing_s, plan_scenario  # noqa: PLC0415 - heavy

    kept_s = EXPLAIN_SHARE * max(0.0, left_s) if order.explain else 0.0
    seconds = left_s - closing_s(loaded.campaign) - kept_s
    if seconds <= 0:
        msg = (
            f"No plan: the {order.seconds:g} seconds are needed for reading and writing alone. "
            "Nothing was written; give --seconds more."
        )
        raise NoPlanError(msg)
    settings = Settings(
        seed=order.seed,
        workers=order.workers,
        effort=order.effort,
        seconds=seconds,
        stop=interrupts.stop,
    )
    shown = ProgressLine()
    try:
        return in_background(lambda: plan_scenario(loaded, settings, shown), interrupts)
    except NoPlanInTimeError as failure:
        cause = "the interrupt came" if interrupts.asked else f"{order.seconds:g} seconds were up"
        msg = f"No plan was found before {cause}. Nothing was written."
        if not interrupts.asked:
            msg += " Give --seconds more."
        raise NoPlanError(msg) from failure
    finally:
        shown.clear()


def _keep(loaded: Loaded, planned: Planned, target: Path, *, interrupts: Interrupts) -> Exit:
    from planner.commands.summary import summary_lines  # noqa: PLC0415 - heavy
    from planner.workflow.planning import write_result  # noqa: PLC0415 - heavy

    try:
        write_result(loaded, planned, target, version=__version__)
    except OSError as failure:
        msg = f"{target} cannot be written: {failure.strerror or failure}; give --out another."
        raise RefusedError(msg) from failure
    for text in summary_lines(loaded, planned):
        say(text)
    say(f"Written to {as_typed(target)}")
    for caution in (*cautions(loaded.campaign.water.kind), SAFETY):
        say(caution)
    if interrupts.asked:
        say("Interrupted: this is the best plan that was found until then.")
        return Exit.INTERRUPTED
    return Exit.PARTLY if planned.plan.unplanned else Exit.DONE


def _tell_fault(order: Order, loaded: Loaded, planned: Planned, target: Path) -> Exit:
    """Keep a plan that breaks rules apart, where nobody takes it for a plan to work to."""
    from planner.workflow.planning import write_faulty  # noqa: PLC0415 - heavy

    say("This is a fault of the planner, not of your input: its plan breaks rules.")
    for violation in planned.violations:
        say(f"  {line(violation)}")
    apart = target.with_name(f"{target.name}.faulty")
    if not apart.exists() or is_plan_folder(apart):
        write_faulty(loaded, planned, apart, version=__version__)
        say(f"Do not work to it. It lies in {apart} for a report; {target} was not touched.")
    say(f"Please report it with the scenario, seed {order.seed} and version {__version__}.")
    return Exit.FAULT
