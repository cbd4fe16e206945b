"""What is known of a rig's machine, or taken in its place, each number with its source."""

from __future__ import annotations

from planner.model.crew import Crew
from planner.model.identifiers import CrewKind, Process
from planner.model.machine import MachineType, Trait
from planner.model.machines import MACHINE_BY_ID
from planner.model.rig import Rig
from planner.model.sourced import Trust
from planner.trade.figure import Figure, Input

IN_RIGS = "rigs.csv"
ASSUMED_TYPE = {Process.DRY: "dry-rotary-barrel", Process.WET: "wet-piston"}
"""Kind whose usual bore and crew are taken where a rig names none and gives none."""


def machine_of(rig: Rig) -> MachineType | None:
    """Return the kind of machine that a rig names, or None."""
    return None if rig.type_id is None else MACHINE_BY_ID[rig.type_id]


def bore_figure(rig: Rig) -> Figure:
    """Return the bore of a rig's hose [mm]."""
    return _figure(rig, "hose_bore_mm", rig.hose_bore_mm, Trait.BORE, unit="mm")


def people_figure(rig: Rig, crews: tuple[Crew, ...]) -> Figure:
    """Return how many people work with a rig: its own number, else its largest crew's [1]."""
    given = rig.crew_size is not None and "crew_size" not in rig.type_filled
    counts = [
        crew.people
        for crew in crews
        if crew.kind is CrewKind.SPRAY
        and crew.people is not None
        and (not crew.processes or rig.process in crew.processes)
    ]
    if not given and counts:
        return Figure(
            name="crew_size",
            value=float(max(counts)),
            unit="people",
            formula="most people of a spray crew that may work with the rig",
            source="crews.csv",
            trust=Trust.GIVEN,
        )
    size = None if rig.crew_size is None else float(rig.crew_size)
    return _figure(rig, "crew_size", size, Trait.CREW, unit="people")


def as_input(figure: Figure) -> Input:
    """Return a figure as an input of another one of the same row."""
    return Input(name=figure.name, value=figure.value or 0.0, source="told in this row")


def _figure(rig: Rig, column: str, value: float | None, trait: Trait, *, unit: str) -> Figure:
    if value is not None and column not in rig.type_filled:
        return Figure(
            name=column,
            value=value,
            unit=unit,
            formula="as given",
            source=IN_RIGS,
            trust=Trust.GIVEN,
        )
    machine = machine_of(rig) or MACHINE_BY_ID[ASSUMED_TYPE[rig.process]]
    span = machine.span(trait)
    assumed = "" if rig.type_id else f"; assumed, since {IN_RIGS} names no type"
    return Figure(
        name=column,
        value=None if span is None else span.usual,
        unit=unit,
        formula=f"usual of a {machine.title}{assumed}",
        source="" if span is None else span.source,
        trust=Trust.MEMORY if span is None else span.trust,
    )
