"""A spraying rig: machine, hose and nozzle."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import MixId, PositionId, Process, RigId
from planner.model.resource import Need


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """One rig (contract, rigs.csv).

    Attributes
    ----------
    rig_id, process
        Identifier, and how its material travels.
    mixes
        Mixes it may spray; empty: every mix of its process.
    hose_max_m, rise_max_m
        Longest equivalent hose and greatest net rise [m]; rise None: no limit.
    rise_factor, bend_m
        Equivalent metres per metre of net rise, and per 90° bend [1, m].
    rate_m3_h
        Through the nozzle with a short hose [m³/h].
    nozzle_on
        Share of a spell in which material flows [1].
    rate_free_m, rate_loss_per_100m
        Equivalent hose up to which the rate holds [m], and fraction lost per 100 m beyond [1].
    start_up_min, clean_up_min
        Minutes at the start and end of every run [min].
    idle_max_min
        Longest gap from the end of a spell to the start of the next in a run [min]; None: none.
    move_min, move_min_per_100m
        Relocation time, and more per 100 m of straight-line plan distance [min].
    at
        Position where it stands at the start; None: its first set-up is no relocation.
    available_from_min, available_to_min
        Stretch in which it is on site [min].
    needs
        Resources it takes in its runs and relocations (rule 16).
    type_id, type_filled
        Kind of machine in the catalogue; columns that took its usual value.  None: not named.
    hose_bore_mm
        Inside diameter of the hose at the nozzle [mm]; None: not known.
    air_m3_min, air_kpa
        Free air of its compressor, and the pressure [m³/min, kPa]; None: not known.
    water_kpa
        Pressure of its water supply [kPa]; None: not known.
    crew_size
        People who work with it [1]; None: not known.
    """

    rig_id: RigId
    process: Process
    mixes: tuple[MixId, ...] = ()
    hose_max_m: float
    rise_max_m: float | None = None
    rise_factor: float = 0.0
    bend_m: float = 0.0
    rate_m3_h: float
    nozzle_on: float = 0.8
    rate_free_m: float = 0.0
    rate_loss_per_100m: float = 0.0
    start_up_min: int = 0
    clean_up_min: int = 0
    idle_max_min: int | None = None
    move_min: float = 0.0
    move_min_per_100m: float = 0.0
    at: PositionId | None = None
    available_from_min: int
    available_to_min: int
    needs: tuple[Need, ...] = ()
    type_id: str | None = None
    type_filled: tuple[str, ...] = ()
    hose_bore_mm: float | None = None
    air_m3_min: float | None = None
    air_kpa: float | None = None
    water_kpa: float | None = None
    crew_size: int | None = None
