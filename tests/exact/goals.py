"""Volume and the goals of a campaign as objectives (contract, sections 4 and 5)."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from itertools import pairwise

from planner.model.identifiers import CrewKind, Goal, MixId, Process, RigId
from planner.model.zone import Zone
from tests.exact import quantities
from tests.exact.arcs import Arc, Kind, State
from tests.exact.model import Model, Term, by_slot
from tests.exact.rules import work_of

MINUTES_PER_DAY = 24 * 60
Busy = dict[int, list[Term]]
"""By slot: variables of which at most one is 1."""


def volume(model: Model, priority: int) -> dict[int, float]:
    """Return minus the volume of the zones of one priority [m³]."""
    terms: dict[int, float] = {}
    for zone in model.scene.campaign.zones:
        if zone.priority == priority:
            cubic = model.volume_m3(zone.zone_id)
            terms |= {number: -cubic for number, _ in model.planned(zone.zone_id)}
    return terms


def objective(model: Model, goal: Goal) -> dict[int, float]:
    """Return the terms of a goal; new variables and rows are added where it needs them."""
    makers: dict[Goal, Callable[[Model], Iterable[Term]]] = {
        Goal.FINISH: finish_h,
        Goal.RELOCATIONS: relocations,
        Goal.COST: cost,
        Goal.LATE: late_days,
        Goal.NIGHT_RUNS: night_runs,
        Goal.JOINTS: joints,
    }
    summed: dict[int, float] = defaultdict(float)
    for number, factor in makers[goal](model):
        summed[number] += factor
    return dict(summed)


def finish_h(model: Model) -> list[Term]:
    """End of the last spell, in hours: one variable for each slot with a later end."""
    arcs, slots = model.arcs, model.scene.calendar.slots
    later = [model.programme.variable(whole=False) for _ in range(slots)]
    for before, after in pairwise(later):
        model.programme.row([(after, 1.0), (before, -1.0)], high=0.0)
    for zone in model.scene.campaign.zones:
        ends = model.ends(zone.zone_id)
        for slot in sorted({arcs[n].end - 1 for n in ends}):
            beyond = [(n, 1.0) for n in ends if arcs[n].end > slot]
            model.programme.row([*beyond, (later[slot], -1.0)], high=0.0)
    return [(number, model.scene.grid / 60.0) for number in later]


def relocations(model: Model) -> list[Term]:
    """Count the relocations."""
    return [(n, 1.0) for n in model.where(kind=Kind.MOVE)]


def late_days(model: Model) -> list[Term]:
    """Days after the end of ``due``, summed over zones."""
    grid, arcs = model.scene.grid, model.arcs
    terms = []
    for zone in model.scene.campaign.zones:
        if zone.due_min is not None:
            for n in model.ends(zone.zone_id):
                late = max(0, arcs[n].end * grid - zone.due_min)
                terms.append((n, late / MINUTES_PER_DAY))
    return terms


def night_runs(model: Model) -> list[Term]:
    """Count the runs that touch the night: the arcs by which one first does."""
    return [(n, 1.0) for n in model.where(night=True)]


def joints(model: Model) -> list[Term]:
    """Count the pieces beyond one for each layer."""
    return [(n, 1.0) for n in model.where(kind=Kind.SPELL, last=False)]


# cost -----------------------------------------------------------------------------------------


def cost(model: Model) -> list[Term]:
    """Return the money of section 5, line by line."""
    return [
        *_days(model),
        *_rig_days(model),
        *_crew_shifts(model),
        *_standby(model),
        *_set_ups(model),
        *_material(model),
    ]


def _day(model: Model, slot: int) -> int:
    return model.scene.campaign.clock.day_index(slot * model.scene.grid)


def _rig_work(model: Model, rig: RigId) -> Busy:
    """Return for each slot what a rig may be busy with."""
    arcs = [(n, a) for n, a in enumerate(model.arcs) if a.rig == rig and a.works]
    return by_slot((slot, n) for n, arc in arcs for slot in range(arc.start, arc.end))


def _span(model: Model, busies: Iterable[Busy]) -> list[int]:
    """Return a variable for each civil day from the first with work to the last."""
    programme = model.programme
    count = model.scene.campaign.clock.days
    before = [programme.variable(whole=False) for _ in range(count)]
    after = [programme.variable(whole=False) for _ in range(count)]
    within = [programme.variable(whole=False) for _ in range(count)]
    for slot, terms in (pair for busy in busies for pair in busy.items()):
        day = _day(model, slot)
        programme.row([*terms, (before[day], -1.0)], high=0.0)
        programme.row([*terms, (after[day], -1.0)], high=0.0)
    for day in range(count):
        if day:
            programme.row([(before[day - 1], 1.0), (before[day], -1.0)], high=0.0)
            programme.row([(after[day], 1.0), (after[day - 1], -1.0)], high=0.0)
        programme.row([(before[day], 1.0), (after[day], 1.0), (within[day], -1.0)], high=1.0)
    return within


def _days(model: Model) -> list[Term]:
    campaign = model.scene.campaign
    if not campaign.prices.day:
        return []
    busies = [_rig_work(model, rig.rig_id) for rig in campaign.rigs]
    busies += [
        work_of(model, crew.crew_id) for crew in campaign.crews if crew.kind is CrewKind.BREAK_OUT
    ]
    return [(n, campaign.prices.day) for n in _span(model, busies)]


def _rig_days(model: Model) -> list[Term]:
    return [
        (number, price)
        for rig, price in model.scene.campaign.prices.rig_day.items()
        if price
        for number in _span(model, [_rig_work(model, rig)])
    ]


def _crew_shifts(model: Model) -> list[Term]:
    terms: list[Term] = []
    for crew, price in model.scene.campaign.prices.crew_shift.items():
        if not price:
            continue
        busy = work_of(model, crew)
        for start, end in model.scene.crew_shifts[crew]:
            used = model.programme.variable(whole=False)
            for slot in range(start, end):
                if slot in busy:
                    model.programme.row([*busy[slot], (used, -1.0)], high=0.0)
            terms.append((used, price))
    return terms


def _standby(model: Model) -> list[Term]:
    terms: list[Term] = []
    for crew, price in model.scene.campaign.prices.crew_standby_day.items():
        if not price:
            continue
        busy = work_of(model, crew)
        for day, within in enumerate(_span(model, [busy])):
            works = model.programme.variable(whole=False)
            numbers = {n for s, terms_ in busy.items() if _day(model, s) == day for n, _ in terms_}
            model.programme.row([(works, 1.0), *((n, -1.0) for n in sorted(numbers))], high=0.0)
            terms += [(within, price), (works, -price)]
    return terms


def _set_ups(model: Model) -> list[Term]:
    campaign = model.scene.campaign
    price = {p.position_id: p.set_up_cost for p in campaign.positions}
    terms: list[Term] = []
    for number, arc in enumerate(model.arcs):
        if arc.kind is Kind.MOVE and arc.to is not None:
            terms.append((number, campaign.prices.relocation + price[arc.to]))
        elif arc.first_set_up and arc.position is not None:
            terms.append((number, price[arc.position]))
    return terms


def _material(model: Model) -> list[Term]:
    """Material, hose and rebound of every run; bought loads are counted where they are rounded."""
    terms: list[Term] = []
    through: dict[tuple[RigId, State], list[Term]] = defaultdict(list)
    prices = model.scene.campaign.prices
    process = {rig.rig_id: rig.process for rig in model.scene.campaign.rigs}
    for number, arc in enumerate(model.arcs):
        if arc.kind is not Kind.SPELL or arc.zone is None or arc.mix is None:
            continue
        placed, nozzle = _volumes(model, arc)
        material = prices.material_m3.get(arc.mix, 0.0)
        hose = prices.hose_m3.get(process[arc.rig], 0.0)
        terms.append((number, nozzle * hose + (nozzle - placed) * prices.rebound_m3))
        if _rounds(model, process[arc.rig]):
            through[arc.rig, arc.tail[1]._replace(idle=-1, night=False)].append((number, nozzle))
        else:
            terms.append((number, nozzle * material))
    starts: dict[tuple[RigId, State], list[Term]] = defaultdict(list)
    for number in model.where(kind=Kind.START_UP):
        arc = model.arcs[number]
        material = prices.material_m3.get(MixId(str(arc.mix)), 0.0)
        kind = process[arc.rig]
        if _rounds(model, kind):
            starts[arc.rig, arc.head[1]._replace(idle=-1, night=False)].append((number, 1.0))
        else:
            terms.append((number, prices.line_waste_m3.get(kind, 0.0) * material))
    for (rig, state), begins in starts.items():
        material = prices.material_m3.get(MixId(str(state.mix)), 0.0)
        bought = _bought(model, begins, through[rig, state], process[rig])
        terms.append((bought, material))
    return terms


def _rounds(model: Model, process: Process) -> bool:
    prices = model.scene.campaign.prices
    return bool(prices.load_min_m3.get(process) or prices.load_step_m3.get(process))


def _volumes(model: Model, arc: Arc) -> tuple[float, float]:
    """Return what a spell places and what leaves the nozzle for it [m³]."""
    campaign = model.scene.campaign
    zone: Zone = next(z for z in campaign.zones if z.zone_id == arc.zone)
    job = model.scene.jobs[zone.zone_id, MixId(str(arc.mix))]
    layer = quantities.volume_m3(campaign, zone) / job.layers
    placed = layer * (arc.end - arc.spray_from) / arc.whole
    return placed, placed * (1.0 + campaign.rules.waste) / (1.0 - job.face.rebound)


def _bought(model: Model, starts: list[Term], run: list[Term], process: Process) -> int:
    """Return a variable for what is bought for a run: at least a load, in whole steps."""
    prices = model.scene.campaign.prices
    most = sum(factor for _, factor in run) + 1e3
    bought = model.programme.variable(high=most, whole=False)
    waste = prices.line_waste_m3.get(process, 0.0)
    least = prices.load_min_m3.get(process, 0.0)
    wasted = [(number, waste) for number, _ in starts]
    model.programme.row([*run, *wasted, (bought, -1.0)], high=0.0)
    model.programme.row([*((n, least) for n, _ in starts), (bought, -1.0)], high=0.0)
    step = prices.load_step_m3.get(process, 0.0)
    if step:
        loads = model.programme.variable(high=most / step)
        model.programme.row([(bought, 1.0), (loads, -step)], low=0.0, high=0.0)
    return bought
