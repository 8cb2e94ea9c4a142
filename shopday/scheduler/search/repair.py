"""Repairs a schedule after a change: tasks that are not affected keep their order, their crew and, where possible, their start.

The schedule before gives every task a start that it is not to be before; tasks are placed in the order of those
starts, so that where nothing changed the very same schedule comes out. A task that must wait longer goes where it is
ready, either before what was to start after that or behind all that is not touched, whichever disturbs less.
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

FORWARD = (240, 1440, 3 * 1440, 7 * 1440, 10**7)
"""Minutes that jobs whose promise is in danger are brought forward; the last is as far as possible."""

UNTOUCHED = 4
"""What it weighs more when a job comes later that nothing has touched."""

ROUNDS = 4
"""How often tasks that are ready later than before are put where they are ready now."""


class KeptPlace(NamedTuple):
    """Where a task stood: start, index of its crew (None: it has no such crew any more), place in the order."""

    start: int
    crew: int | None
    place: int


def repair(
    problem: Problem,
    kept: Mapping[int, KeptPlace],
    close_up: int | None = None,
    touched: Collection[int] = (),
    promised: Collection[int] = (),
    bounded: bool = False,
    new_from: int = FOREVER,
) -> Steps[Result]:
    """The schedule nearest to one before, with a heartbeat after each build.

    kept:     where tasks stood; those it does not name are new.
    close_up: work may go forward into what has become free up to this minute (None: nothing does); that of the jobs
              `touched`, of which something happened, to any minute.
    promised: jobs to be brought forward where they would be late.
    bounded:  look for the best bounds of the totals.
    new_from: the minute whose work new jobs go before; by default they go behind all.
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
    bounds = LowerBounds(builder)
    if bounded:
        bounds.compare_orders()
    return to_result(builder, built, bounds, 1)


def kept_of(problem: Problem, result: Result) -> dict[int, KeptPlace]:
    """Where a result has what is still to be begun."""
    place = {i: k for k, i in enumerate(result.order)}
    return {
        i: KeptPlace(at.start, at.crew, place[i])
        for i, at in enumerate(result.schedule.placed)
        if at is not None and i in place and not problem.tasks[i].going
    }


def held(builder: Builder, kept: Mapping[int, KeptPlace]) -> Steps[BuiltSchedule]:
    """The schedule in which tasks stand where they stood."""
    repairer = Repairer(builder, kept)
    built = yield from repairer.repaired()
    repairer.let_go()
    return built


class Repairer:
    """Builds schedules near the one before, with one builder."""

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
        """The best of the ways to put what must wait longer among the rest."""
        built = self._build(self._in_order({}))
        yield
        candidates = [built]
        keys: dict[int, int] = {}
        for _ in range(ROUNDS):
            ready = {i: self._ready(i, built) for i in self._displaced(built)}
            if ready == keys:
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

    def _in_order(self, ready: Mapping[int, int]) -> list[int]:
        """By the start before, or by when it is ready where that is later; what is new after what it waits for, or
        last of all where its whole job is new."""
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
        """All that keeps its start first, then the rest by when it is ready."""
        order = self._in_order(ready)
        return [*(i for i in order if i not in last), *(i for i in order if i in last)]

    def _displaced(self, built: BuiltSchedule) -> Iterator[int]:
        """Tasks that were to start before they are ready now."""
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
        """Where a task starts on another day for want of its crew, anybody may do it."""
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
        """The less the better: what has no place, lateness, deliveries, most of all of jobs nothing touched, reserves."""
        late, short, finish = self.builder.costs.totals(built)
        return len(built.refused), late, finish + UNTOUCHED * self._others_later(built), short

    def _others_later(self, built: BuiltSchedule) -> int:
        """Weighted minutes by which the last task of a job moved that is not itself held up by what it waits for."""
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
        """Jobs that would come late go forward by as little as keeps their promise, together or one by one."""
        late = self._late(built, promised)
        for jobs in dict.fromkeys([tuple(late), *((job,) for job in late)]) if late else ():
            for minutes in FORWARD:
                again = yield from self._brought_forward(jobs, minutes)
                fewer = len(self._late(again, promised)) - len(self._late(built, promised))
                if fewer < 0 and len(again.refused) <= len(built.refused):
                    built = again
                    break
        return built

    def _late(self, built: BuiltSchedule, promised: Collection[int]) -> list[int]:
        """Those of the jobs promised that are late."""
        jobs, deliveries = self.builder.problem.jobs, built.marks[-1][1]
        due = ((job, jobs[job].due) for job in promised if self.builder.costs.counts(job))
        return [job for job, minute in due if minute is not None and deliveries[job] > minute]

    def _brought_forward(self, jobs: Collection[int], minutes: int) -> Steps[BuiltSchedule]:
        """The schedule with what is left of these jobs wanted so many minutes sooner, with any crew."""
        sooner = {
            i: at._replace(start=at.start - minutes, crew=None)
            if self.compiled.prepared[i].task.job in jobs
            else at
            for i, at in self.kept.items()
        }
        return (yield from Repairer(self.builder, sooner).repaired())

    # ------------------------------------------------------------ what has become free

    def closed_up(self, built: BuiltSchedule, until: int, touched: Collection[int]) -> Steps[BuiltSchedule]:
        """Work goes forward, in its order, to what has become free, as far as nothing comes later for it: that of
        jobs touched and what can start before a minute, or only some of that."""

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
        """`may`: whether a task may go forward from one start to another. None where something comes later for it."""
        starts = {i: m[0] for i in self.tasks if (m := built.moments[i]) is not None}
        crews = {i: built.crew(i) for i in starts if self.compiled.prepared[i].staff}
        place = {i: k for k, i in enumerate(built.order)}
        order = sorted(starts, key=lambda i: (starts[i], place.get(i, 0)))
        order += (
            i for i in self.tasks if i not in starts
        )  # what has no place may find one now, or is refused again
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
        assert built is not None  # without a limit none is given up
        return built
