"""Figures of the trade that the work chain uses, each with its source and trust label.

docs/work_chain.md lists them for people; what is marked "from memory" is shown as that.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.model.sourced import Trust
from planner.trade.figure import Figure

JOINT_OPEN_MIN = 30
"""A joint stays open for at most this long, unless its edge is sloped [min]."""
HOSE_FULL_MIN = 60
"""After a stop of more than this the hose is blown out and the gun emptied [min]."""
PREPARED_FRESH_H = 48.0
"""Older preparation is cleaned again, by many specifications [h]."""
CONTINUOUS_CURE_D = 3.0
"""Moist curing is continuous for so long at first [d]."""
COLD_LOW_C, COLD_HIGH_C, COLD_FACTOR = 4.0, 10.0, 1.5
"""Between these temperatures curing of marine concrete is lengthened by half [°C, °C, 1]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """A way of breaking out.

    Attributes
    ----------
    low_m3_h, high_m3_h
        Concrete removed in an hour by one tool [m³/h]; low None: only a best case is known.
    """

    title: str
    low_m3_h: float | None
    high_m3_h: float
    source: str
    trust: Trust
    note: str


METHODS = {
    "breaker": Method(
        title="hand breakers",
        low_m3_h=0.02,
        high_m3_h=0.1,
        source="trade figures for hand breaking",
        trust=Trust.MEMORY,
        note="for each breaker on walls; about half of it overhead",
    ),
    "lance": Method(
        title="water jetting by hand lance",
        low_m3_h=0.05,
        high_m3_h=0.3,
        source="trade figures for hand lances",
        trust=Trust.MEMORY,
        note="for each lance on walls; about half of it overhead",
    ),
    "robot": Method(
        title="water jetting by robot",
        low_m3_h=None,
        high_m3_h=1.18,
        source="practitioner's report: 186 m² x 64 mm of bridge deck in a 10 h shift",
        trust=Trust.DERIVED,
        note="flat deck, one operator; less on walls and overhead",
    ),
}
"""By the word that crews.csv uses in ``method``."""

OPEN_AREA = Figure(
    name="open area",
    value=None,
    unit="",
    formula="how much may be broken out at once is entered: apart.csv, open_limits.csv",
    source="Concrete Society: the reduced section is checked, and propping is essential where the"
    " repair must carry its share",
    trust=Trust.READ,
    note="no number is published; the structure's engineer gives it (ACI 562, EN 1504-9)",
)
BARS = Figure(
    name="bars",
    value=None,
    unit="h",
    formula="bars cleaned all round; behind them 19 to 25 mm clear, or largest stone + 6 mm",
    source="ICRI 03730; UFGS 03931",
    trust=Trust.READ,
    note="a bar that has lost more than 25 % at any point is for the engineer (UFGS 03931)",
)
INSPECTED = Figure(
    name="inspection",
    value=None,
    unit="",
    formula="prepared face and bars are looked at before they are covered",
    source="stop of the contract (quality.hold)",
    trust=Trust.GIVEN,
)
WASHED = Figure(
    name="wash",
    value=None,
    unit="",
    formula="after every wetting by the site's water the prepared face is washed with fresh water",
    source="common marine practice (BS 6349, EN 1504-10)",
    trust=Trust.MEMORY,
)
FRESH = Figure(
    name="prepared_h",
    value=PREPARED_FRESH_H,
    unit="h",
    formula="preparation older than 24 to 48 h is cleaned again",
    source="common in specifications",
    trust=Trust.MEMORY,
)
SATURATED = Figure(
    name="saturate",
    value=None,
    unit="",
    formula="surface damp and not wet when it is sprayed; no bonding agent",
    source="American Shotcrete Association; for mortar UFGS 03300A: wet the first 12 of the last"
    " 24 h",
    trust=Trust.READ,
)
UPWARDS = Figure(
    name="direction",
    value=None,
    unit="",
    formula="from the bottom up; overhead from the shoulder to the crown",
    source="Concrete Repair: A Practical Guide, ch. 13",
    trust=Trust.READ,
)
NEXT_LAYER = Figure(
    name="next layer",
    value=None,
    unit="",
    formula="the layer below has stiffened; loose material is off; clean and moist",
    source="Concrete Society; American Shotcrete Association: no fixed delay can be given",
    trust=Trust.READ,
    note="the wait is that of the mix (layer_gap_min_h), which has no default",
)
JOINT = Figure(
    name="joint",
    value=float(JOINT_OPEN_MIN),
    unit="min",
    formula="open for at most 30 min unless its edge is sloped, about 45°; then clean and wet",
    source="International Building Code 1924.7, as quoted in Shotcrete magazine",
    trust=Trust.SECOND_HAND,
)
HOSE = Figure(
    name="stop of the gun",
    value=float(HOSE_FULL_MIN),
    unit="min",
    formula="after more than 60 min hoses are blown out and the gun is emptied",
    source="Concrete Construction, duties of the gunning crew",
    trust=Trust.READ,
)
CURED = {
    "moist": Figure(
        name="cure",
        value=7.0,
        unit="d",
        formula="moist for 7 days, continuously for the first 3, at once after finishing",
        source="UFGS 03371; American Shotcrete Association",
        trust=Trust.READ,
    ),
    "membrane": Figure(
        name="cure",
        value=7.0,
        unit="d",
        formula="membrane at twice its maker's rate, in two coats that cross",
        source="American Shotcrete Association (moist curing is preferred)",
        trust=Trust.READ,
    ),
}
COLD = Figure(
    name="cold",
    value=COLD_FACTOR,
    unit="1",
    formula="between 4 and 10 °C curing is lengthened by half",
    source="UFGS 03311, marine concrete",
    trust=Trust.READ,
)
POTABLE = Figure(
    name="water for curing",
    value=None,
    unit="",
    formula="marine concrete is cured wet with potable water",
    source="UFGS 03311",
    trust=Trust.READ,
    note="how the first tides are kept off, or allowed, is for the contract and the engineer",
)
WETTING = Figure(
    name="time to wetting",
    value=None,
    unit="h",
    formula="entered for each mix: mixes.csv, protect_h",
    source="no minimum is published for sprayed repairs; cast concrete under water: 12 h before"
    " fresh water, 5 days before sea water (UFGS 03300N)",
    trust=Trust.GIVEN,
    note="by test, by the mix's maker, or by the contract",
)
