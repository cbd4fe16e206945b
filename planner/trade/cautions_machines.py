"""Cautions about rigs: dust, hoses, couplings, noise, lifting, engines, arms."""

from __future__ import annotations

from planner.model.identifiers import Process
from planner.model.rig import Rig
from planner.model.sourced import Trust
from planner.trade.caution import Asked, Caution, Scope

BOOM = "wet-boom"


def silica(asked: Asked) -> Caution | None:
    """Return the caution about dust, for every rig; dry rigs are named."""
    dry = [str(rig.rig_id) for rig in asked.rigs if rig.process is Process.DRY]
    most = f" Dry rigs raise most: {', '.join(dry)}." if dry else ""
    return _of_rigs(
        asked.rigs,
        code="silica",
        title="Dust with silica",
        text=(
            "Spray and rebound carry respirable silica: limits are 50 µg/m³ with action from 25 in"
            " the US and 100 µg/m³ in Great Britain, over 8 h. Spraying is not among the tasks"
            f" for which the US rule names controls, so measuring decides.{most}"
        ),
        follow=(
            "Follow your local code for respirable crystalline silica (for example 29 CFR"
            " 1926.1153, COSHH with EH40)."
        ),
        source="29 CFR 1926.1153; EH40; spraying is not in its Table 1 (American Shotcrete"
        " Association)",
        trust=Trust.READ,
    )


def hose_whip(asked: Asked) -> Caution | None:
    """Return the caution about plugged lines, for every rig."""
    wet = any(rig.process is Process.WET for rig in asked.rigs)
    pressure = " A plugged wet line may hold 14 MPa." if wet else ""
    return _of_rigs(
        asked.rigs,
        code="hose-whip",
        title="Plugs and whipping hoses",
        text=(
            "Keep clear of the hose end when priming, restarting and while a plug is looked for;"
            " hold the end down, fit whip checks, and never blow a plug out with compressed air."
            f"{pressure} Nozzle and machine see or hear each other all the time."
        ),
        follow=(
            "Follow your local code for concrete pumping and pressure hoses (for example 29 CFR"
            " 1926.702(e))."
        ),
        source="American Shotcrete Association safety answers (plugs; up to 2,000 psi); 29 CFR"
        " 1926.702(e) as OSHA interprets it (fail-safe couplings)",
        trust=Trust.READ,
    )


def couplings(asked: Asked) -> Caution | None:
    """Return the caution about opening lines, for every rig."""
    return _of_rigs(
        asked.rigs,
        code="coupling",
        title="Pressure off before a coupling is opened",
        text=(
            "Shut the air and the pump off, let the pressure out and see the gauge at nothing"
            " before a coupling is opened: also at a hose shift, a clean-up and a relocation, when"
            " the tide hurries everybody."
        ),
        follow="Follow your local code for pressure systems and lock-out before maintenance.",
        source="common practice",
        trust=Trust.PRACTICE,
    )


def noise(asked: Asked) -> Caution | None:
    """Return the caution about noise, for every rig."""
    return _of_rigs(
        asked.rigs,
        code="noise",
        title="Noise",
        text=(
            "Nozzle, gun and compressor are loud for the crew and for neighbours, more so under a"
            " deck or in a pipe. Levels depend on the machine: measure them."
        ),
        follow="Follow your local code for noise at work and for noise around building sites.",
        source="common practice; no figure is given because none was found for repair rigs",
        trust=Trust.PRACTICE,
    )


def eyes_and_skin(asked: Asked) -> Caution | None:
    """Return the caution about cement in eyes and on skin, for every rig."""
    return _of_rigs(
        asked.rigs,
        code="eyes-skin",
        title="Blow-back, eyes and skin",
        text=(
            "Rebound flies back at the nozzle crew: eye protection for everybody near. Fresh"
            " cement burns skin, accelerators more so; water to rinse stands at the face."
        ),
        follow="Follow your local code for protective equipment and hazardous substances.",
        source="American Shotcrete Association, safety page of summer 2001 (eye protection for the"
        " whole crew)",
        trust=Trust.READ,
    )


def lifting(asked: Asked) -> Caution | None:
    """Return the caution about relocations, where there is more than one position."""
    if len(asked.campaign.positions) < 2:
        return None
    return _of_rigs(
        asked.rigs,
        code="lifting",
        title="Moving a rig",
        text=(
            "A relocation is a lift: empty, without pressure, with nobody below, on a deck that"
            " carries machine and crane. Whether a position carries the rig the planner does not"
            " know."
        ),
        follow="Follow your local code for lifting operations and the structure's engineer.",
        source="common practice",
        trust=Trust.PRACTICE,
    )


def engines(asked: Asked) -> Caution | None:
    """Return the caution about exhaust, where there are closed spaces."""
    if not any(zone.closed_space for zone in asked.zones):
        return None
    return _of_rigs(
        asked.rigs,
        code="exhaust",
        title="Engines and exhaust",
        text=(
            "Compressors and pumps with engines stand outside and downwind of the ventilation's"
            " intake: their exhaust kills in a closed space."
        ),
        follow="Follow your local code for engines and carbon monoxide in confined spaces.",
        source="common practice",
        trust=Trust.PRACTICE,
    )


def boom_arm(asked: Asked) -> Caution | None:
    """Return the caution about robotic arms, for rigs of that kind."""
    return _of_rigs(
        tuple(rig for rig in asked.rigs if rig.type_id == BOOM),
        code="arm",
        title="Robotic arm",
        text=(
            "Nobody within reach of the arm while it is under power; outriggers on ground or deck"
            " that carries them; the operator sees the nozzle."
        ),
        follow="Follow your local code for machinery with remote control.",
        source="common practice",
        trust=Trust.PRACTICE,
    )


def _of_rigs(
    rigs: tuple[Rig, ...],
    *,
    code: str,
    title: str,
    text: str,
    follow: str,
    source: str,
    trust: Trust,
) -> Caution | None:
    if not rigs:
        return None
    return Caution(
        code=code,
        title=title,
        scope=Scope.RIG,
        subjects=tuple(str(rig.rig_id) for rig in rigs),
        text=text,
        follow=follow,
        source=source,
        trust=trust,
    )
