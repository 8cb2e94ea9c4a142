"""Merging: the tasks of a few whole jobs are inserted among those of all others, which keep their order.

A beam search (Lowerre 1976; Ow and Morton 1988) appends one task after another and continues with the most promising
partial schedules. Their estimate follows the order in which the jobs are to have their last work: a job's last task
comes after the rest of its own work and that of the jobs before it. So filling a wait costs nothing, while delaying
an early job does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.search.appending import Appended, Appender
from shopday.scheduler.search.outlook import Outlook, WorkedUntil
from shopday.scheduler.search.spots import MAKER, Spot

BEAM_WIDTH = 2
"""The number of partial schedules that are continued."""

Trail = tuple[int, "Trail"] | None
"""What was appended, the last first."""

Guard = tuple[int, int, list[tuple[int, int, Outlook]]]
"""A job that keeps its order, how many free jobs are to be done before it, and what may decide its delivery."""

Last = tuple[int, Outlook, int, int]
"""A free job, the outlook from its last work, minutes of that, and the work on kept jobs to be done before it."""


@dataclass(slots=True)
class Partial:
    """A partial merge.

    kept:      how many of the kept tasks are certainly placed.
    kept_work: the work of kept tasks that is placed.
    ready:     free tasks that wait only for what is placed or is before them.
    left:      the work left of each free job, in the order in which they finish.
    """

    state: Appended
    kept: int
    kept_work: int
    ready: tuple[int, ...]
    left: tuple[int, ...]
    placed: int
    trail: Trail


@dataclass(slots=True)
class Candidate:
    """A task that may come next in a partial merge, with its estimate and the state after it."""

    estimate: int
    worked: int
    i: int
    spot: Spot
    partial: Partial
    kept_work: int
    left: tuple[int, ...]
    ready: tuple[int, ...]


class Merger:
    """What all merges of one problem share."""

    def __init__(self, appender: Appender) -> None:
        self.appender = appender
        builder, tasks = appender.builder, appender.tasks
        reach = tasks[appender.work[0]].spots.reach
        self.worked = WorkedUntil(appender.calendar)
        self.outlooks = {i: Outlook(i, appender.calendar, reach) for i in appender.work}
        self.bits = {i: 1 << k for k, i in enumerate(appender.work)}
        self.minutes = {i: tasks[i].prepared.work for i in appender.work}
        self.after = self._after()
        self.tails = {
            i: builder.costs.tails[i] + sum(p.takes for p in tasks[i].prepared.phases if not p.informational)
            for i in appender.work
        }

    def _after(self) -> dict[int, list[int]]:
        """By work task: the work that waits for it, or for what follows it by itself."""
        appender = self.appender
        out: dict[int, list[int]] = {i: [] for i in appender.work}
        for i in appender.work:
            stack, seen = list(appender.needs[i]), {i}
            while stack:
                j = stack.pop()
                if j in out and i not in out[j]:
                    out[j].append(i)
                elif j not in seen:
                    seen.add(j)
                    stack += appender.needs[j]
        return out

    def merge(self, order: Sequence[int], keep: int, free: Sequence[int]) -> Merge | None:
        """The merge of the tasks of free jobs with the rest; None if the order cannot be appended.

        order: of the work; its first `keep` tasks stay as they are.
        """
        trail: Trail = None
        state = self.appender.start.copy()
        for i in order[:keep]:
            spot = self.appender.fit(state, i)
            if spot is None:
                return None
            self.appender.enter(state, i, spot)
            trail = i, trail
        return Merge(self, state, trail, order[keep:], free)


class Merge:
    """One merge: first call `aim_for` with an order of jobs, then `run`."""

    def __init__(
        self, merger: Merger, state: Appended, trail: Trail, order: Sequence[int], free: Sequence[int]
    ) -> None:
        self.merger, self.appender, self.state, self.trail = merger, merger.appender, state, trail
        self.job_of = {i: merger.appender.tasks[i].job for i in order}
        self.kept = [i for i in order if self.job_of[i] not in free]
        self.freed = [i for i in order if self.job_of[i] in free]
        self.last = {self.job_of[i]: i for i in self.freed}
        self.work_of = dict.fromkeys(self.last, 0)
        for i in self.freed:
            self.work_of[self.job_of[i]] += merger.minutes[i]
        self.deciding, self.kept_until = self._kept_jobs()
        self.limit = FOREVER

    def _kept_jobs(self) -> tuple[dict[int, list[tuple[int, int, Outlook]]], dict[int, int]]:
        """By job that keeps its order: its tasks that may decide its delivery, as (place among the kept, work of
        kept tasks before it, outlook); and the work of kept tasks up to its last."""
        places: dict[int, list[tuple[int, int, int]]] = {}
        until: dict[int, int] = {}
        work = 0
        for k, i in enumerate(self.kept):
            places.setdefault(self.job_of[i], []).append((k, work, i))
            work += self.merger.minutes[i]
            until[self.job_of[i]] = work
        deciding: dict[int, list[tuple[int, int, Outlook]]] = {}
        for job, rows in places.items():
            deciding[job], longest = [], -1
            for k, before, i in reversed(rows):
                if self.merger.tails[i] > longest:
                    longest = self.merger.tails[i]
                    deciding[job].append((k, before, self.merger.outlooks[i]))
        return deciding, until

    def aim_for(self, jobs: Sequence[int]) -> int:
        """From now on, the jobs are to have their last work in this order. Returns the estimated cost."""
        rank = {job: k for k, job in enumerate(jobs)}
        until = self.kept_until
        self.free = sorted(self.last, key=rank.__getitem__)
        self.place = {f: n for n, f in enumerate(self.free)}
        self.guards: dict[int, list[Guard]] = {
            0: [
                (job, sum(rank[f] < rank[job] for f in self.free), rows)
                for job, rows in self.deciding.items()
            ]
        }
        self.lasts: list[Last] = []
        for f in self.free:
            before = max((until[job] for job in until if rank[job] < rank[f]), default=0)
            last = self.last[f]
            self.lasts.append((f, self.merger.outlooks[last], self.merger.minutes[last], before))
        self.left = tuple(self.work_of[f] for f in self.free)
        worked = self.merger.worked[self.state.free[MAKER]]
        return self._estimate(self.state.cost, self.state.deliveries, 0, 0, self.left, (), worked)

    def _guards(self, kept: int) -> list[Guard]:
        """What may still decide the deliveries of the jobs in fixed order, once so many kept tasks are placed."""
        guards = self.guards.get(kept)
        if guards is None:
            rows = ((job, n, [row for row in rows if row[0] >= kept]) for job, n, rows in self.guards[0])
            guards = self.guards[kept] = [guard for guard in rows if guard[2]]
        return guards

    def run(self, limit: int) -> tuple[Appended, list[int]] | None:
        """The best merge that the beam finds, with its order of work; None if none costs `limit` or less."""
        self.limit = limit
        ready = tuple(i for i in self.freed if self.appender.ready(self.state, i))
        beam = [Partial(self.state, 0, 0, ready, self.left, 0, self.trail)]
        for _ in range(len(self.kept) + len(self.freed)):
            found = [candidate for partial in beam for candidate in self._candidates(partial)]
            found.sort(key=lambda x: (x.estimate, x.worked))
            beam = list(self._best(found))
        if not beam:
            return None
        best = min(beam, key=lambda partial: partial.state.cost)
        return best.state, _order_of(best.trail)

    def _candidates(self, partial: Partial) -> Iterator[Candidate]:
        """Every task that may come next and could begin before any of them could be done."""
        appender, state = self.appender, partial.state
        fits = []
        soonest = FOREVER
        for i in self._next(partial):
            spot = appender.fit(state, i)
            if spot is not None:
                fits.append((i, spot))
                soonest = min(soonest, spot.moments[1])
        for i, spot in fits:
            start, end, *_ = spot.moments
            if start < soonest or end == soonest:
                candidate = self._candidate(partial, i, spot)
                if candidate.estimate <= self.limit:
                    yield candidate

    def _candidate(self, partial: Partial, i: int, spot: Spot) -> Candidate:
        job, work = self.job_of[i], self.merger.minutes[i]
        kept, kept_work, left, ready = partial.kept, partial.kept_work, partial.left, partial.ready
        n = self.place.get(job)
        if n is not None:
            left = (*left[:n], left[n] - work, *left[n + 1 :])
            ready = tuple([q for q in ready if q != i])
        else:
            kept, kept_work = kept + 1, kept_work + work
        cost, deliveries = partial.state.cost, partial.state.deliveries
        if spot.delivery > (before := deliveries[job]):
            deliveries = deliveries[:]
            deliveries[job] = spot.delivery
            prices = self.appender.prices[job]
            cost += prices[spot.delivery] - prices[before]
        worked = self.merger.worked[spot.moments[1]]
        estimate = self._estimate(cost, deliveries, kept, kept_work, left, ready, worked)
        return Candidate(estimate, worked, i, spot, partial, kept_work, left, ready)

    def _next(self, partial: Partial) -> Iterator[int]:
        """Free tasks, the next kept one, and whatever must start soon; none that would start a window too early."""
        state, kept, k = partial.state, self.kept, partial.kept
        while k < len(kept) and state.moments[kept[k]] is not None:
            k += 1
        partial.kept = k
        options = (*partial.ready, *kept[k : k + 1])
        if state.pending:
            options = tuple(dict.fromkeys([*options, *(i for i in state.pending if i in self.job_of)]))
        for i in options:
            if self.appender.ready(state, i) and (
                not self.appender.tasks[i].follow or self.appender.can_be_followed(state, i)
            ):
                yield i

    def _estimate(
        self,
        cost: int,
        deliveries: Sequence[int],
        kept: int,
        kept_work: int,
        left: Sequence[int],
        ready: Sequence[int],
        worked: int,
    ) -> int:
        """Estimate the least cost of a whole merge from that of a partial one (see `Partial`). worked: the work done
        when the maker is free."""
        outlooks, prices = self.merger.outlooks, self.appender.prices
        before = worked - kept_work
        sums = [before]
        for minutes in left:
            before += minutes
            sums.append(before)
        for job, ahead, rows in self.guards.get(kept) or self._guards(kept):
            known, before = deliveries[job], sums[ahead]
            delivery = known
            for _, work, outlook in rows:
                later = outlook[before + work]
                if later > delivery:
                    delivery = later
            if delivery > known:
                cost += prices[job][delivery] - prices[job][known]
        soonest = [deliveries[job] for job in self.free]
        for i in ready:
            n = self.place[self.job_of[i]]
            later = outlooks[i][worked]
            if later > soonest[n]:
                soonest[n] = later
        for n, (job, outlook, minutes, kept_before) in enumerate(self.lasts):
            if left[n] >= minutes > 0:
                ahead = kept_work if kept_work > kept_before else kept_before
                delivery, later = soonest[n], outlook[sums[n + 1] + ahead - minutes]
                if later > delivery:
                    delivery = later
                if delivery > deliveries[job]:
                    cost += prices[job][delivery] - prices[job][deliveries[job]]
        return cost

    def _best(self, found: Sequence[Candidate]) -> Iterator[Partial]:
        """The best candidates, each with a different set of tasks, that can keep every window that has begun."""
        seen: set[int] = set()
        for candidate in found:
            placed = candidate.partial.placed | self.merger.bits[candidate.i]
            if placed in seen:
                continue
            state = candidate.partial.state.copy()
            self.appender.enter(state, candidate.i, candidate.spot)
            if state.pending and not self.appender.can_go_on(state):
                continue
            seen.add(placed)
            yield self._partial(candidate, state, placed)
            if len(seen) == BEAM_WIDTH:
                return

    def _partial(self, candidate: Candidate, state: Appended, placed: int) -> Partial:
        before, i, ready = candidate.partial, candidate.i, candidate.ready
        more = tuple(q for q in self.merger.after[i] if self.job_of.get(q) in self.last and q not in ready)
        return Partial(
            state, before.kept, candidate.kept_work, ready + more, candidate.left, placed, (i, before.trail)
        )


def _order_of(trail: Trail) -> list[int]:
    out = []
    while trail is not None:
        i, trail = trail
        out.append(i)
    return out[::-1]
