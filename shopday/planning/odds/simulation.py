"""One draw of the odds: the scheduler's problem as it might turn out, and when each job is then delivered.

The plan is followed in its order by the people it names. What becomes free is used at once. A job that takes longer
than foreseen loses its turn to others, as it is not ready in time. A job whose promise comes into danger is brought
forward.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from itertools import pairwise
from random import Random

from shopday.journal.state import ShopState
from shopday.planning.encoding.problem_encoder import encode_problem
from shopday.planning.lessons.learned_lessons import History
from shopday.planning.odds.distributions import WORK_OVERRUN, further_passes, room_for
from shopday.planning.odds.duration_samples import DurationSamples
from shopday.planning.plan import Plan
from shopday.planning.solving.kept_plan import KeptPlan
from shopday.planning.solving.plan_solver import standing_schedule
from shopday.scheduler import Builder, KeptPlace, Lag, PreparedProblem, Problem, Steps, Task
from shopday.scheduler import BuiltSchedule as Schedule
from shopday.shop.folder import ShopFolder
from shopday.shop.step_graph import expand

DELAYS = (15, 30, 60, 120, 240, 480, 960, 1920, 3840)
"""Open minutes of delay that are tried to find out how much each promise survives."""

MOST_LET_FORWARD = 3
"""How many endangered jobs are brought forward singly, besides all together."""

REAL_PER_WORK_MINUTE = 3
"""Real minutes that pass per minute of work: a working day is about a third of a day."""

GIVES_WAY = 1.5
"""How strongly a job that takes longer gives way: its turns come later by its lengthening to this power. With 1, the
95 % dates of shops played through (tests/odds/courses.py) hold too seldom, as a late job is delayed again by those
it has let past."""


@dataclass(slots=True)
class SimulatedCourse:
    """One draw.

    deliveries: minute by job; None if the job is never delivered.
    own:        by address, minutes that are the step's own part of the risk.
    """

    deliveries: list[int | None] = field(default_factory=list)
    own: dict[str, float] = field(default_factory=lambda: defaultdict(float))


class Simulation:
    """Draws of one shop, all placed in the order of one plan. Create it with `of`."""

    @classmethod
    def of(
        cls, folder: ShopFolder, state: ShopState, plan: Plan, now: int, history: History
    ) -> Steps[Simulation]:
        drawing = cls(folder, state, plan, now, history)
        drawing.spare = yield from drawing._spare(plan)
        return drawing

    def __init__(self, folder: ShopFolder, state: ShopState, plan: Plan, now: int, history: History) -> None:
        self.further = _further(folder, plan)
        extra = {a: state.extra_passes.get(a, 0) + room for a, room in self.further.items()}
        self.built = encode_problem(folder, replace(state, extra_passes={**state.extra_passes, **extra}), now)
        self.problem = self.built.problem
        self.addresses = tuple(p.address for p in self.built.passes)
        self.lengths = DurationSamples(self.built, history)
        self.last = {address: i for i, address in enumerate(self.addresses)}
        self.beyond = tuple(p.pass_no - self._written(p.address) for p in self.built.passes)
        kept = standing_schedule(self.built, KeptPlan.of(plan, ""))
        self.crews = {i: at.crew for i, at in kept.items() if at.crew is not None}
        self.turns = self._turns(kept)
        self.foreseen = self._foreseen()
        self.said = _lengths(self.foreseen)
        self.lost = {row.address for row in plan.unplaced}
        self.ends = self._ends(plan)
        self.compiled: PreparedProblem | None = None
        self.spare: dict[int, int] = {}

    def __getstate__(self) -> dict[str, object]:
        """The state for another process, which prepares the problem itself and needs no finished jobs."""
        return {**self.__dict__, "compiled": None, "built": replace(self.built, past={})}

    def _turns(self, kept: Mapping[int, KeptPlace]) -> list[tuple[int, int]]:
        """When each task has its turn in the plan: minutes from now, and place among those of the same minute. A
        further pass has the turn of the pass before."""
        turns: list[tuple[int, int]] = []
        for i in range(len(self.problem.tasks)):
            at = kept.get(i)
            before = turns[-1] if turns and self.beyond[i] > 0 else (0, 0)
            turns.append(before if at is None else (at.start - self.problem.now, at.place))
        return turns

    def _foreseen(self) -> Problem:
        """The problem as the plan has it, without further passes."""
        final = {self.last[a]: self.last[a] - room for a, room in self.further.items()}
        tasks = (
            self._unneeded(task) if beyond > 0 else _pointed(task, final)
            for task, beyond in zip(self.problem.tasks, self.beyond, strict=True)
        )
        return self.problem._replace(tasks=tuple(tasks))

    def _unneeded(self, task: Task) -> Task:
        return Task(task.job, fixed=(self.problem.now, self.problem.now))

    def _ends(self, plan: Plan) -> dict[int, int]:
        """When the plan ends each task, in open minutes."""
        rows = ((self.built.index.get(row.key), row.end) for row in plan.steps)
        return {i: self._open_minutes(self.built.zone.of(end)) for i, end in rows if i is not None}

    def _spare(self, plan: Plan) -> Steps[dict[int, int]]:
        """By job whose promise the plan keeps: open minutes that all work may fall behind before it breaks, to the
        precision of DELAYS."""
        kept = {row.job for row in plan.jobs if row.promise is not None and row.late_minutes == 0}
        spare = {n: DELAYS[-1] for n, job in enumerate(self.built.jobs) if job in kept}
        for survived, delay in reversed(list(pairwise((0, *DELAYS)))):
            deliveries = yield from self._delayed(delay)
            for n, delivery in enumerate(deliveries):
                if n in spare and self._is_late(n, delivery):
                    spare[n] = survived
        return spare

    def _delayed(self, minutes: int) -> Steps[list[int | None]]:
        """The deliveries if nothing starts for this many open minutes, and everything lasts as long as foreseen."""
        calendar, now = self.problem.calendars[self.built.hours.open], self.problem.now
        later = self.foreseen._replace(now=calendar.finish(now, minutes) or now)
        builder, built = yield from self._place(later)
        return self._deliveries(builder, built)

    def _open_minutes(self, minute: int) -> int:
        return self.problem.calendars[self.built.hours.open].worked(minute)

    def _written(self, address: str) -> int:
        return self.built.passes[self.last[address]].pass_no - self.further.get(address, 0)

    # ------------------------------------------------------------ one draw

    def draw(self, seed: int, number: int) -> Steps[SimulatedCourse]:
        """The draw of this number. It depends on nothing but the seed and the number."""
        random, draw = Random(f"{seed}/{number}"), SimulatedCourse()
        problem = self._drawn(random, draw)
        yield
        builder, built = yield from self._place(problem)
        if self._newly_refused(built):
            builder, built = yield from self._place(self._relaxed(problem, built))
        built = yield from self._hurried(builder, built)
        draw.deliveries = self._deliveries(builder, built)
        return draw

    def _drawn(self, random: Random, draw: SimulatedCourse) -> Problem:
        counts = {a: further_passes(self._chance(a), random, room) for a, room in self.further.items()}
        final = {self.last[a]: self.last[a] - self.further[a] + n for a, n in counts.items()}
        shared = [WORK_OVERRUN.draw(random) for _ in self.problem.jobs]
        tasks = []
        for i, task in enumerate(self.problem.tasks):
            address, beyond = self.addresses[i], self.beyond[i]
            if beyond > counts.get(address, 0):
                tasks.append(self._unneeded(task))
                continue
            tasks.append(_pointed(self.lengths.drawn(i, shared[task.job], random, draw.own), final))
            if beyond > 0:
                waits = self.built.passes[i].waits
                draw.own[address] += sum(wait.takes for wait in waits if not wait.informs)
        return self.problem._replace(tasks=tuple(tasks))

    def _chance(self, address: str) -> float:
        return self.built.expansion.steps[address].step.another_pass

    # ------------------------------------------------------------ placing

    def _place(self, problem: Problem) -> Steps[tuple[Builder, Schedule]]:
        self.compiled = PreparedProblem(problem, like=self.compiled)
        yield
        builder = Builder(self.compiled)
        builder.placer.chosen = self.crews
        built = builder.build(self._in_turn(problem))
        assert built is not None  # a build without a limit is never given up
        yield
        return builder, built

    def _in_turn(self, problem: Problem) -> list[int]:
        """The order of the plan; the more a job is lengthened, the later its turns come."""
        lengths = zip(_lengths(problem), self.said, strict=True)
        longer = [(drawn / said) ** GIVES_WAY for drawn, said in lengths]

        def turn(i: int) -> tuple[float, int, int]:
            minutes, place = self.turns[i]
            return minutes * longer[problem.tasks[i].job], place, i

        return sorted(range(len(problem.tasks)), key=turn)

    def _hurried(self, builder: Builder, built: Schedule) -> Steps[Schedule]:
        """The best schedule after bringing forward jobs whose promise the plan keeps and the draw breaks."""
        deliveries = self._deliveries(builder, built)
        late = [n for n in self.spare if self._is_late(n, deliveries[n])]
        if not late:
            return built
        best, behind = built, self._behind(built)
        for forward in dict.fromkeys([tuple(late), *((n,) for n in late[:MOST_LET_FORWARD])]):
            again = builder.build(self._let_forward(forward, built, behind), limit=best.cost)
            yield
            best = again if again is not None and again.aim < best.aim else best
        return best

    def _behind(self, built: Schedule) -> list[tuple[int, int]]:
        """For each task: when it ends, and how many open minutes it is then behind the plan."""
        ends = ((built.moments[i], planned) for i, planned in self.ends.items())
        return [(m[1], self._open_minutes(m[1]) - planned) for m, planned in ends if m is not None]

    def _let_forward(
        self, jobs: tuple[int, ...], built: Schedule, behind: list[tuple[int, int]]
    ) -> list[int]:
        """The order with these jobs first from the minute on at which the danger shows: when a task ends further
        behind than the jobs can spare."""
        least = min(self.spare[job] for job in jobs)
        seen = min((minute for minute, late in behind if late > least), default=math.inf)

        def place(i: int) -> int:
            moments = built.moments[i]
            if moments is not None and moments[0] < seen:
                return 0
            return 1 if self.problem.tasks[i].job in jobs else 2

        return sorted(built.order, key=place)

    def _is_late(self, job: int, delivery: int | None) -> bool:
        due = self.problem.jobs[job].due
        return delivery is not None and due is not None and delivery > due

    def _newly_refused(self, built: Schedule) -> list[int]:
        return [i for i in built.refused if self.built.passes[i].address not in self.lost]

    def _relaxed(self, problem: Problem, built: Schedule) -> Problem:
        """The problem without what can no longer be kept: appointments move, windows are missed."""
        tasks = list(problem.tasks)
        for i in self._newly_refused(built):
            task = tasks[i]
            release = max(task.release, task.at or 0)
            tasks[i] = task._replace(at=None, release=release, adds=task.adds or 0, unbroken=False)
        return problem._replace(tasks=tuple(tasks))

    def _deliveries(self, builder: Builder, built: Schedule) -> list[int | None]:
        deliveries: list[int | None] = [self.problem.now] * len(self.problem.jobs)
        for task, moments in zip(builder.problem.tasks, built.moments, strict=True):
            known = deliveries[task.job]
            if moments is not None and known is not None:
                deliveries[task.job] = max(known, moments[2])
        for i in built.refused:
            deliveries[builder.problem.tasks[i].job] = None
        return deliveries


def _lengths(problem: Problem) -> list[float]:
    """Minutes that the rest of each job takes if nothing in it waits for people or things."""
    lengths = [1.0] * len(problem.jobs)
    for task in problem.tasks:
        lengths[task.job] += _length(task, problem.now)
    return lengths


def _length(task: Task, now: int) -> float:
    """Minutes from the earliest start of a task to its completion, as far as they are still to come."""
    if task.fixed is not None:
        return max(0, task.fixed[1] - now)
    waits = sum(phase.takes for phase in task.phases if not phase.informational)
    away = task.length if task.clock is None else 0
    return REAL_PER_WORK_MINUTE * task.work + waits + away + max(0, (task.until or now) - now)


def _pointed(task: Task, final: dict[int, int]) -> Task:
    """The task, waiting for the pass that turns out to be the last."""
    if not any(lag.task in final for lag in task.lags):
        return task

    def moved(lags: tuple[Lag, ...]) -> tuple[Lag, ...]:
        return tuple(lag._replace(task=final.get(lag.task, lag.task)) for lag in lags)

    windows = tuple(window._replace(refs=moved(window.refs)) for window in task.windows)
    return task._replace(lags=moved(task.lags), windows=windows)


def _further(folder: ShopFolder, plan: Plan) -> dict[str, int]:
    """By address of steps that may need further passes and are not complete: how many to leave room for."""
    last = {row.address: row for row in plan.steps if row.pass_no == row.passes}
    steps = expand(folder).steps
    return {
        address: room_for(steps[address].step.another_pass)
        for address, row in last.items()
        if row.kind == "work" and steps[address].step.another_pass > 0 and row.complete > plan.now
    }
