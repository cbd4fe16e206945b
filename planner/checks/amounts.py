"""Rules 8 and 9: reach, spell minutes, volumes, and how layers may be split."""

from __future__ import annotations

from collections.abc import Iterator

from planner.checks.case import Case
from planner.checks.hoses import Hose
from planner.checks.quantities import minutes_allowed, minutes_for, slack_m3
from planner.checks.rows import Sprayed, grouped
from planner.checks.violation import Violation
from planner.core.rounding import DECIMALS

HOSE_SLACK_M = 0.01  # plan files carry hose lengths to the centimetre at least


def rule_8(case: Case) -> Iterator[Violation]:
    """Spells are within reach, as long as section 3 says, and add up to the zone."""
    for spell in case.spells:
        hose = case.hose(spell)
        if hose is None:
            yield spell.place.breaks(
                8,
                f"No hose route leads from position {spell.ran.row.position} to zone "
                f"{spell.row.zone}.",
                1,
            )
            continue
        yield from _reach(spell, hose)
        yield from _stated_hose(spell, hose)
        yield from _minutes(case, spell)
    for zone_id, spells in case.spells_by_zone.items():
        if zone_id not in case.doubtful:
            yield from _volumes(case, spells)


def _reach(spell: Sprayed, hose: Hose) -> Iterator[Violation]:
    rig = spell.ran.rig
    far = round(hose.equivalent_m - rig.hose_max_m, DECIMALS)
    if far > 0:
        yield spell.place.breaks(
            8,
            f"Zone {spell.row.zone} is {hose.equivalent_m:.2f} m of equivalent hose from position "
            f"{spell.ran.row.position}, {far:.2f} m more than rig {rig.rig_id} can use "
            f"({rig.hose_max_m:g} m).",
            far,
        )
    if rig.rise_max_m is None:
        return
    high = round(hose.rise_m - rig.rise_max_m, DECIMALS)
    if high > 0:
        yield spell.place.breaks(
            8,
            f"Zone {spell.row.zone} is {hose.rise_m:.2f} m above position "
            f"{spell.ran.row.position}, {high:.2f} m more than rig {rig.rig_id} can lift "
            f"({rig.rise_max_m:g} m).",
            high,
        )


def _stated_hose(spell: Sprayed, hose: Hose) -> Iterator[Violation]:
    for column, stated_m, real_m in (
        ("hose_m", spell.row.hose_m, hose.equivalent_m),
        ("hose_laid_m", spell.row.hose_laid_m, hose.laid_m),
    ):
        off_m = abs(stated_m - real_m)
        if not off_m <= HOSE_SLACK_M:
            yield spell.place.breaks(
                8,
                f"{column} of {spell} is given as {stated_m:.2f} m; it is {real_m:.2f} m.",
                off_m,
            )


def _minutes(case: Case, spell: Sprayed) -> Iterator[Violation]:
    rate = case.rate_m3_h(spell)
    if rate is None:
        return
    least, most = minutes_allowed(spell.row.volume_m3, rate)
    off = max(least - spell.length_min, spell.length_min - most)
    if off > 0:
        yield spell.place.breaks(
            8,
            f"At {case.text(spell.start_min)}, {spell} lasts {spell.length_min} min; "
            f"{spell.row.volume_m3:.4f} m³ at {rate:.4f} m³/h take "
            f"{minutes_for(spell.row.volume_m3, rate)} min.",
            off,
        )


def _volumes(case: Case, spells: list[Sprayed]) -> Iterator[Violation]:
    face = next((spell.face for spell in spells if spell.face is not None), None)
    if face is None:
        return  # rule 4 tells of it
    zone = spells[0].zone
    left = case.record.left_m3(zone, face)
    for layer, pieces in grouped(spells, lambda spell: spell.row.layer).items():
        if not 1 <= layer <= len(left):
            yield pieces[0].place.breaks(
                8, f"Zone {zone.zone_id} has {len(left)} layers of this mix, not {layer}.", 1
            )
            continue
        sprayed_m3 = sum(piece.row.volume_m3 for piece in pieces)
        due_m3 = left[layer - 1]
        off_m3 = abs(sprayed_m3 - due_m3)
        if not off_m3 <= slack_m3(due_m3):
            yield pieces[-1].place.breaks(
                8,
                f"The spells of zone {zone.zone_id} layer {layer} add up to {sprayed_m3:.4f} m³; "
                f"{due_m3:.4f} m³ are left to spray in it.",
                off_m3,
            )


def rule_9(case: Case) -> Iterator[Violation]:
    """Spray a layer without joints in one spell, and no other in pieces that are too short."""
    for (_, layer), pieces in grouped(
        case.spells, lambda spell: (spell.row.zone, spell.row.layer)
    ).items():
        zone = pieces[0].zone
        if len(pieces) == 1:
            continue
        if not zone.joint_allowed:
            yield pieces[1].place.breaks(
                9,
                f"Layer {layer} of zone {zone.zone_id} is sprayed in {len(pieces)} spells; joints "
                "are not allowed in it, so it takes one.",
                len(pieces) - 1,
            )
            continue
        whole_m3 = sum(piece.row.volume_m3 for piece in pieces)
        for piece in pieces:
            yield from _too_short(case, piece, whole_m3)


def _too_short(case: Case, piece: Sprayed, whole_m3: float) -> Iterator[Violation]:
    rate = case.rate_m3_h(piece)
    least = case.rules.spell_min_min
    if rate is not None:
        least = min(least, minutes_for(whole_m3, rate))
    short = least - piece.length_min
    if short > 0:
        yield piece.place.breaks(
            9,
            f"At {case.text(piece.start_min)}, {piece} lasts {piece.length_min} min, {short} min "
            f"less than the {least} min that a piece of a layer takes at least.",
            short,
        )
