"""A problem made ready for placing: flat tuples, start calendars, units of tasks that are placed together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain

from shopday.scheduler.model.calendars import Calendar, MinuteSpan, spans_overlap
from shopday.scheduler.model.phase_times import index
from shopday.scheduler.model.problem import Crew, Lag, Problem, Task
from shopday.scheduler.model.result import Cause, Refusal

Ref = tuple[int, int, int]
"""(task, index into its moments, offset)."""


def ref(lag: Lag) -> Ref:
    """A lag with its milestone as an index into the moments."""
    return lag.task, index(lag.milestone), lag.offset


@dataclass(frozen=True, slots=True)
class Staffing:
    """One crew of a task: who, the calendar, and the minutes at which it may start.

    `starts` is a flat ascending list of spans of allowed starts; `grown_starts` the same when a window
    was missed and the work is longer.
    """

    people: tuple[int, ...]
    calendar: Calendar
    starts: list[int]
    grown_starts: list[int]


@dataclass(frozen=True, slots=True)
class PreparedPhase:
    """A phase as it is placed: one that is aside wants no still air."""

    takes: int
    clock: int | None
    keeps: tuple[int, ...]
    needs_still_air: bool
    informational: bool


@dataclass(frozen=True, slots=True)
class PhaseOffsets:
    """Phases in plain minutes, told by the minutes from the end of the work.

    ends:  of each phase.
    over:  the completion.
    keeps: (resource, amount, how long it is kept), in use without a break since the work began.
    still: (phase, from, to) of those that want clean air.
    """

    ends: tuple[int, ...]
    over: int
    keeps: tuple[tuple[int, int, int], ...]
    still: tuple[tuple[int, int, int], ...]


@dataclass(frozen=True, slots=True)
class PreparedTask:
    """A task, compiled.

    uses:    (resource, amount, phases that keep it).
    exclusive:    resources of capacity 1 among them.
    counted: (resource, amount, level that leaves room for it) of the others.
    avoids:  the profile of the air that must be free from start to end (None: any air will do), and
             `dust_lasts`, the minutes after the end for which it must be free too.
    fills:   the profile of the air that is taken meanwhile.
    course:  how the phases run on, where those are plain minutes (None: see `phases`); `no_side_effects` where
             they keep nothing and want no still air.
    """

    task: Task
    staff: tuple[Staffing, ...]
    uses: tuple[tuple[int, int, tuple[int, ...]], ...]
    exclusive: tuple[int, ...]
    counted: tuple[tuple[int, int, int], ...]
    avoids: int | None
    fills: int | None
    dust_lasts: int
    phases: tuple[PreparedPhase, ...]
    course: PhaseOffsets | None
    no_side_effects: bool
    lags: tuple[Ref, ...]
    windows: tuple[tuple[tuple[Ref, ...], int], ...]
    release: int
    work: int
    grown: int
    soft: bool

    def alone(self) -> PreparedTask:
        """The same, in need of nothing but its people, over with its work, and no longer for a window missed."""
        nothing: tuple[()] = ()
        return replace(
            self, uses=nothing, exclusive=nothing, counted=nothing, avoids=None, fills=None,
            phases=nothing, course=NO_PHASES, no_side_effects=True, soft=False,
        )  # fmt: skip


def least_stretch(task: Task, work: int) -> int:
    """The minutes that must be left in the open span at its start."""
    return max(1, task.stretch, work if task.unbroken else 0)


def start_spans(calendar: Calendar, need: int, allowed: Calendar | None) -> tuple[MinuteSpan, ...]:
    """Spans of starts with at least `need` minutes left in their open span."""
    spans: tuple[MinuteSpan, ...] = tuple((a, b - need + 1) for a, b in calendar.spans if b - a >= need)
    return spans if allowed is None else spans_overlap(spans, allowed.spans)


def start_hours(problem: Problem, task: Task, crew: Crew) -> Calendar:
    """The minutes at which hours and temperature let a task begin with a crew, whatever else is in use."""
    allowed = None if task.starts_in is None else problem.calendars[task.starts_in]
    need = least_stretch(task, task.work)
    return Calendar(start_spans(problem.calendars[crew.calendar], need, allowed))


NO_PHASES = PhaseOffsets((), 0, (), ())


def _course(
    phases: Sequence[PreparedPhase], uses: Iterable[tuple[int, int, tuple[int, ...]]]
) -> PhaseOffsets | None:
    """See `PreparedTask.course`; None too where something is given back for a while."""
    if any(phase.clock is not None for phase in phases):
        return None
    begins, ends, over = [], [], 0
    for phase in phases:
        begins.append(over)
        ends.append(over + phase.takes)
        over = over if phase.informational else ends[-1]
    keeps = []
    for r, n, keepers in uses:
        kept = 0
        for p in keepers:
            if begins[p] > kept:
                return None
            kept = max(kept, ends[p])
        if keepers:
            keeps.append((r, n, kept))
    still = (
        (p, begins[p], ends[p]) for p, phase in enumerate(phases) if phase.needs_still_air and phase.takes
    )
    return PhaseOffsets(tuple(ends), over, tuple(keeps), tuple(still))


class PreparedProblem:
    """The problem as the placer wants it. Building it also finds the tasks that can never be placed.

    like:    an earlier one with the same calendars, whose start calendars are used again.
    present: per person, the minutes at which any of their crews begins and stops working.
    """

    def __init__(self, problem: Problem, like: PreparedProblem | None = None) -> None:
        self.problem = problem
        shared = like is not None and like.problem.calendars is problem.calendars
        self._spans: dict[tuple[int, int, int | None], list[int]] = like._spans if like and shared else {}
        self._unions: dict[frozenset[int], Calendar] = like._unions if like and shared else {}
        self.present = self._present()
        self.prepared = tuple(self._make(task) for task in problem.tasks)
        self.successors = self._successors()
        self.refused = self._refusals()
        self.units, self.unit_of = self._units()
        self.needs = self._needs()
        self.watchers = self._watchers()
        self.followers = self._followers()

    def _present(self) -> dict[int, tuple[list[int], list[int]]]:
        calendars: dict[int, set[int]] = {}
        for task in self.problem.tasks:
            for crew in task.crews:
                for person in crew.people:
                    calendars.setdefault(person, set()).add(crew.calendar)
        unions = {person: self._union(frozenset(all_of)) for person, all_of in calendars.items()}
        return {person: (union.starts, union.ends) for person, union in unions.items()}

    def _union(self, calendars: frozenset[int]) -> Calendar:
        if calendars not in self._unions:
            spans = (self.problem.calendars[c].spans for c in calendars)
            self._unions[calendars] = Calendar.of(chain.from_iterable(spans))
        return self._unions[calendars]

    def refusing(self, refused: dict[int, Refusal]) -> PreparedProblem:
        """The same problem with these tasks given up as well."""
        other = copy(self)
        other.refused = dict(refused)
        other.spread_refusals(other.refused)
        return other

    def _make(self, task: Task) -> PreparedTask:
        problem = self.problem
        kept = {
            r: tuple(p for p, x in enumerate(task.phases) if r in x.keeps and not x.informational)
            for r, _ in task.uses
        }
        staff = (
            ()
            if task.starts_immediately or task.fixed is not None
            else tuple(self._staff(task, c) for c in range(len(task.crews)))
        )
        phases = tuple(
            PreparedPhase(
                x.takes, x.clock, x.keeps, x.needs_still_air and not x.informational, x.informational
            )
            for x in task.phases
        )
        uses = tuple((r, n, kept[r]) for r, n in task.uses if n)
        course = _course(phases, uses)
        capacities = problem.capacities
        air = len(capacities) + 2 * task.room
        return PreparedTask(
            task=task,
            staff=staff,
            uses=uses,
            exclusive=tuple(r for r, n in task.uses if n and capacities[r] == 1),
            counted=tuple((r, n, capacities[r] - n) for r, n in task.uses if n and capacities[r] != 1),
            avoids=air + 1 if task.dusty else air if task.needs_still_air else None,
            fills=air if task.dusty else air + 1 if task.needs_still_air else None,
            dust_lasts=problem.dust_minutes if task.dusty else 0,
            phases=phases,
            course=course,
            no_side_effects=course is not None and not course.keeps and not course.still,
            lags=tuple(ref(lag) for lag in task.lags),
            windows=tuple((tuple(ref(lag) for lag in w.refs), w.within) for w in task.windows if w.refs),
            release=max(problem.now, task.release),
            work=task.work,
            grown=task.work + (task.adds or 0),
            soft=task.adds is not None,
        )

    def _staff(self, task: Task, crew: int) -> Staffing:
        who = task.crews[crew]

        def starts(total: int) -> list[int]:
            need = least_stretch(task, total)
            key = who.calendar, need, task.starts_in
            if key not in self._spans:
                allowed = None if task.starts_in is None else self.problem.calendars[task.starts_in]
                spans = start_spans(self.problem.calendars[who.calendar], need, allowed)
                self._spans[key] = list(chain.from_iterable(spans))
            return self._spans[key]

        grown = starts(task.work + task.adds) if task.adds and task.windows else starts(task.work)
        return Staffing(who.people, self.problem.calendars[who.calendar], starts(task.work), grown)

    def _successors(self) -> tuple[tuple[int, ...], ...]:
        after: list[list[int]] = [[] for _ in self.prepared]
        for i, prepared in enumerate(self.prepared):
            for j in {j for j, _, _ in prepared.lags}:
                after[j].append(i)
        return tuple(tuple(x) for x in after)

    # ------------------------------------------------------------ never possible

    def _refusals(self) -> dict[int, Refusal]:
        out = {i: Refusal(Cause.OUTSIDE) for i in self.problem.infeasible}
        for i, prepared in enumerate(self.prepared):
            if i not in out and prepared.task.fixed is None:
                cause = self._hopeless(prepared)
                if cause is not None:
                    out[i] = cause
        self.spread_refusals(out)
        return out

    def refuse(self, refused: dict[int, Refusal], i: int, refusal: Refusal) -> None:
        """Refuse a task and what waits for it."""
        refused.setdefault(i, refusal)
        self.spread_refusals(refused)

    def spread_refusals(self, out: dict[int, Refusal]) -> None:
        """Whatever waits for a refused task is refused too."""
        stack = list(out)
        while stack:
            j = stack.pop()
            for i in self.successors[j]:
                if i not in out and self.prepared[i].task.fixed is None:
                    out[i] = Refusal(Cause.NEEDS, other=j)
                    stack.append(i)

    def _hopeless(self, prepared: PreparedTask) -> Refusal | None:
        task, problem = prepared.task, self.problem
        for r, n, _ in prepared.uses:
            if n > problem.capacities[r]:
                return Refusal(Cause.CAPACITY, limit=r)
        if task.starts_immediately or task.going:
            return None
        if self._own_dust(prepared):
            return Refusal(Cause.DUST)
        if not any(s.starts and s.starts[-1] > prepared.release for s in prepared.staff):
            return Refusal(self._no_start(prepared))
        if task.at is not None and task.at < problem.now:
            return Refusal(Cause.APPOINTMENT, limit=task.at)
        return None

    def _no_start(self, prepared: PreparedTask) -> Cause:
        """Is it the length of the stretches, or does nobody ever come?"""
        opens = any(s.calendar.open_from(prepared.release) is not None for s in prepared.staff)
        if prepared.task.unbroken and opens:
            longest = max(b - a for s in prepared.staff for a, b in s.calendar.spans)
            if longest < prepared.task.work:
                return Cause.STRETCH
        return Cause.NOBODY

    def _own_dust(self, prepared: PreparedTask) -> bool:
        task = prepared.task
        longest = prepared.grown if prepared.soft and prepared.windows else prepared.work
        if not task.dusty or (task.needs_still_air and longest):
            return task.dusty and task.needs_still_air and longest > 0
        gap = 0
        for phase in prepared.phases:
            if phase.needs_still_air and phase.takes and gap < self.problem.dust_minutes:
                return True
            gap += 0 if phase.informational else phase.takes
        return False

    # ------------------------------------------------------------ units

    def _hard_refs(self, i: int) -> list[int]:
        """Tasks that may have to move later so that this one keeps its window."""
        prepared = self.prepared[i]
        if prepared.task.at is not None or prepared.task.fixed is not None:
            return []
        if prepared.task.starts_immediately:
            return [j for j, _, _ in prepared.lags]
        return [] if prepared.soft else [j for refs, _ in prepared.windows for j, _, _ in refs]

    def _units(self) -> tuple[tuple[tuple[int, ...], ...], tuple[int, ...]]:
        """Strongly connected components over lags forward and hard windows backward."""
        out: list[list[int]] = [list(x) for x in self.successors]
        for i in range(len(self.prepared)):
            for j in self._hard_refs(i):
                if self.prepared[j].task.fixed is None:
                    out[i].append(j)
                    out[j].append(i)
        groups = components(out)
        unit_of = [0] * len(self.prepared)
        rank = self.rank
        units: list[tuple[int, ...]] = []
        for group in sorted((sorted(g, key=rank.__getitem__) for g in groups), key=lambda g: rank[g[0]]):
            for i in group:
                unit_of[i] = len(units)
            units.append(tuple(group))
        return tuple(units), tuple(unit_of)

    @cached_property
    def rank(self) -> list[int]:
        """A rank for each task: after everything its lags name."""
        n = len(self.prepared)
        rank, seen = [0] * n, [0] * n
        count = 0
        for root in range(n):
            stack = [(root, iter(self._lagged(root)))] if not seen[root] else []
            if stack:
                seen[root] = 1
            while stack:
                i, rest = stack[-1]
                for j in rest:
                    if not seen[j]:
                        seen[j] = 1
                        stack.append((j, iter(self._lagged(j))))
                        break
                else:
                    rank[i] = count
                    count += 1
                    stack.pop()
        return rank

    def _lagged(self, i: int) -> list[int]:
        return [j for j, _, _ in self.prepared[i].lags]

    def _before(self, i: int) -> list[int]:
        prepared = self.prepared[i]
        return [j for j, _, _ in prepared.lags] + [j for refs, _ in prepared.windows for j, _, _ in refs]

    def _needs(self) -> tuple[tuple[int, ...], ...]:
        """Per task, the tasks to be placed before it: lags, and moments of windows where that makes no circle."""
        rank = self.rank
        return tuple(
            tuple(dict.fromkeys(j for j in self._before(i) if rank[j] < rank[i]))
            for i in range(len(self.prepared))
        )

    def _followers(self) -> dict[int, list[tuple[int, int, int, int]]]:
        """Per task, what must start soon after it: (task, moment, offset, within) of hard windows with one moment."""
        out: dict[int, list[tuple[int, int, int, int]]] = {}
        for i, prepared in enumerate(self.prepared):
            if not prepared.soft and prepared.staff and prepared.task.at is None and not prepared.task.going:
                for refs, within in prepared.windows:
                    if len(refs) == 1 and self.rank[refs[0][0]] < self.rank[i]:
                        j, m, offset = refs[0]
                        out.setdefault(j, []).append((i, m, offset, within))
        return out

    def _watchers(self) -> dict[int, list[tuple[int, int, int, int]]]:
        """Per task, the hard windows with one moment that hang on it: (task, moment, offset, within)."""
        out: dict[int, list[tuple[int, int, int, int]]] = {}
        for i, prepared in enumerate(self.prepared):
            if not prepared.soft and prepared.task.fixed is None and prepared.task.at is None:
                for refs, within in prepared.windows:
                    if len(refs) == 1 and self.rank[refs[0][0]] > self.rank[i]:
                        j, m, offset = refs[0]
                        out.setdefault(j, []).append((i, m, offset, within))
        return out


def components(out: list[list[int]]) -> list[list[int]]:
    """Strongly connected components of a graph (Tarjan 1972), without recursion."""
    n = len(out)
    index, low, on = [-1] * n, [0] * n, [False] * n
    path: list[int] = []
    groups: list[list[int]] = []
    count = 0
    for root in range(n):
        if index[root] >= 0:
            continue
        work = [(root, 0)]
        while work:
            v, k = work.pop()
            if index[v] < 0:
                index[v] = low[v] = count
                count += 1
                path.append(v)
                on[v] = True
            for k in range(k, len(out[v])):  # noqa: B020 - goes on where it left off
                w = out[v][k]
                if index[w] < 0:
                    work += [(v, k), (w, 0)]
                    break
                if on[w]:
                    low[v] = min(low[v], low[w])
            else:
                if low[v] == index[v]:
                    group = []
                    while True:
                        w = path.pop()
                        on[w] = False
                        group.append(w)
                        if w == v:
                            break
                    groups.append(group)
    return groups
