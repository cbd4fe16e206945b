"""Steps of the layers: saturate, spray, treat joints, wait for the next layer."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from planner.model.identifiers import Orientation
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input
from planner.trade.quantities import layer_count
from planner.trade.work_chain_before import washes_between
from planner.trade.work_chain_facts import (
    HOSE,
    HOSE_FULL_MIN,
    JOINT,
    JOINT_OPEN_MIN,
    NEXT_LAYER,
    SATURATED,
    UPWARDS,
)
from planner.trade.work_chain_step import ChainStep, Sprayed, StepKind, ZoneWork, time_words
from planner.trade.work_chain_wetting import protect


def layers(work: ZoneWork) -> Iterator[ChainStep]:
    """Yield the steps from the first layer's dampening to the end of the last spell."""
    if not work.spells:
        yield ChainStep(kind=StepKind.SPRAY, sentence=_unplanned(work), figures=(UPWARDS,))
        return
    count = max(spell.layer for spell in work.spells)
    before: Sprayed | None = None
    for number, spells in groupby(work.spells, key=lambda spell: spell.layer):
        pieces = list(spells)
        if before is not None:
            yield from _next_layer(work, before, pieces[0])
        yield from _layer(work, number, pieces, count)
        before = pieces[-1]


def _unplanned(work: ZoneWork) -> str:
    if work.face is None:
        return "It is not planned, and its mix is open: layers are not known."
    number = layer_count(work.zone, work.face)
    return f"It is not planned; with {work.face.mix_id} it takes {_of(number, 'layer')}."


def _of(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _layer(work: ZoneWork, number: int, pieces: list[Sprayed], count: int) -> Iterator[ChainStep]:
    yield _saturate(work, pieces[0])
    for k, piece in enumerate(pieces, start=1):
        share = f", piece {k} of {len(pieces)}" if len(pieces) > 1 else ""
        yield ChainStep(
            kind=StepKind.SPRAY,
            layer=number,
            start_min=piece.start_min,
            end_min=piece.end_min,
            minutes=piece.end_min - piece.start_min,
            sentence=f"Layer {number} of {count}{share}: {piece.volume_m3:.2f} m³"
            f"{_thickness(work, count)}, {_direction(work)}.",
            figures=(_layer_figure(work), UPWARDS),
        )
        yield from protect(work, piece)
        if k < len(pieces):
            yield _joint(work, piece, pieces[k])


def _thickness(work: ZoneWork, count: int) -> str:
    depth = work.zone.depth_mm
    return "" if depth is None else f", about {depth / count:.0f} mm"


def _direction(work: ZoneWork) -> str:
    if work.zone.orientation is Orientation.OVERHEAD:
        return "from the shoulder to the crown"
    return "from the bottom up" if work.zone.orientation is Orientation.VERTICAL else "flat"


def _layer_figure(work: ZoneWork) -> Figure:
    face, depth = work.face, work.zone.depth_mm
    inputs = [] if depth is None else [Input(name="depth_mm", value=depth, source="zones.csv")]
    if face is not None:
        source = f"mixes.csv, {face.mix_id} {face.orientation}"
        inputs.append(Input(name="layer_max_mm", value=face.layer_max_mm, source=source))
    return Figure(
        name="layers",
        value=None if face is None else float(layer_count(work.zone, face)),
        unit="1",
        formula="ceil(depth / thickest layer); 1 where no depth is given",
        inputs=tuple(inputs),
        source="docs/files.md; no fixed lift height can be given (American Shotcrete Association)",
        trust=Trust.GIVEN,
    )


def _saturate(work: ZoneWork, spell: Sprayed) -> ChainStep:
    change = work.rules.zone_change_min
    return ChainStep(
        kind=StepKind.SATURATE,
        layer=spell.layer,
        start_min=spell.start_min - change,
        end_min=spell.start_min,
        minutes=change,
        sentence="Wash and dampen the surface within the zone change: damp, not wet.",
        figures=(SATURATED,),
    )


def _joint(work: ZoneWork, before: Sprayed, after: Sprayed) -> ChainStep:
    """Return what is done to the edge of a layer between two of its pieces."""
    gap = after.start_min - before.end_min
    if gap <= JOINT_OPEN_MIN:
        sentence = f"Stopped for {gap} min, at most {JOINT_OPEN_MIN}: carry on."
    elif gap <= HOSE_FULL_MIN:
        sentence = (
            f"Stopped for {gap} min, more than {JOINT_OPEN_MIN}: slope the edge to about 45°,"
            " clean and wet it."
        )
    else:
        sentence = (
            f"Stopped for {time_words(gap)}, more than {HOSE_FULL_MIN} min: slope the edge to"
            " about 45°, clean and wet it; a gun that stood as long is emptied and its hose blown"
            " out."
        )
    flag = ""
    wet = list(work.wet.clip(before.end_min, after.start_min)) if gap > 0 else []
    if wet:
        flag = f"The water reaches the open joint {_of(len(wet), 'time')}: wash it as well."
    return ChainStep(
        kind=StepKind.JOINT,
        layer=before.layer,
        start_min=before.end_min,
        end_min=after.start_min,
        minutes=gap,
        sentence=sentence,
        flag=flag,
        figures=(JOINT, HOSE),
    )


def _next_layer(work: ZoneWork, before: Sprayed, after: Sprayed) -> Iterator[ChainStep]:
    """Yield the wait for the next layer and a wash after each wetting in it."""
    gap = after.start_min - before.end_min
    face = work.face
    least = None if face is None else face.layer_gap_min_h
    given = "" if least is None else f"; the mix asks for {least:g} h at least"
    yield ChainStep(
        kind=StepKind.NEXT_LAYER,
        layer=after.layer,
        start_min=before.end_min,
        end_min=after.start_min,
        minutes=gap,
        sentence=f"Wait until the layer carries the next, {time_words(gap)}{given};"
        " take off loose material.",
        figures=(NEXT_LAYER,),
    )
    yield from washes_between(work, before.end_min, after.start_min, layer=after.layer)
