"""Keys and tables of light, public holidays, waves and air temperature."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Need, Table
from planner.scenario.dictionary.shapes import ALWAYS, SOMETIMES

_OURS = "docs/limits.md; limits from common practice"


def _degrees(name: str, meaning: str, *, most: float, other: str, example: str) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="°",
        meaning=meaning,
        need=SOMETIMES,
        needed_when=f"{other} is given",
        default_meaning="work by day and by night",
        low=-most,
        high=most,
        hint="write decimal degrees, south and west with a minus",
        example=example,
        source=_OURS,
    )


def _celsius(name: str, meaning: str, *, example: str, need_always: bool = False) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="°C",
        meaning=meaning,
        need=ALWAYS if need_always else Need.NEVER,
        default_meaning="" if need_always else "no such limit",
        low=-90.0,
        high=70.0,
        odd_low=-40.0,
        odd_high=48.0,
        hint="temperatures are °C, not °F",
        example=example,
        source=_OURS,
    )


def _height(name: str, meaning: str, *, need_always: bool = False) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="m",
        meaning=meaning,
        need=ALWAYS if need_always else Need.NEVER,
        default_meaning="" if need_always else "no limit",
        low=0.0,
        high=40.0,
        odd_high=15.0 if need_always else 5.0,
        hint="heights of waves are metres: write 50 cm as 0.5",
        example="0.5",
        source=_OURS,
    )


CONDITION_KEYS = (
    _degrees(
        "daylight.latitude_deg",
        "Latitude of the site, north positive: people work at faces only by daylight.",
        most=90.0,
        other="daylight.longitude_deg",
        example="51.44",
    ),
    _degrees(
        "daylight.longitude_deg",
        "Longitude of the site, east positive.",
        most=180.0,
        other="daylight.latitude_deg",
        example="-2.6",
    ),
    Column(
        name="daylight.twilight",
        kind=Kind.CHOICE,
        choices=("none", "civil"),
        meaning="civil: the sun down to 6° below the horizon counts as daylight.",
        default="none",
        example="civil",
        source=_OURS,
    ),
    Column(
        name="holidays.country",
        kind=Kind.TEXT,
        meaning="Country whose public holidays close the site, by its two letters (ISO 3166-1).",
        default_meaning="no public holidays",
        example="NL",
        source=_OURS,
    ),
    Column(
        name="holidays.subdivision",
        kind=Kind.TEXT,
        meaning="State, province or nation with holidays of its own (ISO 3166-2, last part).",
        default_meaning="those of the whole country only",
        example="ENG",
        source=_OURS,
    ),
    Column(
        name="holidays.worked",
        kind=Kind.DATES,
        meaning="Public holidays on which people work all the same.",
        default_meaning="none",
        example="2027-03-26",
        source=_OURS,
    ),
    _height("waves.height_max_m", "Highest wave or swell at which people work at the faces."),
    Column(
        name="waves.planned_h",
        kind=Kind.NUMBER,
        unit="h",
        meaning="Longest time that a crew is planned to be out in one go, ways included.",
        need=SOMETIMES,
        needed_when="waves.height_max_m is given",
        low=0.0,
        is_low_open=True,
        high=240.0,
        odd_high=16.0,
        hint="durations named _h are hours, not minutes",
        example="4",
        source=_OURS,
    ),
    Column(
        name="waves.reference_factor",
        kind=Kind.NUMBER,
        unit="1",
        meaning="Waves must stay low for this many times the planned time.",
        default="2",
        low=1.0,
        high=100.0,
        odd_high=5.0,
        hint="this is a factor: write 150 % as 1.50",
        example="2",
        source="reference period of marine operations: twice the planned one where the spare time"
        " was not worked out (DNV-OS-H101, section 4; from memory)",
    ),
    _celsius("temperature.min_c", "Nobody sprays in colder air.", example="5"),
    _celsius("temperature.max_c", "Nobody sprays in warmer air.", example="30"),
)

WAVES = Table(
    name="waves",
    title="height of waves or swell over time",
    key=("time",),
    columns=(
        Column(
            name="time",
            kind=Kind.MOMENT,
            meaning="Local time (an offset may be given).",
            need=ALWAYS,
            example="2027-04-05T03:00",
        ),
        _height(
            "height_m",
            "Height then; linear in between. A gap of more than 3 h is closed.",
            need_always=True,
        ),
    ),
)

TEMPERATURE = Table(
    name="temperature",
    title="measured or forecast air temperature over time",
    key=("time",),
    columns=(
        Column(
            name="time",
            kind=Kind.MOMENT,
            meaning="Local time (an offset may be given).",
            need=ALWAYS,
            example="2027-04-05T03:00",
        ),
        _celsius(
            "air_c",
            "Air temperature then; linear in between. In a gap of more than 3 h normals count.",
            example="7.5",
            need_always=True,
        ),
    ),
)

TEMPERATURE_NORMALS = Table(
    name="temperature_normals",
    title="mean daily lowest and highest air temperature by month",
    key=("month",),
    columns=(
        Column(
            name="month",
            kind=Kind.WHOLE,
            unit="1",
            meaning="Month, 1 to 12.",
            need=ALWAYS,
            low=1.0,
            high=12.0,
            example="4",
        ),
        _celsius(
            "low_c",
            "Mean of the daily lowest, taken at 06:00 local.",
            example="4.5",
            need_always=True,
        ),
        _celsius(
            "high_c",
            "Mean of the daily highest, taken at 15:00 local.",
            example="12.1",
            need_always=True,
        ),
    ),
)
