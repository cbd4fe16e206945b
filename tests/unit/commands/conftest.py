"""A scenario folder small enough to be planned in no time."""

from pathlib import Path

import pytest

TABLES = {
    "campaign.toml": """
[campaign]
name = "Two patches"
start = 2026-03-02
end = 2026-03-08
time_zone = "Europe/London"
goal = ["finish", "relocations"]

[water]
kind = "none"

[reach]
by = "grid"

[prices]
day = 100
""",
    # 20 m2 x 50 mm with 10 % overbreak: 1.1 m3 each
    "zones.csv": """zone,x_m,y_m,z_m,area_m2,depth_mm,orientation
Near,10,0,0,20,50,vertical
Next,12,0,0,20,50,vertical
""",
    "positions.csv": "position,x_m,y_m,z_m\nYard,0,0,0\n",
    "rigs.csv": "rig,process,hose_max_m,rate_m3_h\nR1,dry,60,3\n",
    "crews.csv": "crew,kind,shift\nAsh,spray,day\n",
    "shifts.csv": "shift,days,start,end\nday,Mon;Tue;Wed;Thu;Fri,07:00,17:00\n",
}


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """Two zones of 1.1 m3 that one rig reaches from one position."""
    folder = tmp_path / "two patches é"
    folder.mkdir()
    for name, text in TABLES.items():
        (folder / name).write_text(text.lstrip(), encoding="utf-8")
    return folder


@pytest.fixture
def out_of_reach(scenario: Path) -> Path:
    """The same with a third zone that no hose reaches."""
    with (scenario / "zones.csv").open("a", encoding="utf-8") as table:
        table.write("Far,500,0,0,20,50,vertical\n")
    return scenario
