"""``ebbwork tide``: from a gauge's record to constituents, a residual and an allowance."""

import csv
import io
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from planner.access import by_utide
from planner.access.tide import TideLevel
from planner.commands.main import main
from planner.model.water import Constituent
from planner.workflow.residual_file import read_residual

EPOCH = datetime(2025, 1, 1, tzinfo=UTC)
WAVES = (("M2", 1.4, 110.0), ("S2", 0.4, 146.0), ("N2", 0.3, 77.0), ("O1", 0.1, 187.0))


def tide(mean_m: float = 1.6) -> TideLevel:
    waves = tuple(Constituent(name=n, amplitude_m=a, phase_deg=g) for n, a, g in WAVES)
    return TideLevel(waves, mean_m=mean_m, epoch_utc=EPOCH)


def stamp(minute: float) -> str:
    return (EPOCH + timedelta(minutes=round(minute))).strftime("%Y-%m-%dT%H:%MZ")


@pytest.fixture
def gauge(tmp_path: Path) -> Path:
    """Ninety days of hourly levels with a slow surge of two decimetres."""
    minutes = np.arange(0.0, 90 * 1440.0, 60.0)
    surge = 0.2 * np.sin(2 * np.pi * minutes / (5 * 1440.0))
    lines = [
        f"{stamp(minute)},{level:.3f}"
        for minute, level in zip(minutes, tide().level_m(minutes) + surge, strict=True)
    ]
    path = tmp_path / "gauge.csv"
    path.write_text("\n".join(["time,level_m", *lines]) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def extremes(tmp_path: Path) -> Path:
    """Thirty days of high and low waters."""
    curve = tide().curve(0.0, 30 * 1440.0)
    rises = curve.end_m > curve.start_m
    lines = [
        f"{stamp(curve.end[k])},{curve.end_m[k]:.2f},{'high' if rises[k] else 'low'}"
        for k in np.flatnonzero(rises[:-1] != rises[1:])
    ]
    path = tmp_path / "table.csv"
    path.write_text("\n".join(["time,level_m,kind", *lines]) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def tidal(scenario: Path) -> Path:
    """The small scenario under that tide."""
    text = (scenario / "campaign.toml").read_text(encoding="utf-8")
    water = 'kind = "tide"\nmean_level_m = 1.6\nallowance_m = 0.1'
    (scenario / "campaign.toml").write_text(text.replace('kind = "none"', water), encoding="utf-8")
    zones = (scenario / "zones.csv").read_text(encoding="utf-8").splitlines()
    more = [",water_max_m,wets_at_m", ",1.2,never", ",1.2,never"]
    (scenario / "zones.csv").write_text(
        "\n".join(a + b for a, b in zip(zones, more, strict=True)) + "\n", encoding="utf-8"
    )
    rows = [f"{name},{amplitude},{phase}" for name, amplitude, phase in WAVES]
    (scenario / "constituents.csv").write_text(
        "\n".join(["name,amplitude_m,phase_deg", *rows]) + "\n", encoding="utf-8"
    )
    return scenario


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]):
    """Run a tide command; give its exit code, its rows and what it said."""

    def call(*words: str | Path) -> tuple[int, list[dict[str, str]], str]:
        code = main(["tide", *map(str, words)])
        out, err = capsys.readouterr()
        return code, list(csv.DictReader(io.StringIO(out))), err

    return call


def test_a_record_becomes_constituents_and_a_residual_file(run, gauge, tmp_path) -> None:
    kept = tmp_path / "residual.json"
    code, rows, said = run("fit", gauge, "--residual", kept)
    assert code == 0
    by_name = {row["name"]: row for row in rows}
    assert float(by_name["M2"]["amplitude_m"]) == pytest.approx(1.4, abs=0.03)
    assert float(by_name["M2"]["phase_deg"]) == pytest.approx(110.0, abs=2.0)
    assert "water.mean_level_m = 1.6" in said
    assert "90.0 days" in said
    assert "tide board" in said
    residual = read_residual(kept)
    assert residual.spread_m == pytest.approx(0.2 / np.sqrt(2), abs=0.02)
    assert residual.persistence[0] > 0.95


def test_the_residual_of_a_scenario_is_observed_less_its_prediction(
    run, gauge, tidal, tmp_path
) -> None:
    kept = tmp_path / "residual.json"
    code, _, said = run("residual", tidal, gauge, "--residual", kept)
    assert code == 0
    assert "standard deviation 0.141 m" in said
    assert read_residual(kept).mean_m == pytest.approx(0.0, abs=0.005)


def test_an_allowance_is_suggested_from_the_record(run, gauge, tidal) -> None:
    code, rows, said = run("allowance", tidal, gauge, "--reliability", "1")
    assert code == 0
    assert "2 zones with water_max_m 1.2: with water.allowance_m = " in said
    shares = [float(row["held"]) for row in rows if row["held"]]
    assert shares == sorted(shares)
    assert shares[0] < 0.75
    assert float(rows[4]["allowance_m"]) == 0.2
    assert float(rows[4]["held"]) == 1.0  # the surge never passes 0.2 m
    assert float(rows[4]["hours_kept"]) < 1.0


def test_losses_by_month_are_written_as_weather_allowance(run, gauge, tidal) -> None:
    code, rows, said = run("allowance", tidal, gauge, "--by-month")
    assert code == 0
    assert [row["month"] for row in rows] == ["1", "2", "3"]
    assert all(0.0 < float(row["lost"]) < 0.5 for row in rows)
    assert "allowance of 0.1 m" in said


def test_a_table_of_the_same_tide_agrees_and_another_time_base_is_told(
    run, extremes, tidal
) -> None:
    code, rows, said = run("check", tidal, extremes)
    assert (code, "agree" in said) == (0, True)
    assert {row["figure"] for row in rows} >= {"prediction_late_min", "range_factor"}
    text = extremes.read_text(encoding="utf-8")
    extremes.write_text(text.replace("Z,", "+01:00,"), encoding="utf-8")
    better = tidal / "constituents.csv"
    code, _, said = run("check", tidal, extremes, "--turned", better)
    assert code == 1
    assert "UTC+1 h" in said
    code, _, said = run("check", tidal, extremes, "--turned", better)
    assert code == 0
    assert "not written" in said


def test_lowest_and_highest_tide_of_nineteen_years_are_listed(run, tidal) -> None:
    code, rows, said = run("extremes", tidal, "--from", "2010")
    assert code == 0
    assert [row["level"] for row in rows] == [
        "lowest",
        "mean_low_water",
        "mean_high_water",
        "highest",
    ]
    levels = [float(row["level_m"]) for row in rows]
    assert levels == sorted(levels)
    assert "2010 to 2028" in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["fit", "GAUGE", "--time-zone", "Mars"], "IANA name"),
        (["allowance", "DRY", "GAUGE", "--reliability", "95"], "write 95 % as 0.95"),
        (["extremes", "DRY"], "need constituents"),
        (["check", "DRY", "GAUGE"], "kind"),
        (["residual", "DRY", "GAUGE"], "no water"),
        (["allowance", "DRY", "GAUGE"], "no zone of the scenario has a water_max_m"),
        (["fit", "SHORT"], "1.0 days"),
        ([], "arguments are required"),
    ],
)
def test_what_cannot_be_done_is_refused_in_words(run, gauge, scenario, words, says) -> None:
    short = gauge.with_name("short.csv")
    lines = gauge.read_text(encoding="utf-8").splitlines()[:26]
    short.write_text("\n".join(lines), encoding="utf-8")
    places = {"GAUGE": gauge, "DRY": scenario, "SHORT": short}
    code, rows, said = run(*(places.get(word, word) for word in words))
    assert code == 2
    assert rows == []
    assert says in said
    assert "Traceback" not in said


def test_without_utide_the_message_says_how_to_get_it(run, gauge, monkeypatch) -> None:
    def missing(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr(by_utide, "import_module", missing)
    code, _, said = run("fit", gauge, "--utide", "51.5")
    assert code == 2
    assert "planner[tide]" in said


def test_a_file_that_is_no_residual_is_refused(tmp_path) -> None:
    from planner.core.problems import InputRefusedError

    for text in ("{}", "[]", "x", '{"kind": "ebbwork residual of water levels", "format": 1}'):
        path = tmp_path / "residual.json"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(InputRefusedError, match="no residual model"):
            read_residual(path)
