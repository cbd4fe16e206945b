"""Keys of campaign.toml that depend on one another."""

from __future__ import annotations

from planner.scenario.dictionary import KEY_BY_NAME
from planner.scenario.draft import default_value
from planner.scenario.validation.ledger import Ledger

_ONLY_FOR = {
    "water.mean_level_m": "tide",
    "water.high_shift_min": "highlow",
    "water.low_shift_min": "highlow",
    "water.range_factor": "highlow",
}


def check_keys(ledger: Ledger) -> None:
    """Note keys that do not fit together."""
    _check_may_worsen(ledger)
    _check_sewer_ways(ledger)
    _warn_of_idle_keys(ledger)


def _check_may_worsen(ledger: Ledger) -> None:
    keys = ledger.draft.keys
    if not keys.has("campaign.may_worsen") or "campaign.goal" in keys.bad:
        return
    goals = keys.names("campaign.goal")
    given, wanted = len(keys.numbers("campaign.may_worsen")), len(goals) - 1
    if given != wanted:
        ledger.key_error(
            "wrong-count",
            f"{given} numbers for the goals {', '.join(goals)}; write one for each goal but the"
            f" last: {wanted}",
            key="campaign.may_worsen",
        )


def _check_sewer_ways(ledger: Ledger) -> None:
    if ledger.water_kind != "sewer":
        return
    for key in ("rules.get_in_min", "rules.get_out_min"):
        if ledger.draft.keys.is_empty(key):
            ledger.key_error(
                "missing-key",
                "the key is missing; in a sewer the time for people to get to the face and safely"
                " away has no default, so write the minutes that the site needs",
                key=key,
            )


def _warn_of_idle_keys(ledger: Ledger) -> None:
    keys = ledger.draft.keys
    for key, kind in _ONLY_FOR.items():
        is_set = keys.has(key) and keys.value(key) != default_value(KEY_BY_NAME[key])
        if is_set and ledger.water_kind not in {"", kind}:
            ledger.key_warn(
                "key-not-used",
                f'the key is used only with water.kind "{kind}", here it is "{ledger.water_kind}"',
                key=key,
            )
