"""Arguments of ``ebbwork tide``."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

_TIDES = {
    "fit": "find the constituents of a gauge's record; constituents.csv on standard output",
    "residual": "keep what a gauge saw beside the prediction as a small file",
    "allowance": "list what an allowance buys, and suggest one",
    "check": "hold the prediction against a table of high and low waters",
    "extremes": "list lowest and highest tide of 19 years",
}


def tide_arguments(command: argparse.ArgumentParser) -> None:
    """Add what each of the tide commands takes."""
    rooms = command.add_subparsers(
        dest="tide_command", metavar="WHAT", title="what", required=True
    )
    made = {
        name: rooms.add_parser(
            name, help=text, description=f"{text[0].upper()}{text[1:]}.", allow_abbrev=False
        )
        for name, text in _TIDES.items()
    }
    for name in ("residual", "allowance", "check", "extremes"):
        made[name].add_argument(
            "scenario", metavar="SCENARIO", type=Path, help="scenario folder or .xlsx workbook"
        )
    levels = "observed levels: CSV with time and level_m, above the zero of the source"
    for name in ("fit", "residual", "allowance"):
        made[name].add_argument("levels", metavar="LEVELS", type=Path, help=levels)
    made["check"].add_argument(
        "table", metavar="TABLE", type=Path, help="CSV with time, level_m and kind (high, low)"
    )
    made["check"].add_argument(
        "--turned",
        metavar="FILE",
        type=Path,
        help="where the phases are for another time base: write the constituents turned for UTC",
    )
    for name in ("fit", "residual"):
        made[name].add_argument(
            "--residual", metavar="FILE", type=Path, help="write the residual model to this file"
        )
    _fit_arguments(made["fit"])
    made["allowance"].add_argument(
        "--reliability",
        metavar="R",
        type=_share,
        default=0.95,
        help="share of the windows that shall hold (default 0.95)",
    )
    made["allowance"].add_argument(
        "--by-month",
        action="store_true",
        help="list instead, month by month, the share of windows lost with the scenario's"
        " allowance, as weather_allowance.csv",
    )
    made["extremes"].add_argument(
        "--from",
        dest="first_year",
        metavar="YEAR",
        type=_year,
        help="first of the 19 years (default: the campaign's)",
    )


def _fit_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--time-zone",
        metavar="ZONE",
        type=_zone,
        default="UTC",
        help="IANA zone of times without an offset (default UTC)",
    )
    command.add_argument(
        "--utide",
        metavar="LATITUDE",
        type=_latitude,
        help="let the UTide library find the waves, for a gauge at this latitude in degrees",
    )


def _number(text: str, *, least: float, most: float, what: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not least <= value <= most:
        msg = f"{text!r} is no {what}; write a number from {least:g} to {most:g}"
        raise argparse.ArgumentTypeError(msg)
    return value


def _share(text: str) -> float:
    return _number(text, least=0.0, most=1.0, what="share (write 95 % as 0.95)")


def _latitude(text: str) -> float:
    return _number(text, least=-90.0, most=90.0, what="latitude")


def _year(text: str) -> int:
    return int(_number(text, least=1900, most=2180, what="year"))


def _zone(text: str) -> str:
    try:
        ZoneInfo(text)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        msg = f"{text!r} is no time zone; write an IANA name, for example Europe/London"
        raise argparse.ArgumentTypeError(msg) from None
    return text
