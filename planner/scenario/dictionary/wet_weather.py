"""Tables of rain, gauges and the weather allowance, and the keys that say when it is wet."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Table
from planner.scenario.dictionary.shapes import ALWAYS, SOMETIMES, fraction, hours, level

WET_WEATHER = Table(
    name="wet_weather",
    title="rain or the level of a gauge that is watched; wet weather closes zones",
    key=("section", "time"),
    columns=(
        Column(
            name="time",
            kind=Kind.MOMENT,
            meaning="Local time (an offset may be given).",
            need=ALWAYS,
            example="2027-04-05T03:45",
        ),
        Column(
            name="rain_mm",
            kind=Kind.NUMBER,
            unit="mm",
            meaning="Rain since the row before, measured or forecast.",
            default_meaning="none",
            low=0.0,
            high=1e4,
            odd_high=200.0,
            hint="rain is in millimetres",
            example="1.2",
        ),
        level("level_m", "Level of the gauge above its own zero."),
        Column(
            name="section",
            kind=Kind.IDENTIFIER,
            meaning="Then only for zones of that section.",
            default_meaning="for every zone without a series of its own",
            example="MH4-MH5",
        ),
    ),
)

WEATHER_ALLOWANCE = Table(
    name="weather_allowance",
    title="share of otherwise usable windows that weather takes, by month",
    key=("month",),
    columns=(
        Column(
            name="month",
            kind=Kind.WHOLE,
            unit="1",
            meaning="Month, 1 to 12; one that is not listed loses nothing.",
            need=ALWAYS,
            low=1.0,
            high=12.0,
            example="1",
        ),
        fraction(
            "lost",
            "Share lost; moves no window, only the second date that the plan tells.",
            odd_high=0.8,
            need=ALWAYS,
            source="by data: ebbwork tide allowance --by-month; limits from common practice",
            example="0.15",
        ),
    ),
)

WET_WEATHER_KEYS = (
    Column(
        name="water.rain_limit_mm",
        kind=Kind.NUMBER,
        unit="mm",
        meaning="More rain than this within water.rain_window_h closes zones.",
        need=SOMETIMES,
        needed_when="wet_weather has rain_mm",
        default_meaning="rain is not looked at",
        low=0.0,
        high=1e4,
        odd_high=100.0,
        hint="rain is in millimetres",
        example="2",
    ),
    hours("water.rain_window_h", "Time over which rain is summed.", default="24", odd_high=168.0),
    Column(
        name="water.trigger_level_m",
        kind=Kind.NUMBER,
        unit="m",
        meaning="A gauge of wet_weather at this level or above closes zones.",
        need=SOMETIMES,
        needed_when="wet_weather has level_m",
        default_meaning="the gauge is not looked at",
        low=-1e4,
        high=1e4,
        odd_low=-30.0,
        odd_high=30.0,
        hint="levels are metres, not millimetres or feet",
        example="0.4",
    ),
    hours(
        "water.recession_h",
        "After wet weather, until the flow is down again.",
        default_meaning="needed with wet_weather: it has no default",
        odd_high=168.0,
    ),
)
