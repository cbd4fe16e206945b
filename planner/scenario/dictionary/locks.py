"""The table of what a planner has fixed by hand."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Table
from planner.scenario.dictionary.shapes import ALWAYS, reference

SOURCE = "docs/screens.md"

LOCKS = Table(
    name="locks",
    title="zones tied by hand to rigs, positions or days",
    key=("zone",),
    columns=(
        reference("zone", "The zone that is tied down.", "zones", need=ALWAYS, example="S3-beam1"),
        Column(
            name="rigs",
            kind=Kind.IDENTIFIERS,
            meaning="Only these rigs may spray it.",
            default_meaning="any",
            refers=("rigs",),
            example="R1",
            source=SOURCE,
        ),
        Column(
            name="positions",
            kind=Kind.IDENTIFIERS,
            meaning="It may be sprayed only from these positions.",
            default_meaning="any",
            refers=("positions",),
            example="P1;P2",
            source=SOURCE,
        ),
        Column(
            name="from",
            kind=Kind.MOMENT,
            meaning="It is worked at, break-out included, no earlier than this.",
            default_meaning="the campaign's start",
            example="2027-04-12",
            source=SOURCE,
        ),
        Column(
            name="to",
            kind=Kind.MOMENT,
            meaning="And no later than this; a date means the end of that day.",
            default_meaning="the campaign's end",
            example="2027-04-18",
            source=SOURCE,
        ),
        Column(
            name="why", kind=Kind.TEXT, meaning="Reason, for people.", example="scaffold shared"
        ),
    ),
)
