"""What a post offers to the knapsack: items of work with their worth."""

from __future__ import annotations

from planner.core.rounding import up
from planner.optimise.bounds.bands import Bands
from planner.optimise.bounds.kinds import Kinds
from planner.optimise.bounds.knapsack import Item, Part
from planner.optimise.bounds.ruler import Minutes

MOST_PARTS = 400
"""More kinds than this that may be split, and their parts are put together [1]."""
WIDENED = 1.06
"""Parts are put together while the longest is at most this many times the shortest [1]."""
LONGEST = 1 << 30
"""Minutes that stand for never."""
SHARE_NOISE = 1e-6
"""A piece of d minutes may hold what d + 1e-6 minutes place, by the rounding of minutes."""


def offers(
    kinds: Kinds,
    bands: Bands,
    j: int,
    worth: Minutes,
    *,
    count: Minutes,
    each: int,
    change: int,
    longest: int,
) -> list[Item]:
    """Return the items of post ``j``.

    Parameters
    ----------
    worth, count
        Worth of each kind, and how many tasks there are of it.
    each
        Price of a minute here.
    change
        Zone change [min].
    longest
        Most minutes of any cell; of like work no more copies are offered than that holds.
    """
    minutes = kinds.minutes[j]
    whole: dict[tuple[int, int], list[tuple[int, int]]] = {}
    split: list[tuple[int, int, Part]] = []
    for i in range(len(kinds)):
        length = int(minutes[i])
        band = int(bands.of_group[kinds.group[i]])
        if band < 0 or length > LONGEST or worth[i] <= 0 or not count[i]:
            continue
        part = _part(kinds, j, i, int(worth[i]), each, change)
        if part is not None and part.change + part.least <= longest and part.slope > 0:
            split.append((band, i, part))
        if length <= longest and worth[i] > each * length:
            whole.setdefault((band, length), []).append((int(worth[i]) - each * length, i))
    together = len(split) <= MOST_PARTS
    parts = {i: part for _, i, part in split} if together else {}
    found = _whole(count, whole, parts, longest)
    if together:
        known = {item.kind for item in found}
        for band, i, part in split:
            if i not in known:
                length = max(int(minutes[i]), longest + 1)
                found.append(Item(i, band, length, 1, int(count[i]), part))
        return found
    return found + _shared(split, longest)


def _part(kinds: Kinds, j: int, i: int, worth: int, each: int, change: int) -> Part | None:
    r"""Return how a kind may be split, its worth at most in proportion to its minutes.

    A piece of :math:`d` minutes holds at most the share :math:`d / s`, with :math:`s` the least
    spell here.  The rest lasts at least ``least`` minutes, so it holds more than
    :math:`(least - 1) / s_{max}`, and a longer piece than ``most`` holds no more than one of
    ``most``.
    """
    piece = int(kinds.piece[i])
    if piece < 0:
        return None
    spell = float(kinds.spell[j, i])
    least = max(1, piece)
    slope = int(worth / spell * (1.0 + 1e-12)) + 1 - each
    base = int(worth / spell * SHARE_NOISE) + 1 - each * change
    share = 1.0 - (least - 1) / max(float(kinds.longest_spell[i]), 1.0)
    return Part(change, least, up(spell * share), slope, base)


def _whole(
    count: Minutes,
    whole: dict[tuple[int, int], list[tuple[int, int]]],
    parts: dict[int, Part],
    longest: int,
) -> list[Item]:
    """Return the items for whole layers: of equal length, only as many as a cell holds."""
    found = []
    for (band, length), members in sorted(whole.items()):
        left = longest // length if length else int(count.sum())
        for worth, i in sorted(members, key=lambda row: (-row[0], row[1])):
            part = parts.get(i)
            copies = int(count[i])
            if part is None:
                copies = min(copies, left)
                left -= copies
            else:
                copies = min(copies, longest // min(length, part.change + part.least))
            if copies > 0:
                found.append(Item(i, band, length, worth, copies, part))
    return found


def _shared(split: list[tuple[int, int, Part]], longest: int) -> list[Item]:
    """Return parts of many kinds put together: the best worth and the widest lengths of each.

    What a part of any member is worth, the shared part is worth too; there are as many copies as
    members, or as a cell holds.
    """
    found = []
    for band in sorted({row[0] for row in split}):
        mine = sorted((row for row in split if row[0] == band), key=lambda r: (r[2].most, r[1]))
        start = 0
        for end in range(1, len(mine) + 1):
            if end < len(mine) and mine[end][2].most <= WIDENED * mine[start][2].most:
                continue
            some = [part for _, _, part in mine[start:end]]
            best = max(mine[start:end], key=lambda row: (row[2].slope, -row[1]))
            part = Part(
                some[0].change,
                min(one.least for one in some),
                max(one.most for one in some),
                max(one.slope for one in some),
                max(one.base for one in some),
            )
            copies = min(len(some), longest // (part.change + part.least))
            found.append(Item(best[1], band, longest + 1, 1, copies, part))
            start = end
    return found
