"""What binds a plan: where the rigs' time goes, and what one more of something could bring."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.core.clock import MINUTES_PER_HOUR, Clock
from planner.core.wording import moment
from planner.explain.one_more import Gain
from planner.explain.shares import RigShare, Share

SHARES = ("rig", "what", "minutes", "share")
GAINS = (
    "change",
    "what",
    "finish_bound",
    "at_most_h",
    "of_it_new_h",
    "more_m3",
    "ended_early",
)
ALL_RIGS = "all rigs"
READ_GAINS = ("with", "not_done_before", "at_most_h", "of_it_new_h", "more_m3", "proof")
BOUND_NOT_PROMISE = (
    "What one more could bring is a bound, not a promise: no plan does better, "
    "and the best that can be found may bring much less or nothing."
)


def share_rows(found: Sequence[RigShare]) -> Iterator[tuple[str, str, int, float]]:
    """Yield a row for each share of all rigs together, then of each rig, under :data:`SHARES`.

    The minutes of all rigs, and of each rig, add up to the whole; shares are of that [1].
    """
    wholes = {row.rig: row.whole_min for row in found}
    total = sum(wholes.values())
    for share in Share:
        minutes = sum(row.minutes for row in found if row.share is share)
        if minutes:
            yield ALL_RIGS, str(share), minutes, round(minutes / total, 4)
    if len(wholes) > 1:
        for row in found:
            yield row.rig, str(row.share), row.minutes, round(row.minutes / row.whole_min, 4)


def share_rows_to_read(found: Sequence[RigShare]) -> Iterator[tuple[str, str, int, str]]:
    """Yield the same rows for people, shares in per cent."""
    for rig, what, minutes, share in share_rows(found):
        yield rig, what, minutes, f"{100.0 * share:.1f} %"


def gain_rows(gains: Sequence[Gain], clock: Clock) -> Iterator[tuple[object, ...]]:
    """Yield a row for each addition, under :data:`GAINS`.

    ``at_most_h`` is how far the plan's finish could come forward at most; ``of_it_new_h`` the part
    of it that the campaign as it is cannot bring.
    """
    base = gains[0].at_most_min if gains else 0
    for gain in gains:
        yield (
            gain.code or "none",
            gain.what,
            clock.text(gain.finish_bound_min),
            round(gain.at_most_min / MINUTES_PER_HOUR, 2),
            round((gain.at_most_min - base) / MINUTES_PER_HOUR, 2),
            round(gain.more_m3, 3),
            "yes" if gain.ended_early else "no",
        )


def gain_rows_to_read(gains: Sequence[Gain], clock: Clock) -> Iterator[tuple[object, ...]]:
    """Yield the same rows for people, under :data:`READ_GAINS`."""
    for gain, row in zip(gains, gain_rows(gains, clock), strict=True):
        proof = "cut short" if gain.ended_early else "done"
        until = moment(clock, gain.finish_bound_min)
        yield (gain.what, until, *row[3:6], proof)


def binding_sentences(found: Sequence[RigShare]) -> list[str]:
    """Return the share of spraying and the three greatest losses, in a sentence."""
    sums: dict[Share, int] = {}
    for row in found:
        sums[row.share] = sums.get(row.share, 0) + row.minutes
    total = sum(sums.values())
    if not total:
        return ["Nothing is planned, so nothing binds."]
    spraying = sums.pop(Share.SPRAYING, 0)
    worst = sorted(sums.items(), key=lambda item: -item[1])[:3]
    lost = ", ".join(f"{share} {100.0 * minutes / total:.0f} %" for share, minutes in worst)
    return [f"The rigs spray {100.0 * spraying / total:.1f} % of the time; most goes to: {lost}."]


def gain_sentences(gains: Sequence[Gain], clock: Clock) -> list[str]:
    """Return how far the plan is from its own bound, and which addition could bring most."""
    if not gains:
        return []
    base, *more = gains
    until = moment(clock, base.finish_bound_min)
    found = [
        (
            f"As things are, no plan is done before {until}: at most "
            f"{base.at_most_min / MINUTES_PER_HOUR:.1f} h sooner than this one."
        )
    ]
    if base.rests_on is not None:
        found.append(
            f"That rests on zone {base.rests_on} alone: its layers, gaps, windows and what must "
            "come before it. Where a row below stays there, that zone is what binds the bound."
        )
    best = max(more, key=lambda gain: gain.at_most_min, default=base)
    new = (best.at_most_min - base.at_most_min) / MINUTES_PER_HOUR
    if new > 0.0:
        found.append(f"Most could come of {best.what}: at most {new:.1f} h beyond that.")
    elif more:
        found.append("None of these moves the bound on the finish.")
    return [*found, BOUND_NOT_PROMISE]
