"""Bounds: no schedule beats them, and where one machine is all there is they are what can be had."""

from __future__ import annotations

from itertools import permutations
from random import Random

import pytest
from exact import exact
from hypothesis import given, settings
from hypothesis import strategies as st
from making import made_shop, small_shop
from random_problems import problems
from tiny import MAKER, SECOND, SHOP, day, shop, work

from shopday.scheduler import (
    Calendar,
    Crew,
    Delivery,
    Lag,
    Phase,
    Problem,
    Result,
    Task,
    Window,
    solve,
    verify_result,
)
from shopday.scheduler.bounds.sequencing import least_assignment, least_over_orders

# ------------------------------------------------------------ no schedule beats them


def checked(problem: Problem, result: Result) -> Result:
    """Verified: among other things that its own totals and deliveries are not under its bounds and floors."""
    assert verify_result(problem, result) == []
    return result


def against(problem: Problem, result: Result, order: list[int]) -> None:
    """The schedule of an order does not beat the bounds that came with another."""
    other = checked(problem, solve(problem, 0, order))
    if other.schedule.unplaced.keys() == result.schedule.unplaced.keys():
        assert other.late >= result.late_bound
        if other.late <= result.late:
            assert other.short >= result.short_bound
            assert other.short > result.short or other.finish >= result.finish_bound


@pytest.mark.slow
@given(problems(), st.data())
@settings(max_examples=150)
def test_no_schedule_of_a_random_problem_beats_the_bounds(problem: Problem, data: st.DataObject) -> None:
    found = checked(problem, solve(problem, 0))
    for _ in range(2):
        against(problem, found, list(data.draw(st.permutations(range(len(problem.tasks))))))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_no_schedule_of_a_made_up_shop_beats_the_bounds(seed: int) -> None:
    problem, random = made_shop(seed, 14 + 4 * seed), Random(seed)
    found = checked(problem, solve(problem, 0.05))
    for _ in range(6):
        against(problem, found, random.sample(range(len(problem.tasks)), len(problem.tasks)))


@pytest.mark.parametrize("seed", [3, 6, 8, 10, 14, 16])
def test_no_bound_is_over_the_optimum(seed: int) -> None:
    """The optimum is what OR-Tools CP-SAT proves on an exact model."""
    problem = small_shop(seed)
    start = solve(problem, 0)
    best = exact(problem, start.schedule, 60, 12 * 1440)
    assert best.proven
    assert best.late is not None
    assert best.finish is not None
    assert start.late_bound <= best.late
    assert start.late_bound < best.late or start.finish_bound <= best.finish


def with_windows_from_the_past(problem: Problem, seed: int) -> Problem:
    """Some first tasks were over hours ago, the next is under way, and what follows them has windows that may be missed:
    many of them closed already."""
    random, tasks = Random(seed), list(problem.tasks)
    first = [i for i, task in enumerate(tasks) if not task.lags]
    given = random.sample(first, (1 + len(first)) // 2)
    for n, i in enumerate(given):
        ago = problem.now - random.choice([100, 400, 1300])
        if n == 1 and len(tasks[i].crews) == 1:
            tasks[i] = tasks[i]._replace(going=True)
        else:
            tasks[i] = tasks[i]._replace(fixed=(ago - 40, ago))
    for i, task in enumerate(tasks):
        if task.lags and task.lags[0].task in given:
            window = Window(task.lags[:1], random.choice([0, 0, 60, 300]))
            tasks[i] = task._replace(windows=(window,), adds=random.choice([15, 60, 180]))
    to_do = {task.job for task in tasks if task.fixed is None}
    jobs = tuple(job._replace(counts=k in to_do) for k, job in enumerate(problem.jobs))
    return problem._replace(jobs=jobs, tasks=tuple(tasks))


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3, 5, 6, 7, 8, 10, 12, 14, 15, 18, 19, 20, 21, 22, 23])
def test_no_bound_is_over_the_optimum_with_missed_windows(seed: int) -> None:
    """The optimum is what OR-Tools CP-SAT proves on an exact model; no order beats the floors either."""
    problem = with_windows_from_the_past(small_shop(seed), seed)
    start = checked(problem, solve(problem, 0))
    assert any(placed.missed for placed in start.schedule.placed if placed is not None)
    best = exact(problem, start.schedule, 60, 12 * 1440)
    assert best.proven
    assert best.late is not None
    assert best.finish is not None
    assert start.late_bound <= best.late
    assert start.late_bound < best.late or start.finish_bound <= best.finish
    random = Random(seed)
    for _ in range(10):
        against(problem, start, random.sample(range(len(problem.tasks)), len(problem.tasks)))


# ------------------------------------------------------------ worked out by hand


def test_equal_jobs_at_one_machine_are_shortest_first() -> None:
    # Smith 1956: 2, 3, 6, 8, 9 minutes end at 2, 5, 11, 19, 28, together 65.
    takes = (6, 2, 8, 3, 9)
    tasks = tuple(Task(k, work=minutes, crews=(Crew((0,)),)) for k, minutes in enumerate(takes))
    problem = Problem(0, (Delivery(),) * 5, tasks, (1,))
    result = checked(problem, solve(problem, 0))
    assert (result.finish_bound, result.finish) == (65, 65)
    assert result.optimal


def test_many_equal_jobs_at_one_machine_are_shortest_first() -> None:
    # Twelve, too many for all their orders: 10, 20, ... 120 minutes end at 10, 30, 60, ...: 10 x 364 together.
    tasks = tuple(Task(k, work=10 * (12 - k), crews=(Crew((0,)),)) for k in range(12))
    problem = Problem(0, (Delivery(),) * 12, tasks, (1,))
    result = checked(problem, solve(problem, 0))
    assert result.finish_bound == 3640


def test_the_bound_finds_that_one_of_two_jobs_must_be_late() -> None:
    # Each is 4 hours of the maker, both are due at noon of the first day: the second ends at 17:00, 300 late.
    problem = shop(
        work(240, 0), work(240, 1), jobs=(Delivery(due=day(0, "12:00")), Delivery(due=day(0, "12:00")))
    )
    result = checked(problem, solve(problem, 0))
    assert (result.late_bound, result.finish_bound) == (300, 240 + 540)
    assert result.optimal


def test_the_heavier_job_goes_first() -> None:
    # Two hours each; weights 1 and 3: 3 x 120 + 240 (the other way round 120 + 3 x 240).
    problem = shop(work(120, 0), work(120, 1), jobs=(Delivery(), Delivery(weight=3)))
    assert checked(problem, solve(problem, 0)).finish_bound == 600


def test_a_finish_bound_counts_plans_that_are_as_little_late() -> None:
    # The long job first is on time (240, then 60 more: 300); the short one first, 60 + 360 (after lunch), is late.
    jobs = (Delivery(due=day(0, "12:00")), Delivery())
    problem = shop(work(240, 0), work(60, 1), jobs=jobs)
    result = checked(problem, solve(problem, 0))
    assert (result.late_bound, result.finish_bound) == (0, 240 + 360)
    assert result.optimal


def test_parts_of_one_job_wait_for_their_one_maker() -> None:
    # Three hours for each of two parts, then one hour to put them together: 8:00 to 12:00, 13:00 to 16:00.
    parts = (work(180), work(180), work(60, lags=(Lag(0), Lag(1))))
    problem = shop(*parts)
    result = checked(problem, solve(problem, 0))
    assert result.floors == (day(0, "16:00"),)
    assert result.optimal


def test_one_of_two_glued_parts_dries_last() -> None:
    # An hour each and five hours of drying: the second is dry at 15:00 and is put together by 16:00.
    glued = {"phases": (Phase(300),)}
    problem = shop(work(60, **glued), work(60, **glued), work(60, lags=(Lag(0), Lag(1))))
    assert checked(problem, solve(problem, 0)).floors == (day(0, "16:00"),)


def test_a_helper_who_comes_one_hour_a_week_helps_one_job_a_week() -> None:
    # The helper's hour is Wednesday 9:00 (day 2, 9, 16); each of three jobs takes all of it.
    hours = Calendar.of([(d * 1440 + 540, d * 1440 + 600) for d in (2, 9, 16)])
    pair = (Crew((MAKER, SECOND), 2),)
    problem = shop(
        *(work(60, job, crews=pair) for job in range(3)), calendars=(Calendar.always(), SHOP, hours)
    )
    result = checked(problem, solve(problem, 0))
    assert result.finish_bound == sum(day(d, "10:00") - 480 for d in (2, 9, 16))
    assert result.optimal


def test_two_interchangeable_makers_have_twice_the_minutes() -> None:
    # Four jobs of four hours: two are done at noon, two at 17:00.
    either = (Crew((MAKER,), 1), Crew((SECOND,), 1))
    problem = shop(*(work(240, job, crews=either) for job in range(4)))
    result = checked(problem, solve(problem, 0))
    assert result.finish == 2 * 240 + 2 * 540
    # As one that does two minutes' work a minute: done at 10:00, 12:00, 15:00, 17:00, none before noon.
    assert result.finish_bound == 240 + 240 + 420 + 540


def test_uncounted_jobs_do_not_raise_bounds() -> None:
    # The delivered job's last hour may come after the other's.
    problem = shop(work(60, 0), work(60, 1), jobs=(Delivery(counts=False), Delivery()))
    assert checked(problem, solve(problem, 0)).finish_bound == 60


def test_work_under_way_and_appointments_are_not_counted_twice() -> None:
    # Under way until 9:00, an appointment from 9:30 to 11:30: two hours in one go begin then and end at 14:30.
    going, fixed = work(60, 0, going=True), work(120, 0, at=day(0, "9:30"))
    problem = shop(going, fixed, work(120, 1), jobs=(Delivery(), Delivery()))
    result = checked(problem, solve(problem, 0))
    assert result.finish_bound == day(0, "11:30") - 480 + day(0, "14:30") - 480
    assert result.optimal


def test_a_missed_window_is_counted() -> None:
    # Over at 6:00 and to be followed within the hour; now it is 8:00: 40 minutes have become 70, until 9:10.
    over = work(60, fixed=(300, 360))
    late = work(40, lags=(Lag(0),), windows=(Window((Lag(0),), 60),), adds=30)
    result = checked(shop(over, late), solve(shop(over, late), 0))
    assert (result.finish, result.finish_bound, result.floors) == (70, 70, (day(0, "9:10"),))
    assert result.optimal


def test_a_window_from_work_under_way_can_close_over_lunch() -> None:
    # Under way until 12:00, then to be followed within half an hour, which is lunch: from 13:00, 40 and 30 minutes.
    going = work(240, going=True)
    late = work(40, lags=(Lag(0),), windows=(Window((Lag(0),), 30),), adds=30)
    result = checked(shop(going, late), solve(shop(going, late), 0))
    assert (result.finish, result.finish_bound) == (day(0, "14:10") - 480, day(0, "14:10") - 480)
    assert result.optimal


def test_the_extra_work_of_a_missed_window_counts_for_people() -> None:
    # Two jobs each with 40 minutes that have become 70: done at 9:10 and 10:20, 70 + 140 minutes.
    over = [work(60, job, fixed=(300, 360)) for job in range(2)]
    late = [work(40, job, lags=(Lag(job),), windows=(Window((Lag(job),), 60),), adds=30) for job in range(2)]
    result = checked(shop(*over, *late), solve(shop(*over, *late), 0))
    assert (result.finish, result.finish_bound) == (210, 210)
    assert result.optimal


def test_a_window_that_can_be_kept_adds_nothing() -> None:
    # Over at 7:30: within the hour is 8:30, and one of the two jobs can start in time, the other at 8:40 or 9:00.
    # 40, then 70: done at 8:40 and 9:50, 40 + 110. The bound may not take both for gone.
    over = [work(60, job, fixed=(300, 450)) for job in range(2)]
    late = [work(40, job, lags=(Lag(job),), windows=(Window((Lag(job),), 60),), adds=30) for job in range(2)]
    result = checked(shop(*over, *late), solve(shop(*over, *late), 0))
    assert result.finish == 150
    assert result.finish_bound <= 150


# ------------------------------------------------------------ least costs


@pytest.mark.parametrize("seed", range(20))
def test_the_least_assignment_is_the_least_of_all(seed: int) -> None:
    random = Random(seed)
    n = random.randint(1, 6)
    costs = [[random.randint(-5, 30) for _ in range(n)] for _ in range(n)]
    assert least_assignment(costs) == min(
        sum(costs[row][column] for row, column in enumerate(columns)) for columns in permutations(range(n))
    )


@pytest.mark.parametrize("seed", range(20))
def test_the_least_over_orders_is_the_least_of_all(seed: int) -> None:
    random = Random(seed)
    n = random.randint(1, 5)
    costs = {(job, done): random.randint(0, 30) for job in range(n) for done in range(1 << n)}
    assert least_over_orders(n, lambda job, done: costs[job, done]) == min(
        sum(costs[job, sum(1 << j for j in order[: k + 1])] for k, job in enumerate(order))
        for order in permutations(range(n))
    )
