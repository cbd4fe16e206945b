"""Crews and the shifts they work."""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import CrewId, CrewKind, Orientation, Process, ShiftId
from planner.model.resource import Need


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """A daily shift (contract, shifts.csv).

    Attributes
    ----------
    shift_id
        Identifier.
    weekdays
        Days on which it starts, Monday = 0.
    start_tod, end_tod
        Local time of day [minutes after midnight]; an end at or before the start is next day.
    """

    shift_id: ShiftId
    weekdays: frozenset[int]
    start_tod: int
    end_tod: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """One crew (contract, crews.csv).

    Attributes
    ----------
    crew_id, kind
        Identifier; spraying or breaking out.
    processes, orientations
        What it may spray; empty: all.
    shift_id
        Shift it works.
    rate_m3_h
        Break-out crews: concrete removed per hour [m³/h].
    duty_max_min, rest_min_min, week_max_min
        Rule 15: longest duty, least rest, most work in a Monday-Sunday week [min]; None: none.
    available_from_min, available_to_min
        Stretch in which it is on site [min].
    people
        People in it [1]; None: not told.
    method
        Break-out crews: how they break out; empty: not told.
    needs
        Resources it takes in its runs, relocations and break-out (rule 16).
    """

    crew_id: CrewId
    kind: CrewKind
    processes: tuple[Process, ...] = ()
    orientations: tuple[Orientation, ...] = ()
    shift_id: ShiftId
    rate_m3_h: float | None = None
    duty_max_min: int | None = None
    rest_min_min: int | None = None
    week_max_min: int | None = None
    available_from_min: int
    available_to_min: int
    needs: tuple[Need, ...] = ()
    people: int | None = None
    method: str = ""
