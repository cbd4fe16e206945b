"""What the contract asks of tests, curing and stops, and what the tests gave."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Hold(StrEnum):
    """A stop of the contract: spraying waits for a test or an inspection.

    ``panels``: for the result of the pre-construction panel of that crew, mix and orientation;
    ``inspection``: for the inspection of the prepared face; ``failed``: after production tests
    of a crew and mix that miss the rule, until later ones meet it.
    """

    PANELS = "panels"
    INSPECTION = "inspection"
    FAILED = "failed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quality:
    """The quality plan's figures (campaign.toml, ``quality.*``).

    Attributes
    ----------
    strength_mpa
        Specified compressive strength f'c [MPa]; None: not given, so no verdict on strength.
    age_d, mean_factor, single_factor
        Age of the test [d]; least mean and least single value as shares of f'c [1].
    production_m3, operators
        One production panel at least for each such volume in place [m³]; nozzle operators of a
        crew who spray on the same day, each with a panel of his own [1].
    cores, pre_cores
        Cores from a production and from a pre-construction panel [1].
    bond_mpa, bond_age_d, bond_m2, bond_pulls
        Least bond strength [MPa], age of the test [d], one set of pulls for each such area
        [m²], pulls of a set [1].
    holds
        Stops of the contract.
    hold_age_d, hold_mpa
        Age [d] and specified strength [MPa] at which a pre-construction panel ends its stop;
        None: as ``age_d`` and ``strength_mpa``.
    """

    strength_mpa: float | None = None
    age_d: float = 28.0
    mean_factor: float = 0.85
    single_factor: float = 0.75
    production_m3: float = 38.0
    operators: int = 1
    cores: int = 3
    pre_cores: int = 5
    bond_mpa: float = 1.0
    bond_age_d: float = 28.0
    bond_m2: float = 250.0
    bond_pulls: int = 3
    holds: tuple[Hold, ...] = ()
    hold_age_d: float | None = None
    hold_mpa: float | None = None


class CureMethod(StrEnum):
    """How the finished face is kept from drying."""

    MOIST = "moist"
    MEMBRANE = "membrane"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """Curing, and the figures of maturity (campaign.toml, ``cure.*``).

    Attributes
    ----------
    method, days
        How, and how long [d].
    activation_j_mol
        Apparent activation energy of equivalent age [J/mol].
    datum_c
        Temperature below which Nurse-Saul maturity does not grow [°C].
    """

    method: CureMethod = CureMethod.MOIST
    days: float = 7.0
    activation_j_mol: float = 33_500.0
    datum_c: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a test gave: a row of results.csv.

    Attributes
    ----------
    test
        Its name in the quality plan.
    at_min
        00:00 of the day on which it was tested or inspected [min].
    values_mpa
        Single values [MPa]; empty where the test has none.
    is_met
        For tests without values: whether what was asked for was met; None: not said.
    note
        For people.
    """

    test: str
    at_min: int
    values_mpa: tuple[float, ...] = ()
    is_met: bool | None = None
    note: str = ""
