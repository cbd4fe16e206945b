"""The reader accepts the tidal constituents that can be predicted, neither more nor fewer."""

from planner.access.constituents import canonical, known_constituents
from planner.scenario.constituents import KNOWN_CONSTITUENTS, canonical_name


def test_reader_and_prediction_know_the_same_names():
    assert sorted(KNOWN_CONSTITUENTS) == list(known_constituents())


def test_reader_and_prediction_write_a_name_the_same_way():
    for name in ("m2", " M2", "2mk3", "Sa", "LAMBDA 2"):
        assert canonical_name(name.strip()) == canonical(name)
