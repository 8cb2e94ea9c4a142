"""Building whole schedules: units placed in an order, from any point of an order built before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopday.schedule.compiled import Compiled
from shopday.schedule.placement import RETRIES, Fit, Moments, NoPlace, Placer, Profiles, WindowMissed
from shopday.schedule.result import Cause, Placed, Refusal, Schedule

IMPOSSIBLE = 1 << 60
"""Cost of one task without a place: more than any totals."""


@dataclass(slots=True)
class Built:
    """A schedule and the way it was built.

    cost:     refused tasks, lateness and finish in one number, see `Builder`.
    late:     the late total alone.
    order:    units in the order in which they were placed.
    marks:    before each unit of `order`, and after the last: profiles, per-job completions, cost, late.
    moments, crews, missed: per task; moments are None where it has no place.
    refused:  tasks without a place.
    """

    cost: int
    late: int
    order: list[int]
    marks: list[tuple[Profiles, list[int], int, int]]
    moments: list[Moments | None]
    crews: list[int]
    missed: set[int]
    refused: dict[int, Refusal]

    @property
    def aim(self) -> tuple[int, int, int]:
        """What decides: tasks without a place, then the late total, then cost."""
        return len(self.refused), self.late, self.cost


class Builder:
    """Builds schedules of one problem.

    The cost of a schedule is `late_weight` x the late total plus the finish total, plus IMPOSSIBLE for
    every task without a place. It guides the search; `Built.aim` says which of two schedules is better.
    """

    def __init__(self, compiled: Compiled, late_weight: int) -> None:
        self.compiled = compiled
        self.problem = compiled.problem
        self.placer = Placer(compiled)
        self.late_weight = late_weight
        self.refused = dict(compiled.refused)
        self.tails = self._tails()
        self.reserved: list[int] = []
        self.latest: dict[int, list[tuple[int, int, int]]] = {}
        self.start = self._prelude()

    # ------------------------------------------------------------ costs

    def job_cost(self, job: int, delivery: int) -> tuple[int, int]:
        """What a job delivered at a minute adds to cost and late total."""
        j = self.problem.jobs[job]
        if not self._counts[job]:
            return 0, 0
        late = 0 if j.due is None or delivery <= j.due else j.weight * (delivery - j.due)
        return self.late_weight * late + j.weight * (delivery - self.problem.now), late

    def counts(self, job: int) -> bool:
        """Whether a job is in the totals: not delivered, and none of its tasks refused from the start."""
        return self._counts[job]

    def totals(self, built: Built) -> tuple[int, int]:
        """Late and finish total of a schedule, weighted minutes."""
        deliveries: dict[int, int] = {}
        lost = {self.compiled.made[i].task.job for i in built.refused}
        for i, moments in enumerate(built.moments):
            job = self.compiled.made[i].task.job
            if moments is not None and job not in lost and self.problem.jobs[job].counts:
                deliveries[job] = max(deliveries.get(job, moments[2]), moments[2])
        return self.totals_of(deliveries)

    def totals_of(self, deliveries: dict[int, int]) -> tuple[int, int]:
        """Both totals when each job is delivered at a minute."""
        late = finish = 0
        for j, delivery in deliveries.items():
            job = self.problem.jobs[j]
            finish += job.weight * (delivery - self.problem.now)
            if job.due is not None and delivery > job.due:
                late += job.weight * (delivery - job.due)
        return late, finish

    def _tails(self) -> list[int]:
        """Per task, the least minutes from its completion to the delivery of its job."""
        compiled = self.compiled
        tails = [0] * len(compiled.made)
        for i in sorted(range(len(tails)), key=compiled.rank.__getitem__, reverse=True):
            made = compiled.made[i]
            for s in compiled.successors[i]:
                after = compiled.made[s]
                if after.task.job == made.task.job and after.task.fixed is None:
                    lag = min((o for j, m, o in after.lags if j == i and m == 2), default=None)
                    if lag is not None:
                        tails[i] = max(tails[i], tails[s] + self._least(s) + lag)
        return tails

    def _least(self, i: int) -> int:
        made = self.compiled.made[i]
        waits = sum(p.takes for p in made.phases if p.clock is None and not p.aside)
        return made.work + waits + (made.task.length if made.task.clock is None else 0)

    # ------------------------------------------------------------ what comes first

    def _prelude(self) -> Built:
        """What has happened, what is under way, and the appointments."""
        compiled, placer = self.compiled, self.placer
        n = len(compiled.made)
        built = Built(0, 0, [], [], [None] * n, [0] * n, set(), {})
        profiles = list(placer.empty)
        tasks = range(n)
        for i in tasks:
            if compiled.made[i].task.fixed is not None:
                self._record(built, i, placer.settled(i), profiles)
        for i in tasks:
            if compiled.made[i].task.going and i not in self.refused:
                try:
                    self._record(built, i, placer.going(i, profiles), profiles)
                except NoPlace as no:
                    self._refuse(self.refused, i, no.refusal)
        for i in tasks:
            if self._can_reserve(i):
                try:
                    self._record(built, i, placer.appointed(i, profiles), profiles)
                    self._reserve(i)
                except NoPlace as no:
                    self._refuse(self.refused, i, no.refusal)
        refused_jobs = {compiled.made[i].task.job for i in self.refused}
        self._counts = [job.counts and k not in refused_jobs for k, job in enumerate(self.problem.jobs)]
        built.refused = dict(self.refused)
        deliveries = [self.problem.now] * len(self.problem.jobs)
        for i, m in enumerate(built.moments):
            if m is not None:
                job = compiled.made[i].task.job
                deliveries[job] = max(deliveries[job], m[2] + self.tails[i])
        costs = [self.job_cost(j, d) for j, d in enumerate(deliveries)]
        built.cost, built.late = sum(c for c, _ in costs), sum(late for _, late in costs)
        built.marks = [(profiles, deliveries, built.cost, built.late)]
        return built

    def _can_reserve(self, i: int) -> bool:
        made = self.compiled.made[i]
        task = made.task
        early = task.at is not None and task.fixed is None and not task.going and not task.eager
        return early and i not in self.refused and not (made.windows and made.soft)

    def _reserve(self, i: int) -> None:
        """Turn the lags and hard windows of an appointment into bounds on what it waits for."""
        made = self.compiled.made[i]
        at = made.task.at or 0
        self.reserved.append(i)
        for j, m, offset in made.lags:
            self.latest.setdefault(j, []).append((m, at - offset, i))
        for refs, within in made.windows:
            j, m, offset = refs[-1]
            self.placer.bounds.setdefault(j, []).append((m, at - within - offset))

    def _record(self, built: Built, i: int, fit: Fit, profiles: Profiles) -> None:
        built.moments[i] = fit.moments
        built.crews[i] = fit.crew
        if fit.missed:
            built.missed.add(i)
        self.placer.put(fit.holds, profiles)

    def _refuse(self, refused: dict[int, Refusal], i: int, refusal: Refusal) -> None:
        refused.setdefault(i, refusal)
        self.compiled.spread_refusals(refused)

    # ------------------------------------------------------------ building

    def build(
        self, order: Sequence[int], base: Built | None = None, keep: int = 0, limit: int | None = None
    ) -> Built | None:
        """Place the units in this order; what a unit waits for is placed before it.

        base, keep: take the first `keep` units as they stand in `base` (the orders agree so far).
        limit:      give up (None) as soon as the cost must exceed it.
        """
        compiled = self.compiled
        start = self.start if base is None else base
        if base is None:
            keep = 0
        profiles, deliveries, cost, late = start.marks[keep]
        moments = list(start.moments)
        crews = list(start.crews)
        missed = set(start.missed)
        refused = dict(self.start.refused)
        done = bytearray(len(compiled.units))
        kept = start.order[:keep]
        for u in kept:
            done[u] = 1
        if base is not None:
            for u in start.order[keep:]:
                for i in compiled.units[u]:
                    moments[i] = self.start.moments[i]
                    missed.discard(i)
        built = Built(cost, late, list(kept), start.marks[: keep + 1], moments, crews, missed, refused)
        needs = compiled.unit_needs
        for u in order:
            if done[u]:
                continue
            stack = [u]
            while stack:
                v = stack[-1]
                if done[v]:
                    stack.pop()
                    continue
                waiting = [w for w in needs[v] if not done[w] and w not in stack]
                if waiting:
                    stack += waiting
                    continue
                stack.pop()
                done[v] = 1
                profiles, deliveries = list(profiles), list(deliveries)
                self._place_unit(v, built, profiles, deliveries)
                built.order.append(v)
                built.marks.append((profiles, deliveries, built.cost, built.late))
                if limit is not None and built.cost > limit:
                    return None
        return built

    def _place_unit(self, u: int, built: Built, profiles: Profiles, deliveries: list[int]) -> None:
        unit = self.compiled.units[u]
        if len(unit) == 1:
            i = unit[0]
            if built.moments[i] is not None or i in built.refused:
                return
            try:
                fit = self.placer.fit(i, profiles, built.moments, 0)
            except NoPlace as no:
                self._fail(built, i, no.refusal, ())
                return
            except WindowMissed as no:
                self._fail(built, i, Refusal(Cause.WINDOW, other=no.task), ())
                return
            self._enter(built, i, fit, profiles, deliveries)
            return
        self._place_bound(unit, built, profiles, deliveries)

    def _enter(self, built: Built, i: int, fit: Fit, profiles: Profiles, deliveries: list[int]) -> None:
        built.moments[i] = fit.moments
        built.crews[i] = fit.crew
        if fit.missed:
            built.missed.add(i)
        self.placer.put(fit.holds, profiles)
        self._count(built, i, fit.moments, deliveries)

    def _count(self, built: Built, i: int, moments: Moments, deliveries: list[int]) -> None:
        """Take the task's completion into the cost, and whether it comes too late for an appointment."""
        job = self.compiled.made[i].task.job
        delivery = moments[2] + self.tails[i]
        if delivery > deliveries[job]:
            cost, late = self.job_cost(job, delivery)
            old_cost, old_late = self.job_cost(job, deliveries[job])
            built.cost += cost - old_cost
            built.late += late - old_late
            deliveries[job] = delivery
        for m, latest, appointment in self.latest.get(i, ()):
            if moments[m] > latest and appointment not in built.refused:
                built.refused[appointment] = Refusal(Cause.APPOINTMENT, other=i, limit=moments[m])
                built.cost += IMPOSSIBLE

    def _fail(self, built: Built, i: int, refusal: Refusal, moved: Sequence[int]) -> None:
        built.refused.setdefault(i, refusal)
        before = len(built.refused)
        self.compiled.spread_refusals(built.refused)
        built.cost += IMPOSSIBLE * (1 + len(built.refused) - before)

    def _place_bound(
        self, unit: tuple[int, ...], built: Built, profiles: Profiles, deliveries: list[int]
    ) -> None:
        """Place the tasks of a unit; move one later and go on from there when a window is missed."""
        todo = [i for i in unit if built.moments[i] is None and i not in built.refused]
        place = {i: k for k, i in enumerate(todo)}
        floors: dict[int, int] = {}
        trail: list[Profiles] = [list(profiles)]
        fits: list[Fit] = []
        tries = 0
        while len(fits) < len(todo):
            i = todo[len(fits)]
            try:
                fit = self.placer.fit(i, trail[-1], built.moments, floors.get(i, 0))
                self._look_back(i, fit.moments, built.moments)
            except NoPlace as no:
                return self._give_up(built, todo, i, no.refusal)
            except WindowMissed as no:
                tries += 1
                if no.start is None or no.task not in place or tries > RETRIES:
                    return self._give_up(built, todo, i, Refusal(Cause.WINDOW, other=no.task))
                floors[no.task] = max(floors.get(no.task, 0), no.start)
                back = place[no.task]
                for j in todo[back : len(fits)]:
                    built.moments[j] = None
                del fits[back:], trail[back + 1 :]
                continue
            built.moments[i] = fit.moments
            taken = list(trail[-1])
            self.placer.put(fit.holds, taken)
            trail.append(taken)
            fits.append(fit)
        profiles[:] = trail[-1]
        for i, fit in zip(todo, fits, strict=True):
            built.crews[i] = fit.crew
            if fit.missed:
                built.missed.add(i)
            self._count(built, i, fit.moments, deliveries)
        return None

    def _give_up(self, built: Built, todo: list[int], i: int, refusal: Refusal) -> None:
        """A unit that cannot be placed goes as a whole: what one of its tasks can't keep, none can use."""
        for j in todo:
            built.moments[j] = None
        self._fail(built, i, refusal, ())
        for j in todo:
            if j not in built.refused:
                self._fail(built, j, Refusal(refusal.cause, other=i, limit=refusal.limit), ())

    def _look_back(self, j: int, moments: Moments, placed: list[Moments | None]) -> None:
        """A task placed after one whose window hangs on it must not be too early for it."""
        for i, m, offset, within in self.compiled.watchers.get(j, ()):
            other = placed[i]
            if other is not None and other[0] > moments[m] + offset + within:
                raise WindowMissed(
                    j, max(moments[0] + 1, moments[0] + other[0] - moments[m] - offset - within)
                )

    # ------------------------------------------------------------ the answer

    def schedule(self, built: Built) -> Schedule:
        """The finished schedule of a build, with what each phase keeps and when it is free."""
        placed: list[Placed | None] = []
        for i, moments in enumerate(built.moments):
            if moments is None or i in built.refused:
                placed.append(None)
                continue
            start, end, complete, *ends = moments
            frees = self.placer.phase_times(self.compiled.made[i], end)[2]
            placed.append(
                Placed(start, end, complete, built.crews[i], tuple(ends), tuple(frees), i in built.missed)
            )
        return Schedule(tuple(placed), dict(built.refused))
