"""What a re-plan changes, in words and as a table: before, after, why."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from planner.core.clock import Clock
from planner.model.identifiers import ZoneId
from planner.optimise.replan import Moved, Replanned
from planner.plan.plan import Plan, Relocation, Spell

HEADING = ("zone", "layer", "issued", "before", "rig_before", "after", "rig_after", "why")


def change_rows(clock: Clock, before: Plan, made: Replanned) -> list[tuple[str, ...]]:
    """Return a row for each old spell that did not stay, then for each spell that is new."""
    after = _new_spells(before, made.plan)
    rows = []
    for moved in sorted(made.moved, key=lambda row: (not row.issued, row.spell.start_min)):
        spell = moved.spell
        mine = after.get((spell.zone, spell.layer), [])
        now = mine.pop(0) if mine else None
        rows.append(_row(clock, moved, now))
    for spells in after.values():
        rows += [
            (
                *(spell.zone, str(spell.layer), "no", "", ""),
                *(clock.text(spell.start_min), spell.rig),
                "It was not in the old plan, or not any more to come.",
            )
            for spell in spells
        ]
    return rows


def _row(clock: Clock, moved: Moved, now: Spell | None) -> tuple[str, ...]:
    spell = moved.spell
    return (
        spell.zone,
        str(spell.layer),
        "yes" if moved.issued else "no",
        clock.text(spell.start_min),
        spell.rig,
        "" if now is None else clock.text(now.start_min),
        "" if now is None else now.rig,
        moved.why,
    )


def _new_spells(before: Plan, after: Plan) -> dict[tuple[ZoneId, int], list[Spell]]:
    """Return the spells of the new plan that the old one has not, by zone and layer."""
    known = {(spell.zone, spell.layer, spell.rig, spell.start_min) for spell in before.spells}
    found: dict[tuple[ZoneId, int], list[Spell]] = defaultdict(list)
    for spell in after.spells:
        if (spell.zone, spell.layer, spell.rig, spell.start_min) not in known:
            found[spell.zone, spell.layer].append(spell)
    return found


def change_sentences(clock: Clock, before: Plan, made: Replanned) -> Iterator[str]:
    """Yield the before/after list in words; issued spells come first."""
    for zone, layer, issued, was, rig, now, other, why in change_rows(clock, before, made):
        what = f"Zone {zone}, layer {layer}"
        if not was:
            yield f"{what}: new on {_short(now)}, rig {other}."
            continue
        told = " (issued)" if issued == "yes" else ""
        then = f"now {_short(now)}, rig {other}" if now else "nothing in its place"
        yield f"{what}{told}: was {_short(was)}, rig {rig}; {then}. {why}"
    for row in made.changes.added:
        yield _relocation(clock, row)


def _relocation(clock: Clock, row: Relocation) -> str:
    at = _short(clock.text(row.start_min))
    return f"Relocation added: rig {row.rig} from {row.from_position} to {row.to_position}, {at}."


def _short(text: str) -> str:
    """Return an RFC 3339 time without seconds and offset."""
    return text[:16].replace("T", " ")
