"""Tables of what changes the flow of a sewer: measured flow, seasons, gates and pumps."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Table
from planner.scenario.dictionary.shapes import ALWAYS, money, reference

_SECTION = "MH4-MH5"

SEWER_FLOW = Table(
    name="sewer_flow",
    title="measured or forecast flow of sections, in place of mean flow, pattern and season",
    key=("section", "time"),
    columns=(
        reference("section", "Section of the sewer.", "sewer", need=ALWAYS, example=_SECTION),
        Column(
            name="time",
            kind=Kind.MOMENT,
            meaning="Local time (an offset may be given).",
            need=ALWAYS,
            example="2027-04-05T03:45",
        ),
        Column(
            name="flow_m3_s",
            kind=Kind.NUMBER,
            unit="m³/s",
            meaning="Flow then; linear in between.",
            need=ALWAYS,
            low=0.0,
            high=1e4,
            odd_high=20.0,
            hint="flows are m³/s: write 80 litres a second as 0.08",
            example="0.065",
        ),
    ),
)

SEWER_SEASON = Table(
    name="sewer_season",
    title="factors of the mean flow by month",
    key=("section", "month"),
    columns=(
        Column(
            name="month",
            kind=Kind.WHOLE,
            unit="1",
            meaning="Month, 1 to 12; one that is not listed has the factor 1.",
            need=ALWAYS,
            low=1.0,
            high=12.0,
            example="1",
        ),
        Column(
            name="factor",
            kind=Kind.NUMBER,
            unit="1",
            meaning="Multiplies mean flow times pattern in that month.",
            need=ALWAYS,
            low=0.0,
            high=100.0,
            odd_low=0.2,
            odd_high=5.0,
            hint="this is a factor: write 130 % as 1.30",
            example="1.3",
        ),
        Column(
            name="section",
            kind=Kind.IDENTIFIER,
            meaning="Then only for that section.",
            default_meaning="for every section without a factor of its own in that month",
            refers=("sewer",),
            example=_SECTION,
        ),
    ),
)

FLOW_CONTROL = Table(
    name="flow_control",
    title="stretches in which gates or pumps change the flow of a section",
    key=("section", "from"),
    columns=(
        reference("section", "Section of the sewer.", "sewer", need=ALWAYS, example=_SECTION),
        Column(
            name="from",
            kind=Kind.MOMENT,
            meaning="When it begins.",
            need=ALWAYS,
            example="2027-04-12T20:00",
        ),
        Column(
            name="to",
            kind=Kind.MOMENT,
            meaning="When it ends; a date means the end of that day.",
            need=ALWAYS,
            example="2027-04-16",
        ),
        Column(
            name="flow_factor",
            kind=Kind.NUMBER,
            unit="1",
            meaning="What is left of the flow in the section, by the operator's word.",
            need=ALWAYS,
            low=0.0,
            high=100.0,
            odd_high=1.0,
            hint="this is a factor: write 40 % as 0.40",
            example="0.4",
        ),
        money("price_day", "For each civil day of the campaign that it touches."),
    ),
)
