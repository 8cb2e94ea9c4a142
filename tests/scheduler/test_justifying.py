"""Justification takes every task along, also one that the schedule it starts from has no place for."""

from __future__ import annotations

from shopday.scheduler import (
    Builder,
    Calendar,
    Crew,
    Delivery,
    PreparedProblem,
    Problem,
    Task,
    solve,
    verify_result,
)
from shopday.scheduler.search.backward_pass import BackwardPass


def two_for_one_hour() -> Problem:
    """Two pieces of work for one person who is in for no more than the first of them."""
    tasks = (Task(0, work=60, crews=(Crew((0,), 1),)), Task(1, work=60, crews=(Crew((0,), 1),)))
    return Problem(
        0,
        (Delivery(), Delivery(2)),
        tasks,
        (1,),
        (Calendar.always(), Calendar.of([(0, 100)])),
        release_calendar=1,
    )


def test_justifying_keeps_tasks_without_a_place() -> None:
    builder = Builder(PreparedProblem(two_for_one_hour()))
    built = builder.build([0, 1])
    assert built is not None
    assert list(built.refused) == [1]
    order = BackwardPass(builder, [0, 1]).justified(built, {0: 60, 1: 60})
    assert sorted(order) == [0, 1]


def test_a_search_places_or_refuses_every_task() -> None:
    result = solve(two_for_one_hour(), 0.05)
    assert verify_result(two_for_one_hour(), result) == []
    assert len(result.schedule.unplaced) == 1
