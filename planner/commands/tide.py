"""``ebbwork tide``: constituents, residual and allowance out of a gauge's record."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from planner.access.allowance import Bought, suggested
from planner.access.by_utide import NotInstalledError
from planner.access.residual import Residual
from planner.access.tide_check import Comparison, remarks, time_base_h, turned
from planner.commands.codes import Exit
from planner.commands.console import RefusedError, number, say, say_problems, write_rows
from planner.commands.words import count

if TYPE_CHECKING:
    from planner.model.campaign import Campaign
    from planner.workflow.tides import Allowances, Fitted

CAUTION = (
    "Hold any of this against a levelled tide board on site before the first shift; a prediction"
    " is not the level of the day."
)
_YEAR_DAYS = 360.0
_LEAST_AMPLITUDE_M = 0.0005  # less is noise


def run_tide(arguments: Namespace) -> Exit:
    """Run one of the tide commands."""
    try:
        return _COMMANDS[arguments.tide_command](arguments)
    except NotInstalledError as missing:
        raise RefusedError(str(missing)) from missing


def _fit(arguments: Namespace) -> Exit:
    from planner.workflow.tides import fit_levels  # noqa: PLC0415 - heavy

    fitted = fit_levels(
        arguments.levels, time_zone=arguments.time_zone, latitude_deg=arguments.utide
    )
    say_problems(fitted.problems)
    for line in fit_lines(fitted, arguments.time_zone):
        say(line)
    write_rows(
        ("name", "amplitude_m", "phase_deg"),
        (
            (wave.name, round(wave.amplitude_m, 4), round(wave.phase_deg, 2))
            for wave in fitted.constituents
            if wave.amplitude_m >= _LEAST_AMPLITUDE_M
        ),
    )
    _keep(fitted.residual, arguments.residual)
    return Exit.DONE


def fit_lines(fitted: Fitted, time_zone: str) -> list[str]:
    """Return what is to be said about an analysis."""
    fit = fitted.fit
    read = (
        f"{fitted.levels} levels over {fitted.days:.1f} days; times without an offset are read"
        f" as {time_zone}, phases are for UTC."
    )
    lines = [read, f"water.mean_level_m = {fit.mean_m:.3f} (above the zero of the record)"]
    if fit.inferred:
        lines.append(
            f"{', '.join(fit.inferred)}: the record is too short to tell them from a larger"
            " neighbour; taken in its ratio of the equilibrium tide."
        )
    if fit.left_out:
        lines.append(f"Too short a record for {', '.join(fit.left_out)}; left out.")
    if fitted.days < _YEAR_DAYS:
        lines.append(
            "A year of levels is needed for the yearly tide (SA, SSA) and the mean level; until"
            " then both can be off by decimetres, and windows by tens of minutes."
        )
    if fitted.residual is not None:
        lines += residual_lines(fitted.residual)
    return [*lines, CAUTION]


def residual_lines(residual: Residual) -> list[str]:
    """Return what is to be said about a residual."""
    lasting = ", ".join(
        f"{share:.2f} after {lag} h"
        for lag, share in zip((1, 6, 12, 24, 72), _picked(residual), strict=True)
    )
    spread = (
        f"Residual (observed less predicted): standard deviation {residual.spread_m:.3f} m, mean"
        f" {residual.mean_m:+.3f} m; 5 to 95 %: {_range(residual, 0)} in October to March,"
        f" {_range(residual, 1)} in April to September."
    )
    return [spread, f"It lasts: correlation {lasting}."]


def _picked(residual: Residual) -> list[float]:
    from planner.access.residual import LAGS_H  # noqa: PLC0415 - beside its use

    return [residual.persistence[LAGS_H.index(lag)] for lag in (1, 6, 12, 24, 72)]


def _range(residual: Residual, half: int) -> str:
    from planner.access.residual import PROBABILITIES  # noqa: PLC0415 - beside its use

    row = residual.quantiles_m[half]
    low, high = row[PROBABILITIES.index(0.05)], row[PROBABILITIES.index(0.95)]
    return f"{low:+.2f} to {high:+.2f} m"


def _keep(residual: Residual | None, path: Path | None) -> None:
    if path is None:
        return
    if residual is None:
        msg = f"{path}: not written; a residual needs two weeks of hourly levels"
        raise RefusedError(msg)
    from planner.workflow.residual_file import write_residual  # noqa: PLC0415 - only here

    write_residual(path, residual)
    say(f"The residual model is in {path}.")


def _residual(arguments: Namespace) -> Exit:
    from planner.workflow.tides import fit_scenario_residual  # noqa: PLC0415 - heavy

    residual, problems = fit_scenario_residual(_campaign(arguments.scenario), arguments.levels)
    say_problems(problems)
    for line in residual_lines(residual):
        say(line)
    _keep(residual, arguments.residual)
    return Exit.DONE


def _allowance(arguments: Namespace) -> Exit:
    from planner.workflow.tides import allowances  # noqa: PLC0415 - heavy

    campaign = _campaign(arguments.scenario)
    found, problems = allowances(campaign, arguments.levels)
    say_problems(problems)
    if arguments.by_month:
        _write_months(found, campaign.water.allowance_m)
        return Exit.DONE
    for one in found:
        say(suggestion(one, arguments.reliability))
    say(CAUTION)
    write_rows(
        ("section", "water_max_m", "allowance_m", "windows", "held", "mean_h", "hours_kept",
         "days_lost"),
        (
            (one.section or "", one.water_max_m, *_bought(row))
            for one in found
            for row in one.table
        ),
    )  # fmt: skip
    return Exit.DONE


def _bought(row: Bought) -> tuple[object, ...]:
    share = round(row.reliability, 4) if row.windows else ""
    return (
        row.allowance_m,
        row.windows,
        share,
        round(row.mean_h, 2),
        round(row.open_share, 4),
        row.days_lost,
    )


def suggestion(found: Allowances, reliability: float) -> str:
    """Return the allowance that is reliable enough, in words."""
    where = f"{count(found.zones, 'zone')} with water_max_m {found.water_max_m:g}"
    where += f" in section {found.section}" if found.section else ""
    best = suggested(found.table, reliability)
    most = found.table[-1].allowance_m
    if best is None:
        return (
            f"{where}: no allowance up to {most:g} m makes {reliability:.0%} of the windows hold;"
            " a lower limit, another access or a forecast on the day is needed."
        )
    return (
        f"{where}: with water.allowance_m = {best.allowance_m:g}, {best.reliability:.0%} of"
        f" {best.windows} windows stayed below the limit while people would have been there; they"
        f" keep {best.open_share:.0%} of the hours and lose {count(best.days_lost, 'day')}."
    )


def _write_months(found: list[Allowances], allowance_m: float) -> None:
    say(
        f"With the scenario's allowance of {number(allowance_m, decimals=3)} m, over all limits:"
        " share of the windows that did not hold, month by month (weather_allowance.csv)."
    )
    totals: dict[int, tuple[int, int]] = {}
    for one in found:
        for month, (planned, lost) in one.by_month.items():
            before = totals.get(month, (0, 0))
            weighted = planned * one.zones, lost * one.zones
            totals[month] = (before[0] + weighted[0], before[1] + weighted[1])
    write_rows(
        ("month", "lost"),
        ((month, round(lost / planned, 4)) for month, (planned, lost) in sorted(totals.items())),
    )


def _check(arguments: Namespace) -> Exit:
    from planner.workflow.tides import check_tide  # noqa: PLC0415 - heavy

    campaign = _campaign(arguments.scenario)
    found, problems = check_tide(campaign, arguments.table)
    say_problems(problems)
    said = remarks(found)
    for remark in said:
        say(f"{remark[0].upper()}{remark[1:]}.")
    if not said:
        say("Prediction and table agree.")
    say(CAUTION)
    rows = (
        ("extremes", found.extremes),
        ("prediction_late_min", found.late_min),
        ("range_factor", round(found.factor, 4)),
        ("offset_m", round(found.offset_m, 4)),
        ("spread_m", round(found.spread_m, 4)),
        ("spread_as_given_m", round(found.plain_spread_m, 4)),
    )
    write_rows(("figure", "value"), rows)
    if arguments.turned is not None:
        _write_turned(campaign, found, arguments.turned)
    return Exit.PARTLY if said else Exit.DONE


def _write_turned(campaign: Campaign, found: Comparison, path: Path) -> None:
    hours = time_base_h(found)
    waves = campaign.water.constituents
    if hours is None or not waves:
        say(f"{path} is not written: no other time base is seen.")
        return
    rows = turned(waves, hours=hours, at=campaign.clock.epoch_utc)
    lines = [f"{wave.name},{wave.amplitude_m:g},{wave.phase_deg:.2f}" for wave in rows]
    path.write_text("\n".join(["name,amplitude_m,phase_deg", *lines]) + "\n", encoding="utf-8")
    say(f"{path} holds the constituents with their phases turned for UTC.")


def _extremes(arguments: Namespace) -> Exit:
    from planner.workflow.tides import EPOCH_YEARS, extremes_of  # noqa: PLC0415 - heavy

    campaign = _campaign(arguments.scenario)
    first = arguments.first_year or campaign.clock.first_day.year
    found = extremes_of(campaign, first)
    say(
        f"Predicted tide {first} to {first + EPOCH_YEARS - 1}, above site datum; weather comes on"
        " top of it."
    )
    text = campaign.clock.text
    write_rows(
        ("level", "level_m", "time"),
        (
            ("lowest", round(found.lowest_m, 3), text(round(found.lowest_min))),
            ("mean_low_water", round(found.mean_low_m, 3), ""),
            ("mean_high_water", round(found.mean_high_m, 3), ""),
            ("highest", round(found.highest_m, 3), text(round(found.highest_min))),
        ),
    )
    return Exit.DONE


def _campaign(scenario: Path) -> Campaign:
    from planner.workflow.loading import load_scenario  # noqa: PLC0415 - heavy

    loaded = load_scenario(scenario)
    say_problems(loaded.warnings)
    return loaded.campaign


_COMMANDS: Mapping[str, Callable[[Namespace], Exit]] = {
    "fit": _fit,
    "residual": _residual,
    "allowance": _allowance,
    "check": _check,
    "extremes": _extremes,
}
