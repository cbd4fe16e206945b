"""The command line: ``ebbwork COMMAND``, or ``python3 -m planner COMMAND`` in a clone."""

from __future__ import annotations

import io
import os
import sys
import threading
import time
from argparse import Namespace
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType

from planner import __version__
from planner.commands.arguments import command_names, parsed, parser
from planner.commands.codes import Exit
from planner.commands.console import RefusedError, say, say_problems
from planner.commands.interrupts import SEARCH_THREAD, Interrupts, listening
from planner.core.problems import InputRefusedError
from planner.scenario.suggest import did_you_mean

SEARCHES = (SEARCH_THREAD, "sweep")
"""How the names of threads begin that may be deep in a search."""
SHOW_TRACEBACK = "EBBWORK_TRACEBACK"
"""Set in the environment: a developer wants the traceback of a fault as well."""

Command = Callable[[Namespace, Interrupts, float], int]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code.

    Parameters
    ----------
    argv
        Arguments after the program's name; None: those of this process, whose faults are then
        told in one line too.
    """
    started_s = time.monotonic()
    if argv is None:
        argv = sys.argv[1:]
        _prepare_process()
    with listening() as interrupts:
        try:
            return _run(argv, interrupts=interrupts, started_s=started_s)
        except RefusedError as refused:
            say(str(refused))
        except InputRefusedError as refused:
            say_problems(refused.problems)
        except OSError as failure:
            say(_path_line(failure))
        except KeyboardInterrupt:
            return _ended_at_once()
    return Exit.REFUSED


def program() -> str:
    """Return the words that start this program, as the user typed them."""
    typed = Path(sys.argv[0]).name
    return "ebbwork" if typed.startswith("ebbwork") else "python3 -m planner"


def _run(argv: Sequence[str], *, interrupts: Interrupts, started_s: float) -> int:
    top = parser(program=program(), version=__version__)
    if not argv:
        top.print_help()
        return Exit.DONE
    name = argv[0]
    if not name.startswith("-") and name not in _COMMANDS:
        known = ", ".join(command_names()) + did_you_mean(name, command_names())
        msg = f"There is no command {name!r}; the commands are {known}"
        raise RefusedError(msg)
    if name == "test":
        return _test(argv[1:])
    try:
        arguments = parsed(top, argv)
    except SystemExit as done:  # help or version was asked for, and printed
        return done.code if isinstance(done.code, int) else Exit.DONE
    return _COMMANDS[arguments.command](arguments, interrupts, started_s)


def _plan(arguments: Namespace, interrupts: Interrupts, started_s: float) -> int:
    from planner.commands.plan import Order, run_plan  # noqa: PLC0415 - only where it is wanted

    order = Order(
        scenario=arguments.scenario,
        out=arguments.out,
        seconds=arguments.seconds,
        workers=arguments.workers,
        seed=arguments.seed,
        effort=arguments.effort,
        goals=arguments.goal,
        explain=arguments.explain,
    )
    return run_plan(order, interrupts=interrupts, started_s=started_s, clock=time.monotonic)


def _replan(arguments: Namespace, interrupts: Interrupts, started_s: float) -> int:
    from planner.commands.replan import run_replan  # noqa: PLC0415 - only where it is wanted

    return run_replan(arguments, interrupts=interrupts, started_s=started_s, clock=time.monotonic)


def _check(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.check import run_check  # noqa: PLC0415 - only where it is wanted

    return run_check(arguments.scenario, arguments.plan)


def _windows(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.windows import run_windows  # noqa: PLC0415 - only where it is wanted

    return run_windows(arguments.scenario, arguments.zone, view=arguments.view, ics=arguments.ics)


def _import_bookings(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.bookings import BookingOrder, run_import  # noqa: PLC0415 - seldom wanted

    order = BookingOrder(
        scenario=arguments.scenario,
        calendar=arguments.calendar,
        scope=arguments.scope,
        name=arguments.id,
        kind=arguments.kind,
        anew=arguments.anew,
    )
    return run_import(order)


def _reach(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.listings import run_reach  # noqa: PLC0415 - only where it is wanted

    return run_reach(arguments.scenario)


def _equipment(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.equipment import run_equipment  # noqa: PLC0415 - only where wanted

    return run_equipment(arguments)


def _tests(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.tests import run_tests  # noqa: PLC0415 - only where it is wanted

    return run_tests(arguments)


def _risk(arguments: Namespace, interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.risk import RiskOrder, run_risk  # noqa: PLC0415 - only where wanted

    order = RiskOrder(
        scenario=arguments.scenario,
        plan=arguments.plan,
        runs=arguments.runs,
        seed=arguments.seed,
        rule=arguments.rule,
        confidence=arguments.confidence,
        workers=arguments.workers,
        inputs=arguments.inputs,
        out=arguments.out,
        table=arguments.table,
    )
    return run_risk(order, interrupts=interrupts)


def _estimate(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.estimate import run_estimate  # noqa: PLC0415 - only where it is wanted

    return run_estimate(arguments.scenario, arguments.plan, xlsx=arguments.xlsx, pdf=arguments.pdf)


def _compare(arguments: Namespace, interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.compare import run_compare  # noqa: PLC0415 - only where it is wanted

    return run_compare(arguments, interrupts)


def _explain(arguments: Namespace, interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.explain import ExplainOrder, run_explain  # noqa: PLC0415 - heavy

    order = ExplainOrder(
        scenario=arguments.scenario,
        plan=arguments.plan,
        one_more=arguments.one_more,
        seconds=arguments.seconds,
        table=arguments.table,
    )
    return run_explain(order, interrupts=interrupts)


def _tradeoff(arguments: Namespace, interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.tradeoff import TradeOrder, run_tradeoff  # noqa: PLC0415 - heavy

    order = TradeOrder(
        scenario=arguments.scenario,
        seconds=arguments.seconds,
        effort=arguments.effort,
        workers=arguments.workers,
        seed=arguments.seed,
        out=arguments.out,
        table=arguments.table,
    )
    return run_tradeoff(order, interrupts=interrupts)


def _tide(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.tide import run_tide  # noqa: PLC0415 - only where it is wanted

    return run_tide(arguments)


def _progress(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.progress import run_progress  # noqa: PLC0415 - only where wanted

    return run_progress(arguments)


def _history(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.history import run_history  # noqa: PLC0415 - only where it is wanted

    return run_history(arguments)


def _lookahead(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.lookahead import run_lookahead  # noqa: PLC0415 - only where wanted

    return run_lookahead(arguments)


def _sheets(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.sheets import run_sheets  # noqa: PLC0415 - only where it is wanted

    return run_sheets(arguments)


def _why(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.why import run_why  # noqa: PLC0415 - only where it is wanted

    return run_why(
        arguments.scenario,
        arguments.plan,
        zone=arguments.zone,
        run=arguments.run,
        gap=arguments.gap,
    )


def _quantities(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.quantities import run_quantities  # noqa: PLC0415 - only where wanted

    return run_quantities(arguments)


def _app(arguments: Namespace, _interrupts: Interrupts, _started_s: float) -> int:
    from planner.commands.app import run_app  # noqa: PLC0415 - only where it is wanted

    run_app(arguments.port)


def _demo(arguments: Namespace, interrupts: Interrupts, started_s: float) -> int:
    from planner.commands.demo import DemoOrder, run_demo  # noqa: PLC0415 - only where wanted

    order = DemoOrder(
        name=arguments.name,
        out=arguments.out,
        seconds=arguments.seconds,
        workers=arguments.workers,
        seed=arguments.seed,
        effort=arguments.effort,
        program=program(),
    )
    return run_demo(order, interrupts=interrupts, started_s=started_s, clock=time.monotonic)


def _test(arguments: Sequence[str]) -> int:
    from planner.start.clone import SetUpError  # noqa: PLC0415 - only where it is wanted
    from planner.start.hand_over import prepare, run_tests  # noqa: PLC0415 - only where wanted

    try:
        prepare(["test", *arguments], extras=("test",))
        return run_tests(arguments)
    except SetUpError as failure:
        raise RefusedError(str(failure)) from failure


_COMMANDS: Mapping[str, Command] = {
    "plan": _plan,
    "replan": _replan,
    "check": _check,
    "windows": _windows,
    "import-bookings": _import_bookings,
    "reach": _reach,
    "equipment": _equipment,
    "tests": _tests,
    "tide": _tide,
    "why": _why,
    "explain": _explain,
    "tradeoff": _tradeoff,
    "quantities": _quantities,
    "compare": _compare,
    "estimate": _estimate,
    "risk": _risk,
    "progress": _progress,
    "history": _history,
    "lookahead": _lookahead,
    "sheets": _sheets,
    "app": _app,
    "demo": _demo,
    "test": lambda arguments, _interrupts, _started_s: _test(arguments.rest),
}


def _prepare_process() -> None:
    """Tables leave in UTF-8 whatever the terminal is set to; a fault is told in one line."""
    sys.excepthook = tell_fault
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")


def tell_fault(
    kind: type[BaseException], fault: BaseException, trace: TracebackType | None
) -> None:
    """Tell a fault of the planner in one line, and end with the code that means just that.

    The interpreter's own way would be a traceback and exit code 1, which means another thing.
    """
    if os.environ.get(SHOW_TRACEBACK):
        sys.__excepthook__(kind, fault, trace)
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    where = ""
    if trace is not None:
        where = f" at {Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno}"
    text = " ".join(str(fault).split())
    say(
        f"This is a fault of the planner, not of your input: {kind.__name__}: {text}{where}. "
        f"Please report it with the scenario and version {__version__}."
    )
    os._exit(Exit.FAULT)


def _path_line(failure: OSError) -> str:
    reason = failure.strerror or str(failure)
    return f"{failure.filename}: {reason}" if failure.filename else reason


def _ended_at_once() -> int:
    """End without a plan; a search that still runs is in the way of an orderly end."""
    say("Interrupted; nothing was written.")
    if any(thread.name.startswith(SEARCHES) for thread in threading.enumerate()):
        os._exit(Exit.INTERRUPTED)
    return Exit.INTERRUPTED
