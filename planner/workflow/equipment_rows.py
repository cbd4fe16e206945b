"""The equipment table as rows: for files, for reading, and where every number comes from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.model.machines import MACHINES
from planner.workflow.equipment import Equipment

FIGURES = (
    "hose_laid_m",
    "rise_m",
    "hose_m",
    "hose_max_m",
    "hose_bore_mm",
    "gun_kpa",
    "air_m3_min",
    "water_nozzle_kpa",
    "water_supply_kpa",
    "water_l_min",
    "pump_kpa",
    "pump_kw",
    "ventilation_m3_min",
    "crew_size",
)
HEADING = ("row", "rig", "position", "process", "type", "zones", "zone", *FIGURES, "advice")
DECIMALS = 3

SHORT_HEADING = (
    "row",
    "rig",
    "at",
    "zones",
    "hardest",
    "laid m",
    "rise m",
    "equiv. m",
    "of max m",
    "bore mm",
    "gun/pump kPa",
    "air m³/min",
    "water kPa",
    "fresh air m³/min",
    "people",
)
"""Headings of the table for reading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhyRow:
    """One number with its formula, its inputs and its source."""

    row: int
    rig: str
    position: str
    figure: str
    value: float | None
    unit: str
    formula: str
    inputs: str
    source: str
    trust: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TypeRow:
    """One value of the machine catalogue."""

    type: str
    machine: str
    process: str
    intermittent: str
    value: str
    low: float | None
    usual: float
    high: float | None
    unit: str
    trust: str
    source: str


def csv_rows(rows: Sequence[Equipment]) -> Iterator[tuple[object, ...]]:
    """Yield the cells of :data:`HEADING`; None where there is nothing."""
    for each in rows:
        yield (
            each.row,
            each.rig.rig_id,
            None if each.position is None else each.position.position_id,
            each.rig.process,
            each.rig.type_id,
            len(each.zones),
            None if each.governing is None else each.governing.zone_id,
            *(_rounded(each.value(name)) for name in FIGURES),
            "; ".join(each.advice),
        )


def short_table(
    rows: Sequence[Equipment],
) -> tuple[tuple[str, ...], list[tuple[object, ...]]]:
    """Return heading and rows for reading, without the columns that nothing stands in."""
    found = list(_short_rows(rows))
    kept = [
        place
        for place in range(len(SHORT_HEADING))
        if any(row[place] is not None for row in found)
    ]
    heading = tuple(SHORT_HEADING[place] for place in kept)
    return heading, [tuple(row[place] for place in kept) for row in found]


def _short_rows(rows: Sequence[Equipment]) -> Iterator[tuple[object, ...]]:
    """Yield the cells of :data:`SHORT_HEADING`, rounded."""
    for each in rows:
        pressure = each.value("gun_kpa")
        yield (
            each.row,
            each.rig.rig_id,
            None if each.position is None else each.position.position_id,
            len(each.zones),
            None if each.governing is None else each.governing.zone_id,
            _whole(each.value("hose_laid_m")),
            _whole(each.value("rise_m")),
            _whole(each.value("hose_m")),
            _whole(each.value("hose_max_m")),
            _whole(each.value("hose_bore_mm")),
            _whole(each.value("pump_kpa") if pressure is None else pressure),
            _tenth(each.value("air_m3_min")),
            _whole(each.value("water_supply_kpa")),
            _whole(each.value("ventilation_m3_min")),
            _whole(each.value("crew_size")),
        )


def advice_rows(rows: Sequence[Equipment]) -> list[tuple[str, str]]:
    """Return each piece of advice once, with the rows that it is for."""
    found: dict[str, list[int]] = {}
    for each in rows:
        for text in each.advice:
            found.setdefault(text, []).append(each.row)
    return [(_ranges(numbers), text) for text, numbers in found.items()]


def why_rows(rows: Sequence[Equipment]) -> Iterator[WhyRow]:
    """Yield where every number of some rows comes from."""
    for each in rows:
        for figure in each.figures:
            yield WhyRow(
                row=each.row,
                rig=str(each.rig.rig_id),
                position="" if each.position is None else str(each.position.position_id),
                figure=figure.name,
                value=_rounded(figure.value),
                unit=figure.unit,
                formula=figure.formula,
                inputs=figure.inputs_words(),
                source=figure.source,
                trust=figure.trust,
                note=figure.note,
            )


def type_rows() -> Iterator[TypeRow]:
    """Yield every value of the machine catalogue with its source."""
    for machine in MACHINES:
        for span in machine.spans:
            yield TypeRow(
                type=machine.type_id,
                machine=machine.title,
                process=machine.process,
                intermittent="yes" if machine.intermittent else "no",
                value=span.trait,
                low=span.low,
                usual=span.usual,
                high=span.high,
                unit=span.unit,
                trust=span.trust,
                source=span.source,
            )


def asked(rows: Sequence[Equipment], what: str) -> list[Equipment]:
    """Return the rows of a rig, or the one row of that number; none where there is no such."""
    of_rig = [each for each in rows if each.rig.rig_id == what]
    return of_rig or [each for each in rows if str(each.row) == what]


def _ranges(numbers: Sequence[int]) -> str:
    """Return row numbers in words.

    Examples
    --------
    >>> _ranges([1, 2, 3, 5])
    '1-3, 5'
    """
    parts: list[list[int]] = []
    for number in sorted(numbers):
        if parts and number == parts[-1][-1] + 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    return ", ".join(str(part[0]) if len(part) == 1 else f"{part[0]}-{part[-1]}" for part in parts)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, DECIMALS)


def _whole(value: float | None) -> int | None:
    return None if value is None else round(value)


def _tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1)
