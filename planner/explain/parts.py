"""What a run is made of, minute by minute: start-up, changes, spells, waiting, clean-up."""

from __future__ import annotations

from planner.explain.cause import CauseKind, Piece
from planner.explain.ground import Ground
from planner.plan.plan import Run, RunKind


def run_parts(ground: Ground, run: Run) -> tuple[Piece, ...]:
    """Return a run cut into pieces that follow each other and add up to it.

    Start-up comes first, a zone change right before each spell, clean-up right after the last;
    what is left between them is waiting.
    """
    rig = ground.rigs[run.rig]
    if run.kind is RunKind.PANEL:
        text = f"test panel of {run.mix}, {run.orientation}"
        return (_piece(run.start_min, run.end_min, CauseKind.PANEL_RUN, text),)
    found: list[Piece] = []
    spells = ground.spells_of_run[run.run]
    at = run.start_min
    starts = min(run.start_min + rig.start_up_min, run.end_min)
    found.append(_piece(at, starts, CauseKind.START_UP, f"start-up of {run.rig}"))
    at = starts
    for spell in spells:
        change = max(at, spell.start_min - ground.rules.zone_change_min)
        found.append(_piece(at, change, CauseKind.SPARE, f"waiting before {spell.zone}"))
        found.append(
            _piece(change, spell.start_min, CauseKind.CHANGE, f"zone change to {spell.zone}")
        )
        text = f"{spell.zone} layer {spell.layer}, {spell.volume_m3:.2f} m³"
        found.append(_piece(spell.start_min, spell.end_min, CauseKind.SPELL, text))
        at = spell.end_min
    cleaned = min(at + rig.clean_up_min, run.end_min)
    found.append(_piece(at, cleaned, CauseKind.CLEAN_UP, f"clean-up of {run.rig}"))
    found.append(_piece(cleaned, run.end_min, CauseKind.SPARE, "time left at the end of the run"))
    return tuple(piece for piece in found if piece.minutes > 0)


def _piece(start: int, end: int, kind: CauseKind, text: str) -> Piece:
    return Piece(start_min=start, end_min=end, kind=kind, text=text)
