"""Rule 10: layers, zones and pieces in their order, one mix to a zone."""

from __future__ import annotations

from collections.abc import Iterator

from planner.checks.case import Case
from planner.checks.rows import Broken, Sprayed, grouped, overlaps
from planner.checks.violation import Violation
from planner.core.rounding import down, up
from planner.model.identifiers import ZoneId
from planner.model.mix import MixFace


def rule_10(case: Case) -> Iterator[Violation]:
    """Keep layers, zones and pieces in order, with their gaps, and each zone to one mix."""
    for spells in case.spells_by_zone.values():
        yield from _one_mix(case, spells)
        yield from _pieces_follow(case, spells)
        yield from _gaps(case, spells)
        yield from _waits(case, spells)
        yield from _ready(case, spells)
    for pieces in case.pieces_by_zone.values():
        yield from _ready(case, pieces)


def _one_mix(case: Case, spells: list[Sprayed]) -> Iterator[Violation]:
    first = spells[0]
    for spell in spells[1:]:
        if spell.ran.row.mix != first.ran.row.mix:
            yield spell.place.breaks(
                10,
                f"Zone {spell.row.zone} is sprayed with mix {first.ran.row.mix} first and with "
                f"{spell.ran.row.mix} in {spell.ran}; one zone's layers all use one mix.",
                1,
            )
    kept = case.record.processes(first.row.zone)
    if kept and first.face is not None and first.face.process not in kept:
        yield first.place.breaks(
            10,
            f"Zone {first.row.zone} was begun {'/'.join(sorted(kept))} by progress.csv and goes "
            f"on {first.face.process} with mix {first.ran.row.mix}; it keeps its process.",
            1,
        )


def _pieces_follow(case: Case, spells: list[Sprayed]) -> Iterator[Violation]:
    for pieces in grouped(spells, lambda spell: spell.row.layer).values():
        for before, after, common in overlaps(pieces):
            yield after.place.breaks(
                10,
                f"At {case.text(after.start_min)}, {after} overlaps {before} by {common} min; a "
                "piece of a layer follows the one before.",
                common,
            )


def _gaps(case: Case, spells: list[Sprayed]) -> Iterator[Violation]:
    layers = grouped(spells, lambda spell: spell.row.layer)
    for layer, pieces in sorted(layers.items()):
        zone, face = pieces[0].zone, pieces[0].face
        if face is None or case.record.layer_at(zone, face, layer) is not None:
            continue  # rule 4 tells of it; or it was begun before the plan
        before = layers.get(layer - 1)
        if before is not None:
            end: int | None = max(piece.end_min for piece in before)
        else:
            end = case.record.layer_at(zone, face, layer - 1)
        if end is not None:
            yield from _gap(case, pieces[0], face, end)


def _gap(case: Case, spell: Sprayed, face: MixFace, before_end: int) -> Iterator[Violation]:
    gap = spell.start_min - before_end
    least_h, most_h = face.layer_gap_min_h, face.layer_gap_max_h
    if least_h is None:
        yield spell.place.breaks(
            10,
            f"Mix {spell.ran.row.mix} gives no layer_gap_min_h; a zone of more than one layer "
            "needs a mix for which it is known.",
            1,
        )
    elif gap < up(60.0 * least_h):
        short = up(60.0 * least_h) - gap
        yield spell.place.breaks(
            10,
            f"At {case.text(spell.start_min)}, {spell} starts {gap} min after the layer below "
            f"ends, {short} min too early: the gap is at least {least_h:g} h.",
            short,
        )
    if most_h is not None and gap > down(60.0 * most_h):
        late = gap - down(60.0 * most_h)
        yield spell.place.breaks(
            10,
            f"At {case.text(spell.start_min)}, {spell} starts {gap} min after the layer below "
            f"ends, {late} min too late: the gap is at most {most_h:g} h.",
            late,
        )


def complete_at(case: Case, zone_id: ZoneId) -> int | None:
    """Return when a zone is complete [min]; None: it is not planned and not complete."""
    spells = case.spells_by_zone.get(zone_id)
    if spells is not None:
        return max(spell.end_min for spell in spells)
    zone = case.zones.get(zone_id)
    if zone is not None and case.record.is_finished(zone):
        return case.record.last_at(zone_id)
    return None


def _waits(case: Case, spells: list[Sprayed]) -> Iterator[Violation]:
    first = spells[0]
    for other in first.zone.after:
        end = complete_at(case, other)
        if end is not None and first.start_min < end:
            yield first.place.breaks(
                10,
                f"At {case.text(first.start_min)}, {first} starts {end - first.start_min} min "
                f"before zone {other} is complete ({case.text(end)}).",
                end - first.start_min,
            )


def _ready(case: Case, works: list[Sprayed] | list[Broken]) -> Iterator[Violation]:
    for work in works:
        ready = work.zone.ready_from_min
        if ready is not None and work.start_min < ready:
            yield work.place.breaks(
                10,
                f"At {case.text(work.start_min)}, {work} starts {ready - work.start_min} min "
                f"before its zone is ready ({case.text(ready)}).",
                ready - work.start_min,
            )
