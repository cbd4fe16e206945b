"""Tables of cards and results, and the keys of the quality plan and of curing.

Sources: docs/quality.md and docs/work_chain.md tell each with its trust label.
"""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Table
from planner.scenario.dictionary.shapes import (
    ALWAYS,
    ORIENTATION_WORDS,
    ORIENTATIONS,
    PROCESSES,
    days,
    fraction,
    identifier,
    reference,
)

_OURS = "docs/quality.md; limits from common practice"
_CHAIN = "docs/work_chain.md; limits from common practice"
_ACI_506_2 = "ACI 506.2 as quoted by the American Shotcrete Association's answers"


def _card_day(name: str, meaning: str, default_meaning: str) -> Column:
    return Column(
        name=name,
        kind=Kind.DATE,
        meaning=meaning,
        default_meaning=default_meaning,
        example="2027-04-05",
        source=_OURS,
    )


CARDS = Table(
    name="cards",
    title="who may spray what, and until when",
    columns=(
        reference("crew", "Crew the person sprays with.", "crews", need=ALWAYS, example="A"),
        identifier("person", "Name or number of the person on site.", example="N1"),
        Column(
            name="process",
            kind=Kind.CHOICE,
            choices=PROCESSES,
            meaning="Process that the card covers.",
            need=ALWAYS,
            example="dry",
            source=_OURS,
        ),
        Column(
            name="orientation",
            kind=Kind.CHOICE,
            choices=ORIENTATIONS,
            also=ORIENTATION_WORDS,
            meaning="Orientation that the card covers.",
            default_meaning="every orientation",
            example="overhead",
            source=_OURS,
        ),
        _card_day("from", "First day on which it is valid.", "valid already"),
        _card_day("to", "Last day on which it is valid.", "no end"),
    ),
)

RESULTS = Table(
    name="results",
    title="what tests and inspections gave",
    columns=(
        identifier(
            "test", "Name of the test in the quality plan (ebbwork tests).", example="PRE/A/dry"
        ),
        Column(
            name="date",
            kind=Kind.DATE,
            meaning="Day on which it was tested or inspected.",
            need=ALWAYS,
            example="2027-05-03",
            source=_OURS,
        ),
        Column(
            name="values",
            kind=Kind.NUMBERS,
            unit="MPa",
            meaning="Single strengths, of cores or pulls.",
            default_meaning="none: an inspection has no values",
            low=0.0,
            high=1000.0,
            odd_high=150.0,
            hint="strengths are MPa (N/mm²): divide psi by 145",
            example="38.2;41.0;36.5",
            source=_OURS,
        ),
        Column(
            name="met",
            kind=Kind.FLAG,
            meaning="Inspections: whether what was asked for was met.",
            default_meaning="not said",
            example="yes",
            source=_OURS,
        ),
        Column(name="note", kind=Kind.TEXT, meaning="For people.", example="core 2 short"),
    ),
)

CARDS_KEY = Column(
    name="rules.cards_min",
    kind=Kind.WHOLE,
    unit="1",
    meaning="With cards: people of a crew who must hold a valid card for what it sprays.",
    default="1",
    low=1.0,
    high=100.0,
    odd_high=6.0,
    example="1",
    source=_OURS,
)


def _strength(name: str, meaning: str, *, default: str = "", default_meaning: str = "") -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="MPa",
        meaning=meaning,
        default=default,
        default_meaning=default_meaning,
        low=0.0,
        is_low_open=True,
        high=1000.0,
        odd_high=100.0,
        hint="strengths are MPa (N/mm²): divide psi by 145",
        example=default or "35",
        source=_OURS,
    )


def _count(name: str, meaning: str, *, default: str, source: str) -> Column:
    return Column(
        name=name,
        kind=Kind.WHOLE,
        unit="1",
        meaning=meaning,
        default=default,
        low=1.0,
        high=1000.0,
        odd_high=20.0,
        example=default,
        source=source,
    )


QUALITY_KEYS = (
    _strength(
        "quality.strength_mpa",
        "Specified compressive strength f'c.",
        default_meaning="not given: results are shown without a verdict",
    ),
    days("quality.age_d", "Age at which f'c is tested.", default="28"),
    fraction(
        "quality.mean_factor",
        "Least mean of a set, as a share of f'c.",
        default="0.85",
        is_low_open=True,
        odd_low=0.5,
        example="0.85",
        source=_ACI_506_2,
    ),
    fraction(
        "quality.single_factor",
        "Least single value, as a share of f'c.",
        default="0.75",
        is_low_open=True,
        odd_low=0.5,
        example="0.75",
        source=_ACI_506_2,
    ),
    Column(
        name="quality.production_m3",
        kind=Kind.NUMBER,
        unit="m³",
        meaning="One production panel at least for each such volume in place.",
        default="38",
        low=0.0,
        is_low_open=True,
        high=1e5,
        odd_low=0.5,
        odd_high=100.0,
        hint="this is a volume in m³: 50 yd³ are 38 m³",
        example="38",
        source=_ACI_506_2,
    ),
    _count(
        "quality.operators",
        "Nozzle operators of a crew who spray on the same day; each makes his own panel.",
        default="1",
        source=_OURS,
    ),
    _count(
        "quality.cores",
        "Cores from a production panel.",
        default="3",
        source=_ACI_506_2,
    ),
    _count(
        "quality.pre_cores",
        "Cores from a pre-construction panel.",
        default="5",
        source="UFGS 03371, 1.8: at least five cores of 75 mm",
    ),
    _strength("quality.bond_mpa", "Least bond strength of every pull.", default="1.0"),
    days("quality.bond_age_d", "Age at which bond is tested.", default="28"),
    Column(
        name="quality.bond_m2",
        kind=Kind.NUMBER,
        unit="m²",
        meaning="One set of bond tests at least for each such area.",
        default="250",
        low=0.0,
        is_low_open=True,
        high=1e6,
        odd_low=5.0,
        odd_high=2000.0,
        hint="this is an area in m²",
        example="250",
        source="from memory: EN 14487-1, inspection class 3; to be confirmed in the contract",
    ),
    _count(
        "quality.bond_pulls",
        "Pulls of a set of bond tests.",
        default="3",
        source="from memory: common practice",
    ),
    Column(
        name="quality.hold",
        kind=Kind.CHOICES,
        choices=("panels", "inspection", "failed"),
        meaning="Stops of the contract: spraying that lies before one is met is flagged.",
        default_meaning="no stop",
        example="panels;inspection",
        source=_OURS,
    ),
    days(
        "quality.hold_age_d",
        "Age at which a pre-construction panel ends its stop.",
        default_meaning="as quality.age_d",
    ),
    _strength(
        "quality.hold_mpa",
        "Specified strength at that age.",
        default_meaning="as quality.strength_mpa",
    ),
)

CURE_KEYS = (
    Column(
        name="cure.method",
        kind=Kind.CHOICE,
        choices=("moist", "membrane"),
        meaning="How the finished face is kept from drying.",
        default="moist",
        example="moist",
        source=_CHAIN,
    ),
    Column(
        name="cure.days",
        kind=Kind.NUMBER,
        unit="d",
        meaning="How long it is cured.",
        default="7",
        low=0.0,
        high=1000.0,
        odd_low=3.0,
        odd_high=56.0,
        hint="this is in days",
        example="7",
        source="American Shotcrete Association; UFGS 03371 and 03900: 7 days",
    ),
    Column(
        name="cure.activation_j_mol",
        kind=Kind.NUMBER,
        unit="J/mol",
        meaning="Apparent activation energy of equivalent age; the mix's own is better.",
        default="33500",
        low=1000.0,
        high=200000.0,
        odd_low=25000.0,
        odd_high=60000.0,
        hint="this is in J/mol: write 33.5 kJ/mol as 33500",
        example="33500",
        source="practice notes on ASTM C1074: about 33 500 J/mol; 40 000 to 45 000 from memory",
    ),
    Column(
        name="cure.datum_c",
        kind=Kind.NUMBER,
        unit="°C",
        meaning="Temperature below which Nurse-Saul maturity does not grow.",
        default="0",
        low=-20.0,
        high=20.0,
        odd_low=-12.0,
        odd_high=6.0,
        hint="temperatures are °C, not °F",
        example="0",
        source="practice notes on ASTM C1074: 0 °C; -10 °C in older European practice, from"
        " memory",
    ),
)

PROTECT_AT = Column(
    name="protect_at_c",
    kind=Kind.NUMBER,
    unit="°C",
    meaning="Temperature at which protect_h was found; with it the work chain warns of the cold.",
    default_meaning="not known: protect_h is taken as it is",
    low=0.0,
    high=50.0,
    odd_low=5.0,
    odd_high=35.0,
    hint="temperatures are °C, not °F",
    example="20",
    source=_CHAIN,
)

PEOPLE = Column(
    name="people",
    kind=Kind.WHOLE,
    unit="1",
    meaning="People in the crew; compared with what its machine's type needs.",
    default_meaning="not told",
    low=1.0,
    high=1000.0,
    odd_high=30.0,
    example="6",
    source=_OURS,
)

METHOD = Column(
    name="method",
    kind=Kind.CHOICE,
    choices=("breaker", "lance", "robot"),
    meaning="Break-out crews: hand breakers, hand lance or robot for water jetting.",
    default_meaning="not told: the rate is not compared",
    example="breaker",
    source=_CHAIN,
)
