"""The schedule that every build starts from: work that is over or under way, and the appointments."""

from __future__ import annotations

from shopday.scheduler.model.result import Refusal
from shopday.scheduler.placing.appointments import Appointments
from shopday.scheduler.placing.begun_tasks import BegunTasks
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.fits import Fit, NoPlace, Profiles
from shopday.scheduler.placing.placer import Placer
from shopday.scheduler.placing.schedule_costs import ScheduleCosts


def given_schedule(
    placer: Placer, appointments: Appointments, costs: ScheduleCosts, refused: dict[int, Refusal]
) -> BuiltSchedule:
    """Place the given tasks. Those that never have a place are added to `refused`, and their jobs left out of the
    totals."""
    compiled = placer.compiled
    n = len(compiled.prepared)
    built = BuiltSchedule(0, 0, 0, [], [], [None] * n, [None] * n, {})
    profiles = list(placer.starts.empty)
    _place_begun(placer, built, profiles, refused)
    for i, fit in appointments.reserve_all(profiles, refused).items():
        _take(placer, built, i, fit, profiles)
    for i, moments in enumerate(built.moments):
        if moments is not None:
            for appointment, refusal in list(appointments.spoiled(i, moments, refused)):
                compiled.refuse(refused, appointment, refusal)
    costs.leave_out(refused)
    built.refused = dict(refused)
    deliveries = [compiled.problem.now] * len(compiled.problem.jobs)
    for i, m in enumerate(built.moments):
        job = compiled.prepared[i].task.job
        if m is not None:
            deliveries[job] = max(deliveries[job], m[2] + costs.tails[i])
    built.marks = [(profiles, deliveries, 0, 0, 0)]
    costs.price(built)
    return built


def _place_begun(
    placer: Placer, built: BuiltSchedule, profiles: Profiles, refused: dict[int, Refusal]
) -> None:
    """Place the tasks that are over, then those under way."""
    compiled, begun = placer.compiled, BegunTasks(placer.compiled, placer.holds, placer.starts)
    for i, prepared in enumerate(compiled.prepared):
        if prepared.task.fixed is not None:
            _take(placer, built, i, begun.settled(i), profiles)
    for i, prepared in enumerate(compiled.prepared):
        if prepared.task.going and i not in refused:
            try:
                _take(placer, built, i, begun.going(i, profiles), profiles)
            except NoPlace as no:
                compiled.refuse(refused, i, no.refusal)


def _take(placer: Placer, built: BuiltSchedule, i: int, fit: Fit, profiles: Profiles) -> None:
    built.note(i, fit)
    placer.holds.enter(i, fit, profiles)
