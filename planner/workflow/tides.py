"""Steps around tides: a gauge's record becomes constituents, a residual, an allowance."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from planner.access.allowance import Bought, Need, Observed, allowance_table, monthly_losses
from planner.access.by_utide import analyse_by_utide
from planner.access.curve import Floats
from planner.access.harmonic import Fit, analyse
from planner.access.level import LevelSource, source_for, source_key
from planner.access.residual import Residual, fit_residual, hourly
from planner.access.tide import TideLevel
from planner.access.tide_check import Comparison, TidalLevels, compare, tidal_levels
from planner.core.clock import MINUTES_PER_DAY
from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.model.water import Constituent, WaterKind
from planner.scenario.level_file import LevelFile, read_extremes, read_series

EPOCH_YEARS = 19
"""Years over which highest and lowest tide are sought: a whole turn of the moon's node."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """What was made of a gauge's record.

    Attributes
    ----------
    fit
        Constituents, mean level and residual of the analysis.
    constituents
        Those to be written: of the analysis, or of UTide where that was asked for.
    days, levels
        Length of the record [d], number of levels [1].
    residual
        Model of the residual; None: too few hours.
    problems
        What is odd about the file.
    """

    fit: Fit
    constituents: tuple[Constituent, ...]
    days: float
    levels: int
    residual: Residual | None
    problems: tuple[Problem, ...]


def fit_levels(path: Path, *, time_zone: str, latitude_deg: float | None = None) -> Fitted:
    """Return the constituents of a gauge's record.

    Parameters
    ----------
    path
        CSV file with ``time`` and ``level_m``.
    time_zone
        IANA name of the zone of times without an offset.
    latitude_deg
        Given: the waves are those of UTide, whose satellites depend on it [°].

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the file cannot be used.
    planner.access.by_utide.NotInstalledError
        If UTide was asked for and is not there.
    """
    record, problems = read_series(path, zone=ZoneInfo(time_zone))
    epoch = record.times_utc[0]
    minutes, levels = _minutes(record.times_utc, epoch), np.array(record.levels_m)
    try:
        fit = analyse(minutes, levels, epoch_utc=epoch)
    except ValueError as fault:
        raise _refused(path, str(fault)) from fault
    waves = fit.constituents
    if latitude_deg is not None:
        names = [wave.name for wave in waves]
        waves = analyse_by_utide(
            minutes, levels, names, epoch_utc=epoch, latitude_deg=latitude_deg
        )
    return Fitted(
        fit=fit,
        constituents=waves,
        days=float(minutes[-1]) / MINUTES_PER_DAY,
        levels=levels.size,
        residual=_residual(minutes, fit.residual_m, epoch),
        problems=tuple(problems),
    )


def fit_scenario_residual(campaign: Campaign, path: Path) -> tuple[Residual, list[Problem]]:
    """Return the model of what a gauge saw less what a scenario predicts.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the file cannot be used, or too little of it is predicted.
    """
    record, problems = read_series(path, zone=ZoneInfo(campaign.clock.time_zone))
    source = _source(campaign, None, path)
    minutes, levels = _of_campaign(campaign, record)
    residual = levels - source.level_m(minutes)
    known = np.isfinite(residual)
    found = (
        _residual(minutes[known], residual[known], campaign.clock.epoch_utc)
        if known.any()
        else None
    )
    if found is None:
        raise _refused(path, "fewer than two weeks of its times are predicted by the scenario")
    return found, problems


def _residual(minutes: Floats, residual_m: Floats, epoch: datetime) -> Residual | None:
    hours, values = hourly(minutes, residual_m)
    months = np.array([(epoch + timedelta(minutes=float(hour))).month for hour in hours])
    try:
        return fit_residual(values, months)
    except ValueError:
        return None


def extremes_of(campaign: Campaign, first_year: int) -> TidalLevels:
    """Return lowest and highest tide of 19 years, above site datum.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the scenario does not predict by constituents.
    """
    source = source_for(campaign, None)
    if not isinstance(source, TideLevel):
        problem = Problem(
            file="campaign.toml",
            column="water.kind",
            message=f'highest and lowest tide need constituents (kind "tide"), not'
            f' "{campaign.water.kind}"',
            code="not-usable",
        )
        raise InputRefusedError([problem])
    start, end = (
        (datetime(year, 1, 1, tzinfo=UTC) - campaign.clock.epoch_utc).total_seconds() / 60.0
        for year in (first_year, first_year + EPOCH_YEARS)
    )
    return tidal_levels(source, start, end)


def check_tide(campaign: Campaign, path: Path) -> tuple[Comparison, list[Problem]]:
    """Return how a scenario's prediction lies against a table of high and low waters.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the table cannot be used.
    """
    table, problems = read_extremes(path, zone=ZoneInfo(campaign.clock.time_zone))
    source = _source(campaign, None, path)
    minutes, levels = _of_campaign(campaign, table)
    try:
        return compare(source, minutes, levels), problems
    except ValueError as fault:
        raise _refused(path, str(fault)) from fault


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """What allowances buy for the zones that share a limit.

    Attributes
    ----------
    section, water_max_m
        Section whose level they use, and highest level for people [m].
    zones
        How many zones share it [1].
    table
        A row for each allowance tried.
    by_month
        Month to windows planned, and windows that did not hold, with the scenario's allowance.
    """

    section: str | None
    water_max_m: float
    zones: int
    table: tuple[Bought, ...]
    by_month: dict[int, tuple[int, int]]


def allowances(campaign: Campaign, path: Path) -> tuple[list[Allowances], list[Problem]]:
    """Return what allowances buy, limit by limit, the limit of most zones first.

    Parameters
    ----------
    campaign
        Scenario whose zones are looked at; ``water.datum_m`` is added to the file's levels.
    path
        Observed levels, above the zero of the scenario's source.

    Raises
    ------
    planner.core.problems.InputRefusedError
        If the file cannot be used, or no zone has a limit.
    """
    record, problems = read_series(path, zone=ZoneInfo(campaign.clock.time_zone))
    minutes, levels = _of_campaign(campaign, record)
    water, rules = campaign.water, campaign.rules
    limits = Counter(
        (source_key(water, zone.section), zone.water_max_m)
        for zone in campaign.zones
        if zone.water_max_m is not None
    )
    if not limits:
        raise _refused(path, "no zone of the scenario has a water_max_m, so none is compared")
    found: list[Allowances] = []
    for (section, limit_m), count in limits.most_common():
        source = _source(campaign, section, path)
        try:
            observed = Observed.beside(source, minutes, levels)
        except ValueError as fault:
            raise _refused(path, str(fault)) from fault
        curve = source.curve(float(observed.minutes[0]), float(observed.minutes[-1]))
        need = Need(
            limit_m=limit_m,
            least_min=rules.window_min_min,
            get_in_min=rules.get_in_min,
            get_out_min=rules.get_out_min,
        )
        found.append(
            Allowances(
                section=section,
                water_max_m=limit_m,
                zones=count,
                table=tuple(allowance_table(curve, observed, need)),
                by_month=monthly_losses(
                    curve,
                    observed,
                    need,
                    allowance_m=water.allowance_m,
                    month_of=lambda minute: campaign.clock.local(minute).month,
                ),
            )
        )
    return found, problems


def _source(campaign: Campaign, section: str | None, path: Path) -> LevelSource:
    source = source_for(campaign, section)
    if source is None:
        raise _refused(path, 'the scenario has no water (water.kind "none") to compare with')
    return source


def _of_campaign(campaign: Campaign, record: LevelFile) -> tuple[Floats, Floats]:
    """Return campaign minutes and levels above site datum of a file."""
    datum_m = 0.0 if campaign.water.kind is WaterKind.SEWER else campaign.water.datum_m
    minutes = _minutes(record.times_utc, campaign.clock.epoch_utc)
    return minutes, np.array(record.levels_m) + datum_m


def _minutes(times: tuple[datetime, ...], epoch: datetime) -> Floats:
    return np.array([(time - epoch).total_seconds() / 60.0 for time in times])


def _refused(path: Path, message: str) -> InputRefusedError:
    return InputRefusedError([Problem(file=path.name, message=message, code="not-usable")])
