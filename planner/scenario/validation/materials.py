"""How each mix is bought: what cannot be, and what is not used."""

from __future__ import annotations

from planner.scenario.draft import Row
from planner.scenario.validation.ledger import Ledger

_OF_LOADS = ("haul_min", "wait_min", "load_max_m3")
_OF_BAGS = ("unit_kg", "unit_m3", "dry_kg_m3", "stock_min", "order_units", "delivery_days")


def check_materials(ledger: Ledger) -> None:
    """Note loads of dry mix, two ways to say one yield, and columns that are not used."""
    process_of = ledger.process_of_mix()
    for row in ledger.draft.rows("materials"):
        process = process_of.get(row.text("mix"), "")
        supply = row.text("supply")
        if supply == "loads" and process == "dry":
            ledger.error(
                "supply-of-process",
                "a dry mix comes in bags or bulk_bags; loads are wet mix by truck",
                table="materials",
                row=row,
                column="supply",
            )
        elif process and "supply" not in row.bad:
            is_load = supply == "loads" or (not supply and process == "wet")
            _check_used(ledger, row, _OF_BAGS if is_load else _OF_LOADS, is_load=is_load)
        if row.has("unit_m3") and row.has("dry_kg_m3"):
            ledger.warn(
                "column-not-used",
                "unit_m3 says what a bag fills, so dry_kg_m3 is not used; keep one of them",
                table="materials",
                row=row,
                column="dry_kg_m3",
            )
        _check_age(ledger, row)


def _check_used(ledger: Ledger, row: Row, names: tuple[str, ...], *, is_load: bool) -> None:
    for name in names:
        if row.says_more(name):
            ledger.warn(
                "column-not-used",
                f"it is used for {'bags and bulk bags' if is_load else 'loads'} only",
                table="materials",
                row=row,
                column=name,
            )


def _check_age(ledger: Ledger, row: Row) -> None:
    """Note a load that is too old before it flows."""
    life, haul, wait = (row.number(name) for name in ("life_min", "haul_min", "wait_min"))
    if life is not None and life <= (haul or 0.0) + (wait or 0.0):
        ledger.error(
            "too-old",
            f"a load is {(haul or 0.0) + (wait or 0.0):g} min old when it flows, and the mix lives"
            f" {life:g} min; shorten haul_min or wait_min, or use a mix that lives longer",
            table="materials",
            row=row,
            column="life_min",
        )
