"""Rules 1 to 3: windows, zone changes and wetting."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from planner.checks.case import Case
from planner.checks.openings import Opening
from planner.checks.quantities import get_in_out
from planner.checks.rows import Broken, Sprayed
from planner.checks.violation import Violation
from planner.core.rounding import up


def rule_1(case: Case) -> Iterator[Violation]:
    """Keep every spell, and finishing, inside one shortened window of its zone."""
    for spell in case.spells:
        found = list(inside_window(case, spell, rule=1))
        yield from found or _finishing(case, spell)


def inside_window(case: Case, work: Sprayed | Broken, *, rule: int) -> Iterator[Violation]:
    """Yield how a spell or break-out piece leaves the shortened window of its zone."""
    opening = case.opening(work)
    if not opening.is_usable:
        yield work.place.breaks(rule, *_unusable(case, work, opening))
        return
    get_in, get_out = get_in_out(work.zone, case.rules)
    early = opening.late_start_min(work.start_min, get_in)
    if early:
        yield work.place.breaks(
            rule,
            f"{_sentence(work)} starts at {case.text(work.start_min)}, {early} min before people "
            f"can be at the face: the window opens at {case.text(opening.start_min or 0)} and "
            f"getting in takes {get_in} min.",
            early,
        )
    late = opening.late_end_min(work.end_min, get_out)
    if late:
        yield work.place.breaks(
            rule,
            f"{_sentence(work)} ends at {case.text(work.end_min)}, {late} min after people must "
            f"leave the face: the window closes at {case.text(opening.end_min or 0)} and getting "
            f"out takes {get_out} min.",
            late,
        )


def _unusable(case: Case, work: Sprayed | Broken, opening: Opening) -> tuple[str, float]:
    if opening.closed_from_min is not None:
        text = (
            f"{_sentence(work)} from {case.text(work.start_min)} to {case.text(work.end_min)} "
            f"lies outside the windows of its zone for {opening.closed_min} min, first at "
            f"{case.text(opening.closed_from_min)}: {opening.cause}."
        )
        return text, opening.closed_min
    text = (
        f"{_sentence(work)} at {case.text(work.start_min)} uses a window that is "
        f"{opening.too_short_min:g} min shorter than the {case.rules.window_min_min} min below "
        "which a window is not used."
    )
    return text, opening.too_short_min


def _finishing(case: Case, spell: Sprayed) -> Iterator[Violation]:
    minutes = case.finishing_min(spell)
    _, get_out = get_in_out(spell.zone, case.rules)
    late = case.opening(spell).late_end_min(spell.end_min + minutes, get_out) if minutes else 0
    if late:
        yield spell.place.breaks(
            1,
            f"Finishing zone {spell.row.zone} takes {minutes} min after {spell} and lasts until "
            f"{case.text(spell.end_min + minutes)}, {late} min after people must leave the face; "
            "end the spell that much earlier.",
            late,
        )


def rule_2(case: Case) -> Iterator[Violation]:
    """Leave the rig time for the zone change before every spell, inside the same window."""
    change = case.rules.zone_change_min
    for spells in case.spells_by_run.values():
        busy_until: int | None = None
        for spell in spells:
            begin = spell.start_min - change
            if busy_until is not None and begin < busy_until:
                short = busy_until - begin
                yield spell.place.breaks(
                    2,
                    f"{_sentence(spell)} starts {short} min too early: the spell before it ends "
                    f"at {case.text(busy_until)} and the zone change takes {change} min.",
                    short,
                )
            busy_until = max(busy_until or spell.end_min, spell.end_min)
            yield from _change_in_window(case, spell, begin)


def _change_in_window(case: Case, spell: Sprayed, begin: int) -> Iterator[Violation]:
    get_in, _ = get_in_out(spell.zone, case.rules)
    opening = case.opening(spell)
    if not opening.is_usable or opening.late_start_min(spell.start_min, get_in):
        return  # rule 1 tells of it
    early = opening.late_start_min(begin, get_in)
    if early:
        yield spell.place.breaks(
            2,
            f"The zone change before {spell} begins at {case.text(begin)}, {early} min before "
            f"people can be at the face (window from {case.text(opening.start_min or 0)}, "
            f"{get_in} min to get in); start the spell that much later.",
            early,
        )


def rule_3(case: Case) -> Iterator[Violation]:
    """Keep water below what wets the zone from a spell's start until protect_h after it."""
    for spell in case.spells:
        band = case.gauge.dry_band(spell.zone)
        if band is None or spell.face is None:
            continue
        if spell.face.protect_h is None:
            yield spell.place.breaks(
                3,
                f"Zone {spell.row.zone} can be wetted, but mix {spell.ran.row.mix} gives no "
                "protect_h; use a mix for which it is known.",
                1,
            )
            continue
        end = spell.end_min + up(60.0 * spell.face.protect_h)
        dry = case.gauge.holds(band, spell.start_min, end)
        if dry.all():
            continue
        first = spell.start_min + int(np.argmin(dry))
        yield spell.place.breaks(
            3,
            f"Water may reach zone {spell.row.zone} at {case.text(first)}, {end - first} min "
            f"before {spell} may be wetted ({case.text(end)}, {spell.face.protect_h:g} h after "
            f"its end): {case.gauge.why_not(band, first)}.",
            end - first,
        )


def _sentence(work: Sprayed | Broken) -> str:
    text = str(work)
    return text[0].upper() + text[1:]
