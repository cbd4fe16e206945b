"""UTide as a second opinion, where it is installed."""

from datetime import UTC, datetime

import numpy as np
import pytest

from planner.access import by_utide
from planner.access.by_utide import NotInstalledError, analyse_by_utide
from planner.access.tide import TideLevel
from planner.model.water import Constituent

EPOCH = datetime(2026, 1, 1, tzinfo=UTC)
WAVES = tuple(
    Constituent(name=name, amplitude_m=amplitude, phase_deg=phase)
    for name, amplitude, phase in (
        ("M2", 1.4, 110.0),
        ("S2", 0.3, 146.0),
        ("N2", 0.3, 77.0),
        ("K1", 0.14, 205.0),
        ("O1", 0.12, 187.0),
        ("SA", 0.05, 136.0),
        ("LAM2", 0.02, 140.0),
    )
)


def test_without_the_library_the_message_says_how_to_get_it(monkeypatch):
    def missing(name):
        raise ImportError(name)

    monkeypatch.setattr(by_utide, "import_module", missing)
    with pytest.raises(NotInstalledError, match=r"planner\[tide\]"):
        analyse_by_utide(np.zeros(2), np.zeros(2), ["M2"], epoch_utc=EPOCH, latitude_deg=50.0)


def test_it_finds_the_waves_in_our_own_names_and_phases():
    pytest.importorskip("utide", reason="the optional library utide is not installed")
    times = np.arange(0.0, 366 * 1440.0, 60.0)
    levels = TideLevel(WAVES, mean_m=1.0, epoch_utc=EPOCH).level_m(times)
    names = [wave.name for wave in WAVES] + ["S1", "2MK3"]
    found = analyse_by_utide(times, levels, names, epoch_utc=EPOCH, latitude_deg=42.0)
    by_name = {wave.name: wave for wave in found}
    assert set(by_name) == {wave.name for wave in WAVES}
    for wave in WAVES:  # satellites instead of Schureman's factors: a per cent and a degree
        assert by_name[wave.name].amplitude_m == pytest.approx(wave.amplitude_m, rel=0.02)
        assert by_name[wave.name].phase_deg == pytest.approx(wave.phase_deg, abs=1.0)
