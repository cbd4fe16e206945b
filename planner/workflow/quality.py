"""The quality plan of a scenario and a plan: trials, what their results say, what must wait."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from planner.model.campaign import Campaign
from planner.model.identifiers import ZoneId
from planner.model.quality import Outcome
from planner.model.zone import Zone
from planner.options.build import may_spray
from planner.plan.plan import Plan, RunKind
from planner.trade.faces import faces_for
from planner.trade.figure import Figure
from planner.trade.quality_faces import bond, inspections
from planner.trade.quality_panels import pre_construction, production
from planner.trade.quality_stops import Result, Stopped, stopped_spells
from planner.trade.quality_trial import PREFIX, Placed, SprayKind, Trial, TrialKind
from planner.trade.quality_verdict import Judged, Verdict, judge

MM_PER_M = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tested:
    """A trial with what it gave: the latest outcome counts, earlier ones stay in the table.

    ``waiting`` counts the spells that lie before a stop that this trial would end.
    """

    trial: Trial
    outcome: Outcome | None
    judged: Judged
    waiting: int = 0
    is_in_plan: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class QualityPlan:
    """Every trial in the order of its kind and day, and the spells that a stop holds."""

    tested: tuple[Tested, ...]
    stopped: tuple[Stopped, ...]

    def figures(self, name: str) -> tuple[Figure, ...] | None:
        """Return the figures behind a trial; None: there is none of that name."""
        return next((one.trial.figures for one in self.tested if one.trial.name == name), None)


NOT_JUDGED = Judged(verdict=Verdict.OPEN, sentence="")
STRAY = "Not in the quality plan of this plan; names are those that ebbwork tests lists."


def quality_plan(campaign: Campaign, plan: Plan | None) -> QualityPlan:
    """Return the quality plan; without a plan only the panels before the work starts.

    What a plan does not say, such as who sprays how much on which day, asks for no tests yet.
    """
    quality = campaign.quality
    placed = () if plan is None else tuple(placed_of(campaign, plan))
    kinds = sorted({one.kind for one in placed}) if plan else sorted(possible_kinds(campaign))
    panels, ready = ({}, {}) if plan is None else (_panels(plan), _ready(plan))
    trials = [
        *pre_construction(kinds, panels, quality),
        *production(placed, quality),
        *bond(placed, quality),
        *inspections(placed, ready, quality),
    ]
    known = {trial.name: trial for trial in trials}
    outcomes: dict[str, list[Outcome]] = defaultdict(list)
    for row in campaign.results:
        outcomes[row.test].append(row)
    judged = {
        name: [
            (row, judge(known.get(name) or _stray(name, campaign), row, quality)) for row in rows
        ]
        for name, rows in outcomes.items()
    }
    stopped = stopped_spells(
        placed,
        known,
        {
            name: [Result(at_min=row.at_min, verdict=one.verdict) for row, one in rows]
            for name, rows in judged.items()
        },
        quality,
        day=lambda minute: campaign.clock.local(minute).date().isoformat(),
    )
    waiting = Counter(one.trial for one in stopped)
    tested = [_tested(trial, judged.get(trial.name, []), waiting) for trial in trials]
    tested += [
        _tested(_stray(name, campaign), rows, waiting, is_in_plan=False)
        for name, rows in judged.items()
        if name not in known
    ]
    return QualityPlan(tested=tuple(tested), stopped=tuple(stopped))


def _tested(
    trial: Trial,
    rows: list[tuple[Outcome, Judged]],
    waiting: Mapping[str, int],
    *,
    is_in_plan: bool = True,
) -> Tested:
    if not rows:
        return Tested(
            trial=trial, outcome=None, judged=NOT_JUDGED, waiting=waiting.get(trial.name, 0)
        )
    outcome, judged = max(rows, key=lambda row: row[0].at_min)
    if not is_in_plan:
        judged = Judged(verdict=judged.verdict, sentence=f"{judged.sentence} {STRAY}")
    return Tested(
        trial=trial,
        outcome=outcome,
        judged=judged,
        waiting=waiting.get(trial.name, 0),
        is_in_plan=is_in_plan,
    )


def _stray(name: str, campaign: Campaign) -> Trial:
    """Return a trial for results whose name the plan does not ask for; its first part tells."""
    quality = campaign.quality
    first = name.split("/", maxsplit=1)[0]
    kind = next((kind for kind, word in PREFIX.items() if word == first), None)
    if kind is TrialKind.BOND:
        return Trial(name=name, kind=kind, specified_mpa=quality.bond_mpa)
    if kind is None or kind is TrialKind.INSPECTION:
        return Trial(name=name, kind=kind or TrialKind.PRODUCTION)
    return Trial(name=name, kind=kind, specified_mpa=quality.strength_mpa)


def possible_kinds(campaign: Campaign) -> set[SprayKind]:
    """Return each crew, mix and orientation that some zone may need and some rig sprays."""
    faces = {
        (face.mix_id, face.orientation): face
        for zone in campaign.zones
        for rig in campaign.rigs
        for face in faces_for(campaign, zone, rig).values()
    }
    return {
        (crew.crew_id, face.mix_id, face.orientation)
        for crew in campaign.crews
        for face in faces.values()
        if may_spray(crew, face)
    }


def placed_of(campaign: Campaign, plan: Plan) -> Iterator[Placed]:
    """Yield the spells of a plan as the quality plan wants them, in time order."""
    zones = {zone.zone_id: zone for zone in campaign.zones}
    mixes = {run.run: run.mix for run in plan.runs}
    last: dict[ZoneId, int] = {}
    for spell in plan.spells:
        last[spell.zone] = max(last.get(spell.zone, 0), spell.end_min)
    for spell in sorted(plan.spells, key=lambda one: (one.start_min, one.zone, one.layer)):
        zone = zones[spell.zone]
        yield Placed(
            crew=spell.crew,
            mix=mixes[spell.run],
            orientation=zone.orientation,
            zone=spell.zone,
            layer=spell.layer,
            start_min=spell.start_min,
            end_min=spell.end_min,
            day=campaign.clock.day(spell.start_min).isoformat(),
            volume_m3=spell.volume_m3,
            area_m2=_area_m2(zone) if spell.end_min == last[spell.zone] else 0.0,
        )


def _area_m2(zone: Zone) -> float:
    """Return the area of a zone, from volume and depth where it is not given; else 0 [m²]."""
    if zone.area_m2 is not None:
        return zone.area_m2
    if zone.volume_m3 is not None and zone.depth_mm:
        return zone.volume_m3 / (zone.depth_mm / MM_PER_M)
    return 0.0


def _panels(plan: Plan) -> dict[SprayKind, int]:
    """Return when the first panel run of each kind ends [min]."""
    found: dict[SprayKind, int] = {}
    for run in plan.runs:
        if run.kind is RunKind.PANEL and run.orientation is not None:
            kind = (run.crew, run.mix, run.orientation)
            found[kind] = min(run.end_min, found.get(kind, run.end_min))
    return found


def _ready(plan: Plan) -> dict[ZoneId, int]:
    found: dict[ZoneId, int] = {}
    for piece in plan.break_outs:
        found[piece.zone] = max(piece.end_min, found.get(piece.zone, 0))
    return found
