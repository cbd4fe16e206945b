"""The same campaign under other names and in another order of its tables."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from typing import Any, TypeVar, cast

from planner.core.clock import Clock
from planner.model.campaign import Campaign

T = TypeVar("T")
TABLES = ("zones", "positions", "rigs", "crews", "shifts", "mixes", "closures", "apart")


def other_names(campaign: Campaign) -> dict[str, str]:
    """Return a new name for every identifier; the new names sort the other way round."""
    names = [
        *(zone.zone_id for zone in campaign.zones),
        *(position.position_id for position in campaign.positions),
        *(rig.rig_id for rig in campaign.rigs),
        *(crew.crew_id for crew in campaign.crews),
        *(shift.shift_id for shift in campaign.shifts),
        *dict.fromkeys(face.mix_id for face in campaign.mixes),
    ]
    return {name: f"N{len(names) - k:03d}" for k, name in enumerate(names)}


def renamed(thing: T, names: Mapping[str, str]) -> T:
    """Return a record with every identifier in it replaced, however deep."""
    return cast("T", _renamed(thing, names))


def _renamed(thing: Any, names: Mapping[str, str]) -> Any:
    if isinstance(thing, Enum | Clock):
        return thing
    if isinstance(thing, str):
        return names.get(thing, thing)
    if isinstance(thing, tuple):
        return tuple(_renamed(part, names) for part in thing)
    if isinstance(thing, Mapping):
        return {_renamed(key, names): value for key, value in thing.items()}
    if is_dataclass(thing) and not isinstance(thing, type):
        changed = {f.name: _renamed(getattr(thing, f.name), names) for f in fields(thing)}
        return replace(thing, **changed)
    return thing


def backwards(campaign: Campaign) -> Campaign:
    """Return a campaign with the rows of its tables in reverse order."""
    tables: dict[str, Any] = {name: getattr(campaign, name)[::-1] for name in TABLES}
    return replace(campaign, **tables)
