"""Cards, the quality plan's figures, curing and results from parsed and checked cells."""

from __future__ import annotations

from planner.core.clock import Clock
from planner.model.card import Card
from planner.model.identifiers import CrewId, Orientation, Process
from planner.model.quality import Cure, CureMethod, Hold, Outcome, Quality
from planner.scenario.draft import Cells, Draft, Row


def build_cards(draft: Draft, clock: Clock) -> tuple[Card, ...]:
    """Return the cards in file order; both days of a card are included."""
    return tuple(_card(row, clock) for row in draft.rows("cards"))


def _card(row: Row, clock: Clock) -> Card:
    first, last, way = row.day("from"), row.day("to"), row.text("orientation")
    return Card(
        crew_id=CrewId(row.text("crew")),
        person=row.text("person"),
        process=Process(row.text("process")),
        orientation=Orientation(way) if way else None,
        from_min=None if first is None else clock.day_start(first),
        to_min=None if last is None else clock.day_end(last),
    )


def build_quality(keys: Cells) -> Quality:
    """Return the figures of the quality plan; every default comes from the dictionary."""

    def number(name: str) -> float:
        return keys.number(f"quality.{name}") or 0.0

    def whole(name: str) -> int:
        return keys.whole(f"quality.{name}") or 1

    return Quality(
        strength_mpa=keys.number("quality.strength_mpa"),
        age_d=number("age_d"),
        mean_factor=number("mean_factor"),
        single_factor=number("single_factor"),
        production_m3=number("production_m3"),
        operators=whole("operators"),
        cores=whole("cores"),
        pre_cores=whole("pre_cores"),
        bond_mpa=number("bond_mpa"),
        bond_age_d=number("bond_age_d"),
        bond_m2=number("bond_m2"),
        bond_pulls=whole("bond_pulls"),
        holds=tuple(Hold(name) for name in keys.names("quality.hold")),
        hold_age_d=keys.number("quality.hold_age_d"),
        hold_mpa=keys.number("quality.hold_mpa"),
    )


def build_cure(keys: Cells) -> Cure:
    """Return how the faces are cured, and the figures of maturity."""
    return Cure(
        method=CureMethod(keys.text("cure.method")),
        days=keys.number("cure.days") or 0.0,
        activation_j_mol=keys.number("cure.activation_j_mol") or 0.0,
        datum_c=keys.number("cure.datum_c") or 0.0,
    )


def build_results(draft: Draft, clock: Clock) -> tuple[Outcome, ...]:
    """Return what tests gave, in file order."""
    return tuple(_outcome(row, clock) for row in draft.rows("results"))


def _outcome(row: Row, clock: Clock) -> Outcome:
    day = row.day("date")
    return Outcome(
        test=row.text("test"),
        at_min=0 if day is None else clock.day_start(day),
        values_mpa=row.numbers("values"),
        is_met=row.flag("met") if row.has("met") else None,
        note=row.text("note"),
    )
