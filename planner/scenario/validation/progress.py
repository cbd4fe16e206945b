"""Progress against the layers and shares of its zone."""

from __future__ import annotations

from collections import defaultdict

from planner.core.quantities import in_place_m3, layer_count
from planner.model.mix import MixFace
from planner.scenario.build import mix_faces
from planner.scenario.calendar import not_before
from planner.scenario.draft import Row
from planner.scenario.found import amounts_of, depth_mm_of
from planner.scenario.validation.ledger import Ledger
from planner.scenario.validation.mixes import usable_faces

_TABLE = "progress"
_SLACK_M3 = 1e-6


def check_progress(ledger: Ledger) -> None:
    """Note what is wrong with progress.csv."""
    rows = ledger.draft.rows(_TABLE)
    for row in rows:
        if row.is_empty("done_m3") and row.is_empty("left_m3"):
            ledger.missing(
                "write the volume that was done, or left_m3",
                table=_TABLE,
                row=row,
                column="done_m3",
            )
        _check_time(ledger, row)
    _check_layers(ledger, rows)


def _check_time(ledger: Ledger, row: Row) -> None:
    at, clock = row.moment("at"), ledger.clock
    if at is None or clock is None:
        return
    at_min = not_before(clock, at)
    if at_min < 0:
        ledger.warn(
            "outside-campaign",
            f"{at} lies before the campaign's first day, {clock.first_day}; the plan starts with"
            " the campaign",
            table=_TABLE,
            row=row,
            column="at",
        )
    elif at_min >= clock.horizon_min:
        ledger.error(
            "outside-campaign",
            f"{at} lies after the campaign's last day, {clock.last_day}, so nothing is left to"
            " plan; move campaign.end",
            table=_TABLE,
            row=row,
            column="at",
        )


def _check_layers(ledger: Ledger, rows: tuple[Row, ...]) -> None:
    zones, faces = ledger.draft.ids("zones"), mix_faces(ledger.draft)
    done: dict[tuple[str, int], float] = defaultdict(float)
    fitting: list[Row] = []
    for row in rows:
        zone, layer = zones.get(row.text("zone")), row.whole("layer")
        if zone is None or layer is None:
            continue
        usable = usable_faces(zone, faces, has_water=ledger.water_kind != "none")
        if not usable:
            continue
        depth_mm = depth_mm_of(zone)
        most = max(layer_count(depth_mm, face.layer_max_mm) for face in usable)
        if layer > most:
            ledger.error(
                "unknown-layer",
                f"the zone has {most} layer{'s' if most > 1 else ''}, not {layer}",
                table=_TABLE,
                row=row,
                column="layer",
            )
            continue
        fitting.append(row)
        key = (row.text("zone"), layer)
        done[key] += row.number("done_m3") or 0.0
        _check_share(ledger, row, zone, usable, done_m3=done[key])
    _check_sequence(ledger, fitting)


def _check_share(
    ledger: Ledger, row: Row, zone: Row, faces: list[MixFace], *, done_m3: float
) -> None:
    volume_m3 = zone_volume_m3(ledger, zone)
    if volume_m3 is None:
        return
    depth_mm = depth_mm_of(zone)
    share_m3 = max(volume_m3 / layer_count(depth_mm, face.layer_max_mm) for face in faces)
    left_m3 = row.number("left_m3")
    if left_m3 is not None and left_m3 > share_m3 + _SLACK_M3:
        ledger.warn(
            "left-above-share",
            f"{left_m3:g} m³ left is more than the layer's share, {share_m3:.3f} m³; it is used"
            " as given",
            table=_TABLE,
            row=row,
            column="left_m3",
        )
    elif left_m3 is None and done_m3 > share_m3 + _SLACK_M3:
        ledger.warn(
            "done-above-share",
            f"{done_m3:g} m³ done in all is more than the layer's share, {share_m3:.3f} m³; the"
            " layer counts as complete",
            table=_TABLE,
            row=row,
            column="done_m3",
        )


def zone_volume_m3(ledger: Ledger, zone: Row) -> float | None:
    """Return the in-place volume of a zone (contract, section 3), or None [m³]."""
    overbreak = ledger.draft.keys.number("rules.overbreak")
    if overbreak is None:
        return zone.number("volume_m3")
    amounts = amounts_of(zone, overbreak)
    if amounts.volume_m3 is not None:
        return amounts.volume_m3
    if amounts.area_m2 is None or amounts.depth_mm is None:
        return None
    return in_place_m3(area_m2=amounts.area_m2, depth_mm=amounts.depth_mm, overbreak=overbreak)


def _check_sequence(ledger: Ledger, rows: list[Row]) -> None:
    begun: dict[str, set[int]] = defaultdict(set)
    for row in rows:
        layer = row.whole("layer")
        if layer is not None:
            begun[row.text("zone")].add(layer)
    for row in rows:
        layer = row.whole("layer")
        if layer is not None and layer > 1 and layer - 1 not in begun[row.text("zone")]:
            ledger.warn(
                "layer-skipped",
                f"layer {layer} is reported, but no row for layer {layer - 1}; the plan will put"
                " that one under it",
                table=_TABLE,
                row=row,
                column="layer",
            )
