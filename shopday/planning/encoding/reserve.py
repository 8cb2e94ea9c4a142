"""The reserve of a promise: the delay that its job will not exceed in four of five cases.

One formula, which does not depend on the plan, in minutes up to the end of the promised day:

    reserve = overruns + passes + absence + 0.84 x root(the variances of the three, added)

overruns: the hands-on work before the promise, times what work runs over on average (0.43), spread over all the time
          to the promise. That work is the job's own and a maker's share of all other jobs', as far as it fits, with
          its overruns, into the hours of a maker; its variance is half that of a step's overrun (0.0356), times its
          square.
passes:   the further passes to be expected of each step, each with its work and waits.
absence:  the lateness to be expected of one absence: the one that makes the reserve largest.

Once the live jobs have 20 cases of finished work, their own mean (at least 1) and variance replace the usual ones.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import fmean, pvariance
from typing import NamedTuple

from shopday.planning.encoding.passes import Pass
from shopday.planning.odds.distributions import ARRIVAL_DELAY, STAYS_AWAY, WORK_OVERRUN, Pert, pert
from shopday.scheduler import Task

Z = 0.84
"""Standard deviations above the mean of a normal distribution that four of five cases stay under (0.8416)."""

WORKDAY = 7 * 1440 / 5
"""Real minutes per workday, on average."""

ENOUGH_OVERRUNS = 20
"""Cases of finished work from which the shop's own overruns are used."""

IN_COMMON = 0.5
"""The share of an overrun's variance that all work has in common: whoever estimates one step too short does so
again."""


class Overrun(NamedTuple):
    """Actual work as a multiple of its estimate: the mean, and the variance between steps."""

    mean: float
    variance: float


USUAL = Overrun(WORK_OVERRUN.mean, WORK_OVERRUN.variance / 2)
"""Half the variance of OVER: an overrun is the mean of two draws, one for the job and one for the step."""


def overrun(cases: Iterable[tuple[int, int]]) -> Overrun:
    """The overrun of a shop, from (estimate, actual) minutes of its work; the usual one if there are too few."""
    factors = [actual / estimate for estimate, actual in cases]
    if len(factors) < ENOUGH_OVERRUNS:
        return USUAL
    return Overrun(max(1.0, fmean(factors)), pvariance(factors))


@dataclass(slots=True)
class Left:
    """What is left to do of one job: hands-on minutes, and further delays as (mean, variance) in minutes."""

    work: int = 0
    passes: list[tuple[float, float]] = field(default_factory=list)
    absences: list[tuple[float, float]] = field(default_factory=list)


def left_to_do(
    passes: Sequence[Pass], tasks: Sequence[Task], lateness: Mapping[int, Pert], now: int
) -> dict[int, Left]:
    """What is left of each job, by its index. lateness: by pass that is away or arrives, how late it may be."""
    found: dict[int, Left] = {}
    for i, (p, task) in enumerate(zip(passes, tasks, strict=True)):
        left = found.setdefault(task.job, Left())
        if i in lateness:
            left.absences.append((lateness[i].mean, lateness[i].variance))
        elif task.fixed is None and not task.starts_immediately:
            left.work += task.work * p.step.hands
        if p.pass_no == p.passes and p.step.another_pass > 0 and not _is_complete(p, now):
            left.passes.append(_further(p))
    return found


def _is_complete(p: Pass, now: int) -> bool:
    """True if the pass and its waits are over, so that no further pass is to be expected."""
    if p.log is None or p.log.finished is None:
        return False
    return p.skipped or p.log.finished + _waits(p) <= now


def _waits(p: Pass) -> int:
    return sum(wait.takes for wait in p.waits if not wait.informs)


def _further(p: Pass) -> tuple[float, float]:
    """The mean and variance of the minutes that further passes take; their number is geometric."""
    chance = p.step.another_pass
    length = p.base + _waits(p)
    return length * chance / (1 - chance), (length / (1 - chance)) ** 2 * chance


def lateness(p: Pass) -> Pert:
    """How much later than planned an absent pass may end, in minutes."""
    if p.step.arrives is not None or (p.going and p.expected is not None):
        return ARRIVAL_DELAY if p.step.spread is None else pert(p.step.spread, p.step.spread[0])
    assert p.step.away is not None
    unit, length = p.step.away.takes
    if p.step.spread is None:
        minutes = length if unit == "minutes" else length * WORKDAY
        return Pert(*((factor - 1) * minutes for factor in STAYS_AWAY))
    likely = length if unit == "minutes" else sum(p.step.spread) / 2
    return Pert(*(minutes - likely for minutes in (p.step.spread[0], likely, p.step.spread[1])))


class Promise(NamedTuple):
    """A promise: the job's index, the minutes to the end of the promised day, and the makers' open minutes until
    then."""

    job: int
    minutes: int
    open_minutes: int
    makers: int


def reserve(promise: Promise, left: Mapping[int, Left], runs: Overrun = USUAL) -> int:
    """The reserve of a promise in minutes, at most the minutes until the promise. The formula is at the top."""
    if promise.minutes <= 0 or promise.job not in left:
        return 0
    own = left[promise.job]
    hours = promise.open_minutes / max(1, promise.makers)
    stretch = promise.minutes / hours if hours else 0.0
    work = stretch * _before(promise, left, hours / runs.mean)
    mean = (runs.mean - 1) * work + sum(mean for mean, _ in own.passes)
    variance = IN_COMMON * runs.variance * work**2 + sum(variance for _, variance in own.passes)
    most = max(mean + late + Z * math.sqrt(variance + more) for late, more in [(0.0, 0.0), *own.absences])
    return min(promise.minutes, round(most))


def _before(promise: Promise, left: Mapping[int, Left], room: float) -> float:
    """Minutes of work before a promise: the job's own, and a maker's share of the rest as far as there is room."""
    own = left[promise.job].work
    others = sum(other.work for other in left.values()) - own
    return min(own + others / max(1, promise.makers), max(own, room))
