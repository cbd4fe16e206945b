"""An old plan in the integers of a new problem: what is still to do of it, and what cannot stand.

Rows whose work is done are dropped without a word.  A layer that was re-measured, or done in
part, keeps the start of its spell and changes in length.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from planner.core.rounding import up
from planner.model.identifiers import CrewId, MixId, PositionId, RigId, ZoneId
from planner.optimise.board import Break, DraftRun, Move, Piece
from planner.optimise.problem import Problem, Way
from planner.plan.plan import Plan, Run, RunKind, Spell

MINUTES = 60.0
NOTHING_M3 = 1e-6
GROWTH = 0.25
"""The last of several spells of a layer takes what is left where it grows by no more [1]."""
Key = tuple[ZoneId, int, RigId, int]


@dataclass
class OldPlan:
    """The future of an old plan.

    Attributes
    ----------
    runs, moves, breaks
        Rows that begin at or after now and whose ids are known; in time order.
    lost
        Why a spell cannot stand in any plan, or not with what is left of its run, by zone,
        layer, rig and start.
    impossible
        The keys of the spells that cannot stand in any plan: the bound on changes.
    """

    runs: list[DraftRun] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    breaks: dict[int, list[Break]] = field(default_factory=dict)
    lost: dict[Key, str] = field(default_factory=dict)
    impossible: set[Key] = field(default_factory=set)


class _Names:
    """Indexes by the names of the scenario."""

    def __init__(self, problem: Problem) -> None:
        self.zones = {zone.zone_id: z for z, zone in enumerate(problem.zones)}
        self.rigs = {rig.rig.rig_id: r for r, rig in enumerate(problem.rigs)}
        self.crews = {crew.crew.crew_id: c for c, crew in enumerate(problem.crews)}
        self.mixes: dict[MixId, int] = {mix: m for m, mix in enumerate(problem.mixes)}
        places = problem.campaign.positions
        self.positions = {place.position_id: p for p, place in enumerate(places)}

    def crew(self, name: CrewId | None) -> int | None:
        return None if name is None else self.crews.get(name)

    def ends(self, *names: PositionId) -> list[int] | None:
        found = [self.positions[name] for name in names if name in self.positions]
        return found if len(found) == len(names) else None


def old_plan(problem: Problem, before: Plan) -> OldPlan:
    """Return the future of an old plan, with what is impossible taken out and told."""
    found = OldPlan()
    names = _Names(problem)
    left = _Left(problem, before)
    by_run: dict[str, list[Spell]] = defaultdict(list)
    for spell in sorted(before.spells, key=lambda row: row.start_min):
        by_run[spell.run].append(spell)
    for run in sorted(before.runs, key=lambda row: (row.start_min, row.rig)):
        if run.end_min > problem.start:
            _take_run(problem, names, left, found, run, by_run[run.run])
    for row in sorted(before.relocations, key=lambda row: row.start_min):
        ends = names.ends(row.from_position, row.to_position)
        known = row.rig in names.rigs and (row.crew is None or row.crew in names.crews)
        if row.start_min >= problem.start and known and ends is not None:
            rig, crew = names.rigs[row.rig], names.crew(row.crew)
            found.moves.append(Move(rig, crew, ends[0], ends[1], row.start_min, row.end_min))
    _take_breaks(problem, names, found, before)
    return found


class _Left:
    """What is left of each layer while the old spells are gone through in time order."""

    def __init__(self, problem: Problem, before: Plan) -> None:
        self.problem = problem
        self.volume: dict[tuple[int, int, int], float] = {}
        self.starts: dict[tuple[ZoneId, int], list[int]] = defaultdict(list)
        for spell in before.spells:
            self.starts[spell.zone, spell.layer].append(spell.start_min)

    def take(self, z: int, m: int, spell: Spell) -> float:
        """Return how much of a layer a spell sprays now: all that is left in its last one."""
        layer, planned_m3 = spell.layer, spell.volume_m3
        last = spell.start_min == max(self.starts[spell.zone, layer])
        key = z, m, layer
        if key not in self.volume:
            parts = self.problem.jobs[z][m].layers
            self.volume[key] = sum(part.volume_m3 for part in parts if part.number == layer)
        left = self.volume[key]
        single = len(self.starts[spell.zone, spell.layer]) == 1
        takes_all = single or (last and left - planned_m3 <= GROWTH * planned_m3)
        volume = left if takes_all or left < planned_m3 + NOTHING_M3 else planned_m3
        self.volume[key] = left - volume
        return volume


def _take_run(
    problem: Problem, names: _Names, left: _Left, found: OldPlan, run: Run, spells: list[Spell]
) -> None:
    ids = _ids(names, run)
    if ids is None:
        _lose(problem, found, spells, f"Run {run.run}: {_unknown(names, run)}")
        return
    draft = DraftRun(*ids, start=run.start_min, end=run.end_min, panel=run.orientation)
    if run.kind is RunKind.PANEL:
        kind = draft.crew, draft.mix, draft.panel
        if run.start_min >= problem.start and kind not in problem.panelled:
            found.runs.append(draft)
        return
    for spell in spells:
        z = names.zones.get(spell.zone)
        if spell.start_min < problem.start or z is None:
            continue
        _take_spell(problem, left, found, draft, spell, z)
    if not draft.pieces:
        return
    if len(draft.pieces) < len(spells):
        rig = problem.rigs[draft.rig]
        draft.start = draft.pieces[0].start - problem.zone_change - rig.start_up
        draft.end = draft.pieces[-1].end + rig.clean_up
    found.runs.append(draft)


def _take_spell(
    problem: Problem, left: _Left, found: OldPlan, draft: DraftRun, spell: Spell, z: int
) -> None:
    key = spell.zone, spell.layer, spell.rig, spell.start_min
    job = problem.jobs[z].get(draft.mix)
    if z in problem.complete or (
        job is not None and all(part.number != spell.layer for part in job.layers)
    ):
        return
    why = why_not(problem, draft, spell, z)
    if never(problem, draft.rig, z, spell.start_min):
        found.impossible.add(key)
    way = problem.way_of.get((z, draft.mix, draft.rig, draft.position))
    if why is not None or way is None or job is None:
        found.lost[key] = why or _out_of_reach(spell)
        return
    draft.pieces.append(_piece(left, draft, spell, way))


def _piece(left: _Left, draft: DraftRun, spell: Spell, way: Way) -> Piece:
    z, m = way.zone, way.mix
    job = left.problem.jobs[z][m]
    volume = left.take(z, m, spell)
    whole = next(k for k, part in enumerate(job.layers) if part.number == spell.layer)
    if abs(volume - job.layers[whole].volume_m3) < NOTHING_M3:
        volume, minutes = job.layers[whole].volume_m3, way.minutes[whole]
    else:
        minutes = up(MINUTES * volume / way.rate)
    start = spell.start_min
    return Piece(z, spell.layer, start, start + minutes, volume, draft.position, draft.rig)


def _ids(names: _Names, run: Run) -> tuple[int, int, int, int] | None:
    try:
        return (
            names.rigs[run.rig],
            names.crews[run.crew],
            names.positions[run.position],
            names.mixes[run.mix],
        )
    except KeyError:
        return None


def _unknown(names: _Names, run: Run) -> str:
    for what, name, known in (
        ("rig", run.rig, run.rig in names.rigs),
        ("crew", run.crew, run.crew in names.crews),
        ("position", run.position, run.position in names.positions),
        ("mix", run.mix, run.mix in names.mixes),
    ):
        if not known:
            return f"{what} {name} is not in the scenario any more."
    return "its rig, crew, position or mix is not in the scenario any more."


def _lose(problem: Problem, found: OldPlan, spells: list[Spell], why: str) -> None:
    rigs = {rig.rig.rig_id for rig in problem.rigs}
    for spell in spells:
        if spell.start_min >= problem.start:
            key = spell.zone, spell.layer, spell.rig, spell.start_min
            found.lost[key] = why
            if spell.rig not in rigs:
                found.impossible.add(key)


def _out_of_reach(spell: Spell) -> str:
    return (
        f"Rig {spell.rig} cannot spray zone {spell.zone} from position {spell.position}"
        " with this mix any more (contract, section 3)."
    )


def why_not(problem: Problem, run: DraftRun, spell: Spell, z: int) -> str | None:
    """Return which rule keeps a spell from its place, whatever else is planned; None: none."""
    way = problem.way_of.get((z, run.mix, run.rig, run.position))
    job = problem.jobs[z].get(run.mix)
    if way is None or job is None:
        return _out_of_reach(spell)
    at = spell.start_min
    if at < problem.start + problem.rigs[run.rig].start_up + problem.zone_change:
        return (
            f"Its run was under way, and from now no start-up fits before {spell.zone} (rule 4)."
        )
    if at not in job.mid:
        return f"Zone {spell.zone} cannot be sprayed then: its window is shut (rules 1 to 3)."
    if at < (problem.zones[z].ready_from_min or 0):
        return f"Zone {spell.zone} is not ready by then (rule 10)."
    if at not in problem.room[run.rig, run.position]:
        return f"Rig {spell.rig} or position {spell.position} is shut or away then (rule 5)."
    crew = problem.crews[run.crew]
    if not any(a <= at < b for a, b, _ in crew.pieces):
        return f"Crew {spell.crew} is not on shift then, or away (rules 4 and 5)."
    if not crew.may((run.mix, problem.zones[z].orientation), at):
        return f"Crew {spell.crew} may not spray this mix so in that shift (rule 4)."
    return None


def never(problem: Problem, r: int, z: int, at: int) -> bool:
    """Return whether no plan can begin a spell of a zone by a rig at a minute (a valid bound).

    Any mix, any position and any crew are allowed; only what no plan can change is asked: the
    spray spans, the rig's and the positions' openings, the crews' shifts.
    """
    lead = problem.rigs[r].start_up + problem.zone_change
    if at < max(problem.start + lead, problem.zones[z].ready_from_min or 0):
        return True
    shifts = [c for c in problem.crews if any(a <= at < b for a, b, _ in c.pieces)]
    orientation = problem.zones[z].orientation
    return not any(
        way.rig == r
        and at in problem.jobs[z][way.mix].mid
        and at in problem.room[r, way.position]
        and any(crew.may((way.mix, orientation), at) for crew in shifts)
        for way in problem.ways[z]
    )


def _take_breaks(problem: Problem, names: _Names, found: OldPlan, before: Plan) -> None:
    for row in sorted(before.break_outs, key=lambda row: row.start_min):
        z, c = names.zones.get(row.zone), names.crews.get(row.crew)
        if z is None or c is None or row.start_min < problem.start or problem.broken_out[z]:
            continue
        piece = Break(c, z, row.start_min, row.end_min, row.volume_m3)
        found.breaks.setdefault(z, []).append(piece)
    for z, rows in list(found.breaks.items()):
        if abs(sum(row.volume for row in rows) - problem.full_volume[z]) > NOTHING_M3:
            del found.breaks[z]
