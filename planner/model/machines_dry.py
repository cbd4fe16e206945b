"""The catalogue's guns for dry mix."""

from __future__ import annotations

from planner.model import machine_sources as said
from planner.model.identifiers import Process
from planner.model.machine import MachineType, Span, Trait
from planner.model.sourced import Trust


def _times() -> tuple[Span, ...]:
    def span(trait: Trait, low: float, usual: float, high: float) -> Span:
        return Span(
            trait=trait, low=low, usual=usual, high=high, trust=Trust.MEMORY, source=said.TIMES
        )

    return (
        span(Trait.START_UP, 10, 20, 30),
        span(Trait.CLEAN_UP, 10, 20, 30),
        Span(trait=Trait.IDLE, usual=60, high=60, trust=Trust.READ, source=said.DRY_IDLE),
        span(Trait.MOVE, 45, 90, 240),
    )


def _common(*, rate: float, bore: float, bore_max: float, air: float) -> tuple[Span, ...]:
    return (
        Span(
            trait=Trait.RATE,
            low=1,
            usual=rate,
            high=5,
            trust=Trust.PRACTICE,
            source=said.DRY_RATE,
        ),
        Span(
            trait=Trait.BORE,
            low=25,
            usual=bore,
            high=bore_max,
            trust=Trust.READ,
            source=said.DRY_BORE,
        ),
        *_times(),
        Span(trait=Trait.AIR, low=2.8, usual=air, trust=Trust.PRACTICE, source=said.DRY_AIR),
        Span(
            trait=Trait.AGGREGATE,
            usual=8,
            high=10,
            trust=Trust.MEMORY,
            source=said.DRY_AGGREGATE,
        ),
        Span(trait=Trait.CREW, low=6, usual=6, high=9, trust=Trust.DERIVED, source=said.DRY_CREW),
    )


def _reach(trait: Trait, usual: float, high: float, *, trust: Trust, source: str) -> Span:
    return Span(trait=trait, usual=usual, high=high, trust=trust, source=source)


DRY_MACHINES: tuple[MachineType, ...] = (
    MachineType(
        type_id="dry-single-chamber",
        title="single-chamber gun",
        process=Process.DRY,
        how="One pressure vessel is filled, shut and blown out through the hose, batch by batch.",
        intermittent=True,
        intermittent_source=said.BATCHED,
        spans=(
            *_common(rate=1.5, bore=32, bore_max=51, air=4.2),
            _reach(Trait.LEVEL, 100, 500, trust=Trust.PRACTICE, source=said.DRY_REACH),
            _reach(Trait.RISE, 30, 61, trust=Trust.READ, source=said.DRY_RISE),
        ),
    ),
    MachineType(
        type_id="dry-double-chamber",
        title="double-chamber gun",
        process=Process.DRY,
        how=(
            "An upper chamber is filled as a lock while a feed wheel in the lower one keeps the"
            " line supplied; the gun for the longest lines."
        ),
        intermittent=False,
        intermittent_source=said.LOCKED,
        spans=(
            *_common(rate=3, bore=38, bore_max=64, air=5.6),
            _reach(Trait.LEVEL, 300, 1000, trust=Trust.PRACTICE, source=said.DOUBLE_REACH),
            _reach(Trait.RISE, 50, 120, trust=Trust.MEMORY, source=said.DOUBLE_RISE),
        ),
    ),
    MachineType(
        type_id="dry-rotary-barrel",
        title="rotary barrel gun",
        process=Process.DRY,
        how="A turning barrel with pockets carries the mix from the hopper into the air stream.",
        intermittent=False,
        intermittent_source=said.ROTOR,
        spans=(
            *_common(rate=3, bore=38, bore_max=64, air=5.6),
            _reach(Trait.LEVEL, 300, 760, trust=Trust.READ, source=said.BARREL_REACH),
            _reach(Trait.RISE, 50, 120, trust=Trust.READ, source=said.BARREL_REACH),
        ),
    ),
    MachineType(
        type_id="dry-rotary-bowl",
        title="rotary feed-bowl gun",
        process=Process.DRY,
        how="A turning bowl of U-shaped pockets under the hopper feeds the air stream.",
        intermittent=False,
        intermittent_source=said.ROTOR,
        spans=(
            *_common(rate=2, bore=32, bore_max=51, air=4.2),
            _reach(Trait.LEVEL, 100, 150, trust=Trust.READ, source=said.BOWL_REACH),
            _reach(Trait.RISE, 20, 30, trust=Trust.READ, source=said.BOWL_REACH),
        ),
    ),
)
