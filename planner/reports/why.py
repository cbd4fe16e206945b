"""Answers to why, as sentences and tables for pages and the command line."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import pandas as pd

from planner.core.wording import moment, time_range
from planner.explain.cause import CauseKind, Piece
from planner.explain.gap import Gap
from planner.explain.ground import Ground
from planner.explain.left_out import why_left_out
from planner.explain.spell import SpellWhy, why_spell
from planner.model.identifiers import ZoneId
from planner.plan.plan import Spell
from planner.reports.labels import count


def spell_title(ground: Ground, spell: Spell) -> str:
    """Return what a spell is called in a list."""
    return (
        f"{moment(ground.clock, spell.start_min)} · {spell.zone} layer {spell.layer} · "
        f"{spell.rig} at {spell.position}"
    )


def spell_sentences(ground: Ground, spell: Spell) -> list[str]:
    """Return what set the start of a spell; where its run set it, what set the run too."""
    why = why_spell(ground, spell)
    found = [_start(ground, why), *_causes(why)]
    first = ground.spells_of_run[spell.run][0]
    if first != spell and any(cause.kind is CauseKind.RIG for cause in why.causes):
        head = why_spell(ground, first)
        found.append(
            f"The run begins at {moment(ground.clock, ground.runs[spell.run].start_min)} with "
            f"layer {first.layer} of {first.zone}. What set it:"
        )
        found += _causes(head)
    return found


def _start(ground: Ground, why: SpellWhy) -> str:
    spell = why.spell
    at = f"Layer {spell.layer} of {spell.zone} starts at {moment(ground.clock, spell.start_min)}"
    if not why.spare_min:
        return f"{at}. Everything else staying where it is, it cannot start a minute earlier:"
    return (
        f"{at}. Everything else staying where it is, it could start up to {why.spare_min} min "
        f"earlier, at {moment(ground.clock, why.free_from_min)}; the plan's goals gain nothing by "
        "it. Before that:"
    )


def _causes(why: SpellWhy) -> list[str]:
    return [f"{str(cause.kind).capitalize()}: {cause.text}." for cause in why.causes]


def zone_sentences(ground: Ground, zone_id: ZoneId) -> list[str]:
    """Return what set every spell of a zone, or why it is left out."""
    spells = ground.spells_of_zone.get(zone_id)
    if not spells:
        told = list(why_left_out(ground, zone_id))
        return told or [f"Nothing is left to spray in {zone_id}."]
    return [sentence for spell in spells for sentence in spell_sentences(ground, spell)]


def gap_title(ground: Ground, gap: Gap) -> str:
    """Return what a gap is called in a list."""
    between = " and ".join(part for part in (gap.before, gap.after) if part)
    return (
        f"{time_range(ground.clock, gap.start_min, gap.end_min)} · {gap.minutes} min · "
        f"{'between' if gap.before else 'before'} {between}"
    )


def pieces_frame(ground: Ground, pieces: Iterable[Piece]) -> pd.DataFrame:
    """Return what fills a stretch, one row for each piece in time order."""
    return pd.DataFrame(
        [
            {
                "From": ground.clock.local(piece.start_min).replace(tzinfo=None),
                "To": ground.clock.local(piece.end_min).replace(tzinfo=None),
                "Minutes": piece.minutes,
                "Cause": str(piece.kind),
                "What it is": piece.text,
            }
            for piece in pieces
        ],
        columns=["From", "To", "Minutes", "Cause", "What it is"],
    )


def causes_frame(pieces: Sequence[Piece]) -> pd.DataFrame:
    """Return the minutes of each sort of cause, the most first; they add up to the stretch."""
    sums: dict[str, int] = {}
    for piece in pieces:
        sums[str(piece.kind)] = sums.get(str(piece.kind), 0) + piece.minutes
    whole = math.fsum(sums.values()) or 1.0
    rows = sorted(sums.items(), key=lambda item: -item[1])
    return pd.DataFrame(
        [
            {"Cause": name, "Minutes": minutes, "Share (%)": round(100.0 * minutes / whole, 1)}
            for name, minutes in rows
        ],
        columns=["Cause", "Minutes", "Share (%)"],
    )


def gap_sentence(ground: Ground, gap: Gap, pieces: Sequence[Piece]) -> str:
    """Return a gap in a sentence: how long, and its two or three greatest causes."""
    sums = causes_frame(pieces)
    parts = [
        f"{name} {minutes} min"
        for name, minutes in zip(sums["Cause"][:3], sums["Minutes"][:3], strict=True)
    ]
    more = len(sums) - len(parts)
    rest = f", and {count(more, 'other cause')}" if more > 0 else ""
    span = time_range(ground.clock, gap.start_min, gap.end_min)
    return f"{span}: {gap.minutes} min without a run; {', '.join(parts)}{rest}."
