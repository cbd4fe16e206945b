"""The water level of a campaign, whatever it comes from."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from planner.access.curve import Curve, Floats
from planner.access.highlow import HighLowLevel
from planner.access.series import SeriesLevel
from planner.access.sewer import SewerLevel
from planner.access.tide import TideLevel
from planner.model.campaign import Campaign
from planner.model.water import Water, WaterKind


class LevelSource(Protocol):
    """A water level over time.

    Attributes
    ----------
    cap_m
        Level above which it flows too fast for people [m]; None: no such limit.
    always_binds
        Whether the water closes a place even where that place gives no level limit of its own.
    """

    @property
    def cap_m(self) -> float | None:
        """Return the level above which the water is too fast [m]."""

    @property
    def always_binds(self) -> bool:
        """Return whether the water closes places that give no limit."""

    def level_m(self, minutes: Floats) -> Floats:
        """Return the level at campaign minutes, fractions allowed, also outside the campaign.

        Above site datum, or above the invert of a sewer [m]; nan where it is not known, inf
        where a sewer carries more than its full bore.
        """

    def too_fast(self, minutes: Floats) -> NDArray[np.bool_]:
        """Return where a velocity, or depth times velocity, limit of a sewer is broken."""

    def curve(self, start: float, end: float) -> Curve:
        """Return the level between two campaign minutes in pieces that do not turn."""


def source_for(campaign: Campaign, section: str | None) -> LevelSource | None:
    """Return where the level of a section comes from; positions have no section.

    A section without a series of its own uses the series without section; where there is
    none either, and in a sewer that is not in the table, the level is unknown (nan).

    Parameters
    ----------
    campaign
        The campaign.
    section
        Section of a zone; None for a place that belongs to none.

    Returns
    -------
    LevelSource | None
        None where the campaign has no water.

    Raises
    ------
    ValueError
        If a tidal constituent is not known, or a table is not in time order.
    """
    water = campaign.water
    match water.kind:
        case WaterKind.NONE:
            return None
        case WaterKind.TIDE:
            return TideLevel(
                water.constituents,
                mean_m=water.datum_m + water.mean_level_m,
                epoch_utc=campaign.clock.epoch_utc,
            )
        case WaterKind.HIGHLOW:
            return HighLowLevel(
                water.extremes,
                high_shift_min=water.high_shift_min,
                low_shift_min=water.low_shift_min,
                range_factor=water.range_factor,
                datum_m=water.datum_m,
            )
        case WaterKind.LEVELS:
            return _series(water, section)
        case WaterKind.SEWER:
            return _sewer(campaign, section)


def source_key(water: Water, section: str | None) -> str | None:
    """Return what tells the level sources of a campaign apart: sections that share one agree."""
    if water.kind is WaterKind.SEWER:
        return section
    if water.kind is WaterKind.LEVELS and any(name == section for name, _ in water.levels):
        return section
    return None


def allowances_m(water: Water) -> tuple[float, float]:
    """Return how much higher and lower than predicted the water may stand [m].

    A sewer level takes only the positive allowance (contract, section 2).
    """
    low = 0.0 if water.kind is WaterKind.SEWER else water.allowance_low_m
    return water.allowance_m, low


def _series(water: Water, section: str | None) -> SeriesLevel:
    table = dict(water.levels)
    points = table.get(section, table.get(None, ()))
    return SeriesLevel(points, datum_m=water.datum_m)


def _sewer(campaign: Campaign, section: str | None) -> LevelSource:
    water = campaign.water
    row = next((row for row in water.sewer if row.section == section), None)
    if row is None:
        return SeriesLevel((), datum_m=0.0)
    return SewerLevel(
        row,
        patterns=water.patterns,
        clock=campaign.clock,
        series=dict(water.flows).get(row.section),
        seasons=water.seasons,
        controls=water.controls,
    )
