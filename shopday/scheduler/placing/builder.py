"""Builds whole schedules: tasks placed in an order, from any point of an order built before."""

from __future__ import annotations

from collections.abc import Sequence

from shopday.scheduler.model.result import Cause, Placed, Refusal, Schedule
from shopday.scheduler.placing.appointments import Appointments
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.earliest_delivery import EarliestDelivery
from shopday.scheduler.placing.fits import NoPlace, WindowMissed
from shopday.scheduler.placing.given_schedule import given_schedule
from shopday.scheduler.placing.placer import Placer
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.placing.schedule_costs import LATE_WEIGHT, SHORT_WEIGHT, ScheduleCosts
from shopday.scheduler.placing.schedule_recorder import ScheduleRecorder
from shopday.scheduler.placing.unit_placer import UnitPlacer

BUILD_COST = 20
"""The cost of beginning a build, in placements of a task."""

MOST_UNIT_MOVES = 6
"""How often tasks of a unit are moved later, among other tasks, before the unit is placed as one."""

MOST_TASKS_REPLACED = 10
"""The most tasks that are placed again for such a move; a unit with more in between is placed as one."""


class Builder:
    """Builds schedules of one problem.

    start:   the beginning of every schedule: work that is over or under way, and the appointments.
    refused: tasks that no schedule can place.
    """

    def __init__(
        self, compiled: PreparedProblem, late_weight: int = LATE_WEIGHT, short_weight: int = SHORT_WEIGHT
    ) -> None:
        self.compiled = compiled
        self.problem = compiled.problem
        self.placer = Placer(compiled)
        self.costs = ScheduleCosts(compiled, late_weight, short_weight)
        self.appointments = Appointments(compiled, self.placer)
        self.refused = dict(compiled.refused)
        self.start = given_schedule(self.placer, self.appointments, self.costs, self.refused)
        self.recorder = ScheduleRecorder(compiled, self.costs, self.appointments, self.placer.holds)
        self.units = UnitPlacer(self.placer, self.recorder)

    @property
    def spent(self) -> int:
        """The work done: placements of a task, looks at what must follow one, and BUILD_COST for each build."""
        return self.placer.spent

    @spent.setter
    def spent(self, value: int) -> None:
        self.placer.spent = value

    def look_ahead(self) -> None:
        """From now on, price the effect of a start before the rest of its job is placed. It pays if many builds are
        compared."""
        reach = self.recorder.reach = EarliestDelivery(self.compiled, self.placer.starts, self.refused)
        (profiles, given, *prices), *_ = self.start.marks
        deliveries = list(given)  # earlier builds keep the deliveries that they were priced with
        for i, moments in enumerate(self.start.moments):
            if moments is None and i not in self.refused:
                prepared = self.compiled.prepared[i]
                job, release = prepared.task.job, prepared.release
                deliveries[job] = max(deliveries[job], reach.delivery(i, release))
        self.start.marks = [(profiles, deliveries, prices[0], prices[1], prices[2])]
        self.costs.price(self.start)

    def weigh(self, late_weight: int, short_weight: int) -> None:
        """Set the cost of a minute late and of a minute of reserve. Earlier schedules keep their cost until they are
        `repriced` (see `ScheduleCosts`)."""
        self.costs.late_weight, self.costs.short_weight = late_weight, short_weight
        self.costs.price(self.start)

    def build(
        self, order: Sequence[int], base: BuiltSchedule | None = None, keep: int = 0, limit: int | None = None
    ) -> BuiltSchedule | None:
        """Place the tasks in this order; what a task waits for is placed before it. None if the cost exceeds
        `limit`.

        base, keep: take over the first `keep` tasks from `base` (the orders agree so far).
        limit:      give up as soon as the cost must exceed it.
        """
        self.spent += BUILD_COST
        if base is None:
            base, keep = self.start, 0
        elif len(base.refused) > len(self.start.refused):
            return self._again([*base.order[:keep], *order], set(), limit)
        return self._go_on(self._begin(base, keep), order, set(), limit)

    def _again(self, order: Sequence[int], bound: set[int], limit: int | None) -> BuiltSchedule | None:
        """Start over with more units bound: tasks refused before may have a place now."""
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
                self.units.place(members, queue, built)
            else:
                missed = self._place_one(i, built, floors, len(unit) == 1)
                if missed is not None:
                    if len(refused) > len(self.start.refused):
                        bound.add(unit_of[i])
                        return self._again([*built.order, *reversed(queue)], bound, limit)
                    tries[unit_of[i]] = tries.get(unit_of[i], 0) + 1
                    far = missed.start is None or missed.task not in built.order[-MOST_TASKS_REPLACED:]
                    if missed.start is None or far or tries[unit_of[i]] > MOST_UNIT_MOVES:
                        bound.add(unit_of[i])
                        queue += reversed(self._take_back(unit, built))
                    else:
                        floors[missed.task] = max(floors.get(missed.task, 0), missed.start)
                        queue += reversed(self._take_back((missed.task,), built))
            if limit is not None and built.cost > limit:
                return None
        return built

    def _begin(self, base: BuiltSchedule, keep: int) -> BuiltSchedule:
        """A build that starts with the first `keep` tasks of another."""
        _, _, cost, late, short = base.marks[keep]
        moments = list(base.moments)
        for i in base.order[keep:]:
            moments[i] = None
        order = base.order[:keep]
        return BuiltSchedule(
            cost,
            late,
            short,
            order,
            base.marks[: keep + 1],
            moments,
            list(base.fits),
            dict(self.start.refused),
        )

    def _take_back(self, unit: tuple[int, ...], built: BuiltSchedule) -> list[int]:
        """Undo everything from the first task of a unit on; return what was undone, in order."""
        first = min(k for k, i in enumerate(built.order) if i in unit)
        undone = built.order[first:]
        for i in undone:
            built.moments[i] = None
        del built.order[first:], built.marks[first + 1 :]
        _, _, built.cost, built.late, built.short = built.marks[-1]
        return undone

    def _place_one(
        self, i: int, built: BuiltSchedule, floors: dict[int, int], alone: bool
    ) -> WindowMissed | None:
        """Place or refuse a task; or return which task of its unit must move to keep its window."""
        self.placer.spent += 1
        profiles = built.marks[-1][0] or self.recorder.profiles(built)
        try:
            fit = self.placer.fit(i, profiles, built.moments, floors.get(i, 0))
            if not alone:
                self.units.look_back(i, fit.moments, built.moments)
        except NoPlace as no:
            if not alone and no.refusal.cause is not Cause.HORIZON and self._started(i, built):
                return WindowMissed(i, None)
            self.recorder.refuse(built, i, no.refusal)
            return None
        except WindowMissed as no:
            if not alone and self._started(i, built):
                movable = built.moments[no.task] is not None and self.start.moments[no.task] is None
                return no if movable else WindowMissed(i, None)
            self.recorder.refuse(built, i, Refusal(Cause.WINDOW, other=no.task))
            return None
        profiles = list(profiles)
        self.placer.holds.enter(i, fit, profiles)
        self.recorder.record(built, i, fit, profiles)
        return None

    def _started(self, i: int, built: BuiltSchedule) -> bool:
        """True if some task of the unit was placed in this build."""
        unit = self.compiled.units[self.compiled.unit_of[i]]
        return any(built.moments[j] is not None and self.start.moments[j] is None for j in unit)

    def schedule(self, built: BuiltSchedule) -> Schedule:
        """The finished schedule of a build, with what each phase keeps and when that is freed."""
        placed: list[Placed | None] = []
        for i, (moments, fit) in enumerate(zip(built.moments, built.fits, strict=True)):
            if moments is None or fit is None or i in built.refused:
                placed.append(None)
                continue
            start, end, complete, *ends = moments
            frees = self.placer.holds.phase_times(self.compiled.prepared[i], end)[2]
            placed.append(Placed(start, end, complete, fit.crew, tuple(ends), tuple(frees), fit.missed))
        return Schedule(tuple(placed), dict(built.refused))
