"""Mixes and how each behaves on a face."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import MixId, Orientation, Process


@dataclass(frozen=True, slots=True, kw_only=True)
class MixFace:
    """One mix on one orientation: a row of mixes.csv.

    Attributes
    ----------
    rebound
        Fraction of what leaves the nozzle that falls [1].
    layer_max_mm
        Thickest layer [mm].
    layer_gap_min_h, layer_gap_max_h
        Least and most time from the end of a layer to the start of the next [h];
        least None: not known, so no second layer; most None: no limit.
    protect_h
        From the end of spraying to the first wetting [h]; None: not known, so never wetted.
    protect_at_c
        Temperature at which ``protect_h`` was found [°C]; None: not known.
    rate_factor
        Multiplies the placing rate [1].
    finish_min_m2
        Trimming after a zone's last layer [min per m²].
    """

    mix_id: MixId
    process: Process
    orientation: Orientation
    rebound: float
    layer_max_mm: float
    layer_gap_min_h: float | None = None
    layer_gap_max_h: float | None = None
    protect_h: float | None = None
    rate_factor: float = 1.0
    finish_min_m2: float = 0.0
    protect_at_c: float | None = None
