"""Every check of a scenario, in the order in which a reader would make them."""

from __future__ import annotations

from planner.scenario.validation.conditions import check_conditions
from planner.scenario.validation.flow import check_flow
from planner.scenario.validation.identifiers import check_identifiers
from planner.scenario.validation.keys import check_keys
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.limits import check_limits
from planner.scenario.validation.locks import check_locks
from planner.scenario.validation.machines import check_machines
from planner.scenario.validation.materials import check_materials
from planner.scenario.validation.mixes import check_mixes
from planner.scenario.validation.order import check_order
from planner.scenario.validation.people import check_people
from planner.scenario.validation.progress import check_progress
from planner.scenario.validation.quality import check_quality
from planner.scenario.validation.references import check_references
from planner.scenario.validation.resources import check_resources
from planner.scenario.validation.routes import check_routes
from planner.scenario.validation.sewer import check_sewer
from planner.scenario.validation.tables_needed import check_tables
from planner.scenario.validation.water import check_water
from planner.scenario.validation.wet_weather import check_wet_weather
from planner.scenario.validation.zones import check_zones

_CHECKS = (
    check_tables,
    check_keys,
    check_identifiers,
    check_references,
    check_zones,
    check_order,
    check_people,
    check_machines,
    check_routes,
    check_limits,
    check_resources,
    check_locks,
    check_mixes,
    check_materials,
    check_water,
    check_sewer,
    check_flow,
    check_wet_weather,
    check_conditions,
    check_quality,
    check_progress,
)


def validate(ledger: Ledger) -> None:
    """Look at a whole draft and note every problem; no check stops another."""
    for check in _CHECKS:
        check(ledger)
