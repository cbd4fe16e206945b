"""Short ways to write the columns that occur again and again."""

from __future__ import annotations

from planner.scenario.dictionary.column import Column, Kind, Need

ALWAYS, SOMETIMES = Need.ALWAYS, Need.SOMETIMES

PROCESSES = ("dry", "wet")
ORIENTATIONS = ("overhead", "vertical", "floor")
ORIENTATION_WORDS = (
    ("ceiling", "overhead"),
    ("crown", "overhead"),
    ("roof", "overhead"),
    ("soffit", "overhead"),
    ("wall", "vertical"),
    ("side", "vertical"),
    ("invert", "floor"),
    ("slab", "floor"),
    ("horizontal", "floor"),
)
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

WHY = Column(name="why", kind=Kind.TEXT, meaning="Reason, for people.", example="holiday")


def identifier(name: str, meaning: str, *, example: str) -> Column:
    """Return the column that names the rows of a table."""
    return Column(name=name, kind=Kind.IDENTIFIER, meaning=meaning, need=ALWAYS, example=example)


def reference(
    name: str, meaning: str, *refers: str, need: Need = Need.NEVER, example: str = ""
) -> Column:
    """Return a column that holds an identifier of another table."""
    return Column(
        name=name, kind=Kind.IDENTIFIER, meaning=meaning, refers=refers, need=need, example=example
    )


def coordinate(name: str, of_what: str) -> Column:
    """Return a site coordinate [m]; easting and northing may be those of a national grid."""
    axis, example, odd = {
        "x_m": ("east", "12.5", None),
        "y_m": ("north", "40", None),
        "z_m": ("height above the site datum", "2.1", 1000.0),
    }[name]
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="m",
        meaning=f"Place of the {of_what} in site coordinates: {axis}.",
        need=ALWAYS,
        low=-1e7,
        high=1e7,
        odd_low=None if odd is None else -odd,
        odd_high=odd,
        hint="coordinates are metres, not millimetres",
        example=example,
    )


def place(of_what: str) -> tuple[Column, Column, Column]:
    """Return the three site coordinates [m]."""
    return coordinate("x_m", of_what), coordinate("y_m", of_what), coordinate("z_m", of_what)


def level(name: str, meaning: str, *, kind: Kind = Kind.NUMBER, need: Need = Need.NEVER) -> Column:
    """Return a water level above the site datum [m]."""
    return Column(
        name=name,
        kind=kind,
        unit="m",
        meaning=meaning,
        need=need,
        needed_when="water.kind is not none" if need is SOMETIMES else "",
        low=-1e4,
        high=1e4,
        odd_low=-30.0,
        odd_high=30.0,
        hint="levels are metres above the site datum, not millimetres, centimetres or feet",
        example="0.8",
    )


def minutes(
    name: str,
    meaning: str,
    *,
    default: str = "",
    default_meaning: str = "",
    odd_high: float = 240.0,
    need: Need = Need.NEVER,
    needed_when: str = "",
) -> Column:
    """Return a duration in minutes [min]."""
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="min",
        meaning=meaning,
        default=default,
        default_meaning=default_meaning,
        need=need,
        needed_when=needed_when,
        low=0.0,
        high=1e6,
        odd_high=odd_high,
        hint="durations named _min are minutes, not seconds",
        example=default or "10",
    )


def hours(
    name: str, meaning: str, *, default: str = "", default_meaning: str = "", odd_high: float
) -> Column:
    """Return a duration in hours [h]."""
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="h",
        meaning=meaning,
        default=default,
        default_meaning=default_meaning,
        low=0.0,
        high=1e5,
        odd_high=odd_high,
        hint="durations named _h are hours, not minutes",
        example=default or "12",
    )


def days(name: str, meaning: str, *, default: str = "", default_meaning: str = "") -> Column:
    """Return a duration in days [d]."""
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="d",
        meaning=meaning,
        default=default,
        default_meaning=default_meaning,
        low=0.0,
        high=1e4,
        odd_high=120.0,
        hint="durations named _days are days, not hours",
        example=default or "7",
    )


def fraction(
    name: str,
    meaning: str,
    *,
    default: str = "",
    high: float = 1.0,
    is_high_open: bool = False,
    is_low_open: bool = False,
    odd_low: float | None = None,
    odd_high: float | None = None,
    need: Need = Need.NEVER,
    source: str = "the scenario contract; limits from common practice",
    example: str = "0.30",
) -> Column:
    """Return a share between 0 and 1 [1]."""
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="1",
        meaning=meaning,
        default=default,
        need=need,
        low=0.0,
        is_low_open=is_low_open,
        high=high,
        is_high_open=is_high_open,
        odd_low=odd_low,
        odd_high=odd_high,
        hint="shares are fractions: write 30 % as 0.30",
        example=example,
        source=source,
    )


def money(name: str, meaning: str) -> Column:
    """Return a price in the campaign's own currency; 0 where it is not given."""
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="money",
        meaning=meaning,
        default="0",
        low=0.0,
        high=1e12,
        example="250",
        source="the scenario contract; no price is built in",
    )


def hose(
    name: str,
    meaning: str,
    *,
    default: str = "",
    need: Need = Need.NEVER,
    needed_when: str = "",
) -> Column:
    """Return a length of hose [m]."""
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="m",
        meaning=meaning,
        default=default,
        need=need,
        needed_when=needed_when,
        low=0.0,
        high=1e5,
        odd_high=1500.0,
        hint="hose lengths are metres, not millimetres or feet",
        example="60",
        source="odd limit: twice the longest dry line on record, 760 m (trade press)",
    )
