"""Plain formulas that several rooms share: volume in place, layers, volume through the nozzle."""

from __future__ import annotations

from planner.core.rounding import up

MM_PER_M = 1000.0


def in_place_m3(*, area_m2: float, depth_mm: float, overbreak: float) -> float:
    """Return the volume of a repair: area x depth, and more for the rough face [m³].

    Formula: contract, section 3.

    Parameters
    ----------
    area_m2, depth_mm
        Surface and mean depth of the repair [m², mm].
    overbreak
        Share added for the rough broken-out face [1].

    Examples
    --------
    >>> in_place_m3(area_m2=20.0, depth_mm=50.0, overbreak=0.0)
    1.0
    """
    return area_m2 * (depth_mm / MM_PER_M) * (1.0 + overbreak)


def layer_count(depth_mm: float | None, layer_max_mm: float) -> int:
    """Return in how many layers a depth is sprayed; 1 where none is given [1].

    ceil(depth / thickest layer), after rounding to six decimals: contract, section 3.

    Examples
    --------
    >>> layer_count(100.0, 50.0), layer_count(101.0, 50.0), layer_count(None, 50.0)
    (2, 3, 1)
    """
    return 1 if depth_mm is None else max(1, up(depth_mm / layer_max_mm))


def gross_m3(*, in_place_m3: float, rebound: float, waste: float) -> float:
    r"""Return the volume that must leave the nozzle for a volume in place [m³].

    Rebound is taken as a share of what leaves the nozzle:

    .. math:: q = \frac{V\,(1 + w)}{1 - R}

    and not :math:`V (1 + R)`, which is 25 % short at R = 0.5.  Formula: contract, section 5.
    Rebound as "percent of the total mix", so of what is shot: Concrete Construction, "Material
    losses in shotcreting", which states the older ranges of ACI 506 (dry mix: 5-15 % on slabs,
    15-30 % on walls, 25-50 % overhead).

    Parameters
    ----------
    in_place_m3
        Volume that must stay on the surface [m³].
    rebound
        Share of the sprayed volume that falls; at least 0 and below 1 [1].
    waste
        Share lost besides rebound: overspray and trimming [1].

    Raises
    ------
    ValueError
        If the rebound lies outside [0, 1).

    Examples
    --------
    >>> gross_m3(in_place_m3=3.0, rebound=0.25, waste=0.0)
    4.0
    """
    if not 0.0 <= rebound < 1.0:
        msg = f"rebound must lie in [0, 1), got {rebound}; write 30 % as 0.30"
        raise ValueError(msg)
    return in_place_m3 * (1.0 + waste) / (1.0 - rebound)
