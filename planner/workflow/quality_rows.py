"""Rows of the quality plan, of its stops and of a work chain, as tables show them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from planner.core.clock import Clock
from planner.trade.figure import Figure
from planner.trade.work_chain_step import ChainStep
from planner.workflow.quality import QualityPlan, Tested


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRow:
    """One test or inspection.

    ``made`` and ``due`` are civil days: when it is sprayed or ready, and when the result can be
    there (inspections: must be there); ``waiting`` counts the spells that wait for it.
    """

    test: str
    kind: str
    crew: str
    mix: str
    orientation: str
    zone: str
    made: str
    due: str
    pieces: int | None
    asked_mpa: float | None
    tested: str
    values_mpa: str
    verdict: str
    waiting: int
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRow:
    """A spell that lies before a stop of the contract is met."""

    zone: str
    layer: int
    start: str
    crew: str
    mix: str
    stop: str
    test: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainRow:
    """One step of a work chain; times as far as the plan has them."""

    step: int
    what: str
    layer: int | None
    start: str
    end: str
    minutes: int | None
    says: str
    look_at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """A number or a rule with its formula, inputs and source."""

    name: str
    value: float | None
    unit: str
    formula: str
    inputs: str
    source: str
    trust: str
    note: str


def trial_rows(quality: QualityPlan, clock: Clock) -> Iterator[TrialRow]:
    """Yield the trials in order."""
    for one in quality.tested:
        yield _trial(one, clock)


def _trial(one: Tested, clock: Clock) -> TrialRow:
    trial, outcome = one.trial, one.outcome
    return TrialRow(
        test=trial.name,
        kind=trial.kind.value,
        crew=trial.crew,
        mix=trial.mix,
        orientation=trial.orientation,
        zone=trial.zone,
        made=civil_day(trial.made_min, clock),
        due=civil_day(trial.due_min, clock),
        pieces=trial.pieces or None,
        asked_mpa=trial.specified_mpa,
        tested="" if outcome is None else civil_day(outcome.at_min, clock),
        values_mpa="" if outcome is None else "; ".join(f"{v:g}" for v in outcome.values_mpa),
        verdict=one.judged.verdict.value,
        waiting=one.waiting,
        says=one.judged.sentence,
    )


def stop_rows(quality: QualityPlan, time: Callable[[int], str]) -> Iterator[StopRow]:
    """Yield the spells that lie before a stop is met, in time order; ``time`` writes a minute."""
    for one in quality.stopped:
        yield StopRow(
            zone=one.placed.zone,
            layer=one.placed.layer,
            start=time(one.placed.start_min),
            crew=one.placed.crew,
            mix=one.placed.mix,
            stop=one.hold.value,
            test=one.trial,
            why=one.why,
        )


def chain_rows(steps: Iterable[ChainStep], time: Callable[[int], str]) -> Iterator[ChainRow]:
    """Yield the steps of a chain in order; ``time`` writes a minute."""
    for step in steps:
        yield ChainRow(
            step=step.number,
            what=step.kind.value,
            layer=step.layer or None,
            start="" if step.start_min is None else time(step.start_min),
            end="" if step.end_min is None else time(step.end_min),
            minutes=step.minutes,
            says=step.sentence,
            look_at=step.flag,
        )


def figure_rows(figures: Iterable[Figure]) -> Iterator[FigureRow]:
    """Yield figures with what they rest on."""
    for one in figures:
        yield FigureRow(
            name=one.name,
            value=one.value,
            unit=one.unit,
            formula=one.formula,
            inputs=one.inputs_words(),
            source=one.source,
            trust=one.trust.value,
            note=one.note,
        )


def civil_day(minute: int | None, clock: Clock) -> str:
    """Return the civil day of a minute, also after the campaign; empty for none."""
    return "" if minute is None else clock.local(minute).date().isoformat()


def stop_words(quality: QualityPlan) -> str:
    """Return in a sentence how many spells lie before a stop; empty: none."""
    spells = {(one.placed.zone, one.placed.layer, one.placed.start_min) for one in quality.stopped}
    if not spells:
        return ""
    verb = "spell lies" if len(spells) == 1 else "spells lie"
    return f"{len(spells)} {verb} before a stop of the contract is met (quality.hold)."
