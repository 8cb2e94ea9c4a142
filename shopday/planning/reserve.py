"""The reserve of a promise: how much later than planned its job must be expected to turn out, four times in five.

One formula, which does not depend on the plan. Counted from now to the end of the promised day, in minutes:

    reserve = overruns + passes + absences + Z x root(variance of each, added)

overruns: the hands-on work before the promise, times what work runs over on average (`chances.OVER`), at most
          as much as the hours leave; spread evenly over the time to the promise. Work before the promise is the
          job's own, that of jobs promised no later, and a share of all other work. Where there are several
          makers, they share the work of the other jobs.
passes:   the further passes to be expected of each step, each with its work and waits.
absences: the lateness to be expected of the one thing that is away or arrives which may be latest.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from shopday.planning.chances import LATE, OVER, STAYS_AWAY, Pert, pert
from shopday.planning.passes import Pass
from shopday.schedule.problem import Task

Z = 0.84
"""Standard deviations above the mean of a normal distribution that four of five cases stay under (0.8416)."""

WORKDAY = 7 * 1440 / 5
"""Real minutes that a workday takes on average."""

OTHERS = 0.5
"""Share of the work promised later, or not at all, that is done before a promise all the same."""


@dataclass(slots=True)
class Left:
    """What is still to be done of one job: hands-on minutes by step, and further delays as (mean, variance)."""

    work: list[int] = field(default_factory=list)
    passes: list[tuple[float, float]] = field(default_factory=list)
    absences: list[tuple[float, float]] = field(default_factory=list)

    @property
    def total(self) -> int:
        return sum(self.work)

    @property
    def variance(self) -> float:
        """Of its overruns: half of each is the job's own, the other half the step's."""
        each = sum(minutes**2 for minutes in self.work)
        return OVER.variance / 4 * (self.total**2 + each)


def left_to_do(
    passes: Sequence[Pass], tasks: Sequence[Task], lateness: Mapping[int, Pert]
) -> dict[int, Left]:
    """By index of the job. `lateness`: per pass that is away or arrives, how much later than planned it may be."""
    found: dict[int, Left] = {}
    for i, (p, task) in enumerate(zip(passes, tasks, strict=True)):
        left = found.setdefault(task.job, Left())
        if i in lateness:
            left.absences.append((lateness[i].mean, lateness[i].variance))
        elif task.fixed is None and not task.eager:
            left.work.append(task.work * p.step.hands)
        if p.pass_no == p.passes and p.step.another_pass > 0:
            left.passes.append(_further(p))
    return found


def _further(p: Pass) -> tuple[float, float]:
    """Mean and variance of what further passes take: their number is geometric."""
    chance = p.step.another_pass
    length = p.base + sum(wait.takes for wait in p.waits if not wait.informs)
    return length * chance / (1 - chance), (length / (1 - chance)) ** 2 * chance


def lateness(p: Pass) -> Pert:
    """How much later than planned something may be here, in minutes."""
    if p.step.arrives is not None:
        return LATE if p.step.spread is None else pert(p.step.spread, p.step.spread[0])
    assert p.step.away is not None
    unit, length = p.step.away.takes
    if p.step.spread is None:
        minutes = length if unit == "minutes" else length * WORKDAY
        return Pert(*((factor - 1) * minutes for factor in STAYS_AWAY))
    likely = length if unit == "minutes" else sum(p.step.spread) / 2
    return Pert(*(minutes - likely for minutes in (p.step.spread[0], likely, p.step.spread[1])))


@dataclass(frozen=True, slots=True)
class Promise:
    """One promise: the job's index, the minutes to the end of its day, and the makers' open minutes until then."""

    job: int
    minutes: int
    open_minutes: int
    makers: int


def reserve(promise: Promise, left: Mapping[int, Left], promised: Mapping[int, int]) -> int:
    """Minutes; never more than there are until the promise. `promised`: minutes to each job's promise."""
    if promise.minutes <= 0 or promise.job not in left:
        return 0
    own = left[promise.job]
    work, variance = float(own.total), own.variance
    for job, other in left.items():
        if job != promise.job:
            share = 1.0 if promised.get(job, math.inf) <= promise.minutes else OTHERS
            share /= max(1, promise.makers)
            work += share * other.total
            variance += share**2 * other.variance
    hours = promise.open_minutes / max(1, promise.makers)
    stretch = promise.minutes / hours if hours else 0.0
    over = (OVER.mean - 1) * min(work, hours / OVER.mean)
    absence = max(own.absences, key=lambda late: late[0] + Z * math.sqrt(late[1]), default=(0.0, 0.0))
    mean = stretch * over + sum(mean for mean, _ in own.passes) + absence[0]
    spread = stretch**2 * variance + sum(each for _, each in own.passes) + absence[1]
    return min(promise.minutes, round(mean + Z * math.sqrt(spread)))
