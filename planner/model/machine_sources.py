"""Where the figures of the machine catalogue come from, each source said once."""

from __future__ import annotations

DRY_RATE = (
    "dry-mix 1 to 5 m³/h: common practice, and a trade article on wet and dry spraying (dry not"
    " above 5 m³/h); the usual value is a choice inside"
)
DRY_REACH = (
    "dry-mix reaches 500 m and more: common practice; published advice on long lines says dry-mix"
    " should easily pass 150 m (American Shotcrete Association, answer on a 100 m driveway)"
)
DOUBLE_REACH = (
    "dry-mix reaches 500 m and more, up to about 1 km with double-chamber machines: common"
    " practice"
)
BARREL_REACH = (
    "barrel-type rotary guns have pushed material over 760 m level and over 120 m up: Shotcrete"
    " magazine, Fall 2015, p. 14; the usual value is well inside"
)
BOWL_REACH = (
    "bowl guns are rated 150 m level and 30 m up: Shotcrete magazine, Fall 2015, p. 14 (that the"
    " sentence is about bowl guns is how its columns are read here)"
)
DRY_RISE = (
    "dry-mix placed up to 61 m above the plant for several weeks: Shotcrete magazine, Summer 2013,"
    " p. 65 (the kind of gun is not named)"
)
DOUBLE_RISE = "taken as for barrel-type rotary guns; from memory"
DRY_BORE = (
    "delivery lines of 38 to 64 mm: American Shotcrete Association, answer on a 100 m driveway;"
    " 25 mm as the small end: common practice"
)
WET_BORE = (
    "delivery lines of 38 to 64 mm, 50 mm usual at the nozzle: American Shotcrete Association,"
    " answer on a 100 m driveway"
)
WORM_BORE = "mortar hoses of worm pumps; from memory"
BOOM_BORE = (
    "64 or 75 mm hose with a robotic arm: P. Sulman, What should you consider when choosing a"
    " wet-mix shotcrete pump?, Shotcrete magazine, Summer 2005; the small end from memory"
)
TIMES = "order of size on sites; from memory, so time your own"
DRY_IDLE = (
    "a stop over 60 min: blow the hoses out and empty the gun (Personnel, duties and safety"
    " precautions for the shotcrete gunning crew, Concrete Construction)"
)
WET_IDLE = "material stiffens in the line; from memory, and shorter in heat or with accelerator"
DRY_AIR = (
    "about 2.8 m³/min (100 cfm) for a 25 mm hose and about double for 38 mm: common practice;"
    " other bores by a power of the bore; air motors of the gun come on top"
)
WET_AIR = (
    "wet-mix nozzles normally need at least about 6 m³/min (200 cfm): Shotcrete magazine, Fall"
    " 2014, p. 53"
)
BOOM_AIR = (
    "12 m³/min as a worked example of a mechanised wet-mix set: trade article on mechanised"
    " wet-mix equipment; the low end as for hand nozzles, Shotcrete magazine, Fall 2014, p. 53"
)
DRY_AGGREGATE = "dry-mix mortars and fine concretes; from memory"
DRY_CREW = (
    "nozzle operator, blowpipe operator, gun operator, mixer operator, foreman and several"
    " labourers (Personnel, duties and safety precautions for the shotcrete gunning crew, Concrete"
    " Construction), counted here as 6 to 9"
)
WET_CREW = (
    "nozzle operator, pump operator, hose tenders, finishers and foreman (Shotcrete magazine,"
    " Summer 2013, p. 36), counted here as 5 to 8"
)
BOOM_CREW = (
    "two nozzle operators can run mechanised wet-mix (trade article); the pump's operator and a"
    " helper added from memory"
)
WET_RATE = (
    "wet-mix 3 to 10 m³/h by hand: common practice, and a trade article on wet and dry spraying"
    " (10 m³/h by hand); twin-piston pumps themselves give 4 to 25 m³/h (Concrete Repair: A"
    " Practical Guide, ch. 13)"
)
WORM_RATE = (
    "worm pumps up to 4 m³/h: Concrete Repair: A Practical Guide, ch. 13; the low end from memory"
)
SQUEEZE_RATE = (
    "wet-mix by hand up to 10 m³/h: common practice; large squeeze pumps give up to 19 m³/h"
    " (Shotcrete magazine, Winter 2016, p. 59); the low end from memory"
)
BOOM_RATE = (
    "wet-mix up to 25 m³/h robotic: common practice; twin-piston pumps 4 to 25 m³/h (Concrete"
    " Repair: A Practical Guide, ch. 13)"
)
PNEUMATIC = "pneumatic feed is rare today; from memory, so ask the maker"
WET_REACH = (
    "wet-mix reaches about 100 m without special lines: common practice; 150 m or more with steel"
    " line and planning (American Shotcrete Association, answer on a 100 m driveway)"
)
WET_RISE = (
    "60 m up is a record of conventional pumped concrete (Pumping concrete, Concrete"
    " Construction); the usual value from memory"
)
SQUEEZE_REACH = (
    "squeeze pumps do not work well beyond 76 m (250 ft) level, 15 m (50 ft) up or 12.7 mm (half"
    " an inch) of aggregate: Pick a pump for concrete success, Concrete Construction"
)
WORM_REACH = "small mortar pumps; from memory, so ask the maker"
BOOM_REACH = (
    "spraying arms reach up to 17 m: trade article on mechanised wet-mix equipment; here the line"
    " is that of the arm, the pump stands beside it; the usual value from memory"
)
PISTON_AGGREGATE = "up to 20 mm: Concrete Repair: A Practical Guide, ch. 13"
WORM_AGGREGATE = "up to 4 mm: Concrete Repair: A Practical Guide, ch. 13"
WET_RISE_FACTOR = (
    "1 m up counts as 3 to 4 m of level line in handbook tables, its own metre included; from"
    " memory, so take the maker's"
)
WET_BEND = (
    "a 90° bend counts as 3 m (metric trade tables) to 12 m (handbook tables) of level line; from"
    " memory, so take the maker's"
)
BOOM_LINE = "the arm's own line is built for its height; from memory"
BATCHED = (
    "one vessel is filled, shut, blown out and filled again; from memory of how the gun works"
)
LOCKED = (
    "the upper chamber is filled while the lower feeds: Shotcrete magazine, Winter 2003 (the three"
    " kinds of dry-mix guns)"
)
ROTOR = (
    "continuous-feed guns, barrel or feed bowl: Shotcrete pumps and related equipment, Concrete"
    " Construction"
)
PUMPED = "positive displacement: Shotcrete pumps and related equipment, Concrete Construction"
