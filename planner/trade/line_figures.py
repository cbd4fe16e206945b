"""Air, water and power of a rig on one line of hose, as figures that tell their source.

A warning never rules a line out: the rated reach is the limit, and the plan keeps to it.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.identifiers import Process
from planner.model.machine import Trait
from planner.model.rig import Rig
from planner.model.sourced import Trust
from planner.trade import air
from planner.trade.figure import Figure, Input
from planner.trade.machine_figures import as_input, bore_figure, machine_of

ROUTES = "routes of the scenario"
NO_VETO = (
    "the rule is made for short hoses and forbids nothing: the rated reach (hose_max_m) is the"
    " limit, and long lines are tried before the campaign"
)
_MEMORY_RULE = (
    "pressure rule of US engineer manual and guide tables for dry-mix, from memory: 45 psi up to"
    " 100 ft, 5 psi for each 50 ft more and each 25 ft up"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of hose from a rig to a face [m]; bends of 90° [1]."""

    laid_m: float
    rise_m: float
    bends: float = 0.0


def line_figures(rig: Rig, line: Line) -> tuple[Figure, ...]:
    """Return what a rig wants on a line: its bore, pressures, air, water or power."""
    bore = bore_figure(rig)
    if rig.process is Process.WET:
        return (bore, nozzle_air(rig), *pump_figures(rig, line))
    gun = gun_pressure(line)
    water = nozzle_water(gun)
    return (bore, gun, dry_air(bore, gun), water, water_supply(water, line), WATER_FLOW)


def gun_pressure(line: Line) -> Figure:
    """Return the pressure at a dry-mix gun [kPa]."""
    return Figure(
        name="gun_kpa",
        value=air.gun_kpa(laid_m=line.laid_m, rise_m=line.rise_m),
        unit="kPa",
        formula=(
            f"{air.BASE_KPA:.0f} + {air.KPA_PER_M_HOSE:.2f} x max(0, laid_m -"
            f" {air.SHORT_HOSE_M:g}) + {air.KPA_PER_M_RISE:.2f} x max(0, rise_m)"
        ),
        inputs=_laid(line),
        source=_MEMORY_RULE,
        trust=Trust.MEMORY,
        note=NO_VETO,
    )


def dry_air(bore: Figure, gun: Figure) -> Figure:
    """Return the free air that a dry-mix line wants [m³/min]."""
    return Figure(
        name="air_m3_min",
        value=air.dry_air_m3_min(bore_mm=bore.value or 0.0, at_gun_kpa=gun.value or 0.0),
        unit="m³/min",
        formula=(
            "2.8 x (hose_bore_mm / 25) ^ 1.66 x (gun_kpa + 101.3) / (310.3 + 101.3); 1.66 makes"
            " it double at 38 mm"
        ),
        inputs=(as_input(bore), as_input(gun)),
        source=(
            "about 2.8 m³/min (100 cfm) at 25 mm and about double at 38 mm: common practice; the"
            " pressure by Boyle's law, so that the air keeps its speed at the gun"
        ),
        trust=Trust.PRACTICE if (gun.value or 0.0) <= air.BASE_KPA else Trust.MEMORY,
        note=(
            "blow pipe and air motors come on top; older guide tables ask for three to four times"
            " as much (from memory), so ask the gun's maker before hiring"
        ),
    )


def nozzle_air(rig: Rig) -> Figure:
    """Return the free air that a wet-mix nozzle wants [m³/min]."""
    machine = machine_of(rig)
    span = None if machine is None else machine.span(Trait.AIR)
    return Figure(
        name="air_m3_min",
        value=air.WET_AIR_M3_MIN if span is None else span.usual,
        unit="m³/min",
        formula="at least; the length of the line does not matter, the air line's bore does",
        source=(
            "about 200 cfm at a wet-mix nozzle: Shotcrete magazine, Fall 2014, p. 53"
            if span is None
            else span.source
        ),
        trust=Trust.READ if span is None else span.trust,
        note="air line of 25 mm or more, short; the blow pipe has a line of its own",
    )


def nozzle_water(gun: Figure) -> Figure:
    """Return the water pressure that a dry-mix nozzle wants [kPa]."""
    water_kpa = air.nozzle_water_kpa(gun.value or 0.0)
    return Figure(
        name="water_nozzle_kpa",
        value=water_kpa,
        unit="kPa",
        formula="max(620, gun_kpa + 100)",
        inputs=(as_input(gun),),
        source=(
            "620 to 830 kPa (90 to 120 psi) at the nozzle: common practice; at least 100 kPa above"
            " the pressure in the hose: American Shotcrete Association, technical tip, summer 2003"
        ),
        trust=Trust.PRACTICE if water_kpa <= air.NOZZLE_WATER_KPA[0] else Trust.MEMORY,
        note="steady pressure; a booster pump is advised, not required",
    )


def water_supply(water: Figure, line: Line) -> Figure:
    """Return the water pressure wanted beside the rig [kPa]."""
    return Figure(
        name="water_supply_kpa",
        value=air.supply_water_kpa(nozzle_kpa=water.value or 0.0, rise_m=line.rise_m),
        unit="kPa",
        formula="water_nozzle_kpa + 9.81 x max(0, rise_m)",
        inputs=(as_input(water), _laid(line)[1]),
        source="weight of a water column",
        trust=Trust.DERIVED,
        note="friction in the water hose comes on top",
    )


WATER_FLOW = Figure(
    name="water_l_min",
    value=air.WATER_FLOW_L_MIN[1],
    unit="l/min",
    formula=f"at most; {air.WATER_FLOW_L_MIN[0]:g} to {air.WATER_FLOW_L_MIN[1]:g} in use",
    source="American Shotcrete Association, technical tip, summer 2003",
    trust=Trust.READ,
)
"""Water that a dry-mix nozzle takes."""


def pump_figures(rig: Rig, line: Line) -> tuple[Figure, Figure]:
    """Return pressure and power of a concrete pump on a line [kPa, kW]."""
    pressure = Figure(
        name="pump_kpa",
        value=air.pump_kpa(laid_m=line.laid_m, rise_m=line.rise_m, bends=line.bends),
        unit="kPa",
        formula="1.10 x (2000 + 40 x laid_m + 25 x max(0, rise_m) + 100 x bends)",
        inputs=(*_laid(line), Input(name="bends", value=line.bends, source=ROUTES)),
        source="metric trade rules for a 50 mm hose (30 to 60 kPa/m; 40 taken), from memory",
        trust=Trust.MEMORY,
        note=NO_VETO,
    )
    power = Figure(
        name="pump_kw",
        value=air.pump_power_kw(at_pump_kpa=pressure.value or 0.0, rate_m3_h=rig.rate_m3_h),
        unit="kW",
        formula="pump_kpa / 100 x rate_m3_h / 25",
        inputs=(
            as_input(pressure),
            Input(name="rate_m3_h", value=rig.rate_m3_h, source=_rate_source(rig)),
        ),
        source="P = p Q / 25 (kW, bar, m³/h): trade article on long-distance pumping",
        trust=Trust.READ,
    )
    return pressure, power


def _rate_source(rig: Rig) -> str:
    return "usual of its type" if "rate_m3_h" in rig.type_filled else "rigs.csv"


def _laid(line: Line) -> tuple[Input, Input]:
    return (
        Input(name="laid_m", value=line.laid_m, source=ROUTES),
        Input(name="rise_m", value=line.rise_m, source=ROUTES),
    )


def ventilation(people: Figure, *, diameter_m: float | None) -> Figure:
    """Return the fresh air that people in a closed space want [m³/min].

    Parameters
    ----------
    people
        How many are inside.
    diameter_m
        Of a circular sewer [m]; None: the cross-section is not known.
    """
    area_m2 = None if diameter_m is None else air.bore_area_m2(diameter_m)
    bore = (
        ()
        if diameter_m is None
        else (Input(name="diameter_m", value=diameter_m, source="sewer.csv"),)
    )
    along = "" if area_m2 is None else ", 18.3 x pi / 4 x diameter_m ^ 2"
    return Figure(
        name="ventilation_m3_min",
        value=air.fresh_air_m3_min(people=round(people.value or 0.0), area_m2=area_m2),
        unit="m³/min",
        formula=f"max(5.66 x crew_size{along})" if along else "5.66 x crew_size",
        inputs=(as_input(people), *bore),
        source=(
            "200 cubic feet a minute for each person and 60 feet a minute along a bore with dust:"
            " California Title 8, section 8437"
        ),
        trust=Trust.READ,
        note=(
            "a starting point for whoever designs the ventilation; gas readings decide, and"
            + (
                " the space's cross-section, which no table gives, may ask for more"
                if area_m2 is None
                else " engines, dust and gas may ask for more"
            )
        ),
    )
