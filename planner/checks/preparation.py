"""Rules 12 and 13: test panels and break-out."""

from __future__ import annotations

from collections.abc import Iterator

from planner.checks.case import Case
from planner.checks.quantities import in_place_m3, minutes_allowed, panel_minutes, slack_m3
from planner.checks.rows import Broken, Ran, Sprayed, grouped, overlaps
from planner.checks.violation import Violation
from planner.checks.windows import inside_window
from planner.core.clock import MINUTES_PER_DAY
from planner.core.rounding import down, up
from planner.model.identifiers import CrewId, CrewKind, MixId, Orientation

_Kind = tuple[CrewId, MixId, Orientation]


def rule_12(case: Case) -> Iterator[Violation]:
    """Have each spray crew make a panel of each mix and orientation before it sprays so."""
    panels: dict[_Kind, list[Ran]] = {}
    for ran in case.runs:
        if ran.is_panel:
            yield from _panel_run(case, ran)
            if ran.row.orientation is not None:
                kind = (ran.row.crew, ran.row.mix, ran.row.orientation)
                panels.setdefault(kind, []).append(ran)
    if case.rules.panel_days <= 0:
        return
    kinds = grouped(
        case.spells, lambda spell: (spell.ran.row.crew, spell.ran.row.mix, spell.zone.orientation)
    )
    for kind, spells in sorted(kinds.items()):
        yield from _panel_before(case, spells[0], panels.get(kind, []))


def _panel_run(case: Case, ran: Ran) -> Iterator[Violation]:
    if ran.row.orientation is None:
        yield ran.place.breaks(12, f"Panel run {ran.row.run} gives no orientation.", 1)
    processes = {face.process for face in case.campaign.mixes if face.mix_id == ran.row.mix}
    if ran.rig.process not in processes:
        yield ran.place.breaks(
            12,
            f"Panel run {ran.row.run} of mix {ran.row.mix} is made by rig {ran.row.rig}, which "
            f"works {ran.rig.process}; a rig of the mix's process makes it.",
            1,
        )
    needed = panel_minutes(ran.rig, case.rules)
    short = needed - ran.length_min
    if short > 0:
        yield ran.place.breaks(
            12,
            f"Panel run {ran.row.run} lasts {ran.length_min} min, {short} min less than the "
            f"{needed} min of start-up, panel and clean-up.",
            short,
        )


def _panel_before(case: Case, spell: Sprayed, panels: list[Ran]) -> Iterator[Violation]:
    crew, mix, way = spell.ran.row.crew, spell.ran.row.mix, spell.zone.orientation
    if case.record.has_sprayed(crew, spell.ran.rig.process, way):
        return
    if not panels:
        yield spell.place.breaks(
            12,
            f"Crew {crew} sprays mix {mix} {way} from {case.text(spell.start_min)} and has made "
            "no test panel of it.",
            1,
        )
        return
    earliest = min(panel.end_min for panel in panels) + up(case.rules.panel_days * MINUTES_PER_DAY)
    early = earliest - spell.start_min
    if early > 0:
        yield spell.place.breaks(
            12,
            f"Crew {crew} sprays mix {mix} {way} from {case.text(spell.start_min)}, {early} min "
            f"before {case.text(earliest)}, which is {case.rules.panel_days:g} days after its "
            "panel run ends.",
            early,
        )


def rule_13(case: Case) -> Iterator[Violation]:
    """Break out each zone before it is sprayed, where there are break-out crews."""
    for crew, pieces in grouped(case.pieces, lambda piece: piece.row.crew).items():
        for before, after, common in overlaps(pieces):
            yield after.place.breaks(
                13,
                f"Crew {crew} works on one zone at a time: {after} overlaps {before} by "
                f"{common} min.",
                common,
            )
    for piece in case.pieces:
        yield from _piece(case, piece)
    if not case.campaign.plans_break_out:
        return
    for zone_id, spells in case.spells_by_zone.items():
        zone = spells[0].zone
        is_out = zone.broken_out or case.record.has(zone_id)
        if not is_out and zone_id not in case.doubtful:
            yield from _broken_out_before(case, spells[0], case.pieces_by_zone.get(zone_id, []))


def _piece(case: Case, piece: Broken) -> Iterator[Violation]:
    if piece.crew.kind is not CrewKind.BREAK_OUT:
        yield piece.place.breaks(13, f"Crew {piece.row.crew} sprays and does not break out.", 1)
    if piece.zone.broken_out or case.record.has(piece.row.zone):
        yield piece.place.breaks(
            13, f"Zone {piece.row.zone} is broken out already; leave {piece} out.", 1
        )
    outside = case.shifts.outside_min(piece.crew.shift_id, piece.start_min, piece.end_min)
    if outside:
        yield piece.place.breaks(
            13,
            f"From {case.text(piece.start_min)} to {case.text(piece.end_min)}, {piece} lies "
            f"{outside} min outside every single shift {piece.crew.shift_id}.",
            outside,
        )
    yield from inside_window(case, piece, rule=13)
    yield from _piece_minutes(piece)


def _piece_minutes(piece: Broken) -> Iterator[Violation]:
    rate = piece.crew.rate_m3_h
    if rate is None:
        return
    least, most = minutes_allowed(piece.row.volume_m3, rate)
    off = max(least - piece.length_min, piece.length_min - most)
    if off > 0:
        yield piece.place.breaks(
            13,
            f"Of {piece}, {piece.length_min} min are planned; {piece.row.volume_m3:.4f} m³ at "
            f"{rate:g} m³/h take {most} min.",
            off,
        )


def _broken_out_before(case: Case, spell: Sprayed, pieces: list[Broken]) -> Iterator[Violation]:
    zone_id = spell.row.zone
    if not pieces:
        yield spell.place.breaks(
            13, f"Zone {zone_id} is sprayed at {case.text(spell.start_min)}, not broken out.", 1
        )
        return
    removed_m3 = sum(piece.row.volume_m3 for piece in pieces)
    whole_m3 = in_place_m3(spell.zone, case.rules)
    off_m3 = abs(removed_m3 - whole_m3)
    if not off_m3 <= slack_m3(whole_m3):
        yield pieces[-1].place.breaks(
            13,
            f"The break-out of zone {zone_id} adds up to {removed_m3:.4f} m³; its volume is "
            f"{whole_m3:.4f} m³.",
            off_m3,
        )
    yield from _between(case, spell, max(piece.end_min for piece in pieces))


def _between(case: Case, spell: Sprayed, end: int) -> Iterator[Violation]:
    """Yield a first layer too soon, or too long, after the end of break-out."""
    zone_id = spell.row.zone
    early = up(60.0 * case.rules.prepare_min_h) - (spell.start_min - end)
    if early > 0:
        yield spell.place.breaks(
            13,
            f"The first layer of zone {zone_id} at {case.text(spell.start_min)} starts "
            f"{early} min too early: break-out ends at {case.text(end)} and preparation takes at "
            f"least {case.rules.prepare_min_h:g} h.",
            early,
        )
    most_days = case.rules.max_open_days
    if most_days is None:
        return
    late = spell.start_min - end - down(most_days * MINUTES_PER_DAY)
    if late > 0:
        yield spell.place.breaks(
            13,
            f"The first layer of zone {zone_id} at {case.text(spell.start_min)} starts "
            f"{late} min too late: at most {most_days:g} days may pass after break-out ends at "
            f"{case.text(end)}.",
            late,
        )
