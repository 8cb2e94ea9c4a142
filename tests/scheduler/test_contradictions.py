"""What cannot be planned for its windows is said to be so, with a chain that adds up; what can be planned is."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest
from hypothesis import given, settings
from random_lags import CAPACITIES, Project, project
from random_problems import problems
from tiny import MAKER, SECOND, best, shop, work

from shopday.scheduler import (
    END,
    START,
    Calendar,
    Chain,
    ConstraintSource,
    Crew,
    Delivery,
    Lag,
    Phase,
    Problem,
    Task,
    Window,
    contradiction,
    first,
    improve,
    solve,
    verify_result,
)

SEEDS = range(120)
HELD_BACK = (251, 313)
"""Some task has to be held back in these, where it could be in the way of another."""


def goes_round(chain: Chain) -> bool:
    """Each rule begins at the task that the one before it pushes."""
    around = zip(chain.rules, (*chain.rules[1:], chain.rules[0]), strict=True)
    return all(rule.pushed == after.pusher for rule, after in around)


def check(made: Project, chain: Chain) -> None:
    """Add the chain up again from what the project says of its lags and its work."""
    assert goes_round(chain)
    total = 0
    for rule in chain.rules:
        minutes = -rule.minutes if rule.most else rule.minutes
        if rule.why is ConstraintSource.APART:
            assert rule.other is not None
            assert (rule.milestone, minutes) == (END, 0)
            total += made.takes[rule.other]
        else:
            assert (rule.pusher, rule.pushed, minutes) in made.lags
            total += minutes
    assert total == chain.excess == sum(gap or 0 for gap in chain.gaps)
    assert total > 0


@pytest.mark.slow
@pytest.mark.parametrize("seed", [*SEEDS, *HELD_BACK])
def test_contradicting_lags_are_found_and_others_are_kept(seed: int) -> None:
    made = project(seed)
    problem = made.problem()
    chains = [contradiction(problem, i) for i in range(len(made.takes))]
    if not made.lags_agree():
        assert any(chains)
        for found in chains:
            for chain in found:
                check(made, chain)
        assert all(len(found) <= 1 for found in chains)
    if made.possible():
        assert not any(chains)
        results = (r for r in filter(None, improve(problem, 0.1)) if not r.schedule.unplaced)
        assert verify_result(problem, next(results)) == []
    else:
        result = solve(problem, 0)
        assert verify_result(problem, result) == []
        assert result.schedule.unplaced


def test_the_made_up_projects_are_of_all_kinds() -> None:
    kinds = {(made.lags_agree(), made.possible()) for made in map(project, SEEDS)}
    assert kinds == {(True, True), (False, False), (True, False)}


@pytest.mark.parametrize("seed", [seed for seed in SEEDS if project(seed).lags_agree()])
def test_the_gaps_of_chains_that_keep_tasks_apart_add_up(seed: int) -> None:
    made = project(seed)
    for task in range(len(made.takes)):
        chains = contradiction(made.problem(), task)
        for chain in chains:
            check(made, chain)
        apart = {rule for chain in chains for rule in chain.rules if rule.why is ConstraintSource.APART}
        assert bool(apart) == bool(chains)
        for rule in apart:
            assert rule.resource is not None
            both = {
                i for other in apart if other.resource == rule.resource for i in (other.task, other.other)
            }
            assert sum(made.uses[i][rule.resource] for i in both if i is not None) > CAPACITIES[rule.resource]


# ------------------------------------------------------------ worked out by hand


def test_three_windows_in_a_circle_contradict_each_other() -> None:
    # The second starts 50 after the first at least, the third 60 after the second, and within 100 of the first: 10 too long.
    tasks = (
        Task(0, work=20),
        Task(0, work=5, lags=(Lag(0, END, 30),)),
        Task(0, work=5, lags=(Lag(1, START, 60),), windows=(Window((Lag(0, START),), 100),)),
    )
    problem = Problem(0, (Delivery(),), tasks)
    [chain] = contradiction(problem, 2)
    assert sorted(gap for gap in chain.gaps if gap is not None) == [-100, 50, 60]
    assert chain.excess == 10
    assert goes_round(chain)
    assert best(problem).schedule.unplaced


def test_a_window_over_a_night_contradicts_by_the_calendar() -> None:
    # Begun between 8:00 and 16:30 and hard 14 hours later: between 22:30 and 7:00, when nobody comes within half an hour.
    coat = work(30, unbroken=True, phases=(Phase(14 * 60),))
    problem = shop(coat, work(60, lags=(Lag(0),), windows=(Window((Lag(0),), 30),)))
    [chain] = contradiction(problem, 1)
    assert chain.excess is None
    assert {rule.why for rule in chain.rules} == {ConstraintSource.LAG, ConstraintSource.WINDOW}
    assert goes_round(chain)
    # Within an hour and a half, it is 8:00 for what was begun in the last hour.
    wider = shop(coat, work(60, lags=(Lag(0),), windows=(Window((Lag(0),), 90),)))
    assert contradiction(wider, 1) == ()
    assert best(wider).schedule.unplaced == {}


def test_one_maker_cannot_start_two_things_within_a_minute_of_each_other() -> None:
    # Each takes an hour of the same maker and wants to start within 10 minutes of the other.
    near = (Window((Lag(0, START),), 10),)
    problem = shop(work(60, windows=(Window((Lag(1, START),), 10),)), work(60, windows=near))
    first, second = contradiction(problem, 0)
    assert first.excess == second.excess == 60 - 10
    whys = [{rule.why for rule in chain.rules} for chain in (first, second)]
    assert whys == [{ConstraintSource.APART, ConstraintSource.WINDOW}] * 2
    # Two makers can.
    both = (Crew((MAKER,), 1), Crew((SECOND,), 1))
    assert contradiction(shop(work(60), work(60, crews=both, windows=near)), 1) == ()


def test_an_appointment_is_part_of_a_chain() -> None:
    # The appointment is at 10:00; what it follows within 30 minutes takes until 9:20 at the latest, for it is at 8:00.
    problem = shop(work(80, at=480, unbroken=True), work(10, at=600, windows=(Window((Lag(0),), 30),)))
    [chain] = contradiction(problem, 1)
    assert chain.excess == 10
    assert {rule.why for rule in chain.rules} == {ConstraintSource.APPOINTMENT, ConstraintSource.WINDOW}


def test_dusty_work_that_must_begin_in_still_air_is_a_contradiction() -> None:
    # Varnish wants five hours of still air from the end of the work, and the sawing begins within one of it.
    varnish = work(30, unbroken=True, phases=(Phase(300, needs_still_air=True),))
    saw = work(30, dusty=True, lags=(Lag(0, END),), windows=(Window((Lag(0, END),), 60),))
    after, before = contradiction(shop(varnish, saw, dust_minutes=45), 1)
    assert after.excess == 300 - 60
    # Sawn before, it would have to end 75 minutes before it may begin.
    assert before.excess == 30 + 45
    assert contradiction(shop(varnish, saw._replace(room=1), dust_minutes=45), 1) == ()


def test_each_of_two_latest_moments_is_refuted() -> None:
    # The third starts 100 after each of two others and within 50 of the later one.
    lags = (Lag(0, START, 100), Lag(1, START, 100))
    third = Task(0, work=5, lags=lags, windows=(Window((Lag(0, START), Lag(1, START)), 50),))
    chains = contradiction(Problem(0, (Delivery(),), (Task(0, work=5), Task(0, work=5), third)), 2)
    assert [chain.excess for chain in chains] == [50, 50]
    assert {rule.other for chain in chains for rule in chain.rules} == {0, 1}


def test_tasks_without_a_place_are_left_out() -> None:
    late = Task(0, work=5, lags=(Lag(0, START, 60),), windows=(Window((Lag(0, START),), 50),))
    problem = Problem(0, (Delivery(),), (Task(0, work=5), late))
    assert contradiction(problem, 1)
    assert contradiction(problem, 1, left_out=(0,)) == ()


def test_the_time_between_a_window_and_its_moment_counts_also_where_work_is_interrupted() -> None:
    # Two hours to set, half an hour of work and three hours to dry after that: never within an hour of the first,
    # whatever breaks the first has.
    first = work(30, phases=(Phase(120),))
    second = work(30, phases=(Phase(180),), lags=(Lag(0),))
    [chain] = contradiction(
        shop(first, second, work(10, lags=(Lag(1),), windows=(Window((Lag(0),), 60),))), 2
    )
    assert chain.excess == 30 + 180 - 60
    assert goes_round(chain)


# ------------------------------------------------------------ against trying every minute


def small_shop(seed: int) -> Problem:
    """Two or three tasks of a few minutes on calendars of a few minutes, bound by hard windows."""
    random = Random(seed)
    opens = Calendar.of([(a, a + random.randint(2, 6)) for a in range(0, 36, random.randint(7, 11))])
    tasks: list[Task] = []
    for i in range(random.randint(2, 3)):
        lags = tuple(Lag(j, random.choice([START, END, 0]), random.choice([0, 2])) for j in range(i))
        windows = tuple(Window((lag,), random.randint(0, 5)) for lag in lags if random.random() < 0.7)
        phases = (Phase(random.randint(0, 9)),)
        crews = (Crew((MAKER,) if random.random() < 0.5 else (), 1),)
        takes, whole = random.randint(1, 4), random.random() < 0.5
        tasks.append(Task(0, takes, crews, phases=phases, lags=lags, windows=windows, unbroken=whole))
    return shop(*tasks, now=0, calendars=(Calendar.always(), opens))


def can_be(problem: Problem) -> bool:
    """Whether any choice of starts keeps lags, windows, calendar and the maker's one pair of hands."""
    minutes = [m for a, b in problem.calendars[1].spans for m in range(a, b)]

    def moments(task: Task, start: int) -> dict[int, int] | None:
        done = [m for m in minutes if m >= start][: task.work]
        if len(done) < task.work or (task.unbroken and done[-1] - start >= task.work):
            return None
        return {START: start, END: done[-1] + 1, 0: done[-1] + 1 + task.phases[0].takes}

    def keeps(chosen: list[dict[int, int]]) -> bool:
        for task, its in zip(problem.tasks, chosen, strict=True):
            if any(its[START] < chosen[lag.task][lag.milestone] + lag.offset for lag in task.lags):
                return False
            for window in task.windows:
                [ref] = window.refs
                if its[START] > chosen[ref.task][ref.milestone] + ref.offset + window.within:
                    return False
        spans = [(m[START], m[END]) for t, m in zip(problem.tasks, chosen, strict=True) if t.crews[0].people]
        return all(a[1] <= b[0] or b[1] <= a[0] for k, a in enumerate(spans) for b in spans[:k])

    every = [[m for s in minutes if (m := moments(task, s)) is not None] for task in problem.tasks]
    return any(keeps(list(chosen)) for chosen in product(*every))


@pytest.mark.parametrize("seed", range(60))
def test_every_told_contradiction_on_calendars_is_real_and_complete(seed: int) -> None:
    """None of these shops is impossible for another reason, such as work longer than any stretch."""
    problem = small_shop(seed)
    chains = [chain for i in range(len(problem.tasks)) for chain in contradiction(problem, i)]
    assert bool(chains) != can_be(problem)
    assert all(goes_round(chain) for chain in chains)
    assert all(chain.excess is None or chain.excess > 0 for chain in chains)


@pytest.mark.slow
@given(problems())
@settings(max_examples=150)
def test_no_schedule_has_a_place_for_all_that_is_told_to_contradict(problem: Problem) -> None:
    result = first(problem)
    assert verify_result(problem, result) == []
    for i in range(len(problem.tasks)):
        chains = contradiction(problem, i)
        tied = {rule.task for chain in chains for rule in chain.rules}
        assert not chains or tied & result.schedule.unplaced.keys()
