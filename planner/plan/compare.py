"""What differs between two plans of one campaign, in plain sentences."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from planner.core.clock import MINUTES_PER_HOUR
from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.plan import measures
from planner.plan.plan import Plan, Spell
from planner.plan.rows import exact


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    """How one zone is sprayed in one plan."""

    rigs: tuple[str, ...]
    crews: tuple[str, ...]
    positions: tuple[str, ...]
    start_min: int
    end_min: int
    pieces: int


def differences(campaign: Campaign, before: Plan, after: Plan) -> tuple[str, ...]:
    """Return what differs from one plan to the other; nothing where all rows are the same.

    First the figures of the plan, then zone by zone in file order, then what differs otherwise.
    """
    if before == after:
        return ()
    found = [*_figures(campaign, before, after), *_zones(campaign, before, after)]
    return tuple(found) or ("Only relocations, break-outs, runs or the order of rows differ.",)


def _figures(campaign: Campaign, before: Plan, after: Plan) -> Iterator[str]:
    yield from _finish(campaign, before, after)
    old, new = _named(campaign, before), _named(campaign, after)
    for name in old:
        was, now = _figure(old[name]), _figure(new[name])
        if was != now:
            yield f"{name}: {was} before, {now} after."


def _named(campaign: Campaign, plan: Plan) -> dict[str, float]:
    return {
        "Planned volume in m³": measures.planned_m3(plan),
        "Relocations": measures.relocations(plan),
        "Cost": measures.cost(campaign, plan),
        "Days late": measures.late_days(campaign, plan),
        "Night runs": measures.night_runs(campaign, plan),
        "Joints": measures.joints(plan),
    }


def _figure(number: float) -> str:
    return str(exact(round(number, 2)))


def _finish(campaign: Campaign, before: Plan, after: Plan) -> Iterator[str]:
    old, new = measures.finish_min(before), measures.finish_min(after)
    if old == new:
        return
    if old is None or new is None:
        yield "Nothing was planned before." if old is None else "Nothing is planned any more."
        return
    was, now = (f"{campaign.clock.local(at):%Y-%m-%d %H:%M}" for at in (old, new))
    yield f"Finish: {_shift(new - old)}, {now} instead of {was}."


def _shift(minutes: int) -> str:
    hours, rest = divmod(abs(minutes), MINUTES_PER_HOUR)
    return f"{hours} h {rest:02d} min {'later' if minutes > 0 else 'earlier'}"


def _zones(campaign: Campaign, before: Plan, after: Plan) -> Iterator[str]:
    old, new = _work(before), _work(after)
    for zone in campaign.zones:
        was, now = old.get(zone.zone_id), new.get(zone.zone_id)
        if was == now:
            continue
        if was is None:
            yield f"Zone {zone.zone_id} is planned now."
        elif now is None:
            yield f"Zone {zone.zone_id} is not planned any more."
        else:
            yield f"Zone {zone.zone_id}: " + "; ".join(_changes(was, now)) + "."


def _work(plan: Plan) -> dict[ZoneId, _Work]:
    spells: defaultdict[ZoneId, list[Spell]] = defaultdict(list)
    for spell in plan.spells:
        spells[spell.zone].append(spell)
    return {
        zone: _Work(
            rigs=tuple(sorted({row.rig for row in rows})),
            crews=tuple(sorted({row.crew for row in rows})),
            positions=tuple(sorted({row.position for row in rows})),
            start_min=min(row.start_min for row in rows),
            end_min=max(row.end_min for row in rows),
            pieces=len(rows),
        )
        for zone, rows in spells.items()
    }


def _changes(was: _Work, now: _Work) -> Iterator[str]:
    for name, old, new in (
        ("rig", was.rigs, now.rigs),
        ("crew", was.crews, now.crews),
        ("position", was.positions, now.positions),
    ):
        if old != new:
            yield f"{name} {' and '.join(new)} instead of {' and '.join(old)}"
    if was.start_min != now.start_min:
        yield f"starts {_shift(now.start_min - was.start_min)}"
    if was.end_min != now.end_min:
        yield f"is done {_shift(now.end_min - was.end_min)}"
    if was.pieces != now.pieces:
        yield f"{now.pieces} spells instead of {was.pieces}"
