"""Table of what zones, positions, rigs and crews share, and the column of their needs."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Table
from planner.scenario.dictionary.shapes import ALWAYS, WHY, identifier, money

SOURCE = "rule 16 of this planner; limits from common practice"

RESOURCES = Table(
    name="resources",
    title="what zones, positions, rigs and crews share: floats, boats, teams, compressors",
    key=("resource",),
    columns=(
        identifier("resource", "Name of the resource.", example="float"),
        Column(
            name="number",
            kind=Kind.WHOLE,
            unit="1",
            meaning="How many of it there are; never more are in use at a minute.",
            need=ALWAYS,
            low=1.0,
            high=1e4,
            odd_high=50.0,
            example="1",
            source=SOURCE,
        ),
        money("price_day", "For each one in use on a civil day; the most in use at once counts."),
        WHY,
    ),
)


def needs(while_what: str) -> Column:
    """Return the column of the resources that a row takes."""
    return Column(
        name="needs",
        kind=Kind.NEEDS,
        meaning=f"Resources it takes {while_what}; name:2 for two of one.",
        default_meaning="none",
        refers=("resources",),
        example="float;rescue-boat",
        source=SOURCE,
    )
