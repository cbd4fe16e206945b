"""Identifiers and the small closed sets of words that tables use."""

from __future__ import annotations

from enum import StrEnum
from typing import NewType

ZoneId = NewType("ZoneId", str)
PositionId = NewType("PositionId", str)
RigId = NewType("RigId", str)
CrewId = NewType("CrewId", str)
ShiftId = NewType("ShiftId", str)
MixId = NewType("MixId", str)
ResourceId = NewType("ResourceId", str)


class Process(StrEnum):
    """How the material travels: dry through the hose, or wet and pumped."""

    DRY = "dry"
    WET = "wet"


class Orientation(StrEnum):
    """Which way the face looks."""

    OVERHEAD = "overhead"
    VERTICAL = "vertical"
    FLOOR = "floor"


class CrewKind(StrEnum):
    """What a crew is for."""

    SPRAY = "spray"
    BREAK_OUT = "break_out"


class Goal(StrEnum):
    """What a plan is judged by; smaller is better for each."""

    FINISH = "finish"
    RELOCATIONS = "relocations"
    COST = "cost"
    LATE = "late"
    NIGHT_RUNS = "night_runs"
    JOINTS = "joints"
