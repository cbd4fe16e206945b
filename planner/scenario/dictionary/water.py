"""Tables of the water."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Table
from planner.scenario.dictionary.shapes import ALWAYS, SOMETIMES, identifier, level


def _time(name: str = "time") -> Column:
    return Column(
        name=name,
        kind=Kind.MOMENT,
        meaning="Local time (an offset may be given).",
        need=ALWAYS,
        example="2027-04-05T03:41",
    )


CONSTITUENTS = Table(
    name="constituents",
    title="tidal constituents of the site",
    key=("name",),
    need=SOMETIMES,
    needed_when="water.kind is tide",
    columns=(
        identifier("name", "Name as in the IHO and NOAA lists.", example="M2"),
        Column(
            name="amplitude_m",
            kind=Kind.NUMBER,
            unit="m",
            meaning="Amplitude.",
            need=ALWAYS,
            low=0.0,
            high=100.0,
            odd_high=6.0,
            hint="amplitudes are metres, not centimetres or feet",
            example="1.32",
            source="odd limit: no port has an amplitude above 6 m (from memory)",
        ),
        Column(
            name="phase_deg",
            kind=Kind.NUMBER,
            unit="°",
            meaning="Greenwich phase lag for UTC.",
            need=ALWAYS,
            low=-360.0,
            high=360.0,
            hint="phases are degrees between 0 and 360",
            example="217.4",
        ),
    ),
)

HIGHLOW = Table(
    name="highlow",
    title="predicted high and low waters of a port",
    key=("time",),
    need=SOMETIMES,
    needed_when="water.kind is highlow",
    columns=(
        _time(),
        level("level_m", "Level above the zero of the source.", need=ALWAYS),
        Column(
            name="kind",
            kind=Kind.CHOICE,
            choices=("high", "low"),
            meaning="High or low water.",
            need=ALWAYS,
            example="high",
        ),
    ),
)

LEVELS = Table(
    name="levels",
    title="series of water levels",
    key=("section", "time"),
    need=SOMETIMES,
    needed_when="water.kind is levels",
    columns=(
        _time(),
        level("level_m", "Level above the zero of the source.", need=ALWAYS),
        Column(
            name="section",
            kind=Kind.IDENTIFIER,
            meaning="Then only for zones of that section.",
            default_meaning="for every zone without a series of its own",
            example="dock 2",
        ),
    ),
)

SEWER = Table(
    name="sewer",
    title="circular sewer sections",
    key=("section",),
    need=SOMETIMES,
    needed_when="water.kind is sewer",
    columns=(
        identifier("section", "Name of the section.", example="MH4-MH5"),
        Column(
            name="diameter_m",
            kind=Kind.NUMBER,
            unit="m",
            meaning="Inside diameter.",
            need=ALWAYS,
            low=0.05,
            high=100.0,
            odd_low=0.6,
            odd_high=10.0,
            hint="diameters are metres: write 900 mm as 0.9",
            example="1.5",
            source="odd limit: people do not work in smaller pipes (common practice)",
        ),
        Column(
            name="slope",
            kind=Kind.NUMBER,
            unit="1",
            meaning="Fall of the invert for each metre of length.",
            need=ALWAYS,
            low=0.0,
            is_low_open=True,
            high=1.0,
            odd_low=0.0001,
            odd_high=0.1,
            hint="slopes are metres for each metre: write 0.5 % or 1 in 200 as 0.005",
            example="0.002",
        ),
        Column(
            name="manning_n",
            kind=Kind.NUMBER,
            unit="s/m^(1/3)",
            meaning="Roughness by Manning.",
            need=ALWAYS,
            low=0.001,
            high=1.0,
            odd_low=0.008,
            odd_high=0.04,
            hint="concrete pipes have about 0.013",
            example="0.013",
            source="odd limits: published ranges for closed conduits, 0.008 to 0.03 (from memory)",
        ),
        Column(
            name="mean_flow_m3_s",
            kind=Kind.NUMBER,
            unit="m³/s",
            meaning="Mean dry-weather flow.",
            need=ALWAYS,
            low=0.0,
            high=1e4,
            odd_high=20.0,
            hint="flows are m³/s: write 80 litres a second as 0.08",
            example="0.08",
        ),
        Column(
            name="velocity_max_m_s",
            kind=Kind.NUMBER,
            unit="m/s",
            meaning="Fastest flow in which people may be; the local code or the operator says.",
            default_meaning="no limit",
            low=0.0,
            is_low_open=True,
            high=100.0,
            odd_high=2.0,
            hint="velocities are m/s",
            example="0.6",
        ),
        Column(
            name="depth_velocity_max_m2_s",
            kind=Kind.NUMBER,
            unit="m²/s",
            meaning="Greatest depth times velocity in which people may be.",
            default_meaning="no limit",
            low=0.0,
            is_low_open=True,
            high=100.0,
            odd_high=2.0,
            hint="this is metres times metres a second",
            example="0.3",
        ),
    ),
)

_MULTIPLIER_HINT = "multipliers are factors of the mean flow, about 1 on average"


def _multiplier(name: str, meaning: str) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="1",
        meaning=meaning,
        need=ALWAYS,
        low=0.0,
        high=1000.0,
        odd_high=6.0,
        hint=_MULTIPLIER_HINT,
        example="0.65",
    )


SEWER_PATTERN = Table(
    name="sewer_pattern",
    title="hourly multipliers of the mean flow",
    key=("section", "month", "hour"),
    need=SOMETIMES,
    needed_when="water.kind is sewer",
    columns=(
        Column(
            name="hour",
            kind=Kind.WHOLE,
            unit="h",
            meaning="Local hour of the day; the value holds at half past.",
            need=ALWAYS,
            low=0.0,
            high=23.0,
            hint="hours run from 0 to 23: write 24 as 0",
            example="3",
        ),
        _multiplier("weekday", "Flow on Monday to Friday, as a factor of the mean."),
        _multiplier("weekend", "Flow on Saturday and Sunday, as a factor of the mean."),
        Column(
            name="section",
            kind=Kind.IDENTIFIER,
            meaning="Then only for that section.",
            default_meaning="for every section without a pattern of its own",
            refers=("sewer",),
            example="MH4-MH5",
        ),
        Column(
            name="month",
            kind=Kind.WHOLE,
            unit="1",
            meaning="Then only for that month, 1 to 12.",
            default_meaning="for every month without a pattern of its own",
            low=1.0,
            high=12.0,
            example="4",
        ),
    ),
)
