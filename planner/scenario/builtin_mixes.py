"""The mixes used where a scenario has no mixes.csv: ``dry`` and ``wet``.

Each value is one choice inside a published range, with its source beside it; none is a promise.
Layer gaps and protection times depend on the mix and its admixtures and have no default: no
published figure holds for sprayed repairs in general, so they stay None.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import MixId, Orientation, Process
from planner.model.mix import MixFace

_DRY_REBOUND = (
    "range {low} to {high} of the total mix, quoted from older editions of the ACI guide to"
    " shotcrete (ACI 506R) in civil-engineering pages; the value is a choice inside the range"
)
_WET_REBOUND = (
    "range {low} to {high} as in the older table of ACI 506R, from memory; wet mix in total 5 to"
    " 15 % in an estimating note that quotes ACI 506R; the value is a choice inside the range"
)
_LAYER_OVERHEAD = (
    "25 to 50 mm overhead in published practice notes, up to 50 mm at a time in Ryan, Gunite: A"
    " Handbook for Engineers (1973); the value is a choice inside the range"
)
_LAYER_VERTICAL = "up to 100 or 150 mm on vertical faces in published practice notes"
_LAYER_FLOOR = "from memory: floors carry the layer, so the greater vertical figure is used"


@dataclass(frozen=True, slots=True, kw_only=True)
class BuiltInFace:
    """A built-in mix on one orientation, with the source of each value.

    Attributes
    ----------
    face
        The row, as mixes.csv would give it.
    rebound_source, layer_source
        Where rebound and layer thickness come from.
    rest_source
        Where the other values come from.
    """

    face: MixFace
    rebound_source: str
    layer_source: str
    rest_source: str = (
        "rate factor 1 and finishing 0: the contract's defaults; layer gaps and protection: not"
        " known, so not given"
    )


def _dry(orientation: Orientation, rebound: float, span: tuple[float, float]) -> BuiltInFace:
    return _face(Process.DRY, orientation, rebound, _DRY_REBOUND.format(low=span[0], high=span[1]))


def _wet(orientation: Orientation, rebound: float, span: tuple[float, float]) -> BuiltInFace:
    return _face(Process.WET, orientation, rebound, _WET_REBOUND.format(low=span[0], high=span[1]))


def _face(
    process: Process, orientation: Orientation, rebound: float, rebound_source: str
) -> BuiltInFace:
    layer_max_mm, layer_source = _LAYERS[orientation]
    return BuiltInFace(
        face=MixFace(
            mix_id=MixId(process.value),
            process=process,
            orientation=orientation,
            rebound=rebound,
            layer_max_mm=layer_max_mm,
        ),
        rebound_source=rebound_source,
        layer_source=layer_source,
    )


_LAYERS = {
    Orientation.OVERHEAD: (40.0, _LAYER_OVERHEAD),
    Orientation.VERTICAL: (100.0, _LAYER_VERTICAL),
    Orientation.FLOOR: (150.0, _LAYER_FLOOR),
}

BUILT_IN_FACES: tuple[BuiltInFace, ...] = (
    _dry(Orientation.OVERHEAD, 0.35, (0.25, 0.50)),
    _dry(Orientation.VERTICAL, 0.22, (0.15, 0.30)),
    _dry(Orientation.FLOOR, 0.10, (0.05, 0.15)),
    _wet(Orientation.OVERHEAD, 0.15, (0.10, 0.20)),
    _wet(Orientation.VERTICAL, 0.08, (0.05, 0.10)),
    _wet(Orientation.FLOOR, 0.03, (0.0, 0.05)),
)

BUILT_IN_MIXES: tuple[MixFace, ...] = tuple(entry.face for entry in BUILT_IN_FACES)
"""The rows used where a scenario has no mixes.csv."""
