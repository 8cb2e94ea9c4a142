"""What is appended is what the builder builds with every task held to its start, also of schedules the search likes."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from making import made_shop
from random_problems import problems
from tiny import shop, work

from shopday.scheduler import (
    FOREVER,
    Builder,
    BuiltSchedule,
    Lag,
    PreparedProblem,
    Problem,
    finished,
    improve,
    verify,
    verify_result,
)
from shopday.scheduler.search import freeing
from shopday.scheduler.search.appended_tasks import UnfitForAppending
from shopday.scheduler.search.appending import Appended, Appender
from shopday.scheduler.search.dispatching import Dispatcher
from shopday.scheduler.search.freeing import FreeingSearch
from shopday.scheduler.search.key_moves import KeyMoves
from shopday.scheduler.search.merging import Merge, Merger
from shopday.scheduler.search.solve import best_start

BUSY = (0, 1, 3)
"""Made shops with one maker."""


def one_maker(problem: Problem) -> Problem:
    return problem._replace(tasks=tuple(task._replace(crews=task.crews[:1]) for task in problem.tasks))


def looking_ahead(problem: Problem) -> tuple[BuiltSchedule, Builder]:
    start, builder = finished(best_start(Builder(PreparedProblem(problem)), None))
    builder.look_ahead()
    return start, builder


def is_what_was_appended(builder: Builder, appended: Appended, built: BuiltSchedule | None) -> bool:
    assert built is not None
    assert verify(builder.problem, builder.schedule(built)) == []
    return built.moments == appended.moments and built.cost == appended.cost


@pytest.mark.slow
@given(problems(), st.integers(0, 9))
@settings(max_examples=60)
def test_any_order_that_can_be_appended_is_built_the_same(problem: Problem, seed: int) -> None:
    _, builder = looking_ahead(one_maker(problem))
    try:
        appender = Appender(builder)
    except UnfitForAppending:
        return
    chance = Random(seed)
    todo, order, state = list(appender.work), [], appender.start.copy()
    while todo:
        i = chance.choice([i for i in todo if appender.ready(state, i)])
        spot = appender.fit(state, i)
        if spot is None:
            assert appender.run([*order, i]) is None
            return
        appender.enter(state, i, spot)
        todo.remove(i)
        order.append(i)
    assert appender.run(order) == state
    built = appender.built(state, [*order, *(i for i in appender.tasks if i not in order)])
    assert is_what_was_appended(builder, state, built)


@pytest.mark.slow
@given(problems(), st.integers(0, 9))
@settings(max_examples=60)
def test_what_is_dispatched_is_built_the_same(problem: Problem, seed: int) -> None:
    """Also what is dispatched again from the middle of something else."""
    _, builder = looking_ahead(one_maker(problem))
    try:
        appender = Appender(builder)
    except UnfitForAppending:
        return
    if not appender.work:
        return
    chance = Random(seed)
    dispatcher = Dispatcher(appender, Merger(appender).after)
    moves = KeyMoves({i: appender.tasks[i].job for i in appender.work}, chance)
    current = dispatcher.anew(chance.sample(appender.work, len(appender.work)))
    for _ in range(10):
        if current is None:
            return
        assert sorted(current.order) == sorted(appender.work)
        assert appender.run(current.order) == current.state
        built = appender.built(
            current.state, [*current.order, *(i for i in appender.tasks if i not in current.order)]
        )
        assert is_what_was_appended(builder, current.state, built)
        keys = moves.keys(current.order)
        current = dispatcher.again(current, keys, FOREVER, fills=chance.random() < 0.5) or current


def test_what_is_over_before_the_next_task_can_start_goes_first() -> None:
    """Task 1 may start four hours after task 0; task 2, one hour, fits between, but task 3, five hours, does not."""
    waits = work(60, lags=(Lag(0, offset=240),))
    _, builder = looking_ahead(shop(work(60), waits, work(60, job=1), work(300, job=2)))
    appender = Appender(builder)
    dispatcher = Dispatcher(appender, Merger(appender).after)
    base = dispatcher.appended([0, 2, 3, 1])
    assert base is not None
    keys = {0: 0.0, 1: 1.0, 3: 2.0, 2: 3.0}
    filled, as_told = (dispatcher.again(base, keys, FOREVER, fills) for fills in (True, False))
    assert filled is not None
    assert filled.order == [0, 2, 1, 3]
    assert as_told is not None
    assert as_told.order == [0, 1, 3, 2]


@pytest.mark.slow
@pytest.mark.parametrize("seed", BUSY)
def test_schedules_of_the_search_are_built_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """All that it comes upon, whatever they cost."""
    start, builder = looking_ahead(made_shop(seed, 100))
    search = FreeingSearch(builder, start, 1)
    same = []
    run = Merge.run

    def compared(self: Merge, _limit: int) -> tuple[Appended, list[int]] | None:
        merged = run(self, FOREVER)
        if merged is not None:
            appended, order = merged
            assert search.appender.run(order) == appended
            built = search.appender.built(
                appended, [*order, *(i for i in search.appender.tasks if i not in order)]
            )
            same.append(is_what_was_appended(builder, appended, built))
        return merged

    monkeypatch.setattr(Merge, "run", compared)
    found = list(filter(None, search.run(10_000, 10_000)))
    assert all(same)
    assert len(same) > 2
    aims = [start.aim, *(built.aim for built in found)]
    assert aims == sorted(set(aims), reverse=True)


@pytest.mark.slow
def test_freeing_is_reproducible_and_keeps_every_rule() -> None:
    problem = made_shop(1, 80)
    once, again = (list(filter(None, improve(problem, 0.1, freeing=0.5))) for _ in range(2))
    assert once == again
    assert all(verify_result(problem, result) == [] for result in once)
    assert once[-1].aim < once[0].aim


@pytest.mark.parametrize("problem", [made_shop(2, 80), made_shop(0, freeing.FEWEST_TASKS - 6)])
def test_with_two_makers_or_little_work_freeing_is_not_used(problem: Problem) -> None:
    usual, freed = (list(improve(problem, 0.002, freeing=kind)) for kind in (0.0, 1.0))
    assert freed == usual


@pytest.mark.parametrize(("seed", "steps"), [(4, 130), (7, 120)])
def test_a_late_job_goes_first_if_it_then_gets_the_rare_hours_of_a_helper(seed: int, steps: int) -> None:
    """The helper is in on Wednesday mornings only: by the order of the first days one job is days late or on time."""
    problem = made_shop(seed, steps)
    found = list(filter(None, improve(problem, 0.02, freeing=0.5)))
    assert found[0].late > 0
    assert found[-1].late == 0
    assert all(verify_result(problem, result) == [] for result in found)
