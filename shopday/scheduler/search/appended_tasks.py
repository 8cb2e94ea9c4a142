"""What is known of each task before tasks are appended, and whether they can be appended at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopday.scheduler.model.phase_times import FIRST_PHASE, index
from shopday.scheduler.model.problem import COMPLETE
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.earliest_delivery import EarliestDelivery
from shopday.scheduler.placing.movable_tasks import MovableTasks
from shopday.scheduler.placing.prepared_task import PreparedTask, Ref
from shopday.scheduler.placing.resource_profiles import Levels
from shopday.scheduler.search.spots import MAKER, Kept, Spots


class UnfitForAppending(Exception):
    """No single maker does all the work that is left, or something must follow a task that cannot be moved."""


@dataclass(frozen=True, slots=True)
class AppendedTask:
    """A task as it is appended.

    ready:   the first minute at which it may start, whatever is placed.
    after:   lags that may delay it even after their tasks are placed.
    waits:   the numbers of what must be free at its start.
    counted: (number, units) of resources with several units.
    dust:    the number of the dust in which its phases must not begin (-1: they do not mind).
    limits:  (moment, minute) that an appointment requires of it.
    follow:  movable tasks that must start within a hard window after it.
    at_once: it needs nobody and starts as soon as it may.
    plain:   its first spot is right whatever was placed.
    """

    job: int
    prepared: PreparedTask
    ready: int
    after: tuple[Ref, ...]
    waits: tuple[int, ...]
    counted: tuple[tuple[int, int], ...]
    dust: int
    limits: tuple[tuple[int, int], ...]
    follow: tuple[int, ...]
    at_once: bool
    plain: bool
    spots: Spots
    grown: Spots


class AppendedTasks:
    """The movable tasks of a builder, ready to be appended.

    tasks:       by index.
    free, units: what is free from when, before any task is placed (see `Appended`).
    calendar:    when the maker is in.

    Raises UnfitForAppending.
    """

    def __init__(self, builder: Builder) -> None:
        self.builder = builder
        self.reach = builder.recorder.reach or EarliestDelivery(
            builder.compiled, builder.placer.starts, builder.refused
        )
        self.compiled, self.problem = builder.compiled, builder.problem
        self.profiles = builder.recorder.profiles(builder.start)
        self.movable = MovableTasks(builder).movable
        self.calendar = self.compiled.present[self._maker()]
        kept = {r for i in self.movable for r, _, by in self.compiled.prepared[i].uses if by}
        self.singles = {
            r: n for n, r in enumerate(sorted(r for r in kept if builder.placer.holds.unary[r]), MAKER + 1)
        }
        self.counts = {r: n for n, r in enumerate(sorted(kept - set(self.singles)))}
        rooms = sorted({self.compiled.prepared[i].task.room for i in self.movable})
        self.airs = {room: MAKER + 1 + len(self.singles) + 2 * n for n, room in enumerate(rooms)}
        self.free = [self.problem.now] * (MAKER + 1 + len(self.singles) + 2 * len(rooms))
        self.units = [[self.problem.now] * self._free_units(r) for r in self.counts]
        self.tasks = {i: self._task(i) for i in self.movable}

    def _maker(self) -> int:
        """The person who is needed for all the work."""
        people: set[int] | None = None
        if self.builder.placer.bounds:
            raise UnfitForAppending
        for i in self.movable:
            prepared = self.compiled.prepared[i]
            task = prepared.task
            if task.starts_immediately:
                if task.at is not None or prepared.windows or self._leads(i):
                    raise UnfitForAppending
                continue
            if len(prepared.staff) != 1 or task.at is not None:
                raise UnfitForAppending
            crew = set(prepared.staff[0].people)
            people = crew if people is None else people & crew
        if not people:
            raise UnfitForAppending
        return min(people)

    def _leads(self, i: int) -> bool:
        """True if a window or an appointment depends on the task."""
        return i in self.compiled.followers or i in self.builder.appointments.latest

    def _free_units(self, r: int) -> int:
        """The units of a resource that nothing given from the start ever uses."""
        levels: Levels = self.profiles[r]  # type: ignore[assignment]
        return self.problem.capacities[r] - max(levels[1], default=0)

    def _task(self, i: int) -> AppendedTask:
        prepared = self.compiled.prepared[i]
        task = prepared.task
        kept = self._kept(prepared)
        waits = [] if task.starts_immediately else [MAKER, *kept.single.values()]
        dust, calm = self.airs[task.room], self.airs[task.room] + 1
        if task.dusty:
            waits.append(calm)
        elif task.needs_still_air:
            waits.append(dust)
        minds = any(phase.needs_still_air for phase in prepared.phases)
        if any(count > len(self.units[number]) for number, count in kept.counted.values()):
            raise UnfitForAppending
        follow = tuple(k for k, *_ in self.compiled.followers.get(i, ()) if k in self.movable)
        limits = tuple((m, latest) for m, latest, _ in self.builder.appointments.latest.get(i, ()))
        return AppendedTask(
            job=task.job,
            prepared=prepared,
            ready=max([prepared.release, *self._known(prepared)]),
            after=tuple(ref for ref in prepared.lags if self._matters(prepared, ref)),
            waits=tuple(waits),
            counted=tuple(kept.counted.values()),
            dust=dust if minds else -1,
            limits=limits,
            follow=follow,
            at_once=task.starts_immediately,
            plain=not (minds or limits or prepared.windows or follow),
            spots=self._spots(i, kept, grown=False),
            grown=self._spots(i, kept, grown=True),
        )

    def _spots(self, i: int, kept: Kept, grown: bool) -> Spots:
        return Spots(i, self.builder.placer, self.reach, self.profiles, kept, grown)

    def _kept(self, prepared: PreparedTask) -> Kept:
        dust = self.airs[prepared.task.room]
        calms = prepared.task.needs_still_air or any(phase.needs_still_air for phase in prepared.phases)
        uses = {r: n for r, n, _ in prepared.uses}
        return Kept(
            {r: number for r, number in self.singles.items() if r in uses},
            {r: (number, uses[r]) for r, number in self.counts.items() if r in uses},
            dust if prepared.task.dusty else -1,
            dust + 1 if calms else -1,
        )

    def _known(self, prepared: PreparedTask) -> Iterator[int]:
        for j, m, offset in prepared.lags:
            moments = self.builder.start.moments[j]
            if moments is not None:
                yield moments[m] + offset

    def _matters(self, prepared: PreparedTask, ref: Ref) -> bool:
        """True if a lag can delay a task for longer than the maker's work on what it waits for."""
        j, m, offset = ref
        if self.builder.start.moments[j] is not None:
            return False
        before = self.compiled.prepared[j]
        eager = before.task.starts_immediately or prepared.task.starts_immediately
        if eager or offset > 0 or m >= FIRST_PHASE:
            return True
        return m == index(COMPLETE) and any(not phase.informational for phase in before.phases)
