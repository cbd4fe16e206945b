"""What steers the decoder: a small, copyable description from which it builds a whole plan."""

from __future__ import annotations

from dataclasses import dataclass, field, replace


@dataclass(frozen=True, slots=True)
class Weights:
    """How the next spell of a run is chosen; all in minutes of preference.

    ``wait`` per minute of idle nozzle, ``close`` per minute that the zone's span stays open
    after the spell, ``length`` (subtracted) per minute of spell, ``priority`` per priority
    number above 1, ``due`` for zones that come due soon, ``split_wait`` the gap at which a
    run ends, ``patience`` the shifts a rig waits before it leaves unfinished work, ``fill``
    whether the rest of a run is filled as full as whole spells can fill it, ``ahead`` how many
    zones may be broken out and waiting.
    """

    wait: float = 1.0
    close: float = 0.25
    length: float = 0.4
    priority: float = 0.0
    due: float = 0.0
    split_wait: int = 180
    patience: int = 2
    fill: bool = True
    ahead: int = 6


@dataclass(frozen=True)
class Guide:
    """A plan's seed.

    Attributes
    ----------
    keys
        Preference of each zone, added to its score [min]; small comes first.
    stays
        Positions of each rig in order; empty: go to the nearest position with work left.
    share
        For some zones the (rig, position) pairs that may work on them; others are free.
    banned
        Zones left out of the plan.
    weights
        How spells are chosen.
    """

    keys: tuple[float, ...]
    stays: tuple[tuple[int, ...], ...]
    share: dict[int, frozenset[tuple[int, int]]] = field(default_factory=dict)
    banned: frozenset[int] = frozenset()
    weights: Weights = Weights()

    def with_stays(self, stays: tuple[tuple[int, ...], ...]) -> Guide:
        """Return the same guide with other stays."""
        return replace(self, stays=stays)


def plain_guide(zones: int, rigs: int) -> Guide:
    """Return the guide of the hand rule: finish each set-up, then the nearest with work left."""
    return Guide(keys=(0.0,) * zones, stays=((),) * rigs)
