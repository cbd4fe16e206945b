"""What binds, as rows and sentences."""

from dataclasses import replace
from typing import Any

from planner.explain.one_more import Gain
from planner.explain.shares import RigShare, Share
from planner.model.identifiers import RigId, ZoneId
from planner.reports.what_binds import (
    ALL_RIGS,
    BOUND_NOT_PROMISE,
    GAINS,
    READ_GAINS,
    binding_sentences,
    gain_rows,
    gain_rows_to_read,
    gain_sentences,
    share_rows,
    share_rows_to_read,
)
from tests import builders as make

CLOCK = make.clock()
DAY = 24 * 60


def share(rig: str, what: Share, minutes: int) -> RigShare:
    return RigShare(rig=RigId(rig), share=what, minutes=minutes, whole_min=1000)


SHARES = (
    share("R1", Share.SPRAYING, 300),
    share("R1", Share.WATER, 700),
    share("R2", Share.SPRAYING, 100),
    share("R2", Share.SHIFT, 900),
)


def gain(code: str, bound_min: int, **changes: float) -> Gain:
    fields: dict[str, Any] = {
        "code": code,
        "what": f"one more {code}",
        "finish_bound_min": bound_min,
        "finish_min": 5 * DAY,
        "volume_bound_m3": 10.0,
        "planned_m3": 10.0,
    }
    return Gain(**(fields | changes))


GAINED = (gain("", 4 * DAY), gain("rig", 4 * DAY), gain("crew", 3 * DAY, volume_bound_m3=12.0))


def test_the_rows_of_all_rigs_and_of_each_add_up_to_the_whole() -> None:
    rows = list(share_rows(SHARES))
    for name, whole in ((ALL_RIGS, 2000), ("R1", 1000), ("R2", 1000)):
        assert sum(row[2] for row in rows if row[0] == name) == whole
        assert sum(row[3] for row in rows if row[0] == name) == 1.0
    assert rows[0] == (ALL_RIGS, "spraying", 400, 0.2)
    assert next(share_rows_to_read(SHARES)) == (ALL_RIGS, "spraying", 400, "20.0 %")


def test_one_rig_alone_is_not_shown_twice() -> None:
    assert {row[0] for row in share_rows(SHARES[:2])} == {ALL_RIGS}


def test_the_greatest_losses_come_first_in_the_sentence() -> None:
    (said,) = binding_sentences(SHARES)
    assert said.startswith("The rigs spray 20.0 % of the time")
    assert said.endswith("no crew on shift 45 %, water 35 %.")
    assert binding_sentences(()) == ["Nothing is planned, so nothing binds."]


def test_a_gain_is_told_from_the_plan_and_beyond_the_campaign_as_it_is() -> None:
    rows = [dict(zip(GAINS, row, strict=True)) for row in gain_rows(GAINED, CLOCK)]
    assert [row["change"] for row in rows] == ["none", "rig", "crew"]
    assert [row["at_most_h"] for row in rows] == [24.0, 24.0, 48.0]
    assert [row["of_it_new_h"] for row in rows] == [0.0, 0.0, 24.0]
    assert [row["more_m3"] for row in rows] == [0.0, 0.0, 2.0]
    read = [dict(zip(READ_GAINS, row, strict=True)) for row in gain_rows_to_read(GAINED, CLOCK)]
    assert read[2]["not_done_before"] == "Thu 5 Mar 00:00"


def test_the_sentences_name_the_best_and_say_that_it_is_no_promise() -> None:
    now, best, warning = gain_sentences(GAINED, CLOCK)
    assert "at most 24.0 h sooner" in now
    assert best == "Most could come of one more crew: at most 24.0 h beyond that."
    assert warning == BOUND_NOT_PROMISE
    assert "None of these moves the bound" in gain_sentences(GAINED[:2], CLOCK)[1]
    assert gain_sentences((), CLOCK) == []


def test_a_bound_that_rests_on_one_zone_says_so() -> None:
    alone = replace(GAINED[0], rests_on=ZoneId("Z7"))
    assert gain_sentences((alone,), CLOCK)[1].startswith("That rests on zone Z7 alone")
