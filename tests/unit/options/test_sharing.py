"""Combinations that take more of a resource than there is are no options, and say so."""

from __future__ import annotations

from planner.access.windows import Access
from planner.model.identifiers import CrewKind, ResourceId, ZoneId
from planner.model.resource import Need, Resource
from planner.options.build import Options
from planner.options.reasons import why_unplanned
from planner.options.sharing import lacking, may_share
from planner.reach.hoses import Reach
from tests import builders as make

FLOAT = (Need(resource_id=ResourceId("float")),)
ONE = (Resource(resource_id=ResourceId("float"), number=1),)


def options_of(**changes: object) -> Options:
    scene = make.campaign(**({"resources": ONE} | changes))
    return Options(campaign=scene, access=Access(scene), reach=Reach(scene))


def rigs_of(options: Options) -> set[str]:
    return {one.rig for one in options.by_zone[ZoneId("Z1")]}


def why(options: Options) -> str:
    return why_unplanned(options, options.campaign.zones[0], frozenset())


def test_what_things_take_together_is_compared_with_what_there_is():
    scene = make.campaign(resources=ONE)
    taking, bare = make.zone(needs=FLOAT), make.rig()
    assert lacking(scene, taking, bare) is None
    assert lacking(scene, taking, make.rig(needs=FLOAT)) == "2 of float where there is 1"


def test_one_crew_that_fits_is_enough():
    scene = make.campaign(resources=ONE)
    crews = (make.crew("C1", needs=FLOAT), make.crew("C2"))
    assert may_share(scene, crews, make.zone(needs=FLOAT))
    assert not may_share(scene, crews[:1], make.zone(needs=FLOAT))


def test_a_rig_that_takes_the_float_of_the_zone_is_no_option():
    rigs = (make.rig("R1", needs=FLOAT), make.rig("R2"))
    found = options_of(zones=(make.zone(needs=FLOAT),), rigs=rigs)
    assert rigs_of(found) == {"R2"}


def test_a_zone_without_any_other_combination_says_what_is_missing():
    crews = (make.crew(needs=FLOAT),)
    found = options_of(zones=(make.zone(needs=FLOAT),), crews=crews)
    assert rigs_of(found) == set()
    assert why(found) == (
        "Zone, position, rig and crew together take 2 of float where there is 1, whichever of "
        "those that could spray it."
    )


def test_a_zone_that_no_break_out_crew_can_share_says_so():
    crews = (
        make.crew(),
        make.crew("B1", kind=CrewKind.BREAK_OUT, rate_m3_h=2.0, needs=FLOAT),
    )
    found = options_of(zones=(make.zone(needs=FLOAT),), crews=crews)
    assert why(found) == (
        "Zone and break-out crew together take 2 of float where there is 1, for every break-out "
        "crew."
    )
