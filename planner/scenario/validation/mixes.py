"""Mixes, and zones left without one."""

from __future__ import annotations

from planner.core.quantities import layer_count
from planner.model.mix import MixFace
from planner.scenario.build import mix_faces
from planner.scenario.draft import Row
from planner.scenario.found import depth_mm_of
from planner.scenario.grid import shorten
from planner.scenario.validation.ledger import Ledger

_NOT_MEANT = "not meant"


def check_mixes(ledger: Ledger) -> None:
    """Note what is wrong with mixes.csv, and every zone that no mix can be sprayed on."""
    _check_processes(ledger)
    for row in ledger.draft.rows("mixes"):
        least, most = row.number("layer_gap_min_h"), row.number("layer_gap_max_h")
        if least is not None and most is not None and most < least:
            ledger.error(
                "gap-max-below-min",
                f"{most:g} h is below layer_gap_min_h, {least:g} h; no second layer could follow",
                table="mixes",
                row=row,
                column="layer_gap_max_h",
            )
    if "mixes" in ledger.draft.damaged or any(row.bad for row in ledger.draft.rows("mixes")):
        return  # a mix that could not be read may be the one that a zone needs
    faces = mix_faces(ledger.draft)
    for row in ledger.draft.rows("zones") if faces else ():
        _check_zone(ledger, row, faces)


def _check_processes(ledger: Ledger) -> None:
    first: dict[str, Row] = {}
    for row in ledger.draft.rows("mixes"):
        mix, process = row.text("mix"), row.text("process")
        if not mix or not process:
            continue
        other = first.setdefault(mix, row)
        if other.text("process") != process:
            ledger.error(
                "wrong-process",
                f"{shorten(mix)} is {other.text('process')} in row {other.place} and {process}"
                " here; a mix has one process",
                table="mixes",
                row=row,
                column="process",
            )


def usable_faces(row: Row, faces: tuple[MixFace, ...], *, has_water: bool) -> list[MixFace]:
    """Return the mixes that may be sprayed on the zone of a row."""
    return [face for face in faces if not _obstacle(row, face, has_water=has_water)]


def _obstacle(row: Row, face: MixFace, *, has_water: bool) -> str | None:
    """Return what keeps a mix from a zone, or None."""
    allowed = row.names("mixes")
    if (allowed and face.mix_id not in allowed) or face.orientation != row.text("orientation"):
        return _NOT_MEANT
    depth_mm = depth_mm_of(row)
    layers = layer_count(depth_mm, face.layer_max_mm)
    if layers > 1 and face.layer_gap_min_h is None:
        return (
            f"{depth_mm:g} mm needs {layers} layers of at most {face.layer_max_mm:g} mm and"
            " layer_gap_min_h is not given"
        )
    if has_water and row.number("wets_at_m") is not None and face.protect_h is None:
        return "water reaches the zone (wets_at_m) and protect_h is not given"
    return None


def _check_zone(ledger: Ledger, row: Row, faces: tuple[MixFace, ...]) -> None:
    if {
        "mixes",
        "orientation",
        "depth_mm",
        "found_depth_mm",
        "wets_at_m",
    } & row.bad or not ledger.water_kind:
        return
    has_water = ledger.water_kind != "none"
    if usable_faces(row, faces, has_water=has_water):
        return
    ids = {face.mix_id for face in faces}
    if row.names("mixes") and not ids & set(row.names("mixes")):
        return  # noted as an unknown reference already
    table = ledger.draft.label("mixes")
    reasons: dict[str, list[str]] = {}
    for face in faces:
        why = _obstacle(row, face, has_water=has_water)
        if why is not None and why != _NOT_MEANT:
            reasons.setdefault(why, []).append(shorten(face.mix_id))
    if reasons:
        what = "; ".join(f"{' and '.join(mixes)}: {why}" for why, mixes in reasons.items())
        mend = (
            f"fill it in {table} from the maker's data or a trial"
            if ledger.draft.has("mixes")
            else f"the built-in mixes leave it open, so add {table} with the maker's data"
        )
        message = f"no mix can be sprayed here. {what}; {mend}"
    else:
        message = (
            f"no mix can be sprayed here: {_listed(row)} has no row for {row.text('orientation')}"
            f" in {table if ledger.draft.has('mixes') else 'the built-in mixes'}"
        )
    ledger.error("no-usable-mix", message, table="zones", row=row, column="mixes")


def _listed(row: Row) -> str:
    allowed = row.names("mixes")
    return ", ".join(allowed) if allowed else "any mix"
