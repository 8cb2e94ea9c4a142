"""Ties between the times of tasks in the exact model: lags and windows."""

from __future__ import annotations

from shopday.scheduler.exact.encoding import Encoding, Literal, Time
from shopday.scheduler.exact.scope import Scope
from shopday.scheduler.exact.task_times import TaskTimes, TimesModel
from shopday.scheduler.model.problem import START, Lag


def all_times(encoding: Encoding, scope: Scope) -> dict[int, TaskTimes]:
    """The times of every task of the model; absences come after what they wait for."""
    maker = TimesModel(encoding, scope)
    tasks = scope.problem.tasks
    times = {i: maker.given(i) for i in scope.given}
    times |= {i: maker.staffed(i) for i in scope.free if not tasks[i].starts_immediately}
    left = [i for i in scope.free if tasks[i].starts_immediately]
    while left:
        ready = [i for i in left if all(lag.task in times for lag in tasks[i].lags)]
        for i in ready:
            times[i] = maker.starts_immediately(i, _at_once(encoding, scope, times, i))
        left = [i for i in left if i not in times]
    return times


def _at_once(encoding: Encoding, scope: Scope, times: dict[int, TaskTimes], i: int) -> Time:
    """The only minute at which an absence may begin."""
    task = scope.problem.tasks[i]
    if task.at is not None:
        return Time.at(task.at - scope.now)
    soonest = Time.at(max(0, task.release - scope.now))
    return encoding.latest([soonest, *(times[lag.task].moment(lag) for lag in task.lags)])


def add_order(encoding: Encoding, scope: Scope, times: dict[int, TaskTimes]) -> None:
    """Add every lag and window of the free tasks."""
    for i in scope.free:
        for lag in scope.problem.tasks[i].lags:
            encoding.model.add(times[i].start.of >= times[lag.task].moment(lag).of)
            _on_the_axis(encoding, times[lag.task], times[i], lag)
        _add_windows(encoding, scope, times, i)


def _on_the_axis(encoding: Encoding, before: TaskTimes, after: TaskTimes, lag: Lag) -> None:
    """Add the lag again on the axis of a person who does both tasks: redundant, but it helps the solver."""
    if lag.milestone == START or lag.offset < 0 or len(before.crews) != 1 or len(after.crews) != 1:
        return
    for one in before.shifts:
        for other in after.shifts:
            if one.person == other.person:
                encoding.model.add(other.start.of >= one.end.of)


def _add_windows(encoding: Encoding, scope: Scope, times: dict[int, TaskTimes], i: int) -> None:
    task, mine = scope.problem.tasks[i], times[i]
    late: list[Literal] = []
    for window in task.windows:
        refs = [times[ref.task].moment(ref) for ref in window.refs if ref.task in times]
        if not refs:
            continue
        closes = encoding.latest(refs).later(window.within)
        if task.adds is None:
            encoding.model.add(mine.start.of <= closes.of)
        elif mine.missed is not None:
            late.append(encoding.literal())
            encoding.model.add(mine.start.of > closes.of).only_enforce_if(late[-1])
            encoding.model.add(mine.start.of <= closes.of).only_enforce_if(~late[-1])
    if mine.missed is not None:
        encoding.model.add_max_equality(mine.missed, late or [0])
