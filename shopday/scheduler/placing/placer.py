"""Serial placement: tasks one after another, each at the earliest minute at which nothing objects.

Every constraint answers the same question, "what is the earliest minute not before t at which you
have no objection?", and a task goes round them until nobody objects. Tasks bound by hard windows
form a unit; if one of them cannot keep its window, the task it hangs on is moved later and the unit
placed again (the unscheduling step of Franck, Neumann and Schwindt 2001).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from shopday.scheduler.model.calendars import FOREVER, Calendar
from shopday.scheduler.model.phase_times import FIRST_PHASE, Moments, phase_times, soonest_ends
from shopday.scheduler.model.result import Cause, Refusal
from shopday.scheduler.placing.prepared_problem import PreparedProblem, PreparedTask, Staffing
from shopday.scheduler.placing.resource_profiles import (
    NO_LEVELS,
    NO_UNARY,
    Levels,
    Unary,
    above,
    raise_level,
    take_capacity,
    taken,
)

Profiles = list[Unary | Levels]

RETRIES = 400
"""How often the tasks of one unit are moved before its windows are given up."""

LOOKS = 20
"""How many places of a task are tried in one go for one at which what must follow it can follow."""


ResourceHold = tuple[int, int, int, int]
"""What is taken of a profile: (profile, amount, from, to)."""

KeptSpan = tuple[int, int, int, int, int]
"""What must be free for phases: (profile, amount, from, to, phase that begins it or -1 for the work)."""


@dataclass(slots=True)
class Fit:
    """A task at a minute: its moments, crew, and what its phases keep and want.

    holds: all it takes, where that is not told by the rest: of what has happened, or is under way.
    """

    moments: Moments
    crew: int
    missed: bool
    kept: Sequence[KeptSpan] = ()
    holds: Sequence[ResourceHold] | None = None


class WindowMissed(Exception):
    """A hard window cannot be kept: some task must move to `start` or later (None: nothing can help)."""

    def __init__(self, task: int, start: int | None) -> None:
        super().__init__(task, start)
        self.task, self.start = task, start


class NoPlace(Exception):
    """No minute suits the task, ever."""

    def __init__(self, task: int, refusal: Refusal) -> None:
        super().__init__(task, refusal)
        self.task, self.refusal = task, refusal


class Placer:
    """Fits single tasks and units into profiles. Holds nothing that changes while searching."""

    def __init__(self, compiled: PreparedProblem) -> None:
        self.compiled = compiled
        self.problem = problem = compiled.problem
        self.release_calendar: Calendar = problem.calendars[problem.release_calendar]
        self.resources = len(problem.capacities)
        self.unary = tuple(n == 1 for n in problem.capacities)
        self.capacities = problem.capacities
        rooms = 1 + max((task.room for task in problem.tasks), default=0)
        self.empty: Profiles = [NO_UNARY if one else NO_LEVELS for one in self.unary] + [NO_UNARY] * (
            2 * rooms
        )
        self.bounds: dict[int, list[tuple[int, int, int]]] = {}
        """Per task, (moment, least minute, appointment): what hard windows of appointments ask of it."""
        self.looked = 0
        """How often it was asked whether what must follow a task can follow it."""
        self.chosen: dict[int, int] = {}
        """The crew of tasks that must not take just the one that is done first."""
        self.not_before: dict[int, int] = {}
        """Starts of an earlier schedule that tasks are not to be before."""

    # ------------------------------------------------------------ one task

    def fit(self, i: int, profiles: Profiles, moments: list[Moments | None], floor: int) -> Fit:
        """The earliest place of a task that is not before `floor`; the crew that is done first.

        Raises WindowMissed or NoPlace.
        """
        prepared = self.compiled.prepared[i]
        ready = prepared.release if prepared.release > floor else floor
        if self.not_before and not prepared.task.starts_immediately:
            ready = max(ready, self.not_before.get(i, ready))
        for j, m, offset in prepared.lags:
            minute = moments[j][m] + offset  # type: ignore[index]  # what it waits for is placed
            if minute > ready:
                ready = minute
        if prepared.task.starts_immediately:
            return self._eager(i, prepared, ready, moments, floor)
        deadline = self.deadline(prepared, moments) if prepared.windows else FOREVER
        if prepared.task.at is not None:
            return self._appointed(i, prepared, ready, deadline, profiles)
        followed = i in self.compiled.followers
        best: Fit | None = None
        limit = FOREVER
        for crew, staff in enumerate(prepared.staff):
            if self.chosen and self.chosen.get(i, crew) != crew:
                continue
            found = self.earliest(prepared, crew, staff, ready, deadline, profiles, limit)
            if found is not None and i in self.bounds:
                found = self._bounded(i, prepared, crew, staff, deadline, profiles, found)
            if followed:
                found = self._followed(i, prepared, crew, staff, deadline, profiles, moments, found)
            if found is not None and (best is None or found.moments[1] < best.moments[1]):
                best = found
                if not followed:  # from then on nobody could be done sooner
                    limit = best.moments[1] - prepared.work - 1
        if best is None:
            raise NoPlace(i, Refusal(Cause.HORIZON))
        if best.moments[0] > deadline and not prepared.soft:
            self._blame(i, best.moments[0], moments)
        return best

    def _bounded(
        self,
        i: int,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        deadline: int,
        profiles: Profiles,
        found: Fit,
    ) -> Fit | None:
        """Later, where the hard window of an appointment asks for it."""
        again: Fit | None = found
        for m, least, _ in self.bounds[i]:
            while again is not None and again.moments[m] < least:
                start = max(again.moments[0] + 1, self.start_for(prepared, staff.calendar, m, least))
                again = self.earliest(prepared, crew, staff, start, deadline, profiles)
        return again

    def _followed(
        self,
        i: int,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        deadline: int,
        profiles: Profiles,
        moments: list[Moments | None],
        found: Fit | None,
    ) -> Fit | None:
        """Later, until what must follow within a hard window finds a free minute inside it.

        Saves placing both, and taking back the first, once for every gap that holds only one of them.
        """
        for _ in range(LOOKS):
            if found is None:
                return None
            self.looked += 1
            start = self._start_to_be_followed(i, prepared, staff, profiles, moments, found.moments)
            if start <= found.moments[0]:
                return found
            found = self.earliest(prepared, crew, staff, start, deadline, profiles)
        return found

    def _start_to_be_followed(
        self,
        i: int,
        prepared: PreparedTask,
        staff: Staffing,
        profiles: Profiles,
        moments: list[Moments | None],
        at: Moments,
    ) -> int:
        """The least start of a task at which its followers might keep their windows; its own where they may."""
        latest = at[0]
        for k, m, offset, within in self.compiled.followers[i]:
            after = self.compiled.prepared[k]
            if moments[k] is not None or k in self.compiled.refused:
                continue
            ready = after.release
            for j, n, o in after.lags:
                known = at if j == i else moments[j]
                if known is not None and known[n] + o > ready:
                    ready = known[n] + o
            last, soonest = at[m] + offset + within, FOREVER
            for c, other in enumerate(after.staff):
                fit = self.earliest(after, c, other, ready, FOREVER, profiles, soonest)
                if fit is not None:
                    soonest = fit.moments[0]
                    if soonest <= last:
                        break
            if last < soonest < FOREVER:
                bound = soonest - within - offset
                latest = max(latest, at[0] + 1, self.start_for(prepared, staff.calendar, m, bound))
        return latest

    def _eager(
        self, i: int, prepared: PreparedTask, ready: int, moments: list[Moments | None], floor: int
    ) -> Fit:
        task = prepared.task
        at = max([prepared.release] + [moments[j][m] + o for j, m, o in prepared.lags])  # type: ignore[index]
        if task.at is not None:
            if at > task.at:
                raise NoPlace(i, Refusal(Cause.APPOINTMENT, limit=at))
            at = ready = task.at
        if ready > at:
            self._delay_latest(i, ready, moments)
        if prepared.windows and not prepared.soft and at > self.deadline(prepared, moments):
            self._blame(i, at, moments)
        clock = None if task.clock is None else self.problem.clocks[task.clock]
        end = at + task.length if clock is None else clock.after(at, task.length)
        if task.until is not None and task.until > end:
            end = task.until
        missed = prepared.soft and bool(prepared.windows) and at > self.deadline(prepared, moments)
        return Fit((at, end, end), 0, missed, holds=())

    def _delay_latest(self, i: int, start: int, moments: list[Moments | None]) -> None:
        """An eager task can only start later if what it waits for is over later."""
        lags = self.compiled.prepared[i].lags
        if not lags:
            raise WindowMissed(i, None)
        j, m, offset = max(lags, key=lambda x: moments[x[0]][x[1]] + x[2])  # type: ignore[index]
        raise self._later(j, m, start - offset, moments)

    def _appointed(
        self, i: int, prepared: PreparedTask, ready: int, deadline: int, profiles: Profiles
    ) -> Fit:
        at = prepared.task.at
        if at is None or ready > at or (deadline < at and not prepared.soft):
            raise NoPlace(i, Refusal(Cause.APPOINTMENT, limit=ready))
        found = next(self.appointments(i, profiles, deadline), None)
        if found is None:
            raise NoPlace(i, Refusal(Cause.APPOINTMENT, limit=at))
        return found

    def appointments(self, i: int, profiles: Profiles, deadline: int = FOREVER) -> Iterator[Fit]:
        """An appointment with each crew that can keep it, whatever it waits for."""
        prepared = self.compiled.prepared[i]
        at = prepared.task.at
        if at is not None and at >= prepared.release:
            for crew, staff in enumerate(prepared.staff):
                found = self.earliest(prepared, crew, staff, at, deadline, profiles, limit=at)
                if found is not None and found.moments[0] == at:
                    yield found

    def appointed(self, i: int, profiles: Profiles) -> Fit:
        """Reserve an appointment before what it waits for is placed. Raises NoPlace."""
        prepared = self.compiled.prepared[i]
        return self._appointed(i, prepared, prepared.release, FOREVER, profiles)

    def deadline(self, prepared: PreparedTask, moments: Sequence[Moments | None]) -> int:
        """The last start that keeps every window whose moments are known."""
        deadline = FOREVER
        for refs, within in prepared.windows:
            known = [moments[j][m] + o for j, m, o in refs if moments[j] is not None]  # type: ignore[index]
            if len(known) == len(refs):
                deadline = min(deadline, max(known) + within)
        return deadline

    def _blame(self, i: int, start: int, moments: list[Moments | None]) -> None:
        """Raise what must move so that a task that can only start at `start` keeps its hard windows."""
        for refs, within in self.compiled.prepared[i].windows:
            known = [(moments[j][m] + o, j, m, o) for j, m, o in refs if moments[j] is not None]  # type: ignore[index]
            if len(known) == len(refs):
                latest, j, m, offset = max(known)
                if latest + within < start:
                    raise self._later(j, m, start - within - offset, moments)

    def _later(self, j: int, m: int, bound: int, moments: list[Moments | None]) -> WindowMissed:
        prepared, now = self.compiled.prepared[j], moments[j]
        if (
            now is None
            or prepared.task.fixed is not None
            or prepared.task.at is not None
            or prepared.task.going
        ):
            return WindowMissed(j, None)
        if prepared.task.starts_immediately:
            start = bound if m == 0 else self._eager_start(prepared, bound)
        else:
            start = min(self.start_for(prepared, staff.calendar, m, bound) for staff in prepared.staff)
        return WindowMissed(j, max(now[0] + 1, start))

    def _eager_start(self, prepared: PreparedTask, bound: int) -> int:
        task = prepared.task
        if task.clock is None:
            return bound - task.length
        return self.problem.clocks[task.clock].latest_start(bound, task.length)

    def start_for(self, prepared: PreparedTask, calendar: Calendar, m: int, bound: int) -> int:
        """A start no later than every start whose moment `m` is at or after `bound`."""
        if m == 0:
            return bound
        if m != 1:
            last = len(prepared.phases) if m == 2 else m - FIRST_PHASE + 1
            for p in range(last - 1, -1, -1):
                phase = prepared.phases[p]
                if not phase.informational or (m != 2 and p == last - 1):
                    clock = None if phase.clock is None else self.problem.clocks[phase.clock]
                    bound = bound - phase.takes if clock is None else clock.latest_start(bound, phase.takes)
        return calendar.latest_start(bound, prepared.grown if prepared.soft else prepared.work)

    def latest_for(self, prepared: PreparedTask, m: int, bound: int) -> int:
        """Roughly the latest start whose moment `m` is not after `bound`: how urgent a task is."""
        if prepared.task.starts_immediately:
            return bound if m == 0 else self._eager_start(prepared, bound)
        if not prepared.staff:
            return bound
        return self.start_for(prepared, prepared.staff[0].calendar, m, bound)

    # ------------------------------------------------------------ the inner loop

    def earliest(
        self,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        t: int,
        deadline: int,
        profiles: Profiles,
        limit: int = FOREVER,
    ) -> Fit | None:
        """The first start at or after `t` to which calendar, people, stations, gear and air agree.

        After `deadline` the work of a soft window has grown. None when there is none up to `limit`.
        """
        calendar = staff.calendar
        opens, before = calendar.starts, calendar.before
        starts, work = staff.starts, prepared.work
        soft = prepared.soft and deadline < FOREVER
        exclusive, counted, avoids, no_side_effects = (
            staff.people + prepared.exclusive,
            prepared.counted,
            prepared.avoids,
            prepared.no_side_effects,
        )
        while t <= limit:
            if soft and t > deadline:
                starts, work, soft = staff.grown_starts, prepared.grown, False
            k = bisect_right(starts, t)
            if not k & 1:
                if k == len(starts):
                    return None
                t = starts[k]
                if t > limit or soft:
                    continue
            k = bisect_right(opens, t) - 1
            goal = before[k] + t - opens[k] + work
            if goal <= before[k + 1]:
                end = t + work
            else:
                k = bisect_left(before, goal, k + 1) - 1
                if k >= len(opens):
                    return None
                end = opens[k] + goal - before[k]
            shut = end if work else t + 1
            for r in exclusive:  # `taken`, written out: calling it takes a tenth of the time of a build
                profile: Unary = profiles[r]  # type: ignore[assignment]
                i = bisect_right(profile, t)
                if i & 1 or (i < len(profile) and profile[i] < shut):
                    i |= 1
                    last = len(profile) - 1
                    while i < last and profile[i + 1] - profile[i] < work:
                        i += 2
                    t = profile[i]
                    break
            else:
                resume = None
                for r, _, room in counted:
                    resume = above(profiles[r], t, end, room)  # type: ignore[arg-type]
                    if resume is not None:
                        break
                if resume is None and avoids is not None:
                    resume = taken(profiles[avoids], t, end + prepared.dust_lasts)  # type: ignore[arg-type]
                if resume is not None:
                    t = max(resume, t + 1)
                elif not no_side_effects:
                    found = self._with_phases(prepared, crew, staff, t, end, deadline, profiles)
                    if isinstance(found, Fit):
                        return found
                    t = found
                else:
                    course = prepared.course
                    moments: Moments = (t, end, end)
                    if course is not None and course.ends:
                        moments = (t, end, end + course.over, *[end + after for after in course.ends])
                    missed = prepared.soft and t > deadline
                    return Fit(moments, crew, missed)
        return None

    def holds(self, prepared: PreparedTask, people: tuple[int, ...], t: int, end: int) -> list[ResourceHold]:
        """What the work takes as (profile, amount, from, to); a point in time takes its people for a minute.

        People are taken for the closed minutes beside their work too, in which nobody could use them,
        so that the next search passes a night in one step.
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
        """From when to when a person is not to be had for others who is at work from `start` to `end`."""
        opens, closes = self.compiled.present[person]
        k = bisect_right(opens, start) - 1
        begin = closes[k - 1] if opens[k] == start and k else start
        k = bisect_right(closes, end, k)
        return begin, opens[k] if k < len(opens) and opens[k] > end else end

    def _with_phases(
        self,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        t: int,
        end: int,
        deadline: int,
        profiles: Profiles,
    ) -> Fit | int:
        """The fit at `t` if what its phases keep and want is free, else a later minute to try."""
        kept, ends, complete = self.keeping(prepared, t, end)
        for r, n, a, b, p in kept:
            resume = self._resume(r, n, a, b, profiles)
            if resume is not None:
                return self._push(prepared, staff, t, p, resume)
        missed = prepared.soft and t > deadline
        return Fit((t, end, complete, *ends), crew, missed, kept)

    def keeping(self, prepared: PreparedTask, t: int, end: int) -> tuple[list[KeptSpan], list[int], int]:
        """What must be free for the phases of work from `t` to `end`, the end of each, and the completion."""
        course, air = prepared.course, self.resources + 2 * prepared.task.room
        if course is None:
            begins, ends, frees, complete = self.phase_times(prepared, end)
            kept = [
                (r, n, a, b, p)
                for r, n, keepers in prepared.uses
                if keepers
                for a, b, p in kept_spans(t, end, keepers, begins, frees)
            ]
            needs_still_air = (
                (p, begins[p], ends[p]) for p, phase in enumerate(prepared.phases) if phase.needs_still_air
            )
            return kept + [(air, 1, a, b, p) for p, a, b in needs_still_air if b > a], ends, complete
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
        """What the work and what is kept take; air that must be clean is taken as still air."""
        holds = self.holds(prepared, people, t, end)
        for r, n, a, b, _ in kept:
            if r >= self.resources:
                holds.append((r + 1, n, a, b))
                continue
            if a == t and end > t:
                holds.remove((r, n, t, end))
            holds.append((r, n, a, b))
        return holds

    def _resume(self, r: int, n: int, a: int, b: int, profiles: Profiles) -> int | None:
        if r >= self.resources or self.unary[r]:
            return taken(profiles[r], a, b)  # type: ignore[arg-type]
        return above(profiles[r], a, b, self.capacities[r] - n)  # type: ignore[arg-type]

    def _push(self, prepared: PreparedTask, staff: Staffing, t: int, phase: int, resume: int) -> int:
        """The next start worth trying when a span that begins with `phase` (-1: the work) must not begin before `resume`."""
        if phase < 0:
            return max(t + 1, resume)
        bound = resume
        for p in range(phase - 1, -1, -1):
            before = prepared.phases[p]
            if not before.informational:
                clock = None if before.clock is None else self.problem.clocks[before.clock]
                bound = bound - before.takes if clock is None else clock.latest_start(bound, before.takes)
        return max(
            t + 1, staff.calendar.latest_start(bound, prepared.grown if prepared.soft else prepared.work)
        )

    def phase_times(self, prepared: PreparedTask, end: int) -> tuple[list[int], list[int], list[int], int]:
        """Begin, end and release of every phase after work that ends at `end`, and the completion."""
        return phase_times(prepared.phases, self.problem.clocks, self.release_calendar, end)

    def soonest(
        self, i: int, start: int, profiles: Profiles, end: int = 0, deadline: int = FOREVER
    ) -> Moments:
        """Each moment as early as any crew makes it when the task starts and ends no sooner than these, and its work
        has grown after `deadline`."""
        prepared, clocks = self.compiled.prepared[i], self.problem.clocks
        task = prepared.task
        ready = max(start, prepared.release, task.at or 0)
        if task.starts_immediately:
            length = task.length
            over = ready + length if task.clock is None else clocks[task.clock].soonest(ready, length)
            over = max(over, task.until or 0, end)
            return ready, over, over
        found = []
        most = prepared.grown if prepared.soft else prepared.work
        for crew, staff in enumerate(prepared.staff):
            begin = max(ready, staff.calendar.latest_start(end, most)) if end else ready
            fit = self.earliest(prepared, crew, staff, begin, deadline, profiles)
            if fit is not None and fit.moments[1] >= end:
                found.append(fit.moments)
            elif fit is not None:
                ends, complete = soonest_ends(prepared.phases, clocks, end)
                found.append((fit.moments[0], end, complete, *ends))
        if not found:
            return (max(ready, end),) * (FIRST_PHASE + len(prepared.phases))
        return found[0] if len(found) == 1 else tuple(min(minutes) for minutes in zip(*found, strict=True))

    def enter(self, i: int, fit: Fit, profiles: Profiles) -> None:
        """Take what a fit holds, in a list of profiles of one's own."""
        holds = fit.holds
        if holds is None:
            prepared = self.compiled.prepared[i]
            people, (start, end, *_) = prepared.staff[fit.crew].people, fit.moments
            holds = self.holds_with(prepared, people, start, end, fit.kept)
        self.put(holds, profiles)

    def put(self, holds: Iterable[ResourceHold], profiles: Profiles) -> None:
        """Take these, in a list of profiles of one's own."""
        unary, resources = self.unary, self.resources
        for r, n, a, b in holds:
            if r >= resources or unary[r]:
                profiles[r] = take_capacity(profiles[r], a, b)  # type: ignore[arg-type]
            else:
                profiles[r] = raise_level(profiles[r], a, b, n)  # type: ignore[arg-type]

    # ------------------------------------------------------------ what has happened already

    def settled(self, i: int) -> Fit:
        """A task whose work is over: its phases run on from the logged end."""
        prepared = self.compiled.prepared[i]
        start, end = prepared.task.fixed or (0, 0)
        begins, ends, frees, complete = self.phase_times(prepared, end)
        holds: list[ResourceHold] = []
        for r, n, keepers in prepared.uses:
            holds += [(r, n, a, b) for a, b, _ in kept_spans(start, end, keepers, begins, frees) if b > a]
        air = self.resources + 2 * prepared.task.room
        if prepared.task.dusty and end + self.problem.dust_minutes > start:
            holds.append((air, 1, start, end + self.problem.dust_minutes))
        holds += [
            (air + 1, 1, begins[p], ends[p])
            for p, x in enumerate(prepared.phases)
            if x.needs_still_air and ends[p] > begins[p]
        ]
        return Fit((start, end, complete, *ends), 0, False, holds=holds)

    def going(self, i: int, profiles: Profiles) -> Fit:
        """A task under way goes on, whatever else wants its place: only its people can keep it waiting."""
        prepared = self.compiled.prepared[i]
        no_side_effects = prepared.alone()
        best: Fit | None = None
        for crew, staff in enumerate(prepared.staff):
            free = self.earliest(no_side_effects, crew, staff, prepared.release, FOREVER, profiles)
            if free is not None and (best is None or free.moments[1] < best.moments[1]):
                best = self._going_on(prepared, crew, staff, free.moments[0], free.moments[1])
        if best is None:
            raise NoPlace(i, Refusal(Cause.HORIZON))
        return best

    def _going_on(self, prepared: PreparedTask, crew: int, staff: Staffing, start: int, end: int) -> Fit:
        """Its stations are in use from now on, even before somebody is back at it."""
        begins, ends, frees, complete = self.phase_times(prepared, end)
        now = self.problem.now
        holds = [(r, 1, start, max(end, start + 1)) for r in staff.people]
        for r, n, keepers in prepared.uses:
            holds += [(r, n, a, b) for a, b, _ in kept_spans(now, end, keepers, begins, frees) if b > a]
        air = self.resources + 2 * prepared.task.room
        if prepared.task.dusty:
            holds.append((air, 1, now, max(end + self.problem.dust_minutes, now + 1)))
        elif prepared.task.needs_still_air and end > now:
            holds.append((air + 1, 1, now, end))
        holds += [
            (air + 1, 1, begins[p], ends[p])
            for p, x in enumerate(prepared.phases)
            if x.needs_still_air and ends[p] > begins[p]
        ]
        return Fit((start, end, complete, *ends), crew, False, holds=holds)


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
