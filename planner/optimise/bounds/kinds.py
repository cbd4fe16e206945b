"""Tasks that are alike, put together: what the packing bound counts instead of single layers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.optimise.bounds.posts import NEVER, Site
from planner.optimise.bounds.ruler import Minutes

MOST_ROUGH = 900
"""More kinds than this and the programmes put those together that differ by little [1]."""
WIDEST_STEP = 64


@dataclass(frozen=True)
class Kinds:
    """Kinds of tasks: the same windows and the same minutes at every post.

    Attributes
    ----------
    of_task
        Kind of each task.
    count
        Tasks of each kind.
    group
        Group of windows of each kind.
    minutes, spell
        ``[post, kind]``: least minutes with zone change, and least unsplit spell before rounding;
        ``NEVER`` where it cannot be done [min].
    longest_spell
        Unsplit spell before rounding where it takes longest [min].
    piece
        Least piece of each kind; -1: not split [min].
    rough
        Rough kind of each kind: what the programmes that only propose count.
    """

    of_task: NDArray[np.int64]
    count: NDArray[np.int64]
    group: NDArray[np.int64]
    minutes: Minutes
    spell: NDArray[np.float64]
    longest_spell: NDArray[np.float64]
    piece: Minutes
    rough: NDArray[np.int64]

    def __len__(self) -> int:
        return len(self.count)

    @property
    def least(self) -> Minutes:
        """Return the least minutes of each kind at any post [min]."""
        least: Minutes = self.minutes.min(axis=0)
        return least


def kinds_of(site: Site) -> Kinds:
    """Return the kinds of a site's tasks, in a fixed order."""
    posts = len(site.posts)
    minutes = np.array([post.minutes for post in site.posts], dtype=np.int64)
    spell = np.array([post.spell for post in site.posts], dtype=np.float64)
    minutes = minutes.reshape(posts, len(site.tasks))
    spell = spell.reshape(posts, len(site.tasks))
    piece = np.array([-1 if t.piece is None else t.piece for t in site.tasks], dtype=np.int64)
    key = np.vstack([site.group[None, :], piece[None, :], minutes])
    _, first, of_task = np.unique(key, axis=1, return_index=True, return_inverse=True)
    of_task = of_task.reshape(-1)
    least_spell = np.full((posts, len(first)), float(NEVER))
    longest = np.zeros(len(first))
    for j in range(posts):
        np.minimum.at(least_spell[j], of_task, spell[j])
    np.maximum.at(longest, of_task, [max(task.spell.values()) for task in site.tasks])
    return Kinds(
        of_task=of_task,
        count=np.bincount(of_task, minlength=len(first)),
        group=site.group[first],
        minutes=minutes[:, first],
        spell=least_spell,
        longest_spell=longest,
        piece=piece[first],
        rough=_rough(site.group[first], piece[first], minutes[:, first]),
    )


def _rough(group: NDArray[np.int64], piece: Minutes, minutes: Minutes) -> NDArray[np.int64]:
    step = 1
    while True:
        steps = np.where(minutes < NEVER, minutes // step, NEVER)
        key = np.vstack([group[None, :], (piece >= 0)[None, :], steps])
        _, rough = np.unique(key, axis=1, return_inverse=True)
        rough = rough.reshape(-1).astype(np.int64)
        if int(rough.max(initial=0)) < MOST_ROUGH or step >= WIDEST_STEP:
            return rough
        step *= 2
