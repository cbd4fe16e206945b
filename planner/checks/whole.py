"""Rule 14: a zone is planned whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator

from planner.checks.case import Case
from planner.checks.order import complete_at
from planner.checks.rows import Sprayed
from planner.checks.violation import UNPLANNED, Violation, place


def rule_14(case: Case) -> Iterator[Violation]:
    """Plan no zone in part, and none without those that come before it."""
    for zone_id, spells in case.spells_by_zone.items():
        if zone_id not in case.doubtful:
            yield from _missing_layers(case, spells)
            yield from _missing_before(case, spells[0])
    yield from _listed_too(case)
    for zone_id, pieces in case.pieces_by_zone.items():
        if not case.is_planned(zone_id) and zone_id not in case.doubtful:
            yield pieces[0].place.breaks(
                14, f"Zone {zone_id} is broken out but not sprayed; plan it whole or leave it.", 1
            )


def _missing_layers(case: Case, spells: list[Sprayed]) -> Iterator[Violation]:
    face = next((spell.face for spell in spells if spell.face is not None), None)
    if face is None:
        return  # rule 4 tells of it
    left = case.record.left_m3(spells[0].zone, face)
    sprayed = {spell.row.layer for spell in spells}
    missing = [k for k, volume in enumerate(left, start=1) if volume > 0 and k not in sprayed]
    if missing:
        layers = ", ".join(str(layer) for layer in missing)
        yield spells[-1].place.breaks(
            14,
            f"Zone {spells[0].row.zone} is planned in part: layer {layers} of {len(left)} is "
            "missing; plan it whole or leave it out.",
            sum(left[layer - 1] for layer in missing),
        )


def _missing_before(case: Case, spell: Sprayed) -> Iterator[Violation]:
    for other in spell.zone.after:
        if complete_at(case, other) is None and other not in case.doubtful:
            yield spell.place.breaks(
                14,
                f"Zone {spell.row.zone} comes after zone {other}, which is not planned; leave "
                "both out or plan both.",
                1,
            )


def _listed_too(case: Case) -> Iterator[Violation]:
    for index, row in enumerate(case.plan.unplanned):
        if case.is_planned(row.zone):
            yield place(UNPLANNED, index).breaks(
                14, f"Zone {row.zone} is listed as unplanned, but spells.csv sprays it.", 1
            )
