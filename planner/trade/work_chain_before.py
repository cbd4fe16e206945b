"""Steps before the first layer: break-out, bars, inspection, washing."""

from __future__ import annotations

from collections.abc import Iterator

from planner.core.clock import MINUTES_PER_HOUR
from planner.core.spans import Span
from planner.model.crew import Crew
from planner.model.identifiers import Orientation
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.work_chain_facts import (
    BARS,
    FRESH,
    INSPECTED,
    METHODS,
    OPEN_AREA,
    PREPARED_FRESH_H,
    WASHED,
    Method,
)
from planner.trade.work_chain_step import ChainStep, StepKind, ZoneWork, time_words

OVERHEAD_FACTOR = 0.5
"""Breaking out by hand is about half as fast overhead (from memory) [1]."""


def before_spraying(work: ZoneWork) -> Iterator[ChainStep]:
    """Yield the steps from break-out to the last wash before the first layer."""
    yield from _break_out(work)
    yield _bars(work)
    if work.is_inspected:
        yield ChainStep(
            kind=StepKind.INSPECTION,
            start_min=work.prepared_min,
            end_min=_first(work),
            sentence="Stop of the contract: the prepared face is inspected before it is sprayed.",
            figures=(INSPECTED,),
        )
    yield from _washes(work)


def _first(work: ZoneWork) -> int | None:
    return work.spells[0].start_min if work.spells else None


def _break_out(work: ZoneWork) -> Iterator[ChainStep]:
    for crew, (start, end) in work.broken:
        yield ChainStep(
            kind=StepKind.BREAK_OUT,
            start_min=start,
            end_min=end,
            minutes=end - start,
            sentence=f"Crew {crew.crew_id} breaks out at {crew.rate_m3_h:g} m³/h.",
            flag=rate_flag(crew, work.zone.orientation),
            figures=(_minutes(work, crew, (start, end)), *_method(crew.method), OPEN_AREA),
        )
    if work.broken:
        return
    figures: tuple[Figure, ...] = ()
    if work.zone.broken_out:
        sentence = "Broken out already, as zones.csv says."
    elif work.breaks_out:
        sentence = "Its break-out is not planned."
    else:
        sentence = f"There is no break-out crew, so nobody is planned for it. {_guesses(work)}"
        figures = tuple(figure for name in METHODS for figure in _method(name))
    yield ChainStep(kind=StepKind.BREAK_OUT, sentence=sentence, figures=(*figures, OPEN_AREA))


def _minutes(work: ZoneWork, crew: Crew, span: Span) -> Figure:
    rate = crew.rate_m3_h or 0.0
    return Figure(
        name="minutes",
        value=float(span[1] - span[0]),
        unit="min",
        formula="60 x volume broken out / rate, rounded up",
        inputs=(
            Input(name="volume of the zone, m3", value=work.volume_m3, source="zones.csv"),
            Input(name="rate_m3_h", value=rate, source=f"crews.csv, crew {crew.crew_id}"),
        ),
        source="docs/rules.md, rule 13",
        trust=Trust.GIVEN,
    )


def _method(name: str) -> tuple[Figure, ...]:
    """Return the figure of a way of breaking out; nothing for a word that names none."""
    way = METHODS.get(name)
    if way is None:
        return ()
    return (
        Figure(
            name=f"rate of {way.title}",
            value=way.high_m3_h,
            unit="m³/h",
            formula=f"{_range(way)} m³/h",
            source=way.source,
            trust=way.trust,
            note=way.note,
        ),
    )


def _range(way: Method) -> str:
    if way.low_m3_h is None:
        return f"up to {way.high_m3_h:g}"
    return f"{way.low_m3_h:g} to {way.high_m3_h:g}"


def _guesses(work: ZoneWork) -> str:
    """Return how long one tool of each sort would take."""
    parts = []
    for name, way in METHODS.items():
        share = _share(name, work.zone.orientation)
        fast = work.volume_m3 / (way.high_m3_h * share)
        slow = None if way.low_m3_h is None else work.volume_m3 / (way.low_m3_h * share)
        hours = f"{fast:.1f} h or more" if slow is None else f"{fast:.0f} to {slow:.0f} h"
        parts.append(f"{way.title} {hours}")
    return f"One tool would take: {'; '.join(parts)} (rough figures; ask those who do it)."


def _share(method: str, orientation: Orientation) -> float:
    by_hand = METHODS[method].trust is Trust.MEMORY
    return OVERHEAD_FACTOR if by_hand and orientation is Orientation.OVERHEAD else 1.0


def rate_flag(crew: Crew, orientation: Orientation) -> str:
    """Return what is odd about a break-out crew's rate for its method; empty: nothing.

    ``people`` of the crew count as tools: each works one at most.
    """
    way = METHODS.get(crew.method)
    if way is None or crew.rate_m3_h is None:
        return ""
    tools = crew.people or 1
    most = tools * way.high_m3_h * _share(crew.method, orientation)
    if crew.rate_m3_h <= most:
        return ""
    whose = f"{tools} people" if crew.people else "one tool"
    return (
        f"{crew.rate_m3_h:g} m³/h is more than {whose} with {way.title} mostly do {orientation}:"
        f" {most:.2g} m³/h ({way.trust})."
    )


def _bars(work: ZoneWork) -> ChainStep:
    kept_h = work.rules.prepare_min_h
    start = work.prepared_min
    first = _first(work)
    flag = ""
    if kept_h <= 0 and work.breaks_out and not work.zone.broken_out:
        flag = "No time is kept between break-out and the first layer (rules.prepare_min_h is 0)."
    kept = (
        f"the plan keeps {kept_h:g} h for it, for cleaning and inspection (rules.prepare_min_h)"
        if kept_h > 0
        else "no duration is published, and the plan keeps none"
    )
    return ChainStep(
        kind=StepKind.BARS,
        start_min=start,
        end_min=first,
        minutes=round(kept_h * MINUTES_PER_HOUR) if kept_h > 0 else None,
        sentence=f"Bars are cleaned and the bruised skin is blasted off: {kept}.",
        flag=flag,
        figures=(BARS,),
    )


def _washes(work: ZoneWork) -> Iterator[ChainStep]:
    """Yield a wash after each wetting of the prepared face before its first layer."""
    first = _first(work)
    if first is None:
        return
    prepared = work.prepared_min
    if prepared is None:
        yield from _summed(work, first)
        return
    yield from washes_between(work, prepared, first, layer=1)
    fresh_from = max([prepared, *(end for _, end in _wettings(work, prepared, first))])
    old_h = (first - fresh_from) / MINUTES_PER_HOUR
    if old_h > PREPARED_FRESH_H:
        yield ChainStep(
            kind=StepKind.WASH,
            layer=1,
            end_min=first,
            sentence="Clean the prepared face again before the first layer.",
            flag=f"It is {old_h:.0f} h old by then, more than {PREPARED_FRESH_H:g} h.",
            figures=(FRESH,),
        )


def _wettings(work: ZoneWork, start: int, end: int) -> list[Span]:
    return list(work.wet.clip(start, end)) if start < end else []


def washes_between(work: ZoneWork, start: int, end: int, *, layer: int) -> Iterator[ChainStep]:
    """Yield a wash after each wetting between two minutes, before a layer.

    A wash can begin when the water has left the face, and must be done when it comes again, or
    when the layer begins.
    """
    spans = _wettings(work, start, end)
    for k, (low, high) in enumerate(spans):
        until = spans[k + 1][0] if k + 1 < len(spans) else end
        yield ChainStep(
            kind=StepKind.WASH,
            layer=layer,
            start_min=high,
            end_min=until,
            sentence=f"The water was at the face for {time_words(high - low)}: wash"
            " it with fresh water.",
            figures=(WASHED,),
        )


def _summed(work: ZoneWork, first: int) -> Iterator[ChainStep]:
    """Yield one wash for all wettings, where it is not planned when the face is prepared."""
    spans = _wettings(work, work.since_min, first)
    if spans:
        times = f"{len(spans)} times" if len(spans) > 1 else "once"
        yield ChainStep(
            kind=StepKind.WASH,
            layer=1,
            start_min=spans[-1][1],
            end_min=first,
            sentence=f"The water reaches the face {times} before the first layer: once it is"
            " prepared, wash it with fresh water after each.",
            figures=(WASHED,),
        )
