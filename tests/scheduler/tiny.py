"""Problems small enough to work out by hand. Days begin at 0, 1440, ...; the shop is open 480-720 and 780-1020."""

from __future__ import annotations

from shopday.scheduler import Calendar, Crew, Delivery, Placed, Problem, Result, Task, solve, verify_result

SHOP = Calendar.of([(d * 1440 + a, d * 1440 + b) for d in range(60) for a, b in ((480, 720), (780, 1020))])
MAKER, SECOND, BENCH, CRAMPS = range(4)
ALONE = (Crew((MAKER,), 1),)


def day(number: int, clock: str) -> int:
    """The minute of a day (0 is the first) and a clock time."""
    hour, minute = clock.split(":")
    return number * 1440 + int(hour) * 60 + int(minute)


def shop(*tasks: Task, **fields: object) -> Problem:
    """One maker (and a second), one bench, four cramps; as many jobs as the tasks name, now 8:00 of the first day."""
    given: dict[str, object] = {
        "now": 480,
        "jobs": tuple(Delivery() for _ in range(1 + max(task.job for task in tasks))),
        "capacities": (1, 1, 1, 4),
        "calendars": (Calendar.always(), SHOP),
        "release_calendar": 1,
    }
    return Problem(tasks=tasks, **(given | fields))  # type: ignore[arg-type]


def work(minutes: int, job: int = 0, **fields: object) -> Task:
    """Work of the maker alone."""
    return Task(job, work=minutes, **({"crews": ALONE} | fields))  # type: ignore[arg-type]


def best(problem: Problem) -> Result:
    """The answer of a short search, checked."""
    result = solve(problem, 0.1)
    assert verify_result(problem, result) == []
    return result


def places(problem: Problem) -> list[Placed]:
    """Where the best answer puts every task; all of them have a place."""
    placed = best(problem).schedule.placed
    assert None not in placed
    return [place for place in placed if place is not None]


def starts(problem: Problem) -> list[int]:
    return [place.start for place in places(problem)]
