"""Cautions about water and closed spaces: sewers, tides, floats, wash, divers, wash water."""

from __future__ import annotations

from planner.model.campaign import Campaign
from planner.model.sourced import Trust
from planner.model.water import SewerSection, WaterKind
from planner.model.zone import Zone
from planner.trade.air import NOZZLE_TO_FACE_M
from planner.trade.caution import Asked, Caution, Scope

OPEN_WATER = frozenset({WaterKind.TIDE, WaterKind.HIGHLOW, WaterKind.LEVELS})
TIDAL = frozenset({WaterKind.TIDE, WaterKind.HIGHLOW})
HAND_MIN_M, HAND_SURE_M = 1.067, 2.4
"""Below the first diameter spun or robotic lining, above the second spraying by hand [m]
(American Shotcrete Association, answer on practical working space: 42 in, 8 ft)."""


def confined_space(asked: Asked) -> Caution | None:
    """Return the caution about closed spaces."""
    return _of_closed(
        asked,
        code="confined-space",
        title="Confined space",
        text=(
            "These faces lie in a closed space: permit to enter, an attendant outside, a rescue"
            " plan that works without going in. Alarms are often set at oxygen below 19.5 % or"
            " above 23.5 %, flammable gas at 10 % of its lower limit, hydrogen sulphide at 10 ppm"
            " and carbon monoxide at 35 ppm; your code's figures count."
        ),
        follow=(
            "Follow your local code for confined spaces (for example 29 CFR 1926 Subpart AA, the"
            " GB Confined Spaces Regulations 1997, AS 2865)."
        ),
        source="29 CFR 1910.146, Appendix E (alarm set points); the upper oxygen limit from a"
        " sewer entry procedure",
        trust=Trust.READ,
    )


def gas_and_air(asked: Asked) -> Caution | None:
    """Return the caution about testing and changing the air of closed spaces."""
    return _of_closed(
        asked,
        code="gas-test",
        title="Gas test and ventilation before entry",
        text=(
            "Test the air from outside before anybody enters, and all the time while somebody is"
            " inside; ventilate before entry and until the last one is out. A sewer cannot be shut"
            " off: its air may change suddenly from causes outside. Spraying adds dust and takes"
            " sight; engines stay outside, downwind of the intake."
        ),
        follow="Follow your local code for atmospheric testing and ventilation underground.",
        source="29 CFR 1910.146, Appendix E (why sewers differ); ventilation figures:"
        " docs/equipment.md",
        trust=Trust.READ,
    )


def _of_closed(
    asked: Asked, *, code: str, title: str, text: str, follow: str, source: str, trust: Trust
) -> Caution | None:
    zones = tuple(zone for zone in asked.zones if zone.closed_space)
    if not zones:
        return None
    return Caution(
        code=code,
        title=title,
        scope=Scope.ZONE,
        subjects=_ids(zones),
        text=text,
        follow=follow,
        source=source,
        trust=trust,
    )


def sewer_flow(asked: Asked) -> Caution | None:
    """Return the caution about flow and rain, for live sewers."""
    campaign = asked.campaign
    if campaign.water.kind is not WaterKind.SEWER or not asked.zones:
        return None
    return Caution(
        code="sewer-flow",
        title="Flow and rain in a live sewer",
        scope=Scope.ZONE,
        subjects=_ids(asked.zones),
        text=(
            "A sewer fills faster than people walk: rain upstream, a pump station or a gate is"
            " enough. Watch the flow upstream with an alarm that reaches the face, leave at the"
            f" first alarm, and do not enter when rain is forecast. {_warning(campaign)}"
            f" {_rain(campaign)}{_no_limits(campaign)}"
        ),
        follow="Follow your local code for live sewers and the sewer authority's rules.",
        source="early-warning systems as in the US construction rule on confined spaces, as it was"
        " proposed (trade press)",
        trust=Trust.SECOND_HAND,
    )


def _warning(campaign: Campaign) -> str:
    warning_min = campaign.water.warning_min
    if warning_min is None:
        return "How long the warning is, the scenario does not say (water.warning_min)."
    return f"The scenario counts on {warning_min} min from alarm to dangerous flow."


def _rain(campaign: Campaign) -> str:
    if campaign.wet_weather.series:
        return "Rain or gauge series close zones in this scenario; they do not replace the watch."
    return "The scenario holds no rain and no gauge (wet_weather.csv): windows know no storm."


def _no_limits(campaign: Campaign) -> str:
    bare = [row.section for row in campaign.water.sewer if row.velocity_max_m_s is None]
    if not bare:
        return ""
    return f" No velocity limit is given for {', '.join(bare)}: fast shallow flow takes feet away."


def room_to_spray(asked: Asked) -> Caution | None:
    """Return the caution about narrow pipes, for zones whose section has a small diameter."""
    pipes = {row.section: row for row in asked.campaign.water.sewer}
    found = [(zone, pipes[zone.section]) for zone in asked.zones if zone.section in pipes]
    narrow = [(zone, pipe) for zone, pipe in found if pipe.diameter_m < HAND_SURE_M]
    if not narrow:
        return None
    return Caution(
        code="room-to-spray",
        title="Room at the nozzle",
        scope=Scope.ZONE,
        subjects=_ids(tuple(zone for zone, _ in narrow)),
        text=(
            f"The nozzle stands {NOZZLE_TO_FACE_M[0]:g} to {NOZZLE_TO_FACE_M[1]:g} m from the"
            f" face, square to it; a metre of clearance is a rule of thumb. {_pipes(narrow)}"
        ),
        follow="Follow your local code for access to sewers and tunnels, and the specifier.",
        source="American Shotcrete Association, answer on practical working space; the nozzle's"
        " distance common practice",
        trust=Trust.READ,
    )


def _pipes(narrow: list[tuple[Zone, SewerSection]]) -> str:
    by_hand = {pipe.section for _, pipe in narrow if pipe.diameter_m >= HAND_MIN_M}
    too_small = {pipe.section for _, pipe in narrow} - by_hand
    parts = []
    if too_small:
        names = ", ".join(sorted(too_small))
        parts.append(f"In {names} the bore is below {HAND_MIN_M:g} m: spun or robotic lining.")
    if by_hand:
        names = ", ".join(sorted(by_hand))
        parts.append(f"In {names} there is room for spraying by hand or by machine, but little.")
    return " ".join(parts)


def over_water(asked: Asked) -> Caution | None:
    """Return the caution about drowning, for work over open water."""
    return _over_water(
        asked,
        code="over-water",
        title="Over water",
        text=(
            "Vests where anybody could drown; ring buoys with at least 27 m of line, no more than"
            " 61 m apart; a rescue boat with a crew at once at hand. Hoses and rebound make decks"
            " slippery; currents under a deck take people where no boat goes."
        ),
        follow=(
            "Follow your local code for work over or near water (for example 29 CFR 1926.106) and"
            " the rescue plan."
        ),
        source="29 CFR 1926.106: 90 ft of line, 200 ft apart, one skiff",
        trust=Trust.READ,
    )


def divers(asked: Asked) -> Caution | None:
    """Return the caution about divers, for work over open water."""
    return _over_water(
        asked,
        code="divers",
        title="Divers",
        text="No spraying over divers, and no diving in the same bay: keep the two apart in time.",
        follow="Follow your local code for diving at work.",
        source="common practice",
        trust=Trust.PRACTICE,
    )


def vessel_wash(asked: Asked) -> Caution | None:
    """Return the caution about wash and propellers, for open water."""
    allowance_m = asked.campaign.water.allowance_m
    return _over_water(
        asked,
        code="vessel-wash",
        title="Wash of vessels and surge",
        text=(
            "Passing and berthing vessels send wash and propeller jets under a deck at any state"
            f" of the tide. Windows hold an allowance of {allowance_m:g} m (water.allowance_m) for"
            " surge, swell and wash together: only as much as the site has put in. Agree a notice"
            " of movements, and clear the face before a berthing."
        ),
        follow="Follow your local code for work beside vessels and the harbour master's orders.",
        source="the scenario; the rest common practice",
        trust=Trust.PRACTICE,
    )


def _over_water(
    asked: Asked, *, code: str, title: str, text: str, follow: str, source: str, trust: Trust
) -> Caution | None:
    if asked.campaign.water.kind not in OPEN_WATER or not asked.zones:
        return None
    return Caution(
        code=code,
        title=title,
        scope=Scope.ZONE,
        subjects=_ids(asked.zones),
        text=text,
        follow=follow,
        source=source,
        trust=trust,
    )


def floats(asked: Asked) -> Caution | None:
    """Return the caution about floats below a deck, for zones with a least water level."""
    zones = tuple(zone for zone in asked.zones if zone.water_min_m is not None)
    if not zones:
        return None
    return Caution(
        code="floats",
        title="Floats and a rising tide",
        scope=Scope.ZONE,
        subjects=_ids(zones),
        text=(
            "A float rises with the tide and traps people between itself and the deck: leave while"
            f" there is still headroom, by a way that does not need the float. {_headroom(zones)}"
            " Rebound is a load: weigh it, count people, keep it level, moor for the current."
        ),
        follow=(
            "Follow your local code for floating work platforms; a vessel surveyor or naval"
            " architect answers for stability."
        ),
        source="the scenario; the rest common practice",
        trust=Trust.PRACTICE,
    )


def _headroom(zones: tuple[Zone, ...]) -> str:
    rooms = [(zone.z_m - zone.water_max_m, zone) for zone in zones if zone.water_max_m is not None]
    if not rooms:
        return "No highest level is given for these zones (water_max_m)."
    room_m, zone = min(rooms, key=lambda item: (item[0], item[1].zone_id))
    return (
        f"At the highest level allowed, {zone.zone_id} has {room_m:.2f} m between water and face,"
        " the float's own height not taken off."
    )


def wash_water(asked: Asked) -> Caution | None:
    """Return the caution about rebound and wash water."""
    if not asked.zones:
        return None
    where = (
        "Keep both out of the water: deck and net below the work, no washing down into the tide or"
        " the flow."
        if asked.campaign.water.kind is not WaterKind.NONE
        else "Collect both; nothing of it goes into drains or soil."
    )
    return Caution(
        code="wash-water",
        title="Rebound and wash water",
        scope=Scope.ZONE,
        subjects=_ids(asked.zones),
        text=(
            "Rebound and wash water burn skin and kill fish: their pH is high. "
            f"{where} One published restoration measure keeps water away from fresh concrete until"
            " its run-off is below pH 8.5, ideally 30 days."
        ),
        follow="Follow your local code for discharges and waste, and the site's consent.",
        source="US restoration measure on concrete in water (30 days, pH 8.5); containment deck"
        " and net: trade press on a pier repair",
        trust=Trust.READ,
    )


def _ids(zones: tuple[Zone, ...]) -> tuple[str, ...]:
    return tuple(str(zone.zone_id) for zone in zones)
