"""The rules of a valid plan (contract, section 4), one function each, as rows of a programme."""

from collections import defaultdict
from itertools import pairwise

from planner.model.crew import Crew
from planner.model.identifiers import CrewId, CrewKind, MixId, PositionId, ZoneId
from planner.model.limits import ApartKind
from planner.model.zone import Zone
from tests.exact import quantities
from tests.exact.arcs import SINK, Arc, Kind, Node
from tests.exact.model import Model, Term, by_slot, negative, until
from tests.exact.water import NotCoveredError

MINUTES_PER_DAY = 24 * 60


def add_rules(model: Model) -> None:
    """Add every rule."""
    each_rig_takes_one_path(model)
    a_crew_does_one_thing_at_a_time(model)
    positions_hold_no_more_than_rigs_max(model)
    zones_are_planned_whole(model)
    layers_follow_with_their_gaps(model)
    lifts_wait_for_those_below(model)
    open_zones_are_limited(model)
    neighbours_are_not_worked_together(model)
    panels_come_first(model)
    break_out_comes_first(model)
    duties_are_short_enough(model)


def each_rig_takes_one_path(model: Model) -> None:
    """Rules 4-6: one unit of flow for each rig."""
    at = 0
    for network in model.networks:
        balance: dict[Node, list[Term]] = defaultdict(list)
        for number, arc in enumerate(network.arcs, start=at):
            balance[arc.tail].append((number, 1.0))
            balance[arc.head].append((number, -1.0))
        at += len(network.arcs)
        for node, terms in balance.items():
            if node != SINK:
                supply = 1.0 if node == network.source else 0.0
                model.programme.row(terms, low=supply, high=supply)


def work_of(model: Model, crew: CrewId) -> dict[int, list[Term]]:
    """Return for each slot what a crew may be busy with."""
    arcs = [(n, a) for n, a in enumerate(model.arcs) if a.works and a.crew == crew]
    busy = by_slot((slot, n) for n, a in arcs for slot in range(a.start, a.end))
    for pieces in model.break_out.values():
        for (name, slot), number in pieces.items():
            if name == crew:
                busy[slot].append((number, 1.0))
    return busy


def a_crew_does_one_thing_at_a_time(model: Model) -> None:
    """Rules 5 and 13: no two runs, relocations or break-outs of a crew overlap."""
    for crew in model.scene.campaign.crews:
        for terms in work_of(model, crew.crew_id).values():
            model.programme.row(terms, high=1.0)


def held(arc: Arc) -> PositionId | None:
    """Return the position that a rig holds during an arc."""
    if arc.kind in {Kind.MOVE, Kind.UNUSED, Kind.LEAVE}:
        return None
    return arc.position


def positions_hold_no_more_than_rigs_max(model: Model) -> None:
    """Rule 7: rigs that stand or work at a position are counted slot by slot."""
    for position in model.scene.campaign.positions:
        if position.rigs_max >= len(model.networks):
            continue
        here = [(n, a) for n, a in enumerate(model.arcs) if held(a) == position.position_id]
        for terms in by_slot((s, n) for n, a in here for s in range(a.start, a.end)).values():
            model.programme.row(terms, high=position.rigs_max)


def zones_are_planned_whole(model: Model) -> None:
    """Rules 8, 9, 10 and 14: each layer once, with one mix, or the zone not at all."""
    for zone in model.scene.campaign.zones:
        model.programme.row(model.planned(zone.zone_id), high=1.0)
    for (zone_id, mix_id), chosen in model.mix.items():
        for layer in range(1, model.scene.jobs[zone_id, mix_id].layers + 1):
            numbers = model.spells[zone_id, mix_id, layer]
            last = [(n, 1.0) for n in numbers if model.arcs[n].last]
            model.programme.row([*last, (chosen, -1.0)], low=0.0, high=0.0)
            if any(a.end - a.spray_from < a.whole for a in (model.arcs[n] for n in numbers)):
                _pieces_make_a_layer(model, numbers, chosen)


def _pieces_make_a_layer(model: Model, numbers: list[int], chosen: int) -> None:
    """Rule 9: pieces add up, do not overlap, and the last one comes last."""
    arcs = model.arcs
    lengths = {arcs[n].whole for n in numbers}
    if len(lengths) > 1:
        raise NotCoveredError("a split layer that can be sprayed at different rates")
    shares = [(n, float(arcs[n].end - arcs[n].spray_from)) for n in numbers]
    model.programme.row([*shares, (chosen, -float(lengths.pop()))], low=0.0, high=0.0)
    slots = model.scene.calendar.slots
    busy = by_slot((s, n) for n in numbers for s in range(arcs[n].spray_from, arcs[n].end))
    for terms in busy.values():
        model.programme.row(terms, high=1.0)
    begun = until(((arcs[n].spray_from, n) for n in numbers if arcs[n].last), slots)
    for number in numbers:
        if not arcs[number].last:
            rest = begun[arcs[number].spray_from]
            model.programme.row([(number, 1.0), *rest], high=1.0)


def layers_follow_with_their_gaps(model: Model) -> None:
    """Rule 10: the next layer starts between the least and the most gap after this one ends."""
    scene, arcs = model.scene, model.arcs
    for (zone_id, mix_id), job in scene.jobs.items():
        for layer in range(1, job.layers):
            gap_min = scene.hours(job.face.layer_gap_min_h or 0.0, "layer gap")
            ends = [(arcs[n].end, n) for n in model.spells[zone_id, mix_id, layer] if arcs[n].last]
            later = [(arcs[n].spray_from, n) for n in model.spells[zone_id, mix_id, layer + 1]]
            _starts_after(model, ends, later, gap=gap_min)
            if job.face.layer_gap_max_h is not None:
                gap_max = scene.hours(job.face.layer_gap_max_h, "layer gap")
                begun = until(later, scene.calendar.slots)
                for slot, ended in enumerate(until(ends, scene.calendar.slots)):
                    limit = min(slot + gap_max, scene.calendar.slots)
                    model.programme.row([*ended, *negative(begun[limit])], high=0.0)


def _starts_after(
    model: Model, ends: list[tuple[int, int]], starts: list[tuple[int, int]], *, gap: int
) -> None:
    """Let nothing start until something has ended ``gap`` slots before.

    At most one of the starts is taken in any slot.  Where they are whole spells of one layer,
    at most one of all is taken, and tighter rows hold: what has started so far.
    """
    slots = model.scene.calendar.slots
    ended, begun = until(ends, slots), until(starts, slots)
    spells = [model.arcs[n] for _, n in starts]
    once = all(a.last for a in spells) and len({(a.zone, a.layer) for a in spells}) == 1
    for slot, terms in by_slot(starts).items():
        before = ended[slot - gap] if slot >= gap else []
        model.programme.row([*(begun[slot] if once else terms), *negative(before)], high=0.0)


def lifts_wait_for_those_below(model: Model) -> None:
    """Rules 10 and 14: a zone starts when all in its ``after`` are complete."""
    arcs = model.arcs
    for zone in model.scene.campaign.zones:
        for below in zone.after:
            model.programme.row(
                [*model.planned(zone.zone_id), *negative(model.planned(below))], high=0.0
            )
            ends = [(arcs[n].end, n) for n in model.ends(below)]
            starts = [(arcs[n].spray_from, n) for n in model.first_layers(zone.zone_id)]
            _starts_after(model, ends, starts, gap=0)


def open_in(model: Model, zone: Zone) -> list[list[Term]]:
    """Return for each slot terms that add up to 1 while a zone is open, and never to less."""
    scene, arcs = model.scene, model.arcs
    if zone.broken_out and scene.campaign.plans_break_out:
        raise NotCoveredError("zones that are open from the start")
    slots = scene.calendar.slots
    hold = scene.hours(scene.campaign.rules.strength_hold_h, "strength hold")
    starts = [(arcs[n].spray_from, n) for n in model.first_layers(zone.zone_id)]
    starts += [(slot, n) for (_, slot), n in model.break_out.get(zone.zone_id, {}).items()]
    closed = until(((arcs[n].end + hold, n) for n in model.ends(zone.zone_id)), 2 * slots)
    begun = _begun(model, starts)
    return [[(begun[s], 1.0), *negative(closed[s])] for s in range(slots)]


def _begun(model: Model, starts: list[tuple[int, int]]) -> list[int]:
    """Return a variable for each slot that is 1 from the first of some starts on."""
    groups = by_slot(starts)
    begun = [model.programme.variable(whole=False) for _ in range(model.scene.calendar.slots)]
    for before, after in pairwise(begun):
        model.programme.row([(before, 1.0), (after, -1.0)], high=0.0)
    for slot, terms in groups.items():
        for term in terms:
            model.programme.row([term, (begun[slot], -1.0)], high=0.0)
    return begun


def open_zones_are_limited(model: Model) -> None:
    """Rule 11: apart zones of kind open, and open limits."""
    campaign = model.scene.campaign
    groups = [((p.zone_a, p.zone_b), 1) for p in campaign.apart if p.kind is ApartKind.OPEN]
    groups += [(limit.zones, limit.open_max) for limit in campaign.open_limits]  # type: ignore[misc]  # longer tuples
    if not groups:
        return
    named = {z for zones, _ in groups for z in zones}
    opened = {z.zone_id: open_in(model, z) for z in campaign.zones if z.zone_id in named}
    for zones, limit in groups:
        for slot in range(model.scene.calendar.slots):
            terms = [term for z in zones for term in opened[z][slot]]
            model.programme.row(terms, high=limit)


def _worked(model: Model, zone: ZoneId) -> dict[int, list[Term]]:
    arcs = model.arcs
    busy = by_slot((s, n) for n in model.of_zone[zone] for s in range(arcs[n].start, arcs[n].end))
    for (_, slot), number in model.break_out.get(zone, {}).items():
        busy[slot].append((number, 1.0))
    return busy


def neighbours_are_not_worked_together(model: Model) -> None:
    """Rule 11: apart zones of kind work, in spells, zone changes and break-out."""
    most = float(len(model.networks) + len(model.scene.campaign.crews))
    for pair in model.scene.campaign.apart:
        if pair.kind is not ApartKind.WORK:
            continue
        first, second = _worked(model, pair.zone_a), _worked(model, pair.zone_b)
        for slot in sorted(first.keys() & second.keys()):
            turn = model.programme.variable()
            model.programme.row([*first[slot], (turn, -most)], high=0.0)
            model.programme.row([*second[slot], (turn, most)], high=most)


def panels_come_first(model: Model) -> None:
    """Rule 12: one panel for each crew, mix and orientation, panel_days before production."""
    scene, arcs = model.scene, model.arcs
    if scene.campaign.rules.panel_days <= 0:
        return
    wait = scene.steps(scene.campaign.rules.panel_days * MINUTES_PER_DAY, "panel_days")
    kinds: dict[tuple[CrewId | None, MixId | None, object], list[int]] = defaultdict(list)
    for number, arc in enumerate(arcs):
        if arc.kind in {Kind.SPELL, Kind.PANEL}:
            kinds[arc.crew, arc.mix, arc.orientation].append(number)
    for numbers in kinds.values():
        panels = [n for n in numbers if arcs[n].kind is Kind.PANEL]
        spells = [n for n in numbers if arcs[n].kind is Kind.SPELL]
        model.programme.row([(n, 1.0) for n in panels], high=1.0)
        _starts_after(
            model,
            [(arcs[n].end, n) for n in panels],
            [(arcs[n].spray_from, n) for n in spells],
            gap=wait,
        )


def break_out_comes_first(model: Model) -> None:
    """Rule 13: break-out adds up and ends prepare_min before the first layer."""
    scene, rules = model.scene, model.scene.campaign.rules
    prepare = scene.hours(rules.prepare_min_h, "prepare")
    crews = {c.crew_id: c for c in scene.campaign.crews if c.kind is CrewKind.BREAK_OUT}
    for zone_id, pieces in model.break_out.items():
        zone = next(z for z in scene.campaign.zones if z.zone_id == zone_id)
        minutes = {quantities.break_out_min(scene.campaign, zone, c) for c in crews.values()}
        if len(minutes) > 1:
            raise NotCoveredError("break-out crews of different rates")
        need = float(scene.steps(minutes.pop(), "break-out"))
        shares = [(n, 1.0) for n in pieces.values()]
        total = [(n, -need) for n, _ in model.planned(zone_id)]
        model.programme.row([*shares, *total], low=0.0, high=0.0)
        firsts = [(model.arcs[n].spray_from, n) for n in model.first_layers(zone_id)]
        begun = until(firsts, scene.calendar.slots)
        for (_, slot), number in pieces.items():
            limit = min(slot + prepare, scene.calendar.slots)
            model.programme.row([(number, 1.0), *_any(model, begun[limit])], high=1.0)
        if rules.max_open_days is not None:
            _not_open_too_long(model, zone, firsts)


def _any(model: Model, terms: list[Term]) -> list[Term]:
    """Return terms of which at most one is 1; pieces of a first layer would be more."""
    if any(not model.arcs[n].last for n, _ in terms):
        raise NotCoveredError("break-out of a zone whose first layer may be split")
    return terms


def _not_open_too_long(model: Model, zone: Zone, firsts: list[tuple[int, int]]) -> None:
    days = model.scene.campaign.rules.max_open_days or 0.0
    most = model.scene.steps(days * MINUTES_PER_DAY, "max_open_days")
    pieces = model.break_out[zone.zone_id]
    for slot, number in firsts:
        late = [(n, -1.0) for (_, s), n in pieces.items() if s + 1 >= slot - most]
        model.programme.row([(number, 1.0), *late], high=0.0)


def duties_are_short_enough(model: Model) -> None:
    """Rule 15: work that is not parted by a rest is one duty, and has a longest length."""
    for crew in model.scene.campaign.crews:
        if crew.week_max_min is not None:
            raise NotCoveredError("week_max_h")
        if crew.duty_max_min is not None and crew.rest_min_min is not None:
            _short_duties(model, crew)


def _short_duties(model: Model, crew: Crew) -> None:
    scene = model.scene
    longest = scene.steps(crew.duty_max_min or 0, "duty_max")
    rest = scene.steps(crew.rest_min_min or 0, "rest_min")
    busy = work_of(model, crew.crew_id)
    resting = {s: model.programme.variable() for s in range(scene.calendar.slots)}
    for slot, terms in busy.items():
        for begin in range(max(0, slot - rest + 1), slot + 1):
            model.programme.row([*terms, (resting[begin], 1.0)], high=1.0)
    for first in sorted(busy):
        for second in range(first + longest, first + longest + rest):
            if second in busy:
                between = [(resting[s], -1.0) for s in range(first + 1, second - rest + 1)]
                model.programme.row([*busy[first], *busy[second], *between], high=1.0)
