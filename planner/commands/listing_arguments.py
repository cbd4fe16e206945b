"""The arguments of ``ebbwork windows`` and ``ebbwork import-bookings``."""

from __future__ import annotations

import argparse
from pathlib import Path

from planner.model.limits import ClosureKind, ClosureScope

VIEWS = {
    "why": "list instead what took each stretch outside the windows",
    "totals": "list instead what each sort of cause took, month by month",
    "weeks": "list instead the weeks ahead, the best first",
    "longest": "list instead the longest window of each zone against its longest layer",
}
"""The other tables of ``windows``, each with what it lists."""


def windows_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``windows``."""
    command.add_argument("--zone", metavar="Z", help="only the windows of this zone")
    views = command.add_mutually_exclusive_group()
    for name, text in VIEWS.items():
        views.add_argument(
            f"--{name}", dest="view", action="store_const", const=name, default=None, help=text
        )
    command.add_argument(
        "--ics", metavar="FILE", type=Path, help="write the windows to a calendar file as well"
    )


def import_arguments(command: argparse.ArgumentParser) -> None:
    """Add the arguments of ``import-bookings``, the scenario aside."""
    command.add_argument(
        "calendar", metavar="FILE.ics", type=Path, help="calendar file with the bookings"
    )
    command.add_argument(
        "--scope",
        choices=[scope.value for scope in ClosureScope],
        default=ClosureScope.POSITION.value,
        help="what the bookings close (default %(default)s)",
    )
    command.add_argument("--id", default="", metavar="ID", help="which one; none for the site")
    command.add_argument(
        "--kind",
        choices=[kind.value for kind in ClosureKind],
        default=ClosureKind.BERTH.value,
        help="sort of reason, for totals (default %(default)s)",
    )
    command.add_argument(
        "--anew",
        action="store_true",
        help="first remove the rows of the same scope, id and kind, so that bookings that were"
        " given up go",
    )
