"""What durations are drawn from: PERT, the shop's own history, or a default; and the number of further passes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random
from typing import NamedTuple

RUNS_OVER = (0.9, 1.3, 2.5)
"""Work as a multiple of its estimate, until the shop has enough history: least, likeliest, most. Common practice; a
published study of student theses found a mean of 1.6."""

STAYS_AWAY = (0.9, 1.1, 2.0)
"""Time away as a multiple of what is written: least, likeliest, most. Common practice."""

DAYS_LATE = (0, 0, 7)
"""Days by which something arrives late: least, likeliest, most. Common practice."""

ENOUGH_CASES = 5
"""Cases of a kind of step from which its own history is drawn from."""

RARE = 0.002
MOST_FURTHER = 30
"""Further passes less likely than RARE, or beyond this number, are not drawn."""

LIKELY, DOUBTFUL = 0.8, 0.5
"""Chances from which a promise is well founded, and below which it is doubtful."""


class Pert(NamedTuple):
    """A beta distribution on [least, most] with PERT's mean and variance, in the unit of its bounds."""

    least: float
    likely: float
    most: float

    @property
    def mean(self) -> float:
        return (self.least + 4 * self.likely + self.most) / 6

    @property
    def variance(self) -> float:
        return ((self.most - self.least) / 6) ** 2

    def draw(self, random: Random) -> float:
        wide = self.most - self.least
        if wide <= 0:
            return self.least
        below, above = self.mean - self.least, self.most - self.mean
        both = below * above / self.variance - 1
        return self.least + wide * random.betavariate(both * below / wide, both * above / wide)


WORK_OVERRUN = Pert(*RUNS_OVER)
AWAY_OVERRUN = Pert(*STAYS_AWAY)
ARRIVAL_DELAY = Pert(*(days * 24 * 60 for days in DAYS_LATE))
"""In minutes."""


def pert(spread: tuple[int, int], likely: float) -> Pert:
    """The PERT distribution of a written spread; a likeliest value outside it is moved to the nearer end."""
    least, most = spread
    return Pert(least, min(max(likely, least), most), most)


def further_passes(chance: float, random: Random, most: float = math.inf) -> int:
    """Draw how many further passes are needed, if after each pass one more is needed with this chance."""
    count = 0
    while count < most and random.random() < chance:
        count += 1
    return count


def room_for(chance: float) -> int:
    """The number of further passes to leave room for."""
    return 0 if chance <= 0 else min(MOST_FURTHER, math.ceil(math.log(RARE) / math.log(chance)))


class Factor(NamedTuple):
    """Draws how long work takes, as a multiple of its estimate.

    shared: the job's part, the same for all its steps, as the estimates of one job are wrong together.
    cases:  the shop's history of this kind of step (too short: not used).
    """

    shared: float
    cases: Sequence[float] = ()

    def draw(self, random: Random) -> tuple[float, float]:
        """The factor, and how much of it is the step's own part."""
        if len(self.cases) >= ENOUGH_CASES:
            factor = random.choice(self.cases)
            return factor, factor
        own = WORK_OVERRUN.draw(random) / 2
        return self.shared / 2 + own, own


def percent(share: float, in_column: bool = False) -> str:
    """A share in whole per cents; a chance below 1 is never shown as 100 %, nor one above 0 as 0 %.

    in_column: at most five cells wide.
    """
    if 0 < share < 0.01:
        return "<1 %" if in_column else "under 1 %"
    if 0.99 < share < 1:
        return ">99 %" if in_column else "over 99 %"
    return f"{round(100 * share)} %"
