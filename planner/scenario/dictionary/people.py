"""Tables of those who do the work: rigs, crews, shifts."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Need, Table
from planner.scenario.dictionary.machines import MACHINE_COLUMNS, TYPE
from planner.scenario.dictionary.quality import METHOD, PEOPLE
from planner.scenario.dictionary.resources import needs
from planner.scenario.dictionary.shapes import (
    ALWAYS,
    ORIENTATION_WORDS,
    ORIENTATIONS,
    PROCESSES,
    SOMETIMES,
    WEEKDAYS,
    fraction,
    hose,
    hours,
    identifier,
    minutes,
    reference,
)

_RATE_HINT = "rates are m³/h: write 100 litres a minute as 6"
_ON_SITE = "the campaign's own days"
_NO_TYPE = "type is empty"
_WET_NO_TYPE = "process is wet and type is empty"


def _day(name: str, meaning: str) -> Column:
    return Column(
        name=name,
        kind=Kind.DATE,
        meaning=meaning,
        default_meaning=_ON_SITE,
        example="2027-04-05",
    )


def _rate(name: str, meaning: str, *, need: Need, needed_when: str = "") -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="m³/h",
        meaning=meaning,
        need=need,
        needed_when=needed_when,
        low=0.0,
        is_low_open=True,
        high=1000.0,
        odd_low=0.01,
        odd_high=40.0,
        hint=_RATE_HINT,
        example="4",
        source="odd limit: twin-piston pumps for hand spraying give 4 to 25 m³/h (trade"
        " press on wet-mix pumps); the rest common practice",
    )


RIGS = Table(
    name="rigs",
    title="spraying rigs",
    key=("rig",),
    need=ALWAYS,
    columns=(
        identifier("rig", "Name of the rig.", example="R1"),
        Column(
            name="process",
            kind=Kind.CHOICE,
            choices=PROCESSES,
            meaning="How its material travels.",
            need=ALWAYS,
            example="dry",
        ),
        Column(
            name="mixes",
            kind=Kind.IDENTIFIERS,
            meaning="Mixes it may spray.",
            default_meaning="every mix of its process",
            refers=("mixes",),
            example="dry",
        ),
        hose("hose_max_m", "Longest equivalent hose.", need=SOMETIMES, needed_when=_NO_TYPE),
        Column(
            name="rise_max_m",
            kind=Kind.NUMBER,
            unit="m",
            meaning="Greatest net rise from position to zone.",
            default_meaning="no limit",
            low=0.0,
            high=1e4,
            odd_high=150.0,
            hint="rises are metres, not millimetres or feet",
            example="20",
        ),
        Column(
            name="rise_factor",
            kind=Kind.NUMBER,
            unit="m/m",
            meaning="Equivalent metres for each metre of net rise, besides the length itself.",
            need=SOMETIMES,
            needed_when=_WET_NO_TYPE,
            default_meaning="0 for dry",
            low=0.0,
            high=100.0,
            odd_high=10.0,
            example="3",
        ),
        Column(
            name="bend_m",
            kind=Kind.NUMBER,
            unit="m",
            meaning="Equivalent metres for each 90° bend.",
            need=SOMETIMES,
            needed_when=_WET_NO_TYPE,
            default_meaning="0 for dry",
            low=0.0,
            high=1000.0,
            odd_high=20.0,
            hint="bends count in metres of hose",
            example="3",
        ),
        _rate(
            "rate_m3_h",
            "Through the nozzle, with a short hose.",
            need=SOMETIMES,
            needed_when=_NO_TYPE,
        ),
        fraction(
            "nozzle_on",
            "Share of a spell in which material flows (bag changes, hose shifts, gauging).",
            default="0.8",
            is_low_open=True,
            odd_low=0.2,
            example="0.8",
        ),
        hose("rate_free_m", "Equivalent hose up to which the rate holds.", default="0"),
        fraction(
            "rate_loss_per_100m",
            "Fraction of the rate lost for each 100 m of equivalent hose beyond that.",
            default="0",
            odd_high=0.6,
            example="0.10",
        ),
        minutes("start_up_min", "Before the first zone change of every run.", default="0"),
        minutes("clean_up_min", "After the last spell of every run.", default="0"),
        minutes(
            "idle_max_min",
            "Longest time from the end of a spell to the start of the next in one run.",
            default_meaning="no limit",
            odd_high=720.0,
        ),
        minutes(
            "move_min", "Shortest relocation to another position.", default="0", odd_high=2880.0
        ),
        minutes(
            "move_min_per_100m",
            "More for each 100 m of straight-line plan distance.",
            default="0",
            odd_high=720.0,
        ),
        Column(
            name="at",
            kind=Kind.IDENTIFIER,
            meaning="Position where it stands at the start.",
            default_meaning="its first set-up is free of a relocation",
            refers=("positions",),
            example="P1",
        ),
        _day("from", "First day on which it is available."),
        _day("to", "Last day on which it is available."),
        needs("in its runs and relocations"),
        TYPE,
        *MACHINE_COLUMNS,
    ),
)

CREWS = Table(
    name="crews",
    title="crews",
    key=("crew",),
    need=ALWAYS,
    columns=(
        identifier("crew", "Name of the crew.", example="A"),
        Column(
            name="kind",
            kind=Kind.CHOICE,
            choices=("spray", "break_out"),
            meaning="What the crew is for.",
            need=ALWAYS,
            example="spray",
        ),
        Column(
            name="processes",
            kind=Kind.CHOICES,
            choices=PROCESSES,
            meaning="Processes it may spray.",
            default_meaning="all",
            example="dry",
        ),
        Column(
            name="orientations",
            kind=Kind.CHOICES,
            choices=ORIENTATIONS,
            also=ORIENTATION_WORDS,
            meaning="Orientations it may spray.",
            default_meaning="all",
            example="overhead;vertical",
        ),
        reference("shift", "Shift it works.", "shifts", need=ALWAYS, example="day"),
        _rate(
            "rate_m3_h",
            "Concrete removed in an hour.",
            need=SOMETIMES,
            needed_when="kind is break_out",
        ),
        hours("duty_max_h", "Longest duty.", default_meaning="no limit", odd_high=16.0),
        hours(
            "rest_min_h",
            "Least rest between duties; needed with duty_max_h.",
            default_meaning="no limit",
            odd_high=72.0,
        ),
        hours(
            "week_max_h",
            "Most work in a Monday-Sunday week.",
            default_meaning="no limit",
            odd_high=84.0,
        ),
        _day("from", "First day on which it is available."),
        _day("to", "Last day on which it is available."),
        needs("in its runs, relocations and break-out"),
        PEOPLE,
        METHOD,
    ),
)

SHIFTS = Table(
    name="shifts",
    title="shifts",
    key=("shift",),
    need=ALWAYS,
    columns=(
        identifier("shift", "Name of the shift.", example="day"),
        Column(
            name="days",
            kind=Kind.WEEKDAYS,
            choices=WEEKDAYS,
            meaning="Days on which it starts.",
            need=ALWAYS,
            example="Mon;Tue;Wed;Thu;Fri",
        ),
        Column(
            name="start",
            kind=Kind.TIME_OF_DAY,
            meaning="Local time at which it starts.",
            need=ALWAYS,
            example="07:00",
        ),
        Column(
            name="end",
            kind=Kind.TIME_OF_DAY,
            meaning="Local time at which it ends; at or before the start: on the next day.",
            need=ALWAYS,
            example="17:00",
        ),
    ),
)
