"""One zone's work for the tests of the work chain."""

from __future__ import annotations

from typing import Any

from planner.core.spans import Spans
from planner.model.identifiers import CrewId, CrewKind
from planner.model.quality import Cure
from planner.model.rules import Rules
from planner.trade.work_chain import work_chain
from planner.trade.work_chain_step import ChainStep, Sprayed, StepKind, ZoneWork
from tests import builders as make

DAY = 24 * 60


def sprayed(start: int = 1000, minutes: int = 60, /, **changes: Any) -> Sprayed:
    """2.2 m³ of layer 1."""
    fields: dict[str, Any] = {
        "layer": 1,
        "start_min": start,
        "end_min": start + minutes,
        "volume_m3": 2.2,
    }
    return Sprayed(**(fields | changes))


def breakers(**changes: Any) -> Any:
    """A break-out crew: 0.5 m³/h."""
    fields: dict[str, Any] = {"kind": CrewKind.BREAK_OUT, "rate_m3_h": 0.5}
    return make.crew("B1", **(fields | changes))


def work(**changes: Any) -> ZoneWork:
    """Zone Z1, sprayed with dry at 1000; not broken out by the plan, never wetted."""
    fields: dict[str, Any] = {
        "zone": make.zone(),
        "rules": Rules(),
        "cure": Cure(),
        "face": make.mix(),
        "volume_m3": 2.2,
        "breaks_out": False,
        "broken": (),
        "spells": (sprayed(),),
        "wet": Spans(),
        "end_min": 20 * DAY,
        "since_min": 0,
        "is_inspected": False,
        "finish_min": 0,
        "air": lambda _start, _hours: None,
    }
    return ZoneWork(**(fields | changes))


def steps(kind: StepKind | None = None, /, **changes: Any) -> list[ChainStep]:
    """The steps of one kind, or all."""
    return [one for one in work_chain(work(**changes)) if kind in (None, one.kind)]


def times(found: list[ChainStep]) -> list[tuple[int | None, int | None]]:
    return [(one.start_min, one.end_min) for one in found]


B1 = CrewId("B1")
