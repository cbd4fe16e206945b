"""``ebbwork demo``: a first plan within a minute, from an invented scenario."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say
from planner.commands.interrupts import Interrupts
from planner.commands.plan import Order, run_plan
from planner.scenario.suggest import did_you_mean
from planner.workflow.demos import FolderInUseError, copy_demo, demos, first_demo


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoOrder:
    """What a user asks of ``demo``; name None: the first one."""

    name: str | None
    out: Path | None
    seconds: float
    workers: int
    seed: int
    effort: float
    program: str


def run_demo(
    order: DemoOrder, *, interrupts: Interrupts, started_s: float, clock: Callable[[], float]
) -> Exit:
    """Copy a demo scenario, plan it, and say what to do next."""
    name = _name(order.name)
    target = order.out if order.out is not None else Path(f"demo-{name}")
    _copy(name, target)
    say(f"Planning it, for at most {order.seconds:g} seconds: {order.program} plan {target}")
    code = run_plan(
        Order(
            scenario=target,
            out=None,
            seconds=order.seconds,
            workers=order.workers,
            seed=order.seed,
            effort=order.effort,
        ),
        interrupts=interrupts,
        started_s=started_s,
        clock=clock,
    )
    if code in (Exit.DONE, Exit.PARTLY):
        _tell_next(order.program, target)
    return code


def _name(wanted: str | None) -> str:
    """Return the demo that is meant; the beginning of its name is enough where it is clear."""
    known = tuple(demos())
    if not known:
        msg = "This copy of Ebbwork came without its demo scenarios; start from a clone."
        raise RefusedError(msg)
    if wanted is None:
        return first_demo()
    meant = [name for name in known if name == wanted]
    meant = meant or [name for name in known if wanted and name.startswith(wanted)]
    if len(meant) != 1:
        listed = f"{', '.join(known)}{did_you_mean(wanted, known)}"
        msg = f"There is no demo {wanted!r}; the demos are {listed}"
        raise RefusedError(msg)
    return meant[0]


def _copy(name: str, target: Path) -> None:
    try:
        copied = copy_demo(name, target)
    except FolderInUseError as failure:
        msg = f"{target} holds other things and is left alone; give --out another folder."
        raise RefusedError(msg) from failure
    if copied:
        say(f"Copied the invented demo {name!r} to {target}.")
    else:
        say(f"{target} is there already and is used as it stands.")


def _tell_next(program: str, folder: Path) -> None:
    shown = shlex.quote(str(folder))
    plan = shlex.quote(str(folder / "plan"))
    say("")
    say("What to do next:")
    say(f"  look at it in a browser:     {program} app")
    say(f"  check the plan once more:    {program} check {shown} {plan}")
    say(f"  list the access windows:     {program} windows {shown}")
    say(f"  change a table in {shown}, for example zones.csv, and plan again:")
    say(f"                               {program} plan {shown}")
