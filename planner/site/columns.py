"""The columns of a shift record: spreadsheet, command line and page all use these."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Need, Table
from planner.scenario.dictionary.shapes import reference

REASONS = (
    "water",
    "weather",
    "machine",
    "material",
    "people",
    "access",
    "permit",
    "quality",
    "other",
)
"""Why time was lost."""

_OURS = "the shift record; limits from common practice"


def _number(
    name: str,
    meaning: str,
    unit: str,
    *,
    low: float | None = 0.0,
    high: float,
    odd_high: float | None = None,
    hint: str = "",
    example: str,
    is_low_open: bool = False,
) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit=unit,
        meaning=meaning,
        low=low,
        is_low_open=is_low_open,
        high=high,
        odd_high=odd_high,
        hint=hint,
        example=example,
        source=_OURS,
    )


_VOLUMES = "volumes are m³: write 300 litres as 0.3"

RECORDS = Table(
    name="records",
    title="shift records",
    columns=(
        reference("zone", "Zone worked in or measured.", "zones", example="S3-beam1"),
        Column(
            name="layer",
            kind=Kind.WHOLE,
            unit="1",
            meaning="Layer, counted from 1.",
            low=1.0,
            high=1000.0,
            example="1",
            source=_OURS,
        ),
        _number(
            "placed_m3",
            "Volume that stayed in place.",
            "m³",
            high=1e4,
            odd_high=50.0,
            hint=_VOLUMES,
            example="0.8",
        ),
        _number(
            "left_m3",
            "What is really left in that layer; 0: the layer is complete.",
            "m³",
            high=1e4,
            odd_high=50.0,
            hint=_VOLUMES,
            example="0.1",
        ),
        _number("bags", "Bags emptied.", "1", high=1e5, odd_high=2000.0, example="64"),
        _number(
            "bag_l",
            "Fresh concrete that one bag gives through the nozzle, from its data sheet.",
            "l",
            high=2000.0,
            odd_high=1000.0,
            is_low_open=True,
            hint="litres a bag, not kilograms",
            example="12",
        ),
        Column(
            name="start",
            kind=Kind.MOMENT,
            meaning="First spraying.",
            example="2027-04-14T09:05",
            source=_OURS,
        ),
        Column(
            name="stop",
            kind=Kind.MOMENT,
            meaning="Last spraying; for other entries when it was seen or measured.",
            example="2027-04-14T10:20",
            source=_OURS,
        ),
        reference("rig", "Rig that sprayed.", "rigs", example="R1"),
        reference("crew", "Crew at work.", "crews", example="A"),
        reference("position", "Position the rig stood at.", "positions", example="P1"),
        reference("mix", "Mix that was sprayed.", "mixes", example="dry"),
        _number(
            "water_m",
            "Water level read on the board or gauge at stop, above the site datum; in a sewer the"
            " depth.",
            "m",
            low=-100.0,
            high=1e4,
            example="0.15",
        ),
        _number(
            "lost_min",
            "Minutes lost; with a placed volume those between start and stop.",
            "min",
            high=1440.0,
            odd_high=720.0,
            hint="minutes, not hours",
            example="25",
        ),
        Column(
            name="lost_reason",
            kind=Kind.CHOICE,
            choices=REASONS,
            also=(
                ("tide", "water"),
                ("flow", "water"),
                ("rain", "weather"),
                ("wind", "weather"),
                ("swell", "weather"),
                ("breakdown", "machine"),
                ("blockage", "machine"),
                ("compressor", "machine"),
                ("bags", "material"),
                ("staff", "people"),
                ("gas", "permit"),
            ),
            meaning="Why they were lost.",
            example="machine",
            source=_OURS,
        ),
        _number(
            "found_area_m2",
            "Surface measured after break-out.",
            "m²",
            high=1e6,
            odd_high=2000.0,
            is_low_open=True,
            hint="areas are m², not cm² or mm²",
            example="7.1",
        ),
        _number(
            "found_depth_mm",
            "Mean depth measured after break-out.",
            "mm",
            low=1.0,
            high=5000.0,
            odd_high=1000.0,
            hint="depths are millimetres: write 4 cm as 40",
            example="55",
        ),
        Column(
            name="item",
            kind=Kind.TEXT,
            meaning="Something of the look-ahead's list that is ready now.",
            example="position P03",
            source=_OURS,
        ),
        Column(
            name="note",
            kind=Kind.TEXT,
            meaning="Anything else.",
            need=Need.NEVER,
            example="hose burst at the second bend",
            source=_OURS,
        ),
    ),
)
"""One row for each zone, layer and shift; a row may also hold a find, a loss or a tick alone."""
