"""What all sheets of one plan share, each thing worked out once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from planner.access.windows import Access
from planner.model.campaign import Campaign
from planner.model.identifiers import Orientation, PositionId, RigId, ZoneId
from planner.model.material import Supply
from planner.model.mix import MixFace
from planner.model.position import Position
from planner.model.rig import Rig
from planner.model.rules import ReachBy
from planner.model.zone import Zone
from planner.plan.plan import Plan, Run, Spell
from planner.reach.hoses import HoseRun, Reach
from planner.reports.figures.projection import Projection, project, views
from planner.reports.labels import count
from planner.reports.quantities import RunMaterial, run_materials
from planner.site.duties import Duty, duties
from planner.site.stops import StopFinder, Stops
from planner.trade.cautions_in_plan import PlanCaution, cautions_in_plan
from planner.trade.material import material_kg, units_of
from planner.trade.quantities import layer_count, through_nozzle_m3


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTest:
    """A test or inspection: whose and where (empty: any), when [min], what in short and words."""

    crew: str
    zone: str = ""
    at_min: int
    short: str
    words: str


class SheetGround:
    """One plan with everything that its sheets need.

    Parameters
    ----------
    campaign, plan
        What is printed; the plan keeps every rule.
    issue
        Number under which the plan was issued; None: it was not.
    tests
        Tests and inspections that the quality plan asks for.
    """

    def __init__(
        self,
        campaign: Campaign,
        plan: Plan,
        *,
        issue: int | None = None,
        tests: Sequence[DueTest] = (),
    ) -> None:
        self.campaign, self.plan, self.issue = campaign, plan, issue
        self._tests = tuple(tests)
        self.clock = campaign.clock
        self.access = Access(campaign)
        self.reach = Reach(campaign)
        self.stop_finder = StopFinder(campaign, self.access)
        self.zones: dict[ZoneId, Zone] = {row.zone_id: row for row in campaign.zones}
        self.rigs: dict[RigId, Rig] = {row.rig_id: row for row in campaign.rigs}
        self.positions: dict[PositionId, Position] = {
            row.position_id: row for row in campaign.positions
        }
        self.runs: dict[str, Run] = {run.run: run for run in plan.runs}
        self._faces: dict[tuple[str, Orientation], MixFace] = {
            (face.mix_id, face.orientation): face for face in campaign.mixes
        }
        self._last: dict[ZoneId, int] = {}
        for spell in plan.spells:
            self._last[spell.zone] = max(self._last.get(spell.zone, 0), spell.end_min)

    @cached_property
    def duties(self) -> tuple[Duty, ...]:
        """Return what each crew does in each of its shifts."""
        return duties(self.campaign, self.plan, self.access)

    @cached_property
    def drawn(self) -> Projection:
        """Return the site laid flat in the way that suits it best."""
        return project(self.campaign, views(self.campaign)[0])

    @cached_property
    def plan_cautions(self) -> tuple[PlanCaution, ...]:
        """Return the spells that ask for a second look."""
        return cautions_in_plan(self.campaign, self.plan.spells)

    def face(self, spell: Spell) -> MixFace:
        """Return the mix of a spell on its face."""
        return self._faces[self.runs[spell.run].mix, self.zones[spell.zone].orientation]

    def layers(self, spell: Spell) -> int:
        """Return how many layers the zone of a spell takes [1]."""
        return layer_count(self.zones[spell.zone], self.face(spell))

    def nozzle_m3(self, spell: Spell) -> float:
        """Return what must go through the nozzle for a spell [m³]."""
        rebound = self.face(spell).rebound
        return through_nozzle_m3(spell.volume_m3, rebound, self.campaign.rules.waste)

    @cached_property
    def _materials(self) -> dict[str, RunMaterial]:
        return {row.run.run: row for row in run_materials(self.campaign, self.plan)}

    def bags(self, spell: Spell) -> int | None:
        """Return the bags of a spell alone, whole ones [1]; None: it comes in loads."""
        factors = self._materials[spell.run].factors
        if factors.supply is Supply.LOADS:
            return None
        return units_of(material_kg(self.nozzle_m3(spell), factors), factors.value("unit_kg"))

    def supply(self, run: Run) -> str:
        """Return what a spray run takes in bags or loads, the line included, in words."""
        found = self._materials.get(run.run)
        if found is None or found.units is None:
            return ""
        if found.factors.supply is Supply.LOADS:
            return f"{found.bought_m3:g} m³ in {count(found.units, 'load')}"
        kg = found.factors.value("unit_kg")
        return f"{count(found.units, 'bag')} of {kg:g} kg with the line"

    @cached_property
    def _pieces(self) -> Counter[tuple[ZoneId, int]]:
        return Counter((row.zone, row.layer) for row in self.plan.spells)

    def is_whole_layer(self, spell: Spell) -> bool:
        """Return whether a spell is the only one of its layer."""
        return self._pieces[spell.zone, spell.layer] == 1

    def is_last(self, spell: Spell) -> bool:
        """Return whether a spell is the last one of its zone."""
        return self._last[spell.zone] == spell.end_min

    def tests_due(self, duty: Duty) -> list[DueTest]:
        """Return the tests that fall into a shift of a crew."""
        zones = {"", *(row.zone for row in duty.spells), *(row.zone for row in duty.break_outs)}
        return [
            test
            for test in self._tests
            if test.crew in {"", duty.name}
            and test.zone in zones
            and duty.start_min <= test.at_min <= duty.end_min
        ]

    def stops(self, spell: Spell, duty: Duty) -> Stops | None:
        """Return when a spell must stop."""
        rig = self.rigs[spell.rig]
        return self.stop_finder.stops(
            self.zones[spell.zone],
            spell,
            self.face(spell),
            is_last=self.is_last(spell),
            clean_by_min=duty.end_min - rig.clean_up_min,
        )

    def hose(self, spell: Spell) -> HoseRun | None:
        """Return the hose of a spell."""
        return self.reach.run(
            self.positions[spell.position], self.zones[spell.zone], self.rigs[spell.rig]
        )

    def way(self, spell: Spell) -> tuple[str, ...]:
        """Return the ends that the hose of a spell passes."""
        ends = (str(spell.position), str(spell.zone))
        if self.campaign.reach_by is ReachBy.GRID:
            return ends
        return self.reach.network.way(*ends, self.rigs[spell.rig].bend_m) or ends
