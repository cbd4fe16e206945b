"""The quality plan, stops, crews, work chains and figures as frames for pages and files."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import astuple, fields
from typing import Any

import pandas as pd

from planner.core.clock import Clock
from planner.trade.figure import Figure
from planner.trade.quality_verdict import Verdict
from planner.trade.work_chain_step import ChainStep
from planner.workflow.crews import CrewRow
from planner.workflow.quality import QualityPlan
from planner.workflow.quality_rows import (
    ChainRow,
    FigureRow,
    StopRow,
    TrialRow,
    chain_rows,
    figure_rows,
    stop_rows,
    trial_rows,
)

MARKS = {
    Verdict.OPEN: "· open",
    Verdict.MET: "✓ rule met",
    Verdict.MISSED: "✗ rule missed",
    Verdict.INCOMPLETE: "… incomplete",
    Verdict.EARLY: "… too early",
    Verdict.NO_RULE: "? no rule",
}
"""Verdicts with a mark, so that no colour is needed."""

_TRIALS = {
    "test": "Test",
    "kind": "Kind",
    "crew": "Crew",
    "mix": "Mix",
    "orientation": "Orientation",
    "zone": "Zone",
    "made": "Made",
    "due": "Result due",
    "pieces": "Cores or pulls",
    "asked_mpa": "Asked (MPa)",
    "tested": "Tested",
    "values_mpa": "Values (MPa)",
    "verdict": "Verdict",
    "waiting": "Spells that wait",
    "says": "What the rule says",
}
_IN_THE_NAME = ("Crew", "Mix", "Orientation", "What the rule says")
"""Columns that a page leaves out: the name tells them, or sentences of their own do."""
_STOPS = {
    "zone": "Zone",
    "layer": "Layer",
    "start": "Start",
    "crew": "Crew",
    "mix": "Mix",
    "stop": "Stop",
    "test": "Waits for",
    "why": "Why",
}
_CHAIN = {
    "step": "Step",
    "what": "What",
    "layer": "Layer",
    "start": "From",
    "end": "To",
    "minutes": "Minutes",
    "says": "What is done",
    "look_at": "Look at",
}
_CREWS = {
    "crew": "Crew",
    "kind": "Kind",
    "process": "Process",
    "orientation": "Orientation",
    "people": "People",
    "hours": "Hours",
    "cards": "Cards",
    "valid": "May spray on",
    "used": "Sprays in the plan",
    "look_at": "Look at",
}
_FIGURES = {
    "name": "Number or rule",
    "value": "Value",
    "unit": "Unit",
    "formula": "How",
    "inputs": "From",
    "source": "Source",
    "trust": "How sure",
    "note": "Note",
}


def trials_frame(quality: QualityPlan, clock: Clock) -> pd.DataFrame:
    """Return the trials, verdicts with their marks; what the rule says is :func:`said`."""
    frame = _frame(TrialRow, trial_rows(quality, clock), _TRIALS)
    frame["Verdict"] = [MARKS[Verdict(word)] for word in frame["Verdict"]]
    return frame.drop(columns=list(_IN_THE_NAME), errors="ignore")


def said(quality: QualityPlan) -> list[str]:
    """Return what the rule says of each result, with its numbers."""
    return [
        f"{one.trial.name}, {MARKS[one.judged.verdict]}: {one.judged.sentence}"
        for one in quality.tested
        if one.outcome is not None
    ]


def stops_frame(quality: QualityPlan, clock: Clock) -> pd.DataFrame:
    """Return the spells that lie before a stop is met."""
    return _frame(StopRow, stop_rows(quality, wall(clock)), _STOPS)


def chain_frame(steps: Iterable[ChainStep], clock: Clock) -> pd.DataFrame:
    """Return the steps of a work chain."""
    return _frame(ChainRow, chain_rows(steps, wall(clock)), _CHAIN)


def chain_sentences(steps: Iterable[ChainStep], clock: Clock) -> list[str]:
    """Return the steps of a work chain in sentences, with times as far as they are known."""
    return [_sentence(step, clock) for step in steps]


def _sentence(step: ChainStep, clock: Clock) -> str:
    start, end = step.start_min, step.end_min
    when = ""
    if start is not None and end is not None:
        to = clock.local(end)
        same = clock.local(start).date() == to.date()
        when = f"{wall(clock)(start)} to {to:%H:%M}" if same else _both(start, end, clock)
    elif start is not None:
        when = f"from {wall(clock)(start)}"
    elif end is not None:
        when = f"by {wall(clock)(end)}"
    head = f"{step.kind[:1].upper()}{step.kind[1:]}{f', {when}' if when else ''}"
    return f"{head}: {step.sentence}{f' Look at: {step.flag}' if step.flag else ''}"


def _both(start: int, end: int, clock: Clock) -> str:
    return f"{wall(clock)(start)} to {wall(clock)(end)}"


def look_at(rows: Iterable[CrewRow]) -> list[str]:
    """Return what is to be looked at, each with the crew and kind of work it concerns."""
    return [
        f"Crew {row.crew}, {row.process} {row.orientation}: {row.look_at}."
        for row in rows
        if row.look_at
    ]


def crews_frame(rows: Iterable[CrewRow]) -> pd.DataFrame:
    """Return crews with cards, people and hours; what to look at is told by :func:`look_at`."""
    frame = _frame(CrewRow, rows, _CREWS)
    frame["Kind"] = [word.replace("_", "-") for word in frame["Kind"]]
    return frame.drop(columns=["Look at"], errors="ignore")


def figures_frame(figures: Iterable[Figure]) -> pd.DataFrame:
    """Return figures with formula, inputs and source."""
    return _frame(FigureRow, figure_rows(figures), _FIGURES)


def wall(clock: Clock) -> Callable[[int], str]:
    """Return what writes a minute as the site's wall clock shows it."""
    return lambda minute: clock.local(minute).strftime("%a %d %b %Y %H:%M")


def tally(quality: QualityPlan) -> str:
    """Return in a sentence how the tests stand.

    Every verdict that occurs is named, the ones to look at first.
    """
    counts = Counter(one.judged.verdict for one in quality.tested)
    order = (
        Verdict.MISSED,
        Verdict.INCOMPLETE,
        Verdict.EARLY,
        Verdict.NO_RULE,
        Verdict.MET,
        Verdict.OPEN,
    )
    parts = [f"{counts[verdict]} {verdict.value}" for verdict in order if counts[verdict]]
    return f"{len(quality.tested)} tests and inspections: {', '.join(parts) or 'none'}."


def _frame(kind: type[Any], rows: Iterable[Any], names: Mapping[str, str]) -> pd.DataFrame:
    """Return rows under their names for people; columns in which nothing stands are left out."""
    columns = [names[field.name] for field in fields(kind)]
    cells = [astuple(row) for row in rows]
    kept = [
        k for k, _ in enumerate(columns) if any(row[k] not in (None, "") for row in cells)
    ] or list(range(len(columns)))
    frame = pd.DataFrame(
        [[row[k] for k in kept] for row in cells], columns=[columns[k] for k in kept]
    )
    for k in kept:
        if any(row[k] is None for row in cells):
            frame[columns[k]] = [_text(row[k]) for row in cells]
    return frame


def _text(value: object) -> str:
    """Return a cell of a column that is empty in places: nothing, or a number as text."""
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, int | float) else str(value)
