"""The machine catalogue: generic kinds of the trade, each value with its source.

Nothing here is a maker's promise.  A rig that names a kind may override every value.
"""

from __future__ import annotations

from collections.abc import Mapping

from planner.model.machine import MachineType, Trait
from planner.model.machines_dry import DRY_MACHINES
from planner.model.machines_wet import WET_MACHINES

MACHINES: tuple[MachineType, ...] = (*DRY_MACHINES, *WET_MACHINES)

MACHINE_BY_ID: Mapping[str, MachineType] = {machine.type_id: machine for machine in MACHINES}

RIG_COLUMNS: Mapping[str, Trait] = {
    "hose_max_m": Trait.LEVEL,
    "rise_max_m": Trait.RISE,
    "rise_factor": Trait.RISE_FACTOR,
    "bend_m": Trait.BEND,
    "rate_m3_h": Trait.RATE,
    "start_up_min": Trait.START_UP,
    "clean_up_min": Trait.CLEAN_UP,
    "idle_max_min": Trait.IDLE,
    "move_min": Trait.MOVE,
    "hose_bore_mm": Trait.BORE,
    "crew_size": Trait.CREW,
}
"""Columns of rigs.csv that take the kind's usual value where their cell is empty.

Nothing that the contract says is loosened by it: ``rate_m3_h``, ``hose_max_m`` and, for wet rigs,
``rise_factor`` and ``bend_m`` have no default of the contract; start-up, clean-up and relocation
get longer than its 0, idling and rise get a limit where it has none.  So every plan made with a
kind's values also keeps the contract's defaults.  Columns that set the length of a spell
(``nozzle_on``, ``rate_free_m``, ``rate_loss_per_100m``) keep the contract's defaults.
"""


def type_defaults(type_id: str) -> dict[str, float]:
    """Return what empty cells of a rig of a kind stand for, by column name."""
    machine = MACHINE_BY_ID[type_id]
    found = {column: machine.usual(trait) for column, trait in RIG_COLUMNS.items()}
    return {column: value for column, value in found.items() if value is not None}
