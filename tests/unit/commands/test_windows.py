"""``ebbwork windows`` and ``ebbwork import-bookings`` from end to end."""

import csv
import io

import pytest

from planner.commands.listing_arguments import VIEWS
from planner.commands.main import main

BOOKINGS = """BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//harbour//EN
BEGIN:VEVENT
UID:1
SUMMARY:Ferry alongside
DTSTART:20260303T060000Z
DTEND:20260303T120000Z
END:VEVENT
END:VCALENDAR
"""


@pytest.fixture
def run(capsys):
    def call(*words):
        code = main([str(word) for word in words])
        out, err = capsys.readouterr()
        return code, list(csv.reader(io.StringIO(out))), err

    return call


def close(scenario, row):
    text = f"scope,id,from,to,kind,why\n{row}\n"
    (scenario / "closures.csv").write_text(text, encoding="utf-8")


@pytest.mark.parametrize("view", [None, *VIEWS])
def test_each_view_is_a_table_with_a_heading_and_rows(run, scenario, view):
    close(scenario, "site,,2026-03-04,2026-03-04,holiday,town day")
    words = [] if view is None else [f"--{view}"]
    code, rows, err = run("windows", scenario, *words)
    assert (code, err) == (0, "")
    assert len(rows) > 1
    assert {len(row) for row in rows} == {len(rows[0])}
    assert rows[0][0] == ("week" if view == "weeks" else "zone")


def test_without_a_view_the_table_is_that_of_the_contract(run, scenario):
    code, rows, _ = run("windows", scenario, "--zone", "Near")
    assert (code, rows[0]) == (0, ["zone", "start", "end", "minutes"])
    whole = ["Near", "2026-03-02T00:00:00+00:00", "2026-03-09T00:00:00+00:00", "10080"]
    assert rows[1:] == [whole]


def test_why_names_the_closure_and_its_kind(run, scenario):
    close(scenario, "site,,2026-03-04,2026-03-04,holiday,town day")
    _, rows, _ = run("windows", scenario, "--why", "--zone", "Next")
    assert [row[-1] for row in rows[1:]] == ["site closed (holiday): town day"]


def test_two_views_at_once_and_an_unknown_zone_are_refused(run, scenario):
    assert run("windows", scenario, "--why", "--weeks")[0] == 2
    code, rows, err = run("windows", scenario, "--why", "--zone", "Nxt")
    assert (code, rows) == (2, [])
    assert 'did you mean "Next"?' in err


def test_the_calendar_file_is_written_besides_the_table(run, scenario, tmp_path):
    path = tmp_path / "windows.ics"
    code, rows, err = run("windows", scenario, "--ics", path)
    assert (code, len(rows)) == (0, 3)
    assert path.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
    assert str(path) in err


def test_predicted_tides_come_with_the_caution_to_check_them_on_site(run, scenario):
    toml = scenario / "campaign.toml"
    text = toml.read_text(encoding="utf-8").replace('kind = "none"', 'kind = "highlow"')
    toml.write_text(text, encoding="utf-8")
    zones = (
        "zone,x_m,y_m,z_m,area_m2,depth_mm,orientation,water_max_m,wets_at_m\n"
        "Near,10,0,0,20,50,vertical,0.5,never\n"
    )
    (scenario / "zones.csv").write_text(zones, encoding="utf-8")
    (scenario / "highlow.csv").write_text(
        "time,level_m,kind\n"
        + "".join(
            f"2026-03-{day:02d}T{hour:02d}:00,{level},{kind}\n"
            for day in range(1, 11)
            for hour, level, kind in (
                (0, 2, "high"),
                (6, 0, "low"),
                (12, 2, "high"),
                (18, 0, "low"),
            )
        ),
        encoding="utf-8",
    )
    code, _, err = run("windows", scenario)
    assert code == 0
    assert "levelled tide board" in err


def test_bookings_become_closures_of_the_position(run, scenario, tmp_path):
    path = tmp_path / "bookings.ics"
    path.write_text(BOOKINGS, encoding="utf-8")
    code, rows, err = run("import-bookings", scenario, path, "--id", "Yard")
    assert (code, rows) == (0, [])
    assert err.startswith("1 bookings of position Yard touch the campaign; 1 are new")
    table = (scenario / "closures.csv").read_text(encoding="utf-8").splitlines()
    assert table == [
        "scope,id,from,to,kind,why",
        "position,Yard,2026-03-03T06:00:00+00:00,2026-03-03T12:00:00+00:00,berth,Ferry alongside",
    ]


def test_bookings_of_a_position_that_is_not_there_are_refused_and_nothing_is_written(
    run, scenario, tmp_path
):
    path = tmp_path / "bookings.ics"
    path.write_text(BOOKINGS, encoding="utf-8")
    code, _, err = run("import-bookings", scenario, path, "--id", "Yrd")
    assert code == 2
    assert err.startswith("closures.csv:2:id: ")
    assert not (scenario / "closures.csv").exists()


def test_a_broken_calendar_is_refused_in_one_line(run, scenario, tmp_path):
    path = tmp_path / "bookings.ics"
    path.write_text(BOOKINGS.replace("T120000Z", "T050000Z"), encoding="utf-8")
    code, _, err = run("import-bookings", scenario, path, "--id", "Yard")
    assert code == 2
    assert err.startswith("bookings.ics:4:DTEND: ")
    assert run("import-bookings", scenario, tmp_path / "none.ics", "--id", "Yard")[0] == 2
