"""Building whole schedules: tasks placed in an order, from any point of an order built before."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass, replace

from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.model.result import Cause, Placed, Refusal, Schedule
from shopday.scheduler.placing.earliest_delivery import EarliestDelivery
from shopday.scheduler.placing.placer import RETRIES, Fit, NoPlace, Placer, Profiles, WindowMissed
from shopday.scheduler.placing.prepared_problem import PreparedProblem

IMPOSSIBLE = 1 << 60
"""Cost of one task without a place: more than any totals."""

LATE_WEIGHT = 30
"""What a minute late costs the search in minutes of finish: enough to come first, not so much as to wall it in."""

SHORT_WEIGHT = 5
"""What a minute of reserve eaten costs it, likewise."""

OVERHEAD = 20
"""What beginning a build costs, in placements of a task."""

PATIENCE = 6
"""How often tasks of a unit are moved later, among the others, before the unit is placed as one."""

APPOINTING = 400
"""How many crews are tried so that every appointment has one."""

REACH = 10
"""How many tasks are placed again for that at most; a unit with more in between is placed as one."""


@dataclass(slots=True)
class BuiltSchedule:
    """A schedule and the way it was built.

    cost:     refused tasks and the totals in one number, see `Builder`.
    late, short: two of the totals alone.
    order:    tasks in the order in which they were placed.
    marks:    before each task of `order`, and after the last: profiles, per-job completions, cost, late, short.
    moments, crews, missed: per task; moments are None where it has no place.
    refused:  tasks without a place.
    """

    cost: int
    late: int
    short: int
    order: list[int]
    marks: list[tuple[Profiles, list[int], int, int, int]]
    moments: list[Moments | None]
    crews: list[int]
    missed: set[int]
    refused: dict[int, Refusal]

    @property
    def placed_cost(self) -> int:
        """The cost of what has a place."""
        return self.cost % IMPOSSIBLE

    @property
    def aim(self) -> tuple[int, int, int, int]:
        """What decides: tasks without a place, then the late total, the short total, then cost."""
        return len(self.refused), self.late, self.short, self.cost


class Builder:
    """Builds schedules of one problem.

    The cost of a schedule is `late_weight` x the late total plus `short_weight` x the short total plus the finish
    total, plus IMPOSSIBLE for every task without a place. It guides the search; `Built.aim` says which of two
    schedules is better.
    """

    def __init__(
        self, compiled: PreparedProblem, late_weight: int = LATE_WEIGHT, short_weight: int = SHORT_WEIGHT
    ) -> None:
        self.compiled = compiled
        self.problem = compiled.problem
        self.placer = Placer(compiled)
        self.late_weight, self.short_weight = late_weight, short_weight
        self.refused = dict(compiled.refused)
        self.job_of = [prepared.task.job for prepared in compiled.prepared]
        self.tails = self._tails()
        self._spent = 0
        self.reserved: list[int] = []
        self.latest: dict[int, list[tuple[int, int, int]]] = {}
        self.start = self._prelude()

    @property
    def spent(self) -> int:
        """Work done: placements of a task, looks at what must follow one, and OVERHEAD for each build."""
        return self._spent + self.placer.looked

    @spent.setter
    def spent(self, value: int) -> None:
        self._spent = value - self.placer.looked

    # ------------------------------------------------------------ costs

    def job_cost(self, job: int, delivery: int) -> tuple[int, int, int]:
        """What a job delivered at a minute adds to cost, late total and short total."""
        if not self._counts[job]:
            return 0, 0, 0
        late, short, finish = self.job_totals(job, delivery)
        return self.late_weight * late + self.short_weight * short + finish, late, short

    def job_totals(self, job: int, delivery: int) -> tuple[int, int, int]:
        """What a job delivered at a minute adds to the late, short and finish totals."""
        j = self.problem.jobs[job]
        late = 0 if j.due is None or delivery <= j.due else j.weight * (delivery - j.due)
        short = 0 if j.safe_by is None or delivery <= j.safe_by else j.weight * (delivery - j.safe_by)
        return late, short, j.weight * (delivery - self.problem.now)

    def counts(self, job: int) -> bool:
        """Whether a job is in the totals: not delivered, and none of its tasks refused from the start."""
        return self._counts[job]

    def totals(self, built: BuiltSchedule) -> tuple[int, int, int]:
        """Late, short and finish total of a schedule, weighted minutes."""
        deliveries: dict[int, int] = {}
        lost = {self.compiled.prepared[i].task.job for i in built.refused}
        for i, moments in enumerate(built.moments):
            job = self.compiled.prepared[i].task.job
            if moments is not None and job not in lost and self.problem.jobs[job].counts:
                deliveries[job] = max(deliveries.get(job, moments[2]), moments[2])
        each = [self.job_totals(job, delivery) for job, delivery in deliveries.items()]
        late, short, finish = map(sum, zip(*each, strict=True)) if each else (0, 0, 0)
        return late, short, finish

    def _tails(self) -> list[int]:
        """Per task, the least minutes from its completion to the delivery of its job."""
        compiled = self.compiled
        tails = [0] * len(compiled.prepared)
        for i in sorted(range(len(tails)), key=compiled.rank.__getitem__, reverse=True):
            prepared = compiled.prepared[i]
            for s in compiled.successors[i]:
                after = compiled.prepared[s]
                if after.task.job == prepared.task.job and after.task.fixed is None:
                    lag = min((o for j, m, o in after.lags if j == i and m == 2), default=None)
                    if lag is not None:
                        tails[i] = max(tails[i], tails[s] + self._least(s) + lag)
        return tails

    def _least(self, i: int) -> int:
        prepared = self.compiled.prepared[i]
        waits = sum(p.takes for p in prepared.phases if p.clock is None and not p.informational)
        return prepared.work + waits + (prepared.task.length if prepared.task.clock is None else 0)

    # ------------------------------------------------------------ what comes first

    def _prelude(self) -> BuiltSchedule:
        """What has happened, what is under way, and the appointments."""
        compiled, placer = self.compiled, self.placer
        n = len(compiled.prepared)
        built = BuiltSchedule(0, 0, 0, [], [], [None] * n, [0] * n, set(), {})
        profiles = list(placer.empty)
        tasks = range(n)
        for i in tasks:
            if compiled.prepared[i].task.fixed is not None:
                self._record(built, i, placer.settled(i), profiles)
        for i in tasks:
            if compiled.prepared[i].task.going and i not in self.refused:
                try:
                    self._record(built, i, placer.going(i, profiles), profiles)
                except NoPlace as no:
                    self._refuse(self.refused, i, no.refusal)
        wanted = sorted(filter(self._can_reserve, tasks), key=lambda i: len(compiled.prepared[i].staff))
        for i, fit in (
            self._all_appointed(wanted, profiles) or self._appointed_in_turn(wanted, profiles)
        ).items():
            self._record(built, i, fit, profiles)
            self._reserve(i)
        for i, moments in enumerate(built.moments):
            if moments is not None:
                for appointment, refusal in list(self._spoiled(i, moments, self.refused)):
                    self._refuse(self.refused, appointment, refusal)
        refused_jobs = {compiled.prepared[i].task.job for i in self.refused}
        self._counts = [job.counts and k not in refused_jobs for k, job in enumerate(self.problem.jobs)]
        built.refused = dict(self.refused)
        self.reach: EarliestDelivery | None = None
        deliveries = [self.problem.now] * len(self.problem.jobs)
        for i, m in enumerate(built.moments):
            job = compiled.prepared[i].task.job
            if m is not None:
                deliveries[job] = max(deliveries[job], m[2] + self.tails[i])
        built.marks = [(profiles, deliveries, 0, 0, 0)]
        self._price(built)
        return built

    def _price(self, start: BuiltSchedule) -> None:
        """What the deliveries known before anything is placed cost."""
        profiles, deliveries, _, _, _ = start.marks[0]
        start.late = sum(self.job_cost(j, d)[1] for j, d in enumerate(deliveries))
        start.short = sum(self.job_cost(j, d)[2] for j, d in enumerate(deliveries))
        start.cost = self._cost_of(deliveries)
        start.marks = [(profiles, deliveries, start.cost, start.late, start.short)]

    def _cost_of(self, deliveries: Sequence[int]) -> int:
        return sum(self.job_cost(j, d)[0] for j, d in enumerate(deliveries))

    def look_ahead(self) -> None:
        """From now on see what a start costs before the rest of its job is placed: pays where many are compared."""
        self.reach = EarliestDelivery(self.compiled, self.placer, self.refused)
        (profiles, given, *prices), *_ = self.start.marks
        deliveries = list(given)  # what was built before keeps those it was priced by
        for i, moments in enumerate(self.start.moments):
            if moments is None and i not in self.refused:
                job, release = self.job_of[i], self.compiled.prepared[i].release
                deliveries[job] = max(deliveries[job], self.reach.delivery(i, release))
        self.start.marks = [(profiles, deliveries, prices[0], prices[1], prices[2])]
        self._price(self.start)

    def weigh(self, late_weight: int, short_weight: int) -> None:
        """Price two totals anew. Schedules built before keep their cost until they are `repriced`."""
        self.late_weight, self.short_weight = late_weight, short_weight
        self._price(self.start)

    def repriced(self, built: BuiltSchedule) -> BuiltSchedule:
        """A schedule at what the totals cost now."""

        def price(deliveries: Sequence[int], cost: int) -> int:
            return cost // IMPOSSIBLE * IMPOSSIBLE + self._cost_of(deliveries)

        marks = [
            (profiles, at, price(at, cost), late, short) for profiles, at, cost, late, short in built.marks
        ]
        return replace(built, marks=marks, cost=price(marks[-1][1], built.cost))

    def _all_appointed(self, wanted: Sequence[int], profiles: Profiles) -> dict[int, Fit] | None:
        """A crew for every appointment, tried one after another; None where there is none, or not soon."""
        fits: dict[int, Fit] = {}
        stack = [(profiles, self.placer.appointments(wanted[0], profiles))] if wanted else []
        for _ in range(APPOINTING):
            if not stack:
                return None if wanted else fits
            before, more = stack[-1]
            fit = next(more, None)
            if fit is None:
                stack.pop()
                continue
            fits[wanted[len(stack) - 1]] = fit
            if len(stack) == len(wanted):
                return fits
            taken = list(before)
            self.placer.enter(wanted[len(stack) - 1], fit, taken)
            stack.append((taken, self.placer.appointments(wanted[len(stack)], taken)))
        return None

    def _appointed_in_turn(self, wanted: Sequence[int], profiles: Profiles) -> dict[int, Fit]:
        """The appointments that can be kept, first come first served; the others are refused."""
        fits: dict[int, Fit] = {}
        taken = list(profiles)
        for i in wanted:
            try:
                fits[i] = self.placer.appointed(i, taken)
                self.placer.enter(i, fits[i], taken)
            except NoPlace as no:
                self._refuse(self.refused, i, no.refusal)
        return fits

    def _can_reserve(self, i: int) -> bool:
        prepared = self.compiled.prepared[i]
        task = prepared.task
        early = task.at is not None and task.fixed is None and not task.going and not task.starts_immediately
        return early and i not in self.refused and not (prepared.windows and prepared.soft)

    def _reserve(self, i: int) -> None:
        """Turn the lags and hard windows of an appointment into bounds on what it waits for."""
        prepared = self.compiled.prepared[i]
        at = prepared.task.at or 0
        self.reserved.append(i)
        for j, m, offset in prepared.lags:
            self.latest.setdefault(j, []).append((m, at - offset, i))
        for refs, within in prepared.windows:
            j, m, offset = refs[-1]
            self.placer.bounds.setdefault(j, []).append((m, at - within - offset, i))

    def _spoiled(self, i: int, moments: Moments, refused: Container[int]) -> Iterator[tuple[int, Refusal]]:
        """Appointments that a task placed like this makes impossible."""
        for m, latest, appointment in self.latest.get(i, ()):
            if moments[m] > latest and appointment not in refused:
                yield appointment, Refusal(Cause.APPOINTMENT, other=i, limit=moments[m])
        for m, soonest, appointment in self.placer.bounds.get(i, ()):
            if moments[m] < soonest and appointment not in refused:
                yield appointment, Refusal(Cause.WINDOW, other=i)

    def _record(self, built: BuiltSchedule, i: int, fit: Fit, profiles: Profiles) -> None:
        built.moments[i] = fit.moments
        built.crews[i] = fit.crew
        if fit.missed:
            built.missed.add(i)
        self.placer.enter(i, fit, profiles)

    def _refuse(self, refused: dict[int, Refusal], i: int, refusal: Refusal) -> None:
        refused.setdefault(i, refusal)
        self.compiled.spread_refusals(refused)

    # ------------------------------------------------------------ building

    def build(
        self, order: Sequence[int], base: BuiltSchedule | None = None, keep: int = 0, limit: int | None = None
    ) -> BuiltSchedule | None:
        """Place the tasks in this order; what a task waits for is placed before it.

        base, keep: take the first `keep` tasks as they stand in `base` (the orders agree so far).
        limit:      give up (None) as soon as the cost must exceed it.
        """
        self.spent += OVERHEAD
        if base is None:
            base, keep = self.start, 0
        elif len(base.refused) > len(self.start.refused):
            return self._again([*base.order[:keep], *order], set(), limit)
        return self._go_on(self._begin(base, keep), order, set(), limit)

    def _again(self, order: Sequence[int], bound: set[int], limit: int | None) -> BuiltSchedule | None:
        """Start over, with more units bound: what was refused before may have a place now."""
        tasks = dict.fromkeys([*order, *range(len(self.compiled.prepared))])
        return self._go_on(self._begin(self.start, 0), list(tasks), bound, limit)

    def _go_on(
        self, built: BuiltSchedule, order: Sequence[int], bound: set[int], limit: int | None
    ) -> BuiltSchedule | None:
        queue = [i for i in reversed(order) if built.moments[i] is None and i not in built.refused]
        compiled = self.compiled
        unit_of, needs, moments, refused = compiled.unit_of, compiled.needs, built.moments, built.refused
        floors: dict[int, int] = {}
        tries: dict[int, int] = {}
        while queue:
            i = queue[-1]
            if moments[i] is not None or i in refused:
                queue.pop()
                continue
            unit = compiled.units[unit_of[i]]
            members = unit if len(unit) > 1 and unit_of[i] in bound else (i,)
            waiting = []
            for k in members:
                for j in needs[k]:
                    if moments[j] is None and j not in members and j not in refused:
                        waiting.append(j)
            if waiting:
                queue += waiting
                continue
            if len(members) > 1:
                self._place_bound(members, queue, built)
            else:
                missed = self._place_one(i, built, floors, len(unit) == 1)
                if missed is not None:
                    if len(refused) > len(self.start.refused):
                        bound.add(unit_of[i])
                        return self._again([*built.order, *reversed(queue)], bound, limit)
                    tries[unit_of[i]] = tries.get(unit_of[i], 0) + 1
                    far = missed.start is None or missed.task not in built.order[-REACH:]
                    if missed.start is None or far or tries[unit_of[i]] > PATIENCE:
                        bound.add(unit_of[i])
                        queue += reversed(self._take_back(unit, built))
                    else:
                        floors[missed.task] = max(floors.get(missed.task, 0), missed.start)
                        queue += reversed(self._take_back((missed.task,), built))
            if limit is not None and built.cost > limit:
                return None
        return built

    def _begin(self, base: BuiltSchedule, keep: int) -> BuiltSchedule:
        """A build that has placed the first `keep` tasks of another."""
        _, _, cost, late, short = base.marks[keep]
        moments, missed = list(base.moments), set(base.missed)
        for i in base.order[keep:]:
            moments[i] = None
            missed.discard(i)
        order = base.order[:keep]
        return BuiltSchedule(
            cost,
            late,
            short,
            order,
            base.marks[: keep + 1],
            moments,
            list(base.crews),
            missed,
            dict(self.start.refused),
        )

    def _take_back(self, unit: tuple[int, ...], built: BuiltSchedule) -> list[int]:
        """Undo everything from the first task of a unit on; return what was undone, in order."""
        first = min(k for k, i in enumerate(built.order) if i in unit)
        undone = built.order[first:]
        for i in undone:
            built.moments[i] = None
            built.missed.discard(i)
        del built.order[first:], built.marks[first + 1 :]
        _, _, built.cost, built.late, built.short = built.marks[-1]
        return undone

    def _place_one(
        self, i: int, built: BuiltSchedule, floors: dict[int, int], alone: bool
    ) -> WindowMissed | None:
        """Place or refuse a task; or say which task of its unit must move for the sake of its window."""
        self._spent += 1
        profiles = built.marks[-1][0]
        try:
            fit = self.placer.fit(i, profiles, built.moments, floors.get(i, 0))
            if not alone:
                self._look_back(i, fit.moments, built.moments)
        except NoPlace as no:
            if not alone and no.refusal.cause is not Cause.HORIZON and self._started(i, built):
                return WindowMissed(i, None)
            self._fail(built, i, no.refusal)
            return None
        except WindowMissed as no:
            if not alone and self._started(i, built):
                movable = built.moments[no.task] is not None and self.start.moments[no.task] is None
                return no if movable else WindowMissed(i, None)
            self._fail(built, i, Refusal(Cause.WINDOW, other=no.task))
            return None
        profiles = list(profiles)
        self.placer.enter(i, fit, profiles)
        self._enter(built, i, fit, profiles)
        return None

    def _started(self, i: int, built: BuiltSchedule) -> bool:
        """Whether some task of the unit was placed in this build."""
        unit = self.compiled.units[self.compiled.unit_of[i]]
        return any(built.moments[j] is not None and self.start.moments[j] is None for j in unit)

    def _enter(self, built: BuiltSchedule, i: int, fit: Fit, profiles: Profiles) -> None:
        """Write down a fit whose holds are in `profiles`."""
        moments = fit.moments
        built.moments[i] = moments
        built.crews[i] = fit.crew
        if fit.missed:
            built.missed.add(i)
        deliveries = built.marks[-1][1]
        job, delivery = self.job_of[i], moments[2] + self.tails[i]
        if self.reach is not None and (reached := self.reach.delivery(i, moments[0])) > delivery:
            delivery = reached
        if delivery > deliveries[job]:
            deliveries = list(deliveries)
            self._deliver(built, job, delivery, deliveries)
        if self.reserved:
            for appointment, refusal in list(self._spoiled(i, moments, built.refused)):
                built.refused[appointment] = refusal
                built.cost += IMPOSSIBLE
        built.order.append(i)
        built.marks.append((profiles, deliveries, built.cost, built.late, built.short))

    def _deliver(self, built: BuiltSchedule, job: int, delivery: int, deliveries: list[int]) -> None:
        """Take a later delivery of a job into the cost."""
        cost, late, short = self.job_cost(job, delivery)
        old_cost, old_late, old_short = self.job_cost(job, deliveries[job])
        built.cost += cost - old_cost
        built.late += late - old_late
        built.short += short - old_short
        deliveries[job] = delivery

    def _fail(self, built: BuiltSchedule, i: int, refusal: Refusal) -> None:
        """Refuse a task and what waits for it."""
        before = len(built.refused)
        self._refuse(built.refused, i, refusal)
        built.cost += IMPOSSIBLE * (len(built.refused) - before)

    def _place_bound(self, unit: tuple[int, ...], queue: list[int], built: BuiltSchedule) -> None:
        """Place a whole unit; move a task later and go on from there when a window is missed."""
        todo = self._sequence([i for i in unit if built.moments[i] is None and i not in built.refused], queue)
        place = {i: k for k, i in enumerate(todo)}
        floors: dict[int, int] = {}
        trail: list[Profiles] = [built.marks[-1][0]]
        fits: list[Fit] = []
        tries = 0
        while len(fits) < len(todo):
            i = todo[len(fits)]
            self.spent += 1
            try:
                fit = self.placer.fit(i, trail[-1], built.moments, floors.get(i, 0))
                self._look_back(i, fit.moments, built.moments)
            except NoPlace as no:
                return self._give_up(built, unit, queue, todo, i, no.refusal)
            except WindowMissed as no:
                tries += 1
                if no.start is None or no.task not in place or tries > RETRIES:
                    refusal = Refusal(Cause.WINDOW, other=no.task)
                    return self._give_up(built, unit, queue, todo, i, refusal)
                floors[no.task] = max(floors.get(no.task, 0), no.start)
                back = min(place[no.task], len(fits))
                for j in todo[back : len(fits)]:
                    built.moments[j] = None
                del fits[back:], trail[back + 1 :]
                continue
            built.moments[i] = fit.moments
            taken = list(trail[-1])
            self.placer.enter(i, fit, taken)
            trail.append(taken)
            fits.append(fit)
        for i, fit, profiles in zip(todo, fits, trail[1:], strict=True):
            self._enter(built, i, fit, profiles)
        return None

    def _sequence(self, todo: list[int], queue: list[int]) -> list[int]:
        """The tasks of a unit in the order of the queue, each after what it waits for."""
        wanted = set(todo)
        stack = [i for i in queue if i in wanted]
        out: dict[int, None] = {}
        while stack:
            i = stack[-1]
            waiting = [j for j in self.compiled.needs[i] if j in wanted and j not in out]
            if waiting:
                stack += waiting
            else:
                out[stack.pop()] = None
        return [*out, *(i for i in todo if i not in out)]

    def _give_up(
        self,
        built: BuiltSchedule,
        unit: tuple[int, ...],
        queue: list[int],
        todo: list[int],
        i: int,
        refusal: Refusal,
    ) -> None:
        """Refuse a task and what waits for it, and place what is left of its unit."""
        for j in todo:
            built.moments[j] = None
        self._fail(built, i, refusal)
        self._place_bound(unit, queue, built)

    def _look_back(self, j: int, moments: Moments, placed: list[Moments | None]) -> None:
        """A task placed after one whose window hangs on it must not be too early for it."""
        for i, m, offset, within in self.compiled.watchers.get(j, ()):
            other = placed[i]
            if other is not None and other[0] > moments[m] + offset + within:
                raise WindowMissed(
                    j, max(moments[0] + 1, moments[0] + other[0] - moments[m] - offset - within)
                )

    # ------------------------------------------------------------ the answer

    def schedule(self, built: BuiltSchedule) -> Schedule:
        """The finished schedule of a build, with what each phase keeps and when it is free."""
        placed: list[Placed | None] = []
        for i, moments in enumerate(built.moments):
            if moments is None or i in built.refused:
                placed.append(None)
                continue
            start, end, complete, *ends = moments
            frees = self.placer.phase_times(self.compiled.prepared[i], end)[2]
            placed.append(
                Placed(start, end, complete, built.crews[i], tuple(ends), tuple(frees), i in built.missed)
            )
        return Schedule(tuple(placed), dict(built.refused))
