"""The campaign's records from parsed and checked cells; every default comes from the dictionary.

Called only when no error was found: what is required is there, identifiers resolve, and numbers
lie within their limits.
"""

from __future__ import annotations

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.rounding import down, up
from planner.model.campaign import Campaign
from planner.model.crew import Crew, Shift
from planner.model.identifiers import (
    CrewId,
    CrewKind,
    Goal,
    MixId,
    Orientation,
    PositionId,
    Process,
    ResourceId,
    RigId,
    ShiftId,
    ZoneId,
)
from planner.model.limits import Apart, ApartKind, OpenLimit
from planner.model.mix import MixFace
from planner.model.position import Position, Route, Waypoint
from planner.model.progress import Done
from planner.model.resource import Resource
from planner.model.rig import Rig
from planner.model.rules import Prices, ReachBy, Rules
from planner.model.zone import Zone
from planner.scenario.build_closures import build_closures
from planner.scenario.build_conditions import build_conditions
from planner.scenario.build_locks import build_locks, lock_closures
from planner.scenario.build_materials import build_materials
from planner.scenario.build_quality import (
    build_cards,
    build_cure,
    build_quality,
    build_results,
)
from planner.scenario.build_water import build_water
from planner.scenario.build_wet_weather import build_weather_allowance, build_wet_weather
from planner.scenario.builtin_mixes import BUILT_IN_MIXES
from planner.scenario.calendar import not_before, on_site
from planner.scenario.draft import Cells, Draft, Row
from planner.scenario.fingerprint import fingerprint
from planner.scenario.found import amounts_of
from planner.scenario.needs import needs_of
from planner.scenario.public_holidays import holiday_closures, holidays_of
from planner.scenario.row_defaults import type_filled


def build_campaign(draft: Draft, clock: Clock) -> Campaign:
    """Return the campaign of a scenario in which no error was found."""
    keys = draft.keys
    holidays = holidays_of(keys, clock)
    locks = build_locks(draft, clock)
    goals = tuple(Goal(goal) for goal in keys.names("campaign.goal"))
    return Campaign(
        name=keys.text("campaign.name"),
        clock=clock,
        goals=goals,
        may_worsen=keys.numbers("campaign.may_worsen") or (0.0,) * (len(goals) - 1),
        water=build_water(draft, clock),
        rules=_rules(keys),
        prices=_prices(keys),
        reach_by=ReachBy(keys.text("reach.by")),
        reach_slack=_number(keys, "reach.slack"),
        zones=tuple(_zone(row, draft, clock) for row in draft.rows("zones")),
        positions=tuple(_position(row) for row in draft.rows("positions")),
        rigs=tuple(_rig(row, clock) for row in draft.rows("rigs")),
        crews=tuple(_crew(row, clock) for row in draft.rows("crews")),
        shifts=tuple(_shift(row) for row in draft.rows("shifts")),
        mixes=mix_faces(draft),
        closures=(
            *build_closures(draft, clock),
            *holiday_closures(holidays, clock),
            *lock_closures(locks, clock),
        ),
        locks=locks,
        apart=tuple(_apart(row) for row in draft.rows("apart")),
        open_limits=tuple(_open_limit(row) for row in draft.rows("open_limits")),
        routes=tuple(_route(row) for row in draft.rows("routes")),
        waypoints=tuple(_waypoint(row) for row in draft.rows("waypoints")),
        done=tuple(_done(row, clock) for row in draft.rows("progress")),
        wet_weather=build_wet_weather(draft, clock),
        weather_allowance=build_weather_allowance(draft),
        materials=build_materials(draft),
        resources=tuple(_resource(row) for row in draft.rows("resources")),
        conditions=build_conditions(draft, clock),
        cards=build_cards(draft, clock),
        quality=build_quality(draft.keys),
        cure=build_cure(draft.keys),
        results=build_results(draft, clock),
        fingerprint=fingerprint(draft, holidays=holidays),
    )


def _number(cells: Cells, name: str) -> float:
    """Return a number that is there, or 0 where the table needs none."""
    value = cells.number(name)
    return 0.0 if value is None else value


def _least_minutes(cells: Cells, name: str) -> int:
    """Return a duration that must at least be kept, part minutes rounded up [min]."""
    return up(_number(cells, name))


def _most(value: float | None, *, factor: float = 1.0) -> int | None:
    return None if value is None else down(value * factor)


def _least(value: float | None, *, factor: float = 1.0) -> int | None:
    return None if value is None else up(value * factor)


def _rules(keys: Cells) -> Rules:
    shift = keys.text("rules.relocation_shift")
    return Rules(
        window_min_min=_least_minutes(keys, "rules.window_min_min"),
        get_in_min=_least_minutes(keys, "rules.get_in_min"),
        get_out_min=_least_minutes(keys, "rules.get_out_min"),
        zone_change_min=_least_minutes(keys, "rules.zone_change_min"),
        spell_min_min=_least_minutes(keys, "rules.spell_min_min"),
        overbreak=_number(keys, "rules.overbreak"),
        waste=_number(keys, "rules.waste"),
        relocation_shift=ShiftId(shift) if shift else None,
        prepare_min_h=_number(keys, "rules.prepare_min_h"),
        panel_days=_number(keys, "rules.panel_days"),
        panel_min=_least_minutes(keys, "rules.panel_min"),
        strength_hold_h=_number(keys, "rules.strength_hold_h"),
        max_open_days=keys.number("rules.max_open_days"),
        no_entry_h=keys.number("rules.no_entry_h"),
        cards_min=keys.whole("rules.cards_min") or 1,
    )


def _group(keys: Cells, group: str) -> dict[str, float]:
    prefix = f"prices.{group}."
    return {
        key.removeprefix(prefix): _number(keys, key)
        for key in keys.given
        if key.startswith(prefix)
    }


def _prices(keys: Cells) -> Prices:
    def by_process(group: str) -> dict[Process, float]:
        return {Process(name): price for name, price in _group(keys, group).items()}

    return Prices(
        day=_number(keys, "prices.day"),
        relocation=_number(keys, "prices.relocation"),
        rebound_m3=_number(keys, "prices.rebound_m3"),
        rig_day={RigId(name): price for name, price in _group(keys, "rig_day").items()},
        crew_shift={CrewId(name): price for name, price in _group(keys, "crew_shift").items()},
        crew_standby_day={
            CrewId(name): price for name, price in _group(keys, "crew_standby_day").items()
        },
        material_m3={MixId(name): price for name, price in _group(keys, "material_m3").items()},
        line_waste_m3=by_process("line_waste_m3"),
        load_min_m3=by_process("load_min_m3"),
        load_step_m3=by_process("load_step_m3"),
        hose_m3=by_process("hose_m3"),
    )


def _zone(row: Row, draft: Draft, clock: Clock) -> Zone:
    is_wet = draft.keys.text("water.kind") != "none"
    ready, due = row.moment("ready_from"), row.day("due")
    amounts = amounts_of(row, _number(draft.keys, "rules.overbreak"))
    return Zone(
        zone_id=ZoneId(row.text("zone")),
        x_m=_number(row, "x_m"),
        y_m=_number(row, "y_m"),
        z_m=_number(row, "z_m"),
        area_m2=amounts.area_m2,
        depth_mm=amounts.depth_mm,
        volume_m3=amounts.volume_m3,
        surveyed_m3=amounts.surveyed_m3,
        orientation=Orientation(row.text("orientation")),
        water_max_m=row.number("water_max_m") if is_wet else None,
        water_min_m=row.number("water_min_m") if is_wet else None,
        wets_at_m=row.number("wets_at_m") if is_wet else None,
        mixes=tuple(MixId(name) for name in row.names("mixes")),
        joint_allowed=row.flag("joint_allowed"),
        after=tuple(ZoneId(name) for name in row.names("after")),
        ready_from_min=None if ready is None else not_before(clock, ready),
        due_min=None if due is None else clock.day_end(due),
        priority=row.whole("priority") or 1,
        get_in_min=_least(row.number("get_in_min")),
        get_out_min=_least(row.number("get_out_min")),
        section=row.text("section") or None,
        chainage_m=row.number("chainage_m"),
        clock_from=row.number("clock_from"),
        clock_to=row.number("clock_to"),
        broken_out=row.flag("broken_out"),
        needs=needs_of(row.names("needs")),
        closed_space=row.flag("closed_space") or draft.keys.text("water.kind") == "sewer",
    )


def _position(row: Row) -> Position:
    return Position(
        position_id=PositionId(row.text("position")),
        x_m=_number(row, "x_m"),
        y_m=_number(row, "y_m"),
        z_m=_number(row, "z_m"),
        processes=tuple(Process(name) for name in row.names("processes")),
        rigs_max=row.whole("rigs_max") or 1,
        set_up_cost=_number(row, "set_up_cost"),
        water_min_m=row.number("water_min_m"),
        water_max_m=row.number("water_max_m"),
        needs=needs_of(row.names("needs")),
    )


def _rig(row: Row, clock: Clock) -> Rig:
    start_min, end_min = on_site(clock, row)
    at = row.text("at")
    return Rig(
        rig_id=RigId(row.text("rig")),
        process=Process(row.text("process")),
        mixes=tuple(MixId(name) for name in row.names("mixes")),
        hose_max_m=_number(row, "hose_max_m"),
        rise_max_m=row.number("rise_max_m"),
        rise_factor=_number(row, "rise_factor"),
        bend_m=_number(row, "bend_m"),
        rate_m3_h=_number(row, "rate_m3_h"),
        nozzle_on=_number(row, "nozzle_on"),
        rate_free_m=_number(row, "rate_free_m"),
        rate_loss_per_100m=_number(row, "rate_loss_per_100m"),
        start_up_min=_least_minutes(row, "start_up_min"),
        clean_up_min=_least_minutes(row, "clean_up_min"),
        idle_max_min=_most(row.number("idle_max_min")),
        move_min=_number(row, "move_min"),
        move_min_per_100m=_number(row, "move_min_per_100m"),
        at=PositionId(at) if at else None,
        available_from_min=start_min,
        available_to_min=end_min,
        needs=needs_of(row.names("needs")),
        type_id=row.text("type") or None,
        type_filled=type_filled(row.given),
        hose_bore_mm=row.number("hose_bore_mm"),
        air_m3_min=row.number("air_m3_min"),
        air_kpa=row.number("air_kpa"),
        water_kpa=row.number("water_kpa"),
        crew_size=row.whole("crew_size"),
    )


def _crew(row: Row, clock: Clock) -> Crew:
    start_min, end_min = on_site(clock, row)
    return Crew(
        crew_id=CrewId(row.text("crew")),
        kind=CrewKind(row.text("kind")),
        processes=tuple(Process(name) for name in row.names("processes")),
        orientations=tuple(Orientation(name) for name in row.names("orientations")),
        shift_id=ShiftId(row.text("shift")),
        rate_m3_h=row.number("rate_m3_h"),
        duty_max_min=_most(row.number("duty_max_h"), factor=MINUTES_PER_HOUR),
        rest_min_min=_least(row.number("rest_min_h"), factor=MINUTES_PER_HOUR),
        week_max_min=_most(row.number("week_max_h"), factor=MINUTES_PER_HOUR),
        available_from_min=start_min,
        available_to_min=end_min,
        needs=needs_of(row.names("needs")),
        people=row.whole("people"),
        method=row.text("method"),
    )


def _shift(row: Row) -> Shift:
    return Shift(
        shift_id=ShiftId(row.text("shift")),
        weekdays=row.weekdays("days") or frozenset(),
        start_tod=row.whole("start") or 0,
        end_tod=row.whole("end") or 0,
    )


def _apart(row: Row) -> Apart:
    return Apart(
        zone_a=ZoneId(row.text("zone_a")),
        zone_b=ZoneId(row.text("zone_b")),
        kind=ApartKind(row.text("kind")),
        why=row.text("why"),
    )


def _open_limit(row: Row) -> OpenLimit:
    return OpenLimit(
        group=row.text("group"),
        zones=tuple(ZoneId(name) for name in row.names("zones")),
        open_max=row.whole("open_max") or 0,
        why=row.text("why"),
    )


def _resource(row: Row) -> Resource:
    return Resource(
        resource_id=ResourceId(row.text("resource")),
        number=row.whole("number") or 1,
        price_day=_number(row, "price_day"),
        why=row.text("why"),
    )


def mix_faces(draft: Draft) -> tuple[MixFace, ...]:
    """Return the rows of mixes.csv that could be read, or the built-in mixes without it."""
    if not draft.has("mixes"):
        return BUILT_IN_MIXES
    needed = ("mix", "process", "orientation", "rebound", "layer_max_mm")
    return tuple(_mix(row) for row in draft.rows("mixes") if all(row.has(name) for name in needed))


def _mix(row: Row) -> MixFace:
    return MixFace(
        mix_id=MixId(row.text("mix")),
        process=Process(row.text("process")),
        orientation=Orientation(row.text("orientation")),
        rebound=_number(row, "rebound"),
        layer_max_mm=_number(row, "layer_max_mm"),
        layer_gap_min_h=row.number("layer_gap_min_h"),
        layer_gap_max_h=row.number("layer_gap_max_h"),
        protect_h=row.number("protect_h"),
        rate_factor=_number(row, "rate_factor"),
        finish_min_m2=_number(row, "finish_min_m2"),
        protect_at_c=row.number("protect_at_c"),
    )


def _route(row: Row) -> Route:
    return Route(
        start=row.text("from"),
        end=row.text("to"),
        length_m=_number(row, "length_m"),
        rise_m=_number(row, "rise_m"),
        bends=_number(row, "bends"),
    )


def _waypoint(row: Row) -> Waypoint:
    return Waypoint(
        waypoint_id=row.text("waypoint"),
        x_m=_number(row, "x_m"),
        y_m=_number(row, "y_m"),
        z_m=_number(row, "z_m"),
    )


def _done(row: Row, clock: Clock) -> Done:
    at = row.moment("at")
    rig, crew, position = row.text("rig"), row.text("crew"), row.text("position")
    return Done(
        zone_id=ZoneId(row.text("zone")),
        layer=row.whole("layer") or 1,
        done_m3=_number(row, "done_m3"),
        left_m3=row.number("left_m3"),
        at_min=0 if at is None else not_before(clock, at),
        rig_id=RigId(rig) if rig else None,
        crew_id=CrewId(crew) if crew else None,
        position_id=PositionId(position) if position else None,
    )
