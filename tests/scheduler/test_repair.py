"""Repairing a schedule: where nothing changed it comes out as it was; else every rule still holds."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from random_problems import problems

from shopday.scheduler import Problem, finished, first, kept_of, repair, solve, verify_result

pytestmark = pytest.mark.slow


@given(problems(), st.sampled_from([0, 0.03]))
@settings(max_examples=300)
def test_a_repair_without_changes_gives_the_same_schedule(problem: Problem, effort: float) -> None:
    result = solve(problem, effort)
    again = finished(repair(problem, kept_of(problem, result)))
    assert verify_result(problem, again) == []
    assert again.schedule.placed == result.schedule.placed


@given(problems(), st.data())
@settings(max_examples=300)
def test_a_repair_at_a_later_minute_keeps_every_rule(problem: Problem, data: st.DataObject) -> None:
    result = first(problem)
    later = problem._replace(now=problem.now + data.draw(st.integers(0, 3000)))
    close_up = data.draw(st.none() | st.just(later.now + 1000))
    again = finished(repair(later, kept_of(problem, result), close_up))
    assert verify_result(later, again) == []


@given(problems(), st.data())
@settings(max_examples=200)
def test_a_task_that_lasts_longer_moves_nothing_that_starts_before_it(
    problem: Problem, data: st.DataObject
) -> None:
    result = first(problem)
    assume(not result.schedule.unplaced)
    known = kept_of(problem, result)
    work = [i for i in known if problem.tasks[i].work and problem.tasks[i].at is None]
    assume(work)
    longer = data.draw(st.sampled_from(work))
    tasks = list(problem.tasks)
    tasks[longer] = tasks[longer]._replace(work=tasks[longer].work + 45, unbroken=False)
    changed = problem._replace(tasks=tuple(tasks))
    again = finished(repair(changed, known))
    assert verify_result(changed, again) == []
    if again.schedule.unplaced or any(task.windows for task in tasks):
        return
    for i, at in known.items():
        after = again.schedule.placed[i]
        assert after is not None
        if not tasks[i].starts_immediately and at.start < known[longer].start:
            assert after.start == at.start
