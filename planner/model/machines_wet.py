"""The catalogue's machines for wet mix."""

from __future__ import annotations

from planner.model import machine_sources as said
from planner.model.identifiers import Process
from planner.model.machine import MachineType, Span, Trait
from planner.model.sourced import Trust


def _span(
    trait: Trait,
    usual: float,
    high: float | None = None,
    *,
    low: float | None = None,
    trust: Trust = Trust.MEMORY,
    source: str,
) -> Span:
    return Span(trait=trait, low=low, usual=usual, high=high, trust=trust, source=source)


def _line() -> tuple[Span, ...]:
    return (
        _span(Trait.RISE_FACTOR, 3, 4, low=2, source=said.WET_RISE_FACTOR),
        _span(Trait.BEND, 3, 12, low=1, source=said.WET_BEND),
    )


def _times(*, move_min: float = 120) -> tuple[Span, ...]:
    return (
        _span(Trait.START_UP, 30, 60, low=15, source=said.TIMES),
        _span(Trait.CLEAN_UP, 40, 60, low=20, source=said.TIMES),
        _span(Trait.IDLE, 45, 60, source=said.WET_IDLE),
        _span(Trait.MOVE, move_min, 300, low=45, source=said.TIMES),
    )


def _nozzle() -> tuple[Span, ...]:
    return (
        _span(Trait.AIR, 6, low=6, trust=Trust.READ, source=said.WET_AIR),
        _span(Trait.CREW, 6, 8, low=5, trust=Trust.DERIVED, source=said.WET_CREW),
    )


def _hand_bore() -> Span:
    return _span(Trait.BORE, 50, 64, low=38, trust=Trust.READ, source=said.WET_BORE)


WET_MACHINES: tuple[MachineType, ...] = (
    MachineType(
        type_id="wet-piston",
        title="hydraulic piston pump",
        process=Process.WET,
        how="Two cylinders take turns to push concrete through a swinging tube into the line.",
        intermittent=False,
        intermittent_source=said.PUMPED,
        spans=(
            _span(Trait.RATE, 6, 10, low=3, trust=Trust.PRACTICE, source=said.WET_RATE),
            _span(Trait.LEVEL, 100, 150, trust=Trust.PRACTICE, source=said.WET_REACH),
            _span(Trait.RISE, 30, 60, trust=Trust.READ, source=said.WET_RISE),
            _hand_bore(),
            *_line(),
            *_times(),
            *_nozzle(),
            _span(Trait.AGGREGATE, 10, 20, trust=Trust.READ, source=said.PISTON_AGGREGATE),
        ),
    ),
    MachineType(
        type_id="wet-squeeze",
        title="squeeze pump",
        process=Process.WET,
        how="Rollers squeeze a rubber tube; only the tube touches the concrete.",
        intermittent=False,
        intermittent_source=said.PUMPED,
        spans=(
            _span(Trait.RATE, 4, 10, low=1, trust=Trust.PRACTICE, source=said.SQUEEZE_RATE),
            _span(Trait.LEVEL, 60, 76, trust=Trust.READ, source=said.SQUEEZE_REACH),
            _span(Trait.RISE, 10, 15, trust=Trust.READ, source=said.SQUEEZE_REACH),
            _hand_bore(),
            *_line(),
            *_times(),
            *_nozzle(),
            _span(Trait.AGGREGATE, 8, 12.7, trust=Trust.READ, source=said.SQUEEZE_REACH),
        ),
    ),
    MachineType(
        type_id="wet-worm",
        title="worm (mortar) pump",
        process=Process.WET,
        how="A screw turns in a rubber sleeve and pushes fine mortar steadily.",
        intermittent=False,
        intermittent_source=said.PUMPED,
        spans=(
            _span(Trait.RATE, 2, 4, low=0.5, trust=Trust.READ, source=said.WORM_RATE),
            _span(Trait.LEVEL, 40, 60, source=said.WORM_REACH),
            _span(Trait.RISE, 15, 30, source=said.WORM_REACH),
            _span(Trait.BORE, 32, 50, low=25, source=said.WORM_BORE),
            *_line(),
            *_times(move_min=60),
            *_nozzle(),
            _span(Trait.AGGREGATE, 4, 4, trust=Trust.READ, source=said.WORM_AGGREGATE),
        ),
    ),
    MachineType(
        type_id="wet-pneumatic",
        title="pneumatic feed",
        process=Process.WET,
        how="Mixed concrete is blown from a pressure vessel through the hose, batch by batch.",
        intermittent=True,
        intermittent_source=said.BATCHED,
        spans=(
            _span(Trait.RATE, 5, 10, low=3, source=said.PNEUMATIC),
            _span(Trait.LEVEL, 60, 100, source=said.PNEUMATIC),
            _span(Trait.RISE, 15, 30, source=said.PNEUMATIC),
            _hand_bore(),
            *_line(),
            *_times(),
            *_nozzle(),
            _span(Trait.AGGREGATE, 8, 10, source=said.PNEUMATIC),
        ),
    ),
    MachineType(
        type_id="wet-boom",
        title="robotic boom",
        process=Process.WET,
        how="A piston pump feeds a nozzle on a remote-controlled arm; nobody holds the hose.",
        intermittent=False,
        intermittent_source=said.PUMPED,
        spans=(
            _span(Trait.RATE, 12, 25, low=4, trust=Trust.PRACTICE, source=said.BOOM_RATE),
            _span(Trait.LEVEL, 12, 17, trust=Trust.READ, source=said.BOOM_REACH),
            _span(Trait.RISE, 10, 17, trust=Trust.READ, source=said.BOOM_REACH),
            _span(Trait.BORE, 64, 75, low=50, trust=Trust.READ, source=said.BOOM_BORE),
            _span(Trait.RISE_FACTOR, 0, source=said.BOOM_LINE),
            _span(Trait.BEND, 0, source=said.BOOM_LINE),
            *_times(move_min=60),
            _span(Trait.AIR, 12, low=6, trust=Trust.READ, source=said.BOOM_AIR),
            _span(Trait.CREW, 3, 4, low=2, trust=Trust.DERIVED, source=said.BOOM_CREW),
            _span(Trait.AGGREGATE, 10, 20, trust=Trust.READ, source=said.PISTON_AGGREGATE),
        ),
    ),
)
