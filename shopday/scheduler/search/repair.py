"""Repairs a schedule after a change: unaffected tasks keep their order, their crew and, if possible, their start.

No task may start before its start in the old schedule, and tasks are placed in the order of those starts; so if
nothing has changed, the very same schedule results. A task that must wait longer goes to where it is ready, either
before what was to start after that or behind all unaffected tasks, whichever disturbs less.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from shopday.scheduler.bounds.lower_bounds import LowerBounds
from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.search.solve import best_start, to_result

FORWARD_MINUTES = (240, 1440, 3 * 1440, 7 * 1440, 10**7)
"""Minutes by which jobs with a promise in danger are brought forward; the last means as far as possible."""

UNTOUCHED_WEIGHT = 4
"""The extra weight of a delay of a job that nothing has touched."""

ROUNDS = 4
"""How often tasks that are ready later than before are moved to where they are ready now."""


class KeptPlace(NamedTuple):
    """Where a task was: its start, the index of its crew (None: it no longer has that crew), its place in the order."""

    start: int
    crew: int | None
    place: int


def repair(
    problem: Problem,
    kept: Mapping[int, KeptPlace],
    close_up: int | None = None,
    touched: Collection[int] = (),
    promised: Collection[int] = (),
    bounded: bool | None = False,
    new_from: int = FOREVER,
) -> Steps[Result]:
    """The schedule nearest to an old one. Yields a heartbeat after each build.

    kept:     where tasks were; all others are new.
    close_up: work may move forward, up to this minute, into what has become free (None: it may not); work of the
              jobs `touched`, to which something happened, at any minute.
    promised: jobs to bring forward if they would be late.
    bounded:  also find the best bounds of the totals; None: find no bounds at all.
    new_from: new jobs go before the work from this minute on; by default they go last.
    """
    builder = Builder(PreparedProblem(problem))
    yield
    while True:
        repairer = Repairer(builder, kept, new_from)
        built = yield from repairer.repaired()
        built = yield from repairer.hurried(built, promised)
        if close_up is not None:
            built = yield from repairer.closed_up(built, close_up, touched)
        repairer.let_go()
        if len(built.refused) == len(builder.refused):
            break
        free, other = yield from best_start(builder, built.order)
        if other is builder:
            built = free
            break
        builder = other
    yield
    bounds = None if bounded is None else LowerBounds(builder)
    if bounds is not None and bounded:
        bounds.compare_orders()
    return to_result(builder, built, bounds, 1)


def kept_of(problem: Problem, result: Result) -> dict[int, KeptPlace]:
    """Where a result places the tasks that were not begun."""
    place = {i: k for k, i in enumerate(result.order)}
    return {
        i: KeptPlace(at.start, at.crew, place[i])
        for i, at in enumerate(result.schedule.placed)
        if at is not None and i in place and not problem.tasks[i].going
    }


def held(builder: Builder, kept: Mapping[int, KeptPlace]) -> Steps[BuiltSchedule]:
    """The schedule in which tasks are placed where they were."""
    repairer = Repairer(builder, kept)
    built = yield from repairer.repaired()
    repairer.let_go()
    return built


class Repairer:
    """Builds schedules near an old one, with one builder."""

    def __init__(self, builder: Builder, kept: Mapping[int, KeptPlace], new_from: int = FOREVER) -> None:
        self.builder, self.kept, self.new_from = builder, kept, new_from
        self.compiled = builder.compiled
        self.tasks = [i for i, moments in enumerate(builder.start.moments) if moments is None]
        self.rank = self.compiled.rank
        job_of = [prepared.task.job for prepared in self.compiled.prepared]
        self.known = {job_of[i] for i in kept}
        crews = {i: at.crew for i, at in kept.items() if at.crew is not None}
        self._hold({i: at.start for i, at in kept.items()}, crews)

    def _hold(self, starts: dict[int, int], crews: dict[int, int]) -> None:
        self.builder.placer.not_before, self.builder.placer.chosen = starts, crews

    def let_go(self) -> None:
        self._hold({}, {})

    # ------------------------------------------------------------ what has changed

    def repaired(self) -> Steps[BuiltSchedule]:
        """The best of several ways to put the tasks that must wait longer among the rest."""
        built = self._build(self._in_order({}))
        yield
        candidates = [built]
        keys: dict[int, int] = {}
        for _ in range(ROUNDS):
            ready = {i: self._ready(i, built) for i in self._displaced(built)}
            if ready == keys or not (keys or self._order_matters(ready)):
                break
            keys = ready
            built = self._build(self._in_order(keys))
            yield
            candidates.append(built)
        last = (
            {i for i in self.tasks if i in keys or i not in self.kept} if self.new_from == FOREVER else set()
        )
        if last:
            candidates.append(self._build(self._behind(keys, last)))
            yield
        candidates += self._with_any_crew(candidates)
        yield
        return min(candidates, key=self._disturbance)

    def _order_matters(self, late: Iterable[int]) -> bool:
        """False if each of these tasks can start anywhere in the order without any schedule becoming another: an
        arrival takes nobody's time. New tasks may go elsewhere after a late one."""
        return len(self.kept) < len(self.tasks) or any(map(self._takes_something, late))

    def _takes_something(self, i: int) -> bool:
        prepared = self.compiled.prepared[i]
        air = prepared.avoids is not None or prepared.fills is not None
        tied = len(self.compiled.units[self.compiled.unit_of[i]]) > 1
        return bool(prepared.staff or prepared.uses or air or tied or not prepared.no_side_effects)

    def _in_order(self, ready: Mapping[int, int]) -> list[int]:
        """By the old start, or by when the task is ready if that is later. New tasks come after what they wait for;
        those of wholly new jobs come last."""
        keys: dict[int, tuple[int, int, int]] = {}
        for i in sorted(self.tasks, key=self.rank.__getitem__):
            at = self.kept.get(i)
            if i in ready or at is None:
                before = [keys[j][0] for j in self.compiled.needs[i] if j in keys]
                new_job = self.compiled.prepared[i].task.job not in self.known
                own = self.new_from if new_job else ready.get(i, self.builder.problem.now)
                keys[i] = max([own, *before]), 1, self.rank[i]
            else:
                keys[i] = at.start, 0, at.place
        return sorted(keys, key=keys.__getitem__)

    def _behind(self, ready: Mapping[int, int], last: Collection[int]) -> list[int]:
        """All tasks that keep their start first, then the rest by when they are ready."""
        order = self._in_order(ready)
        return [*(i for i in order if i not in last), *(i for i in order if i in last)]

    def _displaced(self, built: BuiltSchedule) -> Iterator[int]:
        """Tasks whose old start is before they are ready now."""
        for i, at in self.kept.items():
            if built.moments[i] is not None and self._ready(i, built) > at.start:
                yield i

    def _ready(self, i: int, built: BuiltSchedule) -> int:
        prepared = self.compiled.prepared[i]
        ready = max(prepared.release, self.builder.problem.now)
        for j, m, offset in prepared.lags:
            other = built.moments[j]
            if other is not None:
                ready = max(ready, other[m] + offset)
        return ready

    def _with_any_crew(self, built: Iterable[BuiltSchedule]) -> list[BuiltSchedule]:
        """Let any crew do the tasks that start on another day because they lack their old crew."""
        chosen = self.builder.placer.chosen
        late = {
            i
            for each in built
            for i in chosen
            if len(self.compiled.prepared[i].staff) > 1 and self._waits_for_its_crew(i, each)
        }
        if not late:
            return []
        self.builder.placer.chosen = {i: crew for i, crew in chosen.items() if i not in late}
        return [self._build(self._in_order({}))]

    def _waits_for_its_crew(self, i: int, built: BuiltSchedule) -> bool:
        moments = built.moments[i]
        return moments is None or moments[0] > max(self.kept[i].start, self._ready(i, built))

    def _disturbance(self, built: BuiltSchedule) -> tuple[int, int, int, int]:
        """What decides, less being better: tasks without a place, lateness, deliveries (delays of untouched jobs
        most), reserves."""
        late, short, finish = self.builder.costs.totals(built)
        return len(built.refused), late, finish + UNTOUCHED_WEIGHT * self._others_later(built), short

    def _others_later(self, built: BuiltSchedule) -> int:
        """The weighted minutes by which the last tasks of jobs moved, except where what they wait for delays them."""
        before: dict[int, int] = {}
        after: dict[int, int] = {}
        touched = {self.compiled.prepared[i].task.job for i in self._displaced(built)}
        touched |= {self.compiled.prepared[i].task.job for i in self.tasks if i not in self.kept}
        for i, at in self.kept.items():
            job, moments = self.compiled.prepared[i].task.job, built.moments[i]
            if job not in touched and moments is not None:
                before[job] = max(before.get(job, 0), at.start)
                after[job] = max(after.get(job, 0), moments[0])
        weights = self.builder.problem.jobs
        return sum(weights[job].weight * max(0, after[job] - start) for job, start in before.items())

    # ------------------------------------------------------------ promises in danger

    def hurried(self, built: BuiltSchedule, promised: Collection[int]) -> Steps[BuiltSchedule]:
        """Bring jobs that would be late forward by as little as keeps their promise, together or one by one."""
        late = self._late(built, promised)
        for jobs in dict.fromkeys([tuple(late), *((job,) for job in late)]) if late else ():
            for minutes in FORWARD_MINUTES:
                again = yield from self._brought_forward(jobs, minutes)
                fewer = len(self._late(again, promised)) - len(self._late(built, promised))
                if fewer < 0 and len(again.refused) <= len(built.refused):
                    built = again
                    break
        return built

    def _late(self, built: BuiltSchedule, promised: Collection[int]) -> list[int]:
        """Those of the promised jobs that are late."""
        jobs, deliveries = self.builder.problem.jobs, built.marks[-1][1]
        due = ((job, jobs[job].due) for job in promised if self.builder.costs.counts(job))
        return [job for job, minute in due if minute is not None and deliveries[job] > minute]

    def _brought_forward(self, jobs: Collection[int], minutes: int) -> Steps[BuiltSchedule]:
        """The schedule with the rest of these jobs wanted this many minutes earlier, by any crew."""
        sooner = {
            i: at._replace(start=at.start - minutes, crew=None)
            if self.compiled.prepared[i].task.job in jobs
            else at
            for i, at in self.kept.items()
        }
        return (yield from Repairer(self.builder, sooner).repaired())

    # ------------------------------------------------------------ what has become free

    def closed_up(self, built: BuiltSchedule, until: int, touched: Collection[int]) -> Steps[BuiltSchedule]:
        """Move work forward, in its order, into what has become free, as far as nothing becomes later for it: work
        of the touched jobs and work that can start before a minute, or only part of that."""

        def mine(i: int) -> bool:
            return self.compiled.prepared[i].task.job in touched

        ways: tuple[Callable[[int, int, int], bool], ...] = (
            lambda i, _, new: new < until or mine(i),
            lambda i, old, _: old < until or mine(i),
            lambda i, *_: mine(i),
            lambda _, old, __: old < until,
        )
        for way in ways:
            pulled = yield from self._pulled(built, way)
            if pulled is not None:
                return pulled
        return built

    def _pulled(
        self, built: BuiltSchedule, may: Callable[[int, int, int], bool]
    ) -> Steps[BuiltSchedule | None]:
        """The schedule with work moved forward. may: whether a task may move from one start to another. None if
        something becomes later for it."""
        starts = {i: m[0] for i in self.tasks if (m := built.moments[i]) is not None}
        crews = {i: built.crew(i) for i in starts if self.compiled.prepared[i].staff}
        place = {i: k for k, i in enumerate(built.order)}
        order = sorted(starts, key=lambda i: (starts[i], place.get(i, 0)))
        order += (
            i for i in self.tasks if i not in starts
        )  # tasks without a place may find one now, or are refused again
        self._hold({}, crews)
        moments = self._build(order).moments
        yield
        free = {i: m[0] for i in starts if (m := moments[i]) is not None}
        pulled = {i for i, new in free.items() if new < starts[i] and may(i, starts[i], new)}
        if not pulled:
            return built
        self._hold({i: start for i, start in starts.items() if i not in pulled}, crews)
        again = self._build(order)
        yield
        kept = all((m := again.moments[i]) is not None and m[0] <= start for i, start in starts.items())
        return again if kept else None

    def _build(self, order: Sequence[int]) -> BuiltSchedule:
        built = self.builder.build(order)
        assert built is not None  # a build without a limit is never given up
        return built
