"""How long each task takes in one draw: work, waits, time away, and how late things arrive."""

from __future__ import annotations

from collections.abc import Iterator, MutableMapping
from random import Random
from typing import Literal

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.passes import Pass
from shopday.planning.encoding.problem_encoder import LEAST_LEFT
from shopday.planning.encoding.work_intervals import minutes_worked
from shopday.planning.lessons.learned_lessons import History, kind_of
from shopday.planning.odds.distributions import ARRIVAL_DELAY, AWAY_OVERRUN, Factor, pert
from shopday.scheduler import Phase, Task

MOST_REDRAWS = 9
"""How often the length of something under way is drawn again until it exceeds the time it has taken so far."""

Own = MutableMapping[str, float]
"""By address: minutes that are the step's own part of the risk."""


class DurationSamples:
    """Draws lengths for the tasks of one problem."""

    def __init__(self, built: EncodedProblem, history: History) -> None:
        self.built, self.problem = built, built.problem
        self.opened = self.problem.calendars[built.hours.open]
        self.cases = tuple(history.get(kind_of(p.ref), ()) for p in built.passes)
        self.longest: dict[int, int] = {}

    def drawn(self, i: int, shared: float, random: Random, own: Own) -> Task:
        """Task `i` with drawn lengths; what is over stays as it is. shared: its job's part of the factor."""
        task, p = self.problem.tasks[i], self.built.passes[i]
        if p.step.absent:
            return self._absent(p, task, random, own)
        if any(wait.spread for wait in p.waits):
            task = task._replace(phases=tuple(self._phases(p, task, random, own)))
        return task if task.fixed is not None else self._worked(i, task, shared, random, own)

    # ------------------------------------------------------------ work

    def _worked(self, i: int, task: Task, shared: float, random: Random, own: Own) -> Task:
        p = self.built.passes[i]
        done = self._done(p, task)
        for _ in range(1 + MOST_REDRAWS):
            work, part = self._work(i, p, shared, random)
            if work > done:
                break
        own[p.address] += part
        left = max(LEAST_LEFT, round(work - done)) if done >= 0 else round(work)
        return task._replace(work=min(left, max(task.work, self._sitting(task))) if task.unbroken else left)

    def _work(self, i: int, p: Pass, shared: float, random: Random) -> tuple[float, float]:
        """Minutes of work, and how many of them are the step's own part of the risk."""
        if p.step.spread is not None:
            drawn = pert(p.step.spread, p.step.hands_on).draw(random) + p.base - p.step.hands_on
            return drawn, drawn
        factor, part = Factor(shared, self.cases[i]).draw(random)
        return p.base * factor, p.base * part

    def _done(self, p: Pass, task: Task) -> int:
        """Minutes worked on it so far; -1 if it was not begun."""
        if not (p.going or p.put_down):
            return -1
        usual = self.problem.calendars[task.crews[0].calendar if task.crews else 0]
        return minutes_worked(self.built.hours, p, self.problem.now, usual)

    def _sitting(self, task: Task) -> int:
        """The longest open span, in minutes: unbroken work that overruns gets no longer than that."""
        for crew in task.crews:
            if crew.calendar not in self.longest:
                spans = self.problem.calendars[crew.calendar].spans
                self.longest[crew.calendar] = max((b - a for a, b in spans), default=0)
        return max((self.longest[crew.calendar] for crew in task.crews), default=0)

    # ------------------------------------------------------------ waits

    def _phases(self, p: Pass, task: Task, random: Random, own: Own) -> Iterator[Phase]:
        """The phases, with lengths drawn from their spreads. One that runs already takes longer than it has run."""
        begins = None if task.fixed is None else task.fixed[1]
        for wait, phase in zip(p.waits, task.phases, strict=True):
            if wait.spread is not None and not phase.informational and self._to_come(phase, begins):
                likely = pert(wait.spread, wait.takes)
                drawn = (phase._replace(takes=round(likely.draw(random))) for _ in range(MOST_REDRAWS))
                phase = next((one for one in drawn if self._to_come(one, begins)), phase)
                own[p.address] += phase.takes
            yield phase
            if begins is not None and not phase.informational:
                begins = self._over(phase, begins)

    def _to_come(self, phase: Phase, begins: int | None) -> bool:
        return begins is None or self._over(phase, begins) > self.problem.now

    def _over(self, phase: Phase, begins: int) -> int:
        if phase.clock is None:
            return begins + phase.takes
        return self.problem.clocks[phase.clock].after(begins, phase.takes)

    # ------------------------------------------------------------ away, arriving

    def _absent(self, p: Pass, task: Task, random: Random, own: Own) -> Task:
        if p.finished:
            return task
        if p.step.arrives is not None:
            return self._arrival(p, task, random, own)
        if task.fixed is not None:
            left, said = task.fixed
            back = self._back(p, left, random) if p.expected is None else self._as_said(said, random)
            own[p.address] += back - left
            return task._replace(fixed=(left, back))
        unit, length = self._stay(p, random)
        own[p.address] += length
        return task._replace(length=length, clock=task.clock if unit == "workdays" else None)

    def _arrival(self, p: Pass, task: Task, random: Random, own: Own) -> Task:
        """Arrives late by a drawn time: after its day or, if that is past, after the time it is now expected."""
        due = task.until if task.fixed is None else task.fixed[1]
        if due is None:  # the shop never opens again
            return task
        spread = p.step.spread
        late = round((ARRIVAL_DELAY if spread is None else pert(spread, spread[0])).draw(random))
        own[p.address] += late
        here = self.opened.open_from(due + late) or due
        return task if here <= self.problem.now else task._replace(fixed=None, until=here)

    def _back(self, p: Pass, left: int, random: Random) -> int:
        """The minute at which what is away comes back. If every draw lies in the past, it is late like an arrival."""
        for _ in range(MOST_REDRAWS):
            unit, length = self._stay(p, random)
            weekdays = self.built.hours.weekdays
            back = weekdays.after(left, length) if unit == "workdays" else left + length
            if back > self.problem.now:
                return back
        expected = self.built.hours.next_hours(self.problem.now) or self.problem.now
        return expected + round(ARRIVAL_DELAY.draw(random))

    def _as_said(self, day: int, random: Random) -> int:
        """An absence promised for a day is late like an arrival."""
        return self.opened.open_from(day + round(ARRIVAL_DELAY.draw(random))) or day

    def _stay(self, p: Pass, random: Random) -> tuple[Literal["minutes", "workdays"], int]:
        """How long something is away, drawn from its spread or from STAYS_AWAY; workdays stay whole."""
        assert p.step.away is not None
        unit, said = p.step.away.takes
        if p.step.spread is None:
            return unit, round(said * AWAY_OVERRUN.draw(random))
        likely = said if unit == "minutes" else sum(p.step.spread) / 2
        return "minutes", round(pert(p.step.spread, likely).draw(random))
