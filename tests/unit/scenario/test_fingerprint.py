"""One number that tells whether two scenarios say the same."""

import dataclasses

import pytest

from planner.scenario.raw import RawTable
from tests.unit.scenario.scenes import MIX, TABLES, read, scene, tidal, zones


def mark(tables):
    return read(tables).fingerprint


SAME = {
    "trailing zeros": scene(zones=zones({"area_m2": "10.000", "depth_mm": "4e1"})),
    "rows in another order": scene(zones=list(reversed(TABLES["zones"]))),
    "columns in another order": scene(
        rigs=[dict(reversed(list(row.items()))) for row in TABLES["rigs"]]
    ),
    "a default written out": scene({"rules.waste": "0.030"}, zones=zones({"priority": "1"})),
    "a column of one's own": scene(crews=[TABLES["crews"][0] | {"foreman": "any"}]),
    "a key of one's own": scene({"own.note": "x"}),
    "a table without rows": scene(closures=[], apart=[]),
    "weekdays in another order": scene(
        shifts=[TABLES["shifts"][0] | {"days": "Fri;Thu;Wed;Tue;Mon"}]
    ),
    "a time without a nought": scene(shifts=[TABLES["shifts"][0] | {"start": "7:00"}]),
}

OTHER = {
    "a number": scene(zones=zones({"area_m2": "10.001"})),
    "a key": scene({"rules.waste": "0.04"}),
    "an identifier": scene(crews=[TABLES["crews"][0] | {"crew": "B"}]),
    "a row more": scene(
        closures=[{"scope": "site", "from": "2027-04-06", "to": "2027-04-06"}],
    ),
    "an offset": scene(zones=zones({"ready_from": "2027-04-06T07:00+02:00"})),
    "mixes": scene(mixes=[MIX]),
    "an order of goals": scene({"campaign.goal": "cost;finish"}),
    "water": tidal(),
}


@pytest.mark.parametrize("tables", SAME.values(), ids=SAME)
def test_what_says_the_same_has_the_same_fingerprint(tables):
    assert mark(tables) == mark(scene())


def test_what_says_something_else_has_another_fingerprint():
    marks = [mark(tables) for tables in (scene(), *OTHER.values())]
    assert len(set(marks)) == len(marks)


def test_blank_rows_do_not_matter():
    raw = scene()
    zones_table = raw.tables["zones"]
    blank = tuple("" for _ in zones_table.columns)
    rows = (zones_table.rows[0], blank, *zones_table.rows[1:])
    spaced = dataclasses.replace(
        raw,
        tables={**raw.tables, "zones": RawTable(columns=zones_table.columns, rows=rows)},
    )
    assert mark(spaced) == mark(raw)


def test_the_fingerprint_of_a_scenario_stays_the_same_from_version_to_version():
    # Computed once; it stands in plan folders that people keep for years.
    assert mark(tidal(mixes=[MIX])) == FIRST


FIRST = "65d10843adf0cc0c6c560ec38f448dcd93665ce48c34fe46e26acd12cdc19e9c"
