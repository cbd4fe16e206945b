"""What people read, word for word; Monday 2 March 2026, 06:00 is minute 360."""

import pytest

from planner.checks.report import lines
from planner.model.identifiers import CrewKind, Orientation, PositionId, Process, RigId, ZoneId
from planner.model.limits import Apart, ApartKind, ClosureScope, OpenLimit
from planner.model.rules import Rules
from planner.model.water import Water, WaterKind
from planner.plan.plan import RunKind
from tests.builders import campaign, closure, crew, done, mix, position, rig, zone
from tests.unit.checks.plans import (
    around,
    broken,
    left_out,
    move,
    piece,
    plan,
    run,
    sawtooth,
    spell,
)

TIDAL = {"water": sawtooth(allowance_m=0.5), "zones": (zone(water_max_m=0.5),)}
TWO = {"zones": (zone("Z1"), zone("Z2")), "positions": (position(rigs_max=2),)}
PAIR = {"rigs": (rig("R1"), rig("R2")), "crews": (crew("C1"), crew("C2")), **TWO}
PLACES = {"positions": (position("P1"), position("P2", x_m=300.0, y_m=400.0))}
BREAKER = crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.2)
Z1, Z2 = ZoneId("Z1"), ZoneId("Z2")
NEVER_OPEN = Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.OPEN)
NEVER_WORKED = Apart(zone_a=Z1, zone_b=Z2, kind=ApartKind.WORK)
ONE_OPEN = OpenLimit(group="east", zones=(Z1, Z2), open_max=1)
DUG = {"crews": (crew(), BREAKER)}


def second(start, **changes):
    return spell(start, run="2", zone="Z2", rig="R2", crew="C2", **changes)


@pytest.mark.parametrize(
    ("scene", "made", "expected"),
    [
        (
            TIDAL | {"rules": Rules(get_in_min=25)},
            plan(),
            """spells.csv:2:: rule 2: The zone change before the spell on zone Z1 layer 1 in run 1
            begins at 2026-03-02 06:20+00:00, 5 min before people can be at the face (window
            from 2026-03-02 06:00+00:00, 25 min to get in); start the spell that much later.""",
        ),
        (
            TIDAL | {"rules": Rules(get_in_min=40)},
            plan(),
            """spells.csv:2:: rule 1: The spell on zone Z1 layer 1 in run 1 starts at 2026-03-02
            06:30+00:00, 10 min before people can be at the face: the window opens at 2026-03-02
            06:00+00:00 and getting in takes 40 min.""",
        ),
        (
            TIDAL,
            plan(spell(650)),
            """spells.csv:2:: rule 1: The spell on zone Z1 layer 1 in run 1 ends at 2026-03-02
            11:56+00:00, 6 min after people must leave the face: the window closes at 2026-03-02
            12:00+00:00 and getting out takes 10 min.""",
        ),
        (
            TIDAL,
            plan(spell(660)),
            """spells.csv:2:: rule 1: The spell on zone Z1 layer 1 in run 1 from 2026-03-02
            11:00+00:00 to 2026-03-02 12:06+00:00 lies outside the windows of its zone for 6
            min, first at 2026-03-02 12:00+00:00: water predicted at 0.02 m + 0.5 m allowance
            against 0.5 m.""",
        ),
        (
            {"closures": (closure(ClosureScope.ZONE, "Z1", from_min=400, to_min=410),)},
            plan(),
            """spells.csv:2:: rule 1: The spell on zone Z1 layer 1 in run 1 from 2026-03-02
            06:30+00:00 to 2026-03-02 07:36+00:00 lies outside the windows of its zone for 10
            min, first at 2026-03-02 06:40+00:00: closure of zone Z1.""",
        ),
        (
            TIDAL
            | {"closures": (closure(ClosureScope.ZONE, "Z1", from_min=460, to_min=720),)}
            | {"rules": Rules(window_min_min=120, get_in_min=0, get_out_min=0)},
            plan(),
            """spells.csv:2:: rule 1: The spell on zone Z1 layer 1 in run 1 at 2026-03-02
            06:30+00:00 uses a window that is 20 min shorter than the 120 min below which a
            window is not used.""",
        ),
        (
            TIDAL | {"mixes": (mix(finish_min_m2=2.45),)},
            plan(spell(600)),
            """spells.csv:2:: rule 1: Finishing zone Z1 takes 49 min after the spell on zone Z1
            layer 1 in run 1 and lasts until 2026-03-02 11:55+00:00, 5 min after people must
            leave the face; end the spell that much earlier.""",
        ),
        (
            TWO,
            plan(spell(), spell(460, zone="Z2"), runs=[run(360, 541)]),
            """spells.csv:3:: rule 2: The spell on zone Z2 layer 1 in run 1 starts 6 min too
            early:
            the spell before it ends at 2026-03-02 07:36+00:00 and the zone change takes 10
            min.""",
        ),
        (
            {"water": sawtooth(), "zones": (zone(wets_at_m=0.0),)},
            plan(),
            """spells.csv:2:: rule 3: Water may reach zone Z1 at 2026-03-02 12:00+00:00, 96 min
            before the spell on zone Z1 layer 1 in run 1 may be wetted (2026-03-02 13:36+00:00,
            6 h after its end): water predicted at 0.02 m + 0 m allowance against 0 m.""",
        ),
        (
            {
                "water": Water(kind=WaterKind.LEVELS),
                "zones": (zone(wets_at_m=0.0),),
                "mixes": (mix(protect_h=None),),
            },
            plan(),
            """spells.csv:2:: rule 3: Zone Z1 can be wetted, but mix dry gives no protect_h; use a
            mix for which it is known.""",
        ),
        (
            {},
            plan(spell(380)),
            """runs.csv:2:: rule 4: Run 1 from 2026-03-02 05:50+00:00 to 2026-03-02 07:41+00:00
            lies 10 min outside every single shift day of crew C1; a run stays inside one.""",
        ),
        (
            {},
            plan(spell(), runs=[run(365)]),
            """runs.csv:2:: rule 4: Run 1 starts 5 min too late: before its first spell at
            2026-03-02 06:30+00:00 come 20 min of start-up and 10 min of zone change.""",
        ),
        (
            {},
            plan(spell(), runs=[run(360, 461)]),
            """runs.csv:2:: rule 4: Run 1 ends 10 min too early: after its last spell at 2026-03-02
            07:36+00:00 come 15 min of clean-up.""",
        ),
        (
            TWO | {"rigs": (rig(idle_max_min=30),)},
            plan(spell(), spell(500, zone="Z2"), runs=[run(360, 581)]),
            """spells.csv:3:: rule 4: Rig R1 stands idle for 44 min before the spell on zone Z2
            layer 1 in run 1, from 2026-03-02 07:36+00:00; more than 30 min needs a new run.""",
        ),
        (
            {"zones": (zone(mixes=("fine", "coarse")),)},
            plan(),
            """spells.csv:2:: rule 4: Zone Z1 does not allow mix dry; it allows fine, coarse.""",
        ),
        (
            {"crews": (crew("C1"), crew("C2"))},
            plan(spell(crew="C2"), runs=[run()]),
            """spells.csv:2:: rule 4: The spell has crew C2, but its run 1 has C1.""",
        ),
        (
            PAIR,
            plan(spell(), spell(470, run="2", zone="Z2", crew="C2")),
            """runs.csv:3:: rule 5: Run 2 overlaps run 1 of the same rig R1 by 31 min.""",
        ),
        (
            PAIR,
            plan(spell(), spell(470, run="2", zone="Z2", rig="R2")),
            """runs.csv:3:: rule 5: Crew C1 is booked twice: run 2 overlaps run 1 by 31 min.""",
        ),
        (
            {"closures": (closure(from_min=0, to_min=365, why="holiday"),)},
            plan(),
            """runs.csv:2:: rule 5: For 5 min of run 1, 2026-03-02 06:00+00:00 to 2026-03-02
            07:51+00:00, the site is closed (holiday).""",
        ),
        (
            {"closures": (closure(ClosureScope.POSITION, "P1", from_min=0, to_min=365),)},
            plan(),
            """runs.csv:2:: rule 5: For 5 min of run 1, 2026-03-02 06:00+00:00 to 2026-03-02
            07:51+00:00, position P1 is closed.""",
        ),
        (
            {"water": sawtooth(), "positions": (position(water_max_m=0.0),)},
            plan(spell(660)),
            """runs.csv:2:: rule 5: For 21 min of run 1, first at 2026-03-02 12:00+00:00, the water
            limits of position P1 are not kept: water predicted at 0.02 m + 0 m allowance
            against 0 m.""",
        ),
        (
            {"water": sawtooth(), "positions": (position(water_min_m=0.0),)},
            plan(),
            """runs.csv:2:: rule 5: For 111 min of run 1, first at 2026-03-02 06:00+00:00, the
            water limits of position P1 are not kept: water predicted at -0.02 m is too low.""",
        ),
        (
            PLACES | {"zones": (zone("Z1"), zone("Z2", x_m=310.0, y_m=400.0))},
            plan(spell(), spell(600, run="2", zone="Z2", position=PositionId("P2"))),
            """runs.csv:3:: rule 6: Rig R1 stands at P1 and works at P2 in run 2 from 2026-03-02
            09:30+00:00; a relocation is missing.""",
        ),
        (
            PLACES | {"rigs": (rig(move_min_per_100m=10.0),)},
            plan(relocations=(move(471, 531),), runs=[run()], unplanned=()),
            """relocations.csv:2:: rule 6: At 2026-03-02 07:51+00:00, the relocation of rig R1 from
            P1 to P2 lasts 60 min, 50 min less than the 110 min it takes.""",
        ),
        (
            PLACES,
            plan(spell(), relocations=(move(1030, 1090),)),
            """relocations.csv:2:: rule 6: From 2026-03-02 17:10+00:00 to 2026-03-02 18:10+00:00,
            the relocation of rig R1 from P1 to P2 lies 10 min outside every single shift day.""",
        ),
        (
            {"rigs": (rig(available_from_min=370),)},
            plan(),
            """runs.csv:2:: rule 6: Of run 1, 2026-03-02 06:00+00:00 to 2026-03-02 07:51+00:00, 10
            min lie outside the stay of rig R1.""",
        ),
        (
            {"done": (done(done_m3=1.2, at_min=370),)},
            plan(spell(390, 30, volume_m3=1.0)),
            """runs.csv:2:: rule 6: Of run 1, 2026-03-02 06:00+00:00 to 2026-03-02 07:15+00:00, 10
            min lie outside the time after the latest progress.""",
        ),
        (
            PAIR | {"positions": (position(),)},
            plan(spell(), second(400)),
            """runs.csv:3:: rule 7: From 2026-03-02 06:10+00:00 position P1 holds 2 rigs (R1, R2);
            it has room for 1.""",
        ),
        (
            {"rigs": (rig(hose_max_m=9.25),)},
            plan(),
            """spells.csv:2:: rule 8: Zone Z1 is 10.00 m of equivalent hose from position P1, 0.75
            m more than rig R1 can use (9.25 m).""",
        ),
        (
            {"zones": (zone(x_m=4.0, z_m=6.0),), "rigs": (rig(rise_max_m=5.5),)},
            plan(),
            """spells.csv:2:: rule 8: Zone Z1 is 6.00 m above position P1, 0.50 m more than rig R1
            can lift (5.5 m).""",
        ),
        (
            {},
            plan(spell(hose_m=12.0)),
            """spells.csv:2:: rule 8: hose_m of the spell on zone Z1 layer 1 in run 1 is given as
            12.00 m; it is 10.00 m.""",
        ),
        (
            {"zones": (zone(volume_m3=2.0),)},
            plan(),
            """spells.csv:2:: rule 8: The spells of zone Z1 layer 1 add up to 2.2000 m³; 2.0000 m³
            are left to spray in it.""",
        ),
        (
            {},
            plan(
                *(half := (spell(390, 33, volume_m3=1.1), spell(433, 33, volume_m3=1.1))),
                runs=[around(*half)],
            ),
            """spells.csv:3:: rule 9: Layer 1 of zone Z1 is sprayed in 2 spells; joints are not
            allowed in it, so it takes one.""",
        ),
        (
            {"zones": (zone(ready_from_min=400),)},
            plan(),
            """spells.csv:2:: rule 10: At 2026-03-02 06:30+00:00, the spell on zone Z1 layer 1 in
            run 1 starts 10 min before its zone is ready (2026-03-02 06:40+00:00).""",
        ),
        (
            PAIR | {"zones": (zone("Z1"), zone("Z2", after=(ZoneId("Z1"),)))},
            plan(spell(), second(450)),
            """spells.csv:3:: rule 10: At 2026-03-02 07:30+00:00, the spell on zone Z2 layer 1 in
            run 2 starts 6 min before zone Z1 is complete (2026-03-02 07:36+00:00).""",
        ),
        (
            PAIR | {"apart": (NEVER_OPEN,)},
            plan(spell(), second(450)),
            """spells.csv:3:: rule 11: Zone Z2 is opened at 2026-03-02 07:30+00:00 while zone Z1 is
            open until 2026-03-02 07:36+00:00; the two are kept apart and are open together for
            6 min.""",
        ),
        (
            PAIR | {"apart": (NEVER_WORKED,)},
            plan(spell(), second(450)),
            """spells.csv:3:: rule 11: At 2026-03-02 07:20+00:00, the spell on zone Z1 layer 1 in
            run 1 and the spell on zone Z2 layer 1 in run 2 are worked on together for 16 min;
            zones Z1 and Z2 are kept apart.""",
        ),
        (
            PAIR | {"open_limits": (ONE_OPEN,)},
            plan(spell(), second(450)),
            """spells.csv:3:: rule 11: Zone Z2 is opened at 2026-03-02 07:30+00:00 as number 2 of
            group east (Z1, Z2); at most 1 may be open.""",
        ),
        (
            {"rules": Rules(panel_days=1.0)},
            plan(),
            """spells.csv:2:: rule 12: Crew C1 sprays mix dry overhead from 2026-03-02 06:30+00:00
            and has made no test panel of it.""",
        ),
        (
            {"rules": Rules(panel_days=0.5)},
            plan(
                spell(600),
                runs=[
                    around(spell(600)),
                    run(360, 455, run="p", kind=RunKind.PANEL, orientation=Orientation.OVERHEAD),
                ],
            ),
            """spells.csv:2:: rule 12: Crew C1 sprays mix dry overhead from 2026-03-02 10:00+00:00,
            575 min before 2026-03-02 19:35+00:00, which is 0.5 days after its panel run ends.""",
        ),
        (
            DUG,
            plan(spell(600)),
            """spells.csv:2:: rule 13: Zone Z1 is sprayed at 2026-03-02 10:00+00:00, not broken
            out.""",
        ),
        (
            DUG | {"rules": Rules(prepare_min_h=3.0)},
            plan(spell(600), break_outs=(piece(400, 460),)),
            """spells.csv:2:: rule 13: The first layer of zone Z1 at 2026-03-02 10:00+00:00 starts
            40 min too early: break-out ends at 2026-03-02 07:40+00:00 and preparation takes at
            least 3 h.""",
        ),
        (
            DUG | {"rules": Rules(max_open_days=0.05)},
            plan(spell(600), break_outs=(piece(400, 460),)),
            """spells.csv:2:: rule 13: The first layer of zone Z1 at 2026-03-02 10:00+00:00 starts
            68 min too late: at most 0.05 days may pass after break-out ends at 2026-03-02
            07:40+00:00.""",
        ),
        (
            DUG,
            plan(spell(600), break_outs=(piece(400, 461),)),
            """break_outs.csv:2:: rule 13: Of the break-out of zone Z1 by crew B1, 61 min are
            planned; 2.2000 m³ at 2.2 m³/h take 60 min.""",
        ),
        (
            {"zones": (zone("Z1"), zone("Z2", after=(ZoneId("Z1"),)))},
            plan(spell(zone="Z2"), unplanned=(left_out("Z1"),)),
            """spells.csv:2:: rule 14: Zone Z2 comes after zone Z1, which is not planned; leave
            both out or plan both.""",
        ),
        (
            {"crews": (crew(duty_max_min=100, rest_min_min=600),)},
            plan(),
            """runs.csv:2:: rule 15: Crew C1 is on duty from 2026-03-02 06:00+00:00 to 2026-03-02
            07:51+00:00, 11 min more than 100 min, without a rest of 600 min in between.""",
        ),
        (
            {"crews": (crew(week_max_min=100),)},
            plan(),
            """runs.csv:2:: rule 15: Crew C1 works 11 min more than 100 min in the week from Monday
            2026-03-02.""",
        ),
        (
            {},
            plan(spell(), relocations=(move(471, 531, to_position="P9"),)),
            """relocations.csv:2:: rows: The to 'P9' is not in the scenario; use an id of its
            tables.""",
        ),
        (
            {"rigs": (rig(), rig("W1", process=Process.WET))},
            plan(
                spell(),
                runs=[
                    run(),
                    run(
                        500,
                        595,
                        run="p",
                        rig=RigId("W1"),
                        kind=RunKind.PANEL,
                        orientation=Orientation.OVERHEAD,
                    ),
                ],
            ),
            """runs.csv:3:: rule 12: Panel run p of mix dry is made by rig W1, which works wet; a
            rig of the mix's process makes it.""",
        ),
    ],
)
def test_a_finding_reads(scene, made, expected):
    assert " ".join(expected.split()) in lines(broken(campaign(**scene), made))
