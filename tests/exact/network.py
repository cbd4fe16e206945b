"""All that a rig can do, as a network of states over the slots of the grid.

A rig is one unit of flow from its source to the sink.  Off duty it stands somewhere (or is not
set up yet), waits, moves, makes a panel or starts up; on duty it sprays, idles and cleans up.
An arc is one of these, with everything that the rules about crews, positions and zones need.
"""

from collections import deque
from collections.abc import Iterator
from dataclasses import replace

from planner.model.crew import Crew
from planner.model.identifiers import CrewId, Goal, MixId, PositionId
from planner.model.mix import MixFace
from planner.model.rig import Rig
from tests.exact import quantities
from tests.exact.arcs import SINK, Arc, Kind, Node, State
from tests.exact.scene import Job, Scene
from tests.exact.water import NotCoveredError

RANK = {
    kind: rank
    for rank, kind in enumerate(
        (
            Kind.WAIT,
            Kind.MOVE,
            Kind.PANEL,
            Kind.START_UP,
            Kind.SPELL,
            Kind.IDLE,
            Kind.CLEAN_UP,
            Kind.LEAVE,
            Kind.UNUSED,
        )
    )
}
"""Order of arcs of one slot: those which take no time come before what they lead to."""


class RigNetwork:
    """All arcs of one rig, grown from its source."""

    def __init__(self, scene: Scene, rig: Rig) -> None:
        self.scene, self.rig = scene, rig
        campaign = scene.campaign
        calendar = scene.calendar
        self.moving = calendar.rig(rig) & calendar.site()
        self.running = self.moving & calendar.process(rig.process)
        self.start_up = scene.steps(rig.start_up_min, "start-up")
        self.clean_up = scene.steps(rig.clean_up_min, "clean-up")
        self.change = scene.steps(campaign.rules.zone_change_min, "zone change")
        self.idle_max = (
            None if rig.idle_max_min is None else scene.steps(rig.idle_max_min, "idle_max")
        )
        self.panel = (
            scene.steps(rig.start_up_min + campaign.rules.panel_min + rig.clean_up_min, "panel")
            if campaign.rules.panel_days > 0
            else 0
        )
        self.counts_nights = Goal.NIGHT_RUNS in campaign.goals
        prices = campaign.prices
        self.keeps_runs = bool(
            prices.load_min_m3.get(rig.process) or prices.load_step_m3.get(rig.process)
        )
        first = -(-rig.available_from_min // scene.grid) if rig.at is not None else 0
        self.source: Node = (first, State(position=rig.at))
        self.arcs = self._trimmed(list(self._grown()))

    # growth ---------------------------------------------------------------------------------

    def _grown(self) -> Iterator[Arc]:
        yield self._arc(Kind.UNUSED, self.source, SINK)
        queue, seen = deque([self.source]), {self.source}
        while queue:
            node = queue.popleft()
            for arc in self._from(node):
                yield arc
                if arc.head != SINK and arc.head not in seen:
                    seen.add(arc.head)
                    queue.append(arc.head)

    def _from(self, node: Node) -> Iterator[Arc]:
        if node[0] > self.scene.calendar.slots:
            return
        if node[1].crew is None:
            yield from self._off_duty(node)
        else:
            yield from self._on_duty(node)

    def _arc(self, kind: Kind, tail: Node, head: Node, **more: object) -> Arc:
        arc = Arc(kind=kind, rig=self.rig.rig_id, tail=tail, head=head)
        return replace(arc, **more) if more else arc  # type: ignore[arg-type]  # checked by the class

    # off duty -------------------------------------------------------------------------------

    def _off_duty(self, node: Node) -> Iterator[Arc]:
        slot, state = node
        if state.position is not None:
            yield self._arc(Kind.LEAVE, node, SINK)
        if slot < self.scene.calendar.slots:
            yield self._arc(Kind.WAIT, node, (slot + 1, state), position=state.position)
        if state.position is None:
            for position in self.scene.campaign.positions:
                if quantities.allows(position, self.rig):
                    yield from self._duties(node, position.position_id)
        else:
            yield from self._duties(node, state.position)
            yield from self._moves(node, state.position)

    def _duties(self, node: Node, position: PositionId) -> Iterator[Arc]:
        slot, state = node
        first = state.position is None
        for crew in self.scene.sprayers:
            shift = self._shift(crew, slot)
            if shift is None:
                continue
            for mix in sorted({f.mix_id for f in self._faces(crew)}):
                if self._free(crew, position, slot, slot + self.start_up, shift):
                    yield self._started(node, position, crew, mix, shift, first=first)
            if self.panel and self._free(crew, position, slot, slot + self.panel, shift):
                yield from self._panels(node, position, crew, first=first)

    def _started(
        self, node: Node, position: PositionId, crew: Crew, mix: MixId, shift: int, *, first: bool
    ) -> Arc:
        slot = node[0]
        end = slot + self.start_up
        state = State(
            position=position,
            crew=crew.crew_id,
            mix=mix,
            shift=shift,
            night=self._dark(slot, end),
            begun=slot if self.keeps_runs else -1,
        )
        return self._arc(
            Kind.START_UP,
            node,
            (end, state),
            crew=crew.crew_id,
            position=position,
            mix=mix,
            first_set_up=first,
            night=state.night,
        )

    def _panels(
        self, node: Node, position: PositionId, crew: Crew, *, first: bool
    ) -> Iterator[Arc]:
        end = node[0] + self.panel
        for face in self._faces(crew):
            yield self._arc(
                Kind.PANEL,
                node,
                (end, State(position=position)),
                crew=crew.crew_id,
                position=position,
                mix=face.mix_id,
                orientation=face.orientation,
                first_set_up=first,
                night=self._dark(node[0], end),
            )

    def _moves(self, node: Node, start: PositionId) -> Iterator[Arc]:
        slot = node[0]
        places = {p.position_id: p for p in self.scene.campaign.positions}
        for position in self.scene.campaign.positions:
            if position.position_id == start or not quantities.allows(position, self.rig):
                continue
            minutes = quantities.move_min(self.rig, places[start], position)
            end = slot + self.scene.steps(minutes, "move")
            if end == slot:
                raise NotCoveredError("relocations that take no time")
            opened = self.scene.positions_open
            both = opened[start] & opened[position.position_id] & self.moving
            if not all(s in both for s in range(slot, end)):
                continue
            head = (end, State(position=position.position_id))
            for crew_id in self._movers(slot, end):
                yield self._arc(
                    Kind.MOVE, node, head, crew=crew_id, position=start, to=position.position_id
                )

    def _movers(self, start: int, end: int) -> Iterator[CrewId | None]:
        gang = self.scene.gang_shifts
        if gang is not None:
            if any(a <= start and end <= b for a, b in gang):
                yield None
            return
        for crew in self.scene.sprayers:
            opened = self.scene.crews_open[crew.crew_id]
            shifts = self.scene.crew_shifts[crew.crew_id]
            if any(a <= start and end <= b for a, b in shifts) and all(
                s in opened for s in range(start, end)
            ):
                yield crew.crew_id

    # on duty --------------------------------------------------------------------------------

    def _on_duty(self, node: Node) -> Iterator[Arc]:
        slot, state = node
        crew = next(c for c in self.scene.sprayers if c.crew_id == state.crew)
        if state.position is None:
            return
        for job in self.scene.jobs.values():
            face = job.face
            if (
                face.mix_id == state.mix
                and quantities.takes(self.rig, face)
                and quantities.may_spray(crew, face)
            ):
                yield from self._spells(node, crew, job)
        if state.idle < 0:
            return
        if state.idle == 0:  # a wait before the clean-up only makes the run longer
            yield from self._cleaned(node, crew)
        idle = min(state.idle + 1, 1) if self.idle_max is None else state.idle + 1
        within = self.idle_max is None or idle + self.change <= self.idle_max
        if within and self._free(crew, state.position, slot, slot + 1, state.shift):
            yield self._duty(Kind.IDLE, node, slot + 1, state._replace(idle=idle))

    def _spells(self, node: Node, crew: Crew, job: Job) -> Iterator[Arc]:
        slot, state = node
        campaign, zone = self.scene.campaign, job.zone
        place = next(p for p in campaign.positions if p.position_id == state.position)
        equivalent = quantities.equivalent_m(campaign, place, zone, self.rig)
        if equivalent is None:
            return
        rate = quantities.rate_m3_h(self.rig, job.face, equivalent)
        minutes = quantities.layer_min(campaign, zone, job.face, rate=rate)
        whole = self.scene.steps(minutes, f"spell of {zone.zone_id}")
        spray_from = slot + self.change
        for length, last in self.scene.piece_steps(zone, whole):
            end = spray_from + length
            if not self._free(crew, place.position_id, slot, end, state.shift):
                continue
            for layer in range(1, job.layers + 1):
                closes = last and layer == job.layers
                if self.scene.fits(job, start=slot, spray_from=spray_from, end=end, last=closes):
                    arc = self._duty(Kind.SPELL, node, end, state._replace(idle=0))
                    yield replace(
                        arc,
                        orientation=zone.orientation,
                        zone=zone.zone_id,
                        layer=layer,
                        last=last,
                        spray_from=spray_from,
                        whole=whole,
                    )

    def _cleaned(self, node: Node, crew: Crew) -> Iterator[Arc]:
        slot, state = node
        end = slot + self.clean_up
        if state.position and self._free(crew, state.position, slot, end, state.shift):
            arc = self._duty(Kind.CLEAN_UP, node, end, state)
            yield replace(arc, head=(end, State(position=state.position)))

    def _duty(self, kind: Kind, node: Node, end: int, state: State) -> Arc:
        dark = not state.night and self._dark(node[0], end)
        return self._arc(
            kind,
            node,
            (end, state._replace(night=state.night or dark)),
            crew=state.crew,
            position=state.position,
            mix=state.mix,
            night=dark,
        )

    # plain questions ------------------------------------------------------------------------

    def _dark(self, start: int, end: int) -> bool:
        return self.counts_nights and self.scene.night(start, end)

    def _faces(self, crew: Crew) -> list[MixFace]:
        return [
            face
            for face in self.scene.campaign.mixes
            if quantities.takes(self.rig, face) and quantities.may_spray(crew, face)
        ]

    def _shift(self, crew: Crew, slot: int) -> int | None:
        shifts = self.scene.crew_shifts[crew.crew_id]
        return next((k for k, (a, b) in enumerate(shifts) if a <= slot < b), None)

    def _free(self, crew: Crew, position: PositionId, start: int, end: int, shift: int) -> bool:
        if end > self.scene.crew_shifts[crew.crew_id][shift][1]:
            return False
        crew_open = self.scene.crews_open[crew.crew_id]
        place = self.scene.positions_open[position]
        return all(s in crew_open and s in place and s in self.running for s in range(start, end))

    # trimming -------------------------------------------------------------------------------

    def _trimmed(self, arcs: list[Arc]) -> list[Arc]:
        """Drop arcs from which the sink cannot be reached, and waits that nothing follows."""
        alive = {SINK}
        for arc in sorted(arcs, key=lambda a: (a.tail[0], RANK[a.kind]), reverse=True):
            if arc.head in alive:
                alive.add(arc.tail)
        return [arc for arc in arcs if arc.head in alive and arc.tail in alive]
