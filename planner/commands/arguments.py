"""The commands, their arguments and the help that explains them."""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from planner.commands.compare import EFFORT as COMPARE_EFFORT
from planner.commands.compare import compare_arguments
from planner.commands.console import RefusedError
from planner.commands.equipment import equipment_arguments
from planner.commands.estimate import estimate_arguments
from planner.commands.explain import explain_arguments
from planner.commands.listing_arguments import import_arguments, windows_arguments
from planner.commands.quantities import quantities_arguments
from planner.commands.replan import SECONDS as REPLAN_SECONDS
from planner.commands.replan import replan_arguments
from planner.commands.risk import risk_arguments
from planner.commands.site_arguments import (
    history_arguments,
    lookahead_arguments,
    progress_arguments,
    sheets_arguments,
)
from planner.commands.tests import tests_arguments
from planner.commands.tide_arguments import tide_arguments
from planner.commands.tradeoff import tradeoff_arguments
from planner.commands.why import why_arguments
from planner.model.identifiers import Goal
from planner.scenario.suggest import did_you_mean
from planner.workflow.demos import demos

SECONDS = 60.0
DEMO_SECONDS = 30.0
WORKERS = 2
EFFORT = 40.0
SEED_MAX = 2**31 - 1  # the solver keeps its seed in 32 bits
WORKERS_MAX = 256
SEEDS_MAX = 1000

_EPILOGUE = """\
exit codes: 0 done, all planned or no problem found; 1 done, but zones unplanned or rules broken;
2 input refused; 3 no plan in the time given; 70 fault of the planner; 130 interrupted.
Data goes to standard output as CSV, progress and messages go to standard error.
A plan is a proposal: tide tables, permits, the structure's engineer and local codes decide."""

_COMMANDS = {
    "plan": "make a plan and write its folder",
    "replan": "plan again from now: keep issued shifts, change as little as can be",
    "check": "look for problems in a scenario, or for broken rules in a plan",
    "windows": "list the access windows of each zone as CSV",
    "import-bookings": "turn the bookings of a calendar file into closures of a scenario",
    "reach": "list which rig reaches which zone from where, as CSV",
    "quantities": "list material by zone, mix, week or run: bags, loads, water, rebound, hoses",
    "equipment": "list machines, hoses, air and water of each rig at each position",
    "tests": "list the quality plan: tests with due dates, results, stops; or a work chain",
    "tide": "fit a gauge's record, check constants, suggest an allowance",
    "why": "say what set a spell, what fills a rig's gaps, why a zone is left out",
    "explain": "say what binds a plan, and what one more rig, crew or position could bring",
    "tradeoff": "find what relocations buy: the best finish and cost for each number of them",
    "compare": "plan several stagings of one job and lay them side by side",
    "estimate": "price a plan line by line, as a bill",
    "risk": "live a plan many times: odds of dates and cost, what drives them, what to allow",
    "progress": "write down what was done on site, and see what it says of the rest",
    "history": "keep plans as they were issued, and compare them",
    "lookahead": "list the weeks ahead, what must be ready, and the months beyond",
    "sheets": "print a plan: shift sheets, weeks, calendars, workbook, report",
    "app": "open the planner's pages in a browser, for this machine only",
    "demo": "copy an invented demo scenario here and plan it",
    "test": "run the project's own tests (in a clone: python3 -m planner test)",
}


_WITH_SCENARIO = (
    "quantities",
    "plan",
    "replan",
    "check",
    "windows",
    "import-bookings",
    "reach",
    "tests",
    "why",
    "explain",
    "tradeoff",
    "estimate",
    "risk",
    "compare",
    "progress",
    "history",
    "lookahead",
    "sheets",
)


class Parser(argparse.ArgumentParser):
    """A parser whose refusals are one line, in the words of the house."""

    def error(self, message: str) -> NoReturn:
        """Refuse the arguments."""
        msg = f"{self.prog}: {message} (see {self.prog} --help)"
        raise RefusedError(msg)


def parser(*, program: str, version: str) -> Parser:
    """Return the parser of the whole command line."""
    top = Parser(
        prog=program,
        description="Plan stop-start sprayed-concrete repair between tides and low flows.",
        epilog=_EPILOGUE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    top.add_argument("--version", action="version", version=f"ebbwork {version}")
    rooms = top.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    made = {
        name: rooms.add_parser(
            name, help=text, description=f"{text[0].upper()}{text[1:]}.", allow_abbrev=False
        )
        for name, text in _COMMANDS.items()
    }
    for name in _WITH_SCENARIO:
        made[name].add_argument(
            "scenario", metavar="SCENARIO", type=Path, help="scenario folder or .xlsx workbook"
        )
    _plan_arguments(made["plan"])
    replan_arguments(made["replan"])
    _search_arguments(made["replan"], seconds=REPLAN_SECONDS)
    made["check"].add_argument(
        "plan", metavar="PLAN", nargs="?", type=Path, help="plan folder to check as well"
    )
    windows_arguments(made["windows"])
    import_arguments(made["import-bookings"])
    equipment_arguments(made["equipment"])
    estimate_arguments(made["estimate"])
    risk_arguments(made["risk"], seed=_seed, workers=_workers)
    compare_arguments(made["compare"])
    _sweep_arguments(made["compare"])
    why_arguments(made["why"])
    explain_arguments(made["explain"], seconds=_seconds)
    tradeoff_arguments(made["tradeoff"], seconds=_seconds, effort=_effort, whole=(_workers, _seed))
    quantities_arguments(made["quantities"])
    made["app"].add_argument(
        "--port", type=_port, default=8501, help="port on this machine (default %(default)s)"
    )
    progress_arguments(made["progress"])
    history_arguments(made["history"])
    lookahead_arguments(made["lookahead"])
    sheets_arguments(made["sheets"])
    tests_arguments(made["tests"])
    tide_arguments(made["tide"])
    _demo_arguments(made["demo"])
    return top


def _plan_arguments(command: Parser) -> None:
    command.add_argument(
        "--out",
        metavar="PLAN",
        type=Path,
        help="plan folder to write (default: SCENARIO/plan; NAME-plan beside a workbook)",
    )
    _search_arguments(command)
    command.add_argument(
        "--goal",
        metavar="a,b,c",
        type=goals,
        help=f"goals in order, out of {', '.join(Goal)} (default: the scenario's)",
    )
    command.add_argument(
        "--explain",
        action="store_true",
        help="show what binds the plan and what one more rig, crew or position could bring",
    )


def _demo_arguments(command: Parser) -> None:
    command.add_argument(
        "name",
        metavar="NAME",
        nargs="?",
        help=f"one of {', '.join(demos())} (default: the one with the fewest zones)",
    )
    command.add_argument(
        "--out", metavar="FOLDER", type=Path, help="folder to copy it to (default: demo-NAME)"
    )
    _search_arguments(command, seconds=DEMO_SECONDS)


def _sweep_arguments(command: Parser) -> None:
    command.add_argument(
        "--seeds",
        metavar="N",
        type=_seeds,
        default=1,
        help="plan each with seeds 1 to N and keep the best (default 1)",
    )
    command.add_argument(
        "--effort",
        metavar="N",
        type=_effort,
        default=COMPARE_EFFORT,
        help=f"how long to search for each plan, as for plan (default {COMPARE_EFFORT:g})",
    )
    command.add_argument(
        "--seconds",
        metavar="S",
        type=_seconds,
        help="time for each plan; where it ends a search, the plan is marked (default: no limit)",
    )
    command.add_argument(
        "--workers",
        metavar="N",
        type=_workers,
        help="plans at once (default: one for each core); each is searched in one thread",
    )
    command.add_argument(
        "--goal",
        metavar="a,b,c",
        type=goals,
        help="goals in order, the same for all (default: the scenario's)",
    )


def _search_arguments(command: Parser, *, seconds: float = SECONDS) -> None:
    command.add_argument(
        "--seconds",
        metavar="S",
        type=_seconds,
        default=seconds,
        help=f"time for the whole command, reading and writing included (default {seconds:g})",
    )
    command.add_argument(
        "--workers",
        metavar="N",
        type=_workers,
        default=WORKERS,
        help=f"threads of the search (default {WORKERS})",
    )
    command.add_argument(
        "--effort",
        metavar="N",
        type=_effort,
        default=EFFORT,
        help=f"how long to search, in units of about a second (default {EFFORT:g}); the same "
        "input, seed, workers and effort give the same plan",
    )
    command.add_argument(
        "--seed", metavar="N", type=_seed, default=1, help="seed of the search (default 1)"
    )


def parsed(top: Parser, argv: Sequence[str]) -> argparse.Namespace:
    """Return the arguments, or refuse the first that no command knows.

    Raises
    ------
    RefusedError
        If an argument is missing, unknown or does not fit.
    """
    arguments, unknown = top.parse_known_args(argv)
    if arguments.command is None and not unknown:
        unknown = list(argv)
    if unknown:
        word = unknown[0]
        options = [name for name in vars(arguments) if name not in {"command", "scenario", "name"}]
        close = did_you_mean(word, [f"--{name}" for name in options])
        known = f"{top.prog} {arguments.command or ''}".strip()
        msg = f"{known}: there is no argument {word!r}{close} (see {known} --help)"
        raise RefusedError(msg)
    return arguments


def command_names() -> tuple[str, ...]:
    """Return the names of the commands."""
    return tuple(_COMMANDS)


def goals(text: str) -> tuple[Goal, ...]:
    """Return the goals of a comma-separated list.

    Raises
    ------
    argparse.ArgumentTypeError
        If one is unknown, stands twice, or there is none.
    """
    words = [word.strip() for word in text.split(",") if word.strip()]
    if not words:
        msg = f"it names no goal; write some of {', '.join(Goal)}"
        raise argparse.ArgumentTypeError(msg)
    for word in words:
        if word not in set(Goal):
            known = f"the goals are {', '.join(Goal)}{did_you_mean(word, Goal)}"
            msg = f"there is no goal {word!r}; {known}"
            raise argparse.ArgumentTypeError(msg)
        if words.count(word) > 1:
            msg = f"the goal {word} stands twice; name each once"
            raise argparse.ArgumentTypeError(msg)
    return tuple(Goal(word) for word in words)


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0 < value < math.inf:
        msg = f"{text!r} is no time; write seconds above 0, for example 60"
        raise argparse.ArgumentTypeError(msg)
    return value


def _whole(text: str, *, least: int, most: int, example: int) -> int:
    value = int(text) if text.isascii() and text.isdecimal() and len(text) <= 10 else None
    if value is None or not least <= value <= most:
        msg = f"{text!r} is no whole number from {least} to {most}; write for example {example}"
        raise argparse.ArgumentTypeError(msg)
    return value


def _effort(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0 < value < math.inf:
        msg = f"{text!r} is no effort; write a number above 0, for example {EFFORT:g}"
        raise argparse.ArgumentTypeError(msg)
    return value


def _workers(text: str) -> int:
    return _whole(text, least=1, most=WORKERS_MAX, example=2)


def _seed(text: str) -> int:
    return _whole(text, least=0, most=SEED_MAX, example=1)


def _seeds(text: str) -> int:
    return _whole(text, least=1, most=SEEDS_MAX, example=3)


def _port(text: str) -> int:
    return _whole(text, least=1024, most=65535, example=8501)
