"""ScheduleRecorder: enters placed and refused tasks in a schedule and updates its cost."""

from __future__ import annotations

from shopday.scheduler.model.result import Refusal
from shopday.scheduler.placing.appointments import Appointments
from shopday.scheduler.placing.built_schedule import IMPOSSIBLE, BuiltSchedule, ScheduleMark
from shopday.scheduler.placing.earliest_delivery import EarliestDelivery
from shopday.scheduler.placing.fits import Fit, Profiles
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.placing.schedule_costs import ScheduleCosts
from shopday.scheduler.placing.task_holds import TaskHolds

TASKS_WITH_ALL_PROFILES = 400
"""Up to so many tasks, all marks have their profiles; with more tasks only every second, third, fourth mark has."""

LAST_WITH_PROFILES = 16
"""The last marks that have their profiles in any case, as the search often goes back by a few tasks."""


class ScheduleRecorder:
    """Knows what a placed task means for the delivery of its job.

    reach: prices the effect of a start before the rest of the job is placed, see `Builder.look_ahead`.
    """

    def __init__(
        self, compiled: PreparedProblem, costs: ScheduleCosts, appointments: Appointments, holds: TaskHolds
    ) -> None:
        self.compiled, self.costs, self.appointments, self.holds = compiled, costs, appointments, holds
        self.every = 1 + len(compiled.prepared) // TASKS_WITH_ALL_PROFILES
        self.job_of = [prepared.task.job for prepared in compiled.prepared]
        self.tails = costs.tails
        self.reach: EarliestDelivery | None = None

    def record(self, built: BuiltSchedule, i: int, fit: Fit, profiles: Profiles) -> None:
        """Enter a fit whose holds are in `profiles`."""
        moments = fit.moments
        built.note(i, fit)
        deliveries = built.marks[-1][1]
        job, delivery = self.job_of[i], moments[2] + self.tails[i]
        if self.reach is not None and (reached := self.reach.delivery(i, moments[0])) > delivery:
            delivery = reached
        if delivery > deliveries[job]:
            deliveries = list(deliveries)
            self._deliver(built, job, delivery, deliveries)
        if self.appointments.reserved:
            for appointment, refusal in list(self.appointments.spoiled(i, moments, built.refused)):
                built.refused[appointment] = refusal
                built.cost += IMPOSSIBLE
        built.order.append(i)
        built.marks.append((profiles, deliveries, built.cost, built.late, built.short))
        if self.every > 1:
            self._forget(built.marks, len(built.marks) - 1 - LAST_WITH_PROFILES)

    def _forget(self, marks: list[ScheduleMark], k: int) -> None:
        """Drop the profiles of a mark, unless it is one that keeps them."""
        if k > 0 and k % self.every:
            marks[k] = None, *marks[k][1:]

    def profiles(self, built: BuiltSchedule) -> Profiles:
        """What is taken at the last mark, worked out again from the last mark before it that has its profiles."""
        last = len(built.marks) - 1
        profiles = built.marks[last][0]
        if profiles is None:
            k = next(k for k in range(last, -1, -1) if built.marks[k][0] is not None)
            profiles = list(built.marks[k][0] or ())
            for i in built.order[k:last]:
                fit = built.fits[i]
                assert fit is not None  # it is in the order
                self.holds.enter(i, fit, profiles)
            built.marks[last] = profiles, *built.marks[last][1:]
        return profiles

    def _deliver(self, built: BuiltSchedule, job: int, delivery: int, deliveries: list[int]) -> None:
        """Update the cost for a later delivery of a job."""
        cost, late, short = self.costs.job_cost(job, delivery)
        old_cost, old_late, old_short = self.costs.job_cost(job, deliveries[job])
        built.cost += cost - old_cost
        built.late += late - old_late
        built.short += short - old_short
        deliveries[job] = delivery

    def refuse(self, built: BuiltSchedule, i: int, refusal: Refusal) -> None:
        """Refuse a task and what waits for it."""
        before = len(built.refused)
        self.compiled.refuse(built.refused, i, refusal)
        built.cost += IMPOSSIBLE * (len(built.refused) - before)
