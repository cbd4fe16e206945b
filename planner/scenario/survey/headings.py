"""Which column of a list is which of ours: by name, by words people use, and by unit."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from planner.scenario.dictionary import Column, Kind, Table
from planner.scenario.suggest import plain
from planner.scenario.units import factor, unit_named, units_like

LIKENESS_MIN = 0.74
"""Least likeness of two names for a suggestion (0 to 1); chosen by trying survey headings."""

_WORDS: dict[str, tuple[str, ...]] = {
    "zone": ("id", "ref", "reference", "defect", "patch", "repair", "zone", "item", "tag", "mark"),
    "position": ("position", "set up", "setup", "stand", "id", "ref"),
    "x_m": ("x", "e", "east", "easting"),
    "y_m": ("y", "n", "north", "northing"),
    "z_m": ("z", "level", "elevation", "height", "rl", "reduced level", "invert level"),
    "area_m2": ("area", "surface", "size", "extent"),
    "depth_mm": ("depth", "thickness", "loss", "section loss", "depth of repair", "mean depth"),
    "volume_m3": ("volume", "vol", "quantity"),
    "orientation": ("face", "orientation", "surface type", "aspect", "element face"),
    "section": ("section", "bay", "span", "berth", "ring", "panel", "reach", "length"),
    "chainage_m": ("chainage", "ch", "station", "distance", "running distance"),
    "water_max_m": ("water max", "working level", "access level", "max water"),
    "wets_at_m": ("wets at", "splash level", "wetting level"),
    "priority": ("priority", "rank", "class", "urgency"),
    "due": ("due", "deadline", "finish by", "required by"),
    "ready_from": ("ready", "available from", "ready from", "start after"),
    "clock_from": ("clock from", "oclock from", "from oclock"),
    "clock_to": ("clock to", "oclock to", "to oclock"),
    "length_m": ("length", "hose length", "distance"),
    "rise_m": ("rise", "height difference"),
    "bends": ("bends", "elbows"),
    "time": ("time", "date", "date time", "datetime", "timestamp"),
    "level_m": ("level", "height", "water level", "stage"),
    "flow_m3_s": ("flow", "discharge", "q"),
    "rain_mm": ("rain", "rainfall", "precipitation"),
    "why": ("why", "remark", "remarks", "reason", "comment", "note"),
}
_BRACKETS = re.compile(r"[(\[{]\s*([^)\]}]{1,12})\s*[)\]}]")
_EDGE = re.compile(r"[\s_,/:;-]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading of a list taken apart.

    Attributes
    ----------
    text
        As it stands there.
    words
        Without its unit.
    unit
        The unit it names, as we write it; empty: none.
    """

    text: str
    words: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """A column of a list and the one of ours that it seems to be.

    Attributes
    ----------
    place
        Its place in the list, from 0.
    target
        Name of our column; empty: not taken over.
    unit
        Unit in which the list has it.
    """

    place: int
    target: str
    unit: str


def heading_of(text: str) -> Heading:
    """Return a heading taken apart into words and unit.

    Examples
    --------
    >>> heading_of("Depth (cm)").unit, heading_of("area_sqm").unit, heading_of("Zone").unit
    ('cm', 'm²', '')
    """
    for found in _BRACKETS.finditer(text):
        unit = unit_named(found.group(1))
        if unit is not None:
            words = (text[: found.start()] + " " + text[found.end() :]).strip()
            return Heading(text=text, words=words, unit=unit)
    parts = [part for part in _EDGE.split(text) if part]
    for size in (2, 1):
        if len(parts) > size:
            for joint in (" ", "_"):
                unit = unit_named(joint.join(parts[-size:]))
                if unit is not None:
                    return Heading(text=text, words=" ".join(parts[:-size]), unit=unit)
    return Heading(text=text, words=text.strip(), unit="")


def suggested(headings: Sequence[str], table: Table) -> tuple[Match, ...]:
    """Return for each heading the column it seems to be; no column is suggested twice."""
    taken = [heading_of(text) for text in headings]
    scored = sorted(
        (
            (-likeness(heading, column), place, order)
            for place, heading in enumerate(taken)
            for order, column in enumerate(table.columns)
        ),
    )
    targets: dict[int, Column] = {}
    used: set[int] = set()
    for score, place, order in scored:
        if -score < LIKENESS_MIN:
            break
        if place not in targets and order not in used:
            targets[place] = table.columns[order]
            used.add(order)
    return tuple(_match(place, heading, targets.get(place)) for place, heading in enumerate(taken))


def _match(place: int, heading: Heading, column: Column | None) -> Match:
    if column is None:
        return Match(place=place, target="", unit="")
    is_ours = heading.unit in units_like(column.unit) if heading.unit else False
    return Match(place=place, target=column.name, unit=heading.unit if is_ours else column.unit)


def likeness(heading: Heading, column: Column) -> float:
    """Return how much a heading is like a column, 0 to 1.

    A heading whose unit the column cannot have is never like it.
    """
    if heading.unit and factor(heading.unit, column.unit) is None:
        is_own_word = plain(heading.text) == plain(column.name)
        return 1.0 if is_own_word else 0.0
    if plain(heading.text) == plain(column.name):
        return 1.0
    words = plain(heading.words)
    if not words:
        return 0.0
    bare = plain(heading_of(column.name).words)
    if words == bare:
        return 0.98
    best = _ratio(words, bare)
    for rank, known in enumerate(_WORDS.get(column.name, ())):
        if words == plain(known):
            return 0.96 - 0.005 * rank
        best = max(best, 0.95 * _ratio(words, plain(known)) if len(words) > 3 else 0.0)
    tokens = {plain(token) for token in _EDGE.split(heading.words)}
    if column.kind is not Kind.TEXT and tokens & {plain(w) for w in _WORDS.get(column.name, ())}:
        best = max(best, 0.8)
    return best + (0.01 if heading.unit else 0.0)


def _ratio(one: str, other: str) -> float:
    return 0.94 * SequenceMatcher(None, one, other).ratio()
