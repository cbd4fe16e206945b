"""Keys of prices.toml, the estimate's price book."""

from __future__ import annotations

from dataclasses import replace

from planner.scenario.dictionary.column import Column, Kind
from planner.scenario.dictionary.shapes import money as contract_money

PRICE_BOOK = "prices"
"""Name of the sheet, and stem of the file, that holds the price book."""


def money(name: str, meaning: str) -> Column:
    """Return a rate in the campaign's own currency; 0 where it is not given."""
    return replace(
        contract_money(name, meaning), source="the estimator's own; no price is built in"
    )


def _number(
    name: str, meaning: str, *, unit: str, default: str, source: str, low_open: bool = False
) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit=unit,
        meaning=meaning,
        default=default,
        low=0.0,
        is_low_open=low_open,
        high=1e6,
        example=default,
        source=source,
    )


def _share(name: str, meaning: str) -> Column:
    return Column(
        name=name,
        kind=Kind.NUMBER,
        unit="1",
        meaning=meaning,
        default="0",
        low=0.0,
        high=10.0,
        odd_high=0.5,
        hint="this is a fraction: write 12 % as 0.12",
        example="0.12",
        source="the estimator's own",
    )


BOOK_KEYS: tuple[Column, ...] = (
    money("mobilise.site", "Once: bringing site plant, stores and welfare."),
    money("mobilise.rig.*", "Once for each rig that the plan uses."),
    money("demobilise.site", "Once: clearing the site."),
    money("demobilise.rig.*", "Once for each rig that the plan uses."),
    money("access.fixed", "Once: putting up and taking down platforms, floats, ladders."),
    money("access.day", "For each site day: hire of access."),
    money("access.m2", "For each m² of face."),
    money("containment.fixed", "Once: decks, nets and sheets that keep rebound out of the water."),
    money("containment.day", "For each site day."),
    money("containment.m2", "For each m² of face."),
    money("break_out.m3", "For each m³ broken out, crews aside: tools, cutting, cleaning bars."),
    money("disposal.break_out_m3", "For each m³ of loose rubble from break-out."),
    _number(
        "disposal.bulking",
        "Rubble lies looser than concrete: volume added, as a fraction.",
        unit="1",
        default="0.5",
        source="from memory: broken concrete takes 1.4 to 1.7 times its volume",
    ),
    money("curing.m2", "For each m² of face, once: compound, or mats and fixing."),
    money("curing.m2_day", "For each m² of face and day of curing."),
    _number(
        "curing.days",
        "Days of curing.",
        unit="d",
        default="7",
        source="UFGS 03371: moist for 7 days in all, or until the strength is shown by cores",
    ),
    money("tests.panel", "For each test panel: box, transport, sawing."),
    _number(
        "tests.panel_every_m3",
        "A panel for each crew and mix on every day of work, or for so many m³: what gives more.",
        unit="m³",
        default="38",
        source="ACI 506.2-13: 50 yd³, as the American Shotcrete Association states the clause",
        low_open=True,
    ),
    money("tests.core", "For each core, drilled and crushed."),
    _number(
        "tests.cores_per_panel",
        "Cores from each panel.",
        unit="1",
        default="3",
        source="ASTM C1604 and ACI practice: sets of three",
    ),
    money("tests.bond", "For each pull-off test of bond."),
    _number(
        "tests.bond_every_m2",
        "One test of bond for each so many m² of face, begun ones counted.",
        unit="m²",
        default="250",
        source="from memory: EN 14487-1 asks one for 250 to 1000 m² by inspection class",
        low_open=True,
    ),
    money(
        "standby.crew_hour.*",
        "For each paid hour in which the crew waits because every face of its plan is shut.",
    ),
    money("standby.rig_hour.*", "The same hours of the rigs that the crew sprays with."),
    money("night.crew_shift.*", "Premium for each crew-shift with work between 22:00 and 06:00."),
    money("night.run", "Premium for each run that touches 22:00-06:00: lighting, attendance."),
    money("lifting.relocation", "For each relocation: slinging, riggers, permits."),
    money("lifting.hour", "For each hour of relocation: crane, float or tug."),
    _number(
        "lifting.least_h",
        "Least hire of the crane for one relocation.",
        unit="h",
        default="0",
        source="the hirer's own terms",
    ),
    money("hose.wear_m3_100m.*", "For each m³ through the process's hose and 100 m of it laid."),
    money("extra.fixed.*", "Any further item, once."),
    money("extra.day.*", "Any further item for each site day."),
    money("extra.relocation.*", "Any further item for each relocation."),
    money("extra.m2.*", "Any further item for each m² of face."),
    money("extra.m3.*", "Any further item for each m³ in place."),
    _share("on_top.overhead", "Share of all lines above: overheads."),
    _share("on_top.risk", "Share of all lines above: risk."),
    _share("on_top.profit", "Share of all lines above: profit."),
)
"""Every key; ``*`` stands for a name."""

BOOK_OWNERS: dict[str, str] = {
    "mobilise.rig": "rigs",
    "demobilise.rig": "rigs",
    "standby.crew_hour": "crews",
    "standby.rig_hour": "rigs",
    "night.crew_shift": "crews",
    "hose.wear_m3_100m": "process",
    "extra.fixed": "",
    "extra.day": "",
    "extra.relocation": "",
    "extra.m2": "",
    "extra.m3": "",
}
"""Whose identifiers end a key of each group: a table, the processes, or empty: any name."""

BOOK_KEY_BY_NAME: dict[str, Column] = {key.name: key for key in BOOK_KEYS}


def book_column(key: str) -> Column | None:
    """Return the description of a dotted key of the price book, names included."""
    found = BOOK_KEY_BY_NAME.get(key)
    if found is not None and not key.endswith(".*"):
        return found
    for group in BOOK_OWNERS:
        if key.startswith(f"{group}.") and len(key) > len(group) + 1:
            return BOOK_KEY_BY_NAME[f"{group}.*"]
    return None
