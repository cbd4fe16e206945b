"""Sites that between them show every hazard that the tables can tell of."""

from __future__ import annotations

from planner.model.campaign import Campaign
from planner.model.identifiers import CrewKind, Orientation, Process
from planner.model.water import SewerSection, Water, WaterKind
from planner.trade.caution import Asked, Caution
from planner.trade.cautions import CAUTIONS, SITE
from tests.builders import campaign, crew, mix, position, rig, shift, zone


def pipe(section: str = "S1", diameter_m: float = 2.0, **changes: object) -> SewerSection:
    """A small sewer; its flow does not matter here."""
    fields = {
        "section": section,
        "diameter_m": diameter_m,
        "slope": 0.002,
        "manning_n": 0.013,
        "mean_flow_m3_s": 0.1,
    }
    return SewerSection(**(fields | changes))  # type: ignore[arg-type]


def sewer(**changes: object) -> Campaign:
    """Zones at chainage 10, 30 and 50 of one pipe, a shaft at chainage 0, a night shift."""
    fields: dict[str, object] = {
        "water": Water(kind=WaterKind.SEWER, sewer=(pipe(),)),
        "zones": tuple(
            zone(
                f"S{at}",
                x_m=float(at),
                section="S1",
                chainage_m=float(at),
                closed_space=True,
                water_max_m=0.3,
            )
            for at in (10, 30, 50)
        ),
        "shifts": (shift(start_tod=22 * 60, end_tod=6 * 60),),
    }
    return campaign(**(fields | changes))


def deck(**changes: object) -> Campaign:
    """A soffit at +3 m and a pile below it, worked from a float; a wet boom; break-out."""
    fields: dict[str, object] = {
        "water": Water(kind=WaterKind.TIDE, allowance_m=0.25),
        "zones": (
            zone("SOFFIT", x_m=0.0, z_m=3.0, water_min_m=0.2, water_max_m=1.4),
            zone("PILE", x_m=1.0, z_m=0.5, orientation=Orientation.VERTICAL, water_max_m=0.0),
        ),
        "positions": (position(), position("P2", x_m=5.0)),
        "rigs": (
            rig(),
            rig("W1", process=Process.WET, rise_factor=0.0, bend_m=0.0, type_id="wet-boom"),
        ),
        "crews": (
            crew(),
            crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=0.5, duty_max_min=480, rest_min_min=660),
        ),
        "mixes": (mix(), mix("dry", orientation=Orientation.VERTICAL)),
    }
    return campaign(**(fields | changes))


def every_caution() -> list[Caution]:
    """Return one of each caution, in the order in which they are shown."""
    asked = [
        Asked(campaign=site, zones=site.zones, rigs=site.rigs, crews=site.crews)
        for site in (sewer(), deck())
    ]
    told = [next(filter(None, map(rule, asked)), None) for rule in CAUTIONS]
    return [SITE, *(caution for caution in told if caution is not None)]
