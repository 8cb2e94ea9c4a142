"""Merging: the tasks of a few whole jobs are put among those of all others, which keep their order.

A beam search (Lowerre 1976; Ow and Morton 1988) appends one task after another and goes on with the few partial
schedules that promise most. What one promises is told by the order in which the jobs are to have their last work done:
a job's last task comes after what is left of its own work and of the jobs before it. So whatever fills a wait costs nothing, and what
keeps an early job waiting does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.search.appending import Appended, Appender
from shopday.scheduler.search.outlook import Outlook, Worked
from shopday.scheduler.search.spots import Spot

WIDTH = 3
"""How many partial schedules are gone on with."""

Trail = tuple[int, "Trail"] | None
"""What was appended, the last first."""


@dataclass(slots=True)
class Partial:
    """A partial merge.

    kept:  how many of the kept tasks are surely placed; kept_work: work of kept tasks that is placed.
    ready: free tasks that wait for nothing but what is placed, or stands before it; left: work left per free job, in the order in which they are done.
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
    """A task that may come next in a partial merge, and what that promises."""

    estimate: int
    worked: int
    i: int
    spot: Spot
    partial: Partial


class Merger:
    """What all merges of one problem share."""

    def __init__(self, appender: Appender) -> None:
        self.appender = appender
        builder, tasks = appender.builder, appender.tasks
        reach = tasks[appender.work[0]].spots.reach
        self.worked = Worked(appender.calendar)
        self.outlooks = {i: Outlook(i, appender.calendar, reach) for i in appender.work}
        self.bits = {i: 1 << k for k, i in enumerate(appender.work)}
        self.minutes = {i: tasks[i].prepared.work for i in appender.work}
        self.after = self._after()
        self.tails = {
            i: builder.costs.tails[i] + sum(p.takes for p in tasks[i].prepared.phases if not p.informational)
            for i in appender.work
        }

    def _after(self) -> dict[int, list[int]]:
        """Per work, what work waits for it or for what follows it by itself."""
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

    def merged(
        self, order: Sequence[int], keep: int, jobs: Sequence[int], free: Sequence[int], limit: int
    ) -> tuple[Appended, list[int]] | None:
        """The best that the beam finds, and its order of work; None where nothing costs `limit` or less.

        order: of the work; its first `keep` tasks stay as they are. jobs: in the order to try for in which their last work is done.
        free:  those whose tasks may go anywhere.
        """
        trail: Trail = None
        state = self.appender.start.copy()
        for i in order[:keep]:
            spot = self.appender.fit(state, i)
            if spot is None:
                return None
            self.appender.enter(state, i, spot)
            trail = i, trail
        return _Merge(self, state, order[keep:], jobs, free, limit).run(trail)


class _Merge:
    """One merge: of which tasks, for which order of jobs."""

    def __init__(
        self,
        merger: Merger,
        state: Appended,
        order: Sequence[int],
        jobs: Sequence[int],
        free: Sequence[int],
        limit: int,
    ) -> None:
        self.merger, self.appender, self.state, self.limit = merger, merger.appender, state, limit
        self.job_of = {i: merger.appender.tasks[i].job for i in order}
        rank = {job: k for k, job in enumerate(jobs)}
        self.kept = [i for i in order if self.job_of[i] not in free]
        self.freed = [i for i in order if self.job_of[i] in free]
        self.last = {self.job_of[i]: i for i in self.freed}
        self.free = sorted(self.last, key=rank.__getitem__)
        self.guards = self._guards(rank)
        self.kept_before = self._kept_before(rank)

    def _guards(self, rank: Mapping[int, int]) -> list[tuple[int, int, list[tuple[int, int, Outlook]]]]:
        """Per job that keeps its order: how many free jobs are to be done before it, and those of its tasks that
        may decide its delivery, as (place among the kept, work of kept tasks before it, outlook)."""
        rows: dict[int, list[tuple[int, int, int]]] = {}
        before = 0
        for k, i in enumerate(self.kept):
            rows.setdefault(self.job_of[i], []).append((k, before, i))
            before += self.merger.minutes[i]
        out = []
        for job, places in rows.items():
            deciding, longest = [], -1
            for k, work, i in reversed(places):
                if self.merger.tails[i] > longest:
                    longest = self.merger.tails[i]
                    deciding.append((k, work, self.merger.outlooks[i]))
            out.append((job, sum(rank[f] < rank[job] for f in self.free), deciding))
        return out

    def _kept_before(self, rank: Mapping[int, int]) -> list[int]:
        """Per free job, the work of kept tasks up to the last of a job to be done before it."""
        until: dict[int, int] = {}
        done = 0
        for i in self.kept:
            done += self.merger.minutes[i]
            until[self.job_of[i]] = done
        return [
            max((work for job, work in until.items() if rank[job] < rank[f]), default=0) for f in self.free
        ]

    def run(self, trail: Trail) -> tuple[Appended, list[int]] | None:
        minutes, state = self.merger.minutes, self.state
        left = tuple(sum(minutes[i] for i in self.freed if self.job_of[i] == f) for f in self.free)
        ready = tuple(i for i in self.freed if self.appender.ready(state, i))
        beam = [Partial(state, 0, 0, ready, left, 0, trail)]
        for _ in range(len(self.kept) + len(self.freed)):
            found = [candidate for partial in beam for candidate in self._candidates(partial)]
            found.sort(key=lambda x: (x.estimate, x.worked))
            beam = list(self._best(found))
        if not beam:
            return None
        best = min(beam, key=lambda partial: partial.state.cost)
        return best.state, _order_of(best.trail)

    def _candidates(self, partial: Partial) -> Iterator[Candidate]:
        """Whatever may come next and could begin before any of them could be done."""
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
                worked = self.merger.worked[end]
                estimate = self._estimate(partial, i, spot, worked)
                if estimate <= self.limit:
                    yield Candidate(estimate, worked, i, spot, partial)

    def _next(self, partial: Partial) -> Iterator[int]:
        """Free tasks, the next kept one, and whatever must start soon; none that would start a window too early."""
        state, kept, k = partial.state, self.kept, partial.kept
        while k < len(kept) and state.moments[kept[k]] is not None:
            k += 1
        partial.kept = k
        options = [
            *partial.ready,
            *kept[k : k + 1],
            *(i for i in state.pending if self.job_of.get(i) is not None),
        ]
        for i in dict.fromkeys(options):
            if self.appender.ready(state, i) and self._can_be_followed(state, i):
                yield i

    def _can_be_followed(self, state: Appended, i: int) -> bool:
        """Whether all that its followers wait for besides is placed."""
        needs, moments = self.appender.needs, state.moments
        return all(
            j == i or moments[j] is not None for k in self.appender.tasks[i].follow for j in needs.get(k, ())
        )

    def _estimate(self, partial: Partial, i: int, spot: Spot, worked: int) -> int:
        """About the least cost of the whole once task `i` is placed, for this order of jobs."""
        merger, prices, deliveries = self.merger, self.appender.prices, partial.state.deliveries
        job, work = self.job_of[i], merger.minutes[i]
        kept, kept_work = partial.kept, partial.kept_work
        if job not in self.last:
            kept, kept_work = kept + 1, kept_work + work
        before, sums = worked - kept_work, [worked - kept_work]
        for f, left in zip(self.free, partial.left, strict=True):
            before += left - work if f == job else left
            sums.append(before)
        estimate = 0
        for k, ahead, deciding in self.guards:
            delivery = spot.delivery if k == job and spot.delivery > deliveries[k] else deliveries[k]
            ahead_of_it = sums[ahead]
            for place, before, outlook in deciding:
                if place >= kept and (later := outlook[ahead_of_it + before]) > delivery:
                    delivery = later
            estimate += prices[k][delivery]
        for n, f in enumerate(self.free):
            delivery = spot.delivery if f == job and spot.delivery > deliveries[f] else deliveries[f]
            last = self.last[f]
            if partial.left[n] - (work if f == job else 0) >= merger.minutes[last] > 0:
                start = sums[n + 1] + max(kept_work, self.kept_before[n]) - merger.minutes[last]
                delivery = max(delivery, merger.outlooks[last][start])
                for q in partial.ready:
                    if q != i and self.job_of[q] == f and (later := merger.outlooks[q][worked]) > delivery:
                        delivery = later
            estimate += prices[f][delivery]
        return estimate

    def _best(self, found: Sequence[Candidate]) -> Iterator[Partial]:
        """The first few that are not made of the same tasks, and can keep every window that has begun."""
        seen: set[int] = set()
        for candidate in found:
            placed = candidate.partial.placed | self.merger.bits[candidate.i]
            if placed in seen:
                continue
            state = candidate.partial.state.copy()
            self.appender.enter(state, candidate.i, candidate.spot)
            if state.pending and not self._can_go_on(state):
                continue
            seen.add(placed)
            yield self._partial(candidate, state, placed)
            if len(seen) == WIDTH:
                return

    def _can_go_on(self, state: Appended) -> bool:
        return all(
            self.appender.fit(state, i) is not None for i in state.pending if self.appender.ready(state, i)
        )

    def _partial(self, candidate: Candidate, state: Appended, placed: int) -> Partial:
        before, i = candidate.partial, candidate.i
        job, work = self.job_of[i], self.merger.minutes[i]
        left, kept, kept_work = before.left, before.kept, before.kept_work
        if job in self.last:
            left = tuple(n - work if f == job else n for f, n in zip(self.free, left, strict=True))
        else:
            kept_work += work
        ready = [q for q in before.ready if q != i]
        ready += (q for q in self.merger.after[i] if self.job_of.get(q) in self.last and q not in ready)
        return Partial(state, kept, kept_work, tuple(ready), left, placed, (i, before.trail))


def _order_of(trail: Trail) -> list[int]:
    out = []
    while trail is not None:
        i, trail = trail
        out.append(i)
    return out[::-1]
