"""TaskHolds: what a task uses of people, stations, gear and air at a minute, and what its phases keep."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable

from shopday.scheduler.model.calendars import FOREVER, Calendar
from shopday.scheduler.model.phase_times import phase_times
from shopday.scheduler.placing.fits import Fit, KeptSpan, Profiles, ResourceHold
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.placing.prepared_task import PreparedTask
from shopday.scheduler.placing.resource_profiles import raise_level, take_capacity


class TaskHolds:
    """Works out what tasks use, and enters it in profiles."""

    def __init__(self, compiled: PreparedProblem) -> None:
        self.compiled = compiled
        problem = compiled.problem
        self.clocks = problem.clocks
        self.release_calendar: Calendar = problem.calendars[problem.release_calendar]
        self.capacities = problem.capacities
        self.resources = len(problem.capacities)
        self.unary = tuple(n == 1 for n in problem.capacities)

    def of_work(
        self, prepared: PreparedTask, people: tuple[int, ...], t: int, end: int
    ) -> list[ResourceHold]:
        """What the work uses, as (profile, amount, from, to); a point in time uses its people for a minute.

        People are also taken for the closed minutes next to their work, in which nobody could use them, so that the
        next search passes a night in one step.
        """
        if end == t:
            holds = [(r, 1, t, t + 1) for r in people]
            if prepared.task.dusty and prepared.fills is not None:
                holds.append((prepared.fills, 1, t, t + max(1, prepared.dust_lasts)))
            return holds
        holds = [(r, 1, *self._absent(r, t, end)) for r in people]
        for r in prepared.exclusive:
            holds.append((r, 1, t, end))
        for r, n, _ in prepared.counted:
            holds.append((r, n, t, end))
        if prepared.fills is not None:
            holds.append((prepared.fills, 1, t, end + prepared.dust_lasts))
        return holds

    def _absent(self, person: int, start: int, end: int) -> tuple[int, int]:
        """The span in which a person who works from `start` to `end` is not available to other tasks."""
        present = self.compiled.present[person]
        opens, closes = present.starts, present.ends
        k = bisect_right(opens, start) - 1
        begin = closes[k - 1] if opens[k] == start and k else start
        k = bisect_right(closes, end, k)
        return begin, opens[k] if k < len(opens) and opens[k] > end else end

    def keeping(self, prepared: PreparedTask, t: int, end: int) -> tuple[list[KeptSpan], list[int], int]:
        """What must be free for the phases of work from `t` to `end`, the end of each phase, and the completion."""
        course, air = prepared.course, self.resources + 2 * prepared.task.room
        if course is None:
            begins, ends, frees, complete = self.phase_times(prepared, end)
            kept = [
                (r, n, a, b, p)
                for r, n, keepers in prepared.uses
                if keepers
                for a, b, p in kept_spans(t, end, keepers, begins, frees)
            ]
            still = (
                (p, begins[p], ends[p]) for p, phase in enumerate(prepared.phases) if phase.needs_still_air
            )
            return kept + [(air, 1, a, b, p) for p, a, b in still if b > a], ends, complete
        kept = []
        known, free = -1, 0
        for r, n, after in course.keeps:
            if after != known:
                opens = self.release_calendar.open_from(end + after)
                known, free = after, FOREVER if opens is None else opens
            kept.append((r, n, t, free, -1))
        for p, a, b in course.still:
            kept.append((air, 1, end + a, end + b, p))
        return kept, [end + after for after in course.ends], end + course.over

    def holds_with(
        self, prepared: PreparedTask, people: tuple[int, ...], t: int, end: int, kept: Iterable[KeptSpan]
    ) -> list[ResourceHold]:
        """What the work uses and its phases keep; air that must be free of dust is used as still air."""
        holds = self.of_work(prepared, people, t, end)
        for r, n, a, b, _ in kept:
            if r >= self.resources:
                holds.append((r + 1, n, a, b))
                continue
            if a == t and end > t:
                holds.remove((r, n, t, end))
            holds.append((r, n, a, b))
        return holds

    def phase_times(self, prepared: PreparedTask, end: int) -> tuple[list[int], list[int], list[int], int]:
        """Begin, end and release of every phase after work that ends at `end`, and the completion."""
        return phase_times(prepared.phases, self.clocks, self.release_calendar, end)

    def enter(self, i: int, fit: Fit, profiles: Profiles) -> None:
        """Enter what a fit uses in `profiles`. The list is changed in place; the profiles in it are not."""
        holds = fit.holds
        if holds is None:
            prepared = self.compiled.prepared[i]
            people, (start, end, *_) = prepared.staff[fit.crew].people, fit.moments
            holds = self.holds_with(prepared, people, start, end, fit.kept)
        self.put(holds, profiles)

    def put(self, holds: Iterable[ResourceHold], profiles: Profiles) -> None:
        """Enter holds in `profiles`. The list is changed in place; the profiles in it are not."""
        unary, resources = self.unary, self.resources
        for r, n, a, b in holds:
            if r >= resources or unary[r]:
                profiles[r] = take_capacity(profiles[r], a, b)  # type: ignore[arg-type]
            else:
                profiles[r] = raise_level(profiles[r], a, b, n)  # type: ignore[arg-type]


def kept_spans(
    start: int, end: int, keepers: tuple[int, ...], begins: list[int], frees: list[int]
) -> list[tuple[int, int, int]]:
    """When a resource is in use: (from, to, phase that begins it or -1 for the work), overlaps joined."""
    spans = [(start, end, -1)]
    for p in keepers:
        a, b, phase = spans[-1]
        if begins[p] <= b:
            spans[-1] = (a, max(b, frees[p]), phase)
        else:
            spans.append((begins[p], frees[p], p))
    return spans
