"""What must be there before a rig is set up at a position: a list for each stay."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pandas as pd

from planner.core.wording import moment, time_range
from planner.explain.ground import Ground
from planner.explain.hold import place_of
from planner.explain.orders import panel_end_min
from planner.explain.places import stays_of
from planner.model.identifiers import PositionId, RigId
from planner.model.limits import ClosureScope
from planner.plan.plan import Relocation, Run
from planner.reports.labels import count
from planner.reports.stays import Stay, stays
from planner.trade.line_figures import Line, line_figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """A stay and what must be ready for it.

    Attributes
    ----------
    stay
        Who, where, when.
    by_min
        Start of its first run [min].
    items
        What must be there: a short name and a sentence for each.
    """

    stay: Stay
    by_min: int
    items: tuple[tuple[str, str], ...]


def preparations(ground: Ground) -> list[Preparation]:
    """Return every stay with work in it, in the order in which it begins."""
    found = [
        Preparation(stay=stay, by_min=stay.start_min, items=tuple(_items(ground, stay)))
        for rig in ground.campaign.rigs
        for stay in stays(ground.plan, rig.rig_id)
        if stay.runs
    ]
    return sorted(found, key=lambda one: (one.by_min, one.stay.rig))


def _runs(ground: Ground, stay: Stay) -> list[Run]:
    return [
        row
        for row in ground.work_of_rig[stay.rig]
        if isinstance(row, Run)
        and row.position == stay.position
        and stay.start_min <= row.start_min < stay.end_min
    ]


def _items(ground: Ground, stay: Stay) -> Iterator[tuple[str, str]]:
    runs = _runs(ground, stay)
    yield from _arrival(ground, stay)
    yield from _position_free(ground, stay)
    yield from _hose(ground, runs)
    yield from _machine(ground, runs)
    crews = list(dict.fromkeys(str(run.crew) for run in runs))
    mixes = list(dict.fromkeys(str(run.mix) for run in runs))
    yield "Crews and mix", f"{', '.join(crews)}; mix {', '.join(mixes)}."
    yield from _panels(ground, runs)
    yield from _break_out(ground, runs)
    yield from _closures(ground, stay)


def _arrival(ground: Ground, stay: Stay) -> Iterator[tuple[str, str]]:
    moves = [
        row
        for row in ground.work_of_rig[stay.rig]
        if isinstance(row, Relocation)
        and row.to_position == stay.position
        and row.end_min <= stay.start_min
    ]
    if moves and stay.number > 1:
        move = moves[-1]
        who = f"crew {move.crew}" if move.crew else "the lifting gang"
        when = time_range(ground.clock, move.start_min, move.end_min)
        yield "Rig", f"{stay.rig} comes from {move.from_position} by {who}, {when}."
        return
    rig = ground.rigs[stay.rig]
    if rig.at is not None:
        yield "Rig", f"{stay.rig} stands there from the start."
        return
    here = max(0, rig.available_from_min)
    yield (
        "Rig",
        f"{stay.rig} is set up here first; it is on site from {moment(ground.clock, here)}.",
    )


def _position_free(ground: Ground, stay: Stay) -> Iterator[tuple[str, str]]:
    ends = [
        (end, rig)
        for rig in ground.rigs
        if rig != stay.rig
        for position, _, end in stays_of(ground, rig)
        if position == stay.position and end <= stay.start_min
    ]
    room = ground.positions[stay.position].rigs_max
    if ends and room == 1:
        end, rig = max(ends)
        yield "Position free", f"{rig} leaves {stay.position} at {moment(ground.clock, end)}."
    else:
        yield "Position free", f"No rig stands in the way; room for {count(room, 'rig')}."


def _hose(ground: Ground, runs: list[Run]) -> Iterator[tuple[str, str]]:
    spells = [spell for run in runs for spell in ground.spells_of_run[run.run]]
    if not spells:
        return
    far = max(spells, key=lambda spell: spell.hose_laid_m)
    rig = ground.rigs[far.rig]
    text = f"{far.hose_laid_m:.0f} m to lay, the longest to {far.zone}"
    if far.hose_m > far.hose_laid_m + 0.5:
        text += f" (counts as {far.hose_m:.0f} m with bends and rise"
        text += f"; {rig.bend_m:g} m for each 90° bend)" if rig.bend_m else ")"
    limit = f"; this rig's limit is {rig.hose_max_m:.0f} m"
    yield "Hose", f"{text}{limit}."


def _machine(ground: Ground, runs: list[Run]) -> Iterator[tuple[str, str]]:
    """Yield air, water or pump pressure for the line that asks most, as the trade works it out."""
    spells = [spell for run in runs for spell in ground.spells_of_run[run.run]]
    if not spells:
        return
    far = max(spells, key=lambda spell: spell.hose_laid_m)
    rig = ground.rigs[far.rig]
    run = ground.reach.run(ground.positions[far.position], ground.zones[far.zone], rig)
    if run is None:
        return
    extra_m = run.hose_m - run.laid_m - rig.rise_factor * max(0.0, run.rise_m)
    bends = round(extra_m / rig.bend_m) if rig.bend_m else 0
    line = Line(laid_m=run.laid_m, rise_m=run.rise_m, bends=bends)
    figures = {one.name: one.value for one in line_figures(rig, line)}
    said = [
        f"{words} about {value:.{decimals}f} {unit}"
        for name, (words, unit, decimals) in MACHINE_WORDS.items()
        if (value := figures.get(name)) is not None
    ]
    if said:
        yield "Air, water, pressure", f"{'; '.join(said)}. Estimates: see the page Equipment."


MACHINE_WORDS = {
    "air_m3_min": ("free air", "m³/min", 1),
    "gun_kpa": ("at the gun", "kPa", 0),
    "water_supply_kpa": ("water beside the rig", "kPa", 0),
    "pump_kpa": ("at the pump", "kPa", 0),
}


def _panels(ground: Ground, runs: list[Run]) -> Iterator[tuple[str, str]]:
    told: dict[str, None] = {}
    for run in runs:
        for spell in ground.spells_of_run[run.run]:
            zone = ground.zones[spell.zone]
            end = panel_end_min(ground, place_of(ground, spell), zone)
            if end is not None:
                said = (
                    f"crew {run.crew}, {run.mix} {zone.orientation}: {moment(ground.clock, end)}"
                )
                told.setdefault(said)
    if told:
        days = f"{ground.rules.panel_days:g} days old before the first spell"
        yield "Test panels", f"{'; '.join(told)}. Each must be {days}."


def _break_out(ground: Ground, runs: list[Run]) -> Iterator[tuple[str, str]]:
    pieces = [
        piece
        for run in runs
        for spell in ground.spells_of_run[run.run]
        for piece in ground.broken_out_of.get(spell.zone, ())
    ]
    if pieces:
        zones = list(dict.fromkeys(str(piece.zone) for piece in pieces))
        last = max(piece.end_min for piece in pieces)
        after = f"then {ground.rules.prepare_min_h:g} h to prepare"
        ends = f"the last ends {moment(ground.clock, last)}, {after}"
        yield "Break-out", f"{', '.join(zones)}; {ends}."


def _closures(ground: Ground, stay: Stay) -> Iterator[tuple[str, str]]:
    shut = [
        (span, row.why)
        for row in ground.closures.rows((ClosureScope.POSITION, stay.position))
        for span in row.spans.clip(stay.start_min, stay.end_min)
    ]
    for (start, end), why in shut:
        reason = f": {why}" if why else ""
        yield "Closed meanwhile", f"{time_range(ground.clock, start, end)}{reason}."


def preparations_frame(
    ground: Ground, rig: RigId | None = None, position: PositionId | None = None
) -> pd.DataFrame:
    """Return the lists as rows: by when, for which stay, what must be there."""
    rows = [
        {
            "By": ground.clock.local(one.by_min).replace(tzinfo=None),
            "Rig": one.stay.rig,
            "Stay": one.stay.number,
            "Position": one.stay.position,
            "What": name,
            "Must be so": text,
        }
        for one in preparations(ground)
        if rig in (None, one.stay.rig) and position in (None, one.stay.position)
        for name, text in one.items
    ]
    return pd.DataFrame(rows, columns=["By", "Rig", "Stay", "Position", "What", "Must be so"])
