"""The checker itself: a right schedule spoilt in any way is found out, or still right by every rule."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from random_problems import problems
from tiny import BENCH, CRAMPS, MAKER, SECOND, best, shop, work

from shopday.scheduler import (
    END,
    START,
    Calendar,
    Cause,
    Crew,
    Lag,
    Phase,
    Placed,
    Problem,
    Refusal,
    Schedule,
    Task,
    Window,
    first,
    totals,
    verify,
    verify_result,
)


def spoilt(problem: Problem, task: int, **changes: object) -> list[str]:
    """What the checker says of the best schedule with one place changed."""
    schedule = best(problem).schedule
    placed = list(schedule.placed)
    place = placed[task]
    assert place is not None
    placed[task] = place._replace(**changes)  # type: ignore[arg-type]
    return verify(problem, Schedule(tuple(placed), schedule.unplaced))


def moved(problem: Problem, task: int, start: int, minutes: int, **changes: object) -> list[str]:
    """The same for a task without phases that is moved as a whole."""
    end = start + minutes
    return spoilt(problem, task, start=start, end=end, complete=end, **changes)


def test_every_moment_of_a_placed_task_is_checked() -> None:
    problem = shop(work(30, uses=((CRAMPS, 1),), phases=(Phase(60, keeps=(CRAMPS,)), Phase(60))))
    assert spoilt(problem, 0, end=520)
    assert spoilt(problem, 0, complete=570)
    assert spoilt(problem, 0, ends=(570, 600))
    assert spoilt(problem, 0, frees=(600, 630))
    assert spoilt(problem, 0, crew=1)
    assert spoilt(problem, 0, missed=True)


CLOSED = Calendar.of([(600, 700)])
PAIR = (Crew((MAKER,), 1), Crew((SECOND,), 1))
ONE = {"uses": ((BENCH, 1),), "crews": PAIR}
SPOILT: list[tuple[str, Callable[[], list[str]]]] = [
    ("before now", lambda: moved(shop(work(10), now=500), 0, 490, 10)),
    ("before its release", lambda: moved(shop(work(10, release=500)), 0, 490, 10)),
    ("in the break", lambda: moved(shop(work(10)), 0, 730, 10)),
    ("at closing", lambda: moved(shop(work(10)), 0, 1020, 10)),
    ("before what it waits for", lambda: moved(shop(work(10), work(10, lags=(Lag(0),))), 1, 485, 10)),
    ("off its appointment", lambda: moved(shop(work(10, at=600)), 0, 601, 10)),
    ("interrupted", lambda: moved(shop(work(30, unbroken=True)), 0, 700, 90)),
    ("just before a break", lambda: moved(shop(work(30, stretch=30)), 0, 700, 90)),
    (
        "outside the minutes for a start",
        lambda: moved(shop(work(30, starts_in=2), calendars=(*shop(work(1)).calendars, CLOSED)), 0, 480, 30),
    ),
    ("two things at once", lambda: moved(shop(work(60, 0), work(60, 1)), 1, 500, 60)),
    (
        "a point inside work",
        lambda: moved(shop(work(60, 0, going=True), work(0, 1)), 1, 500, 0),
    ),
    ("one bench twice", lambda: moved(shop(work(60, 0, **ONE), work(60, 1, **ONE)), 1, 500, 60, crew=1)),
    (
        "outside a hard window",
        lambda: moved(shop(work(10), work(10, lags=(Lag(0),), windows=(Window((Lag(0),), 5),))), 1, 496, 10),
    ),
    (
        "a missed window without its work",
        lambda: moved(
            shop(work(10), work(10, lags=(Lag(0),), windows=(Window((Lag(0),), 5),), adds=7)), 1, 496, 10
        ),
    ),
    (
        "outside, but late to leave",
        lambda: moved(shop(Task(0, crews=(), starts_immediately=True, length=5)), 0, 481, 5),
    ),
    (
        "outside, but back early",
        lambda: moved(shop(Task(0, crews=(), starts_immediately=True, length=5)), 0, 480, 4),
    ),
    ("over, but moved", lambda: moved(shop(work(5, fixed=(100, 110)), work(5)), 0, 101, 9)),
    (
        "dust in the still air",
        lambda: moved(
            shop(
                work(60, dusty=True),
                work(10, 1, needs_still_air=True, lags=(Lag(0),), crews=PAIR),
                dust_minutes=9,
            ),
            1,
            545,
            10,
        ),
    ),
]


@pytest.mark.parametrize("spoil", [pytest.param(check, id=name) for name, check in SPOILT])
def test_every_broken_rule_is_found(spoil: Callable[[], list[str]]) -> None:
    assert spoil()


def test_kept_things_count_until_they_are_taken_off() -> None:
    glue = work(30, 0, uses=((CRAMPS, 4),), phases=(Phase(240, keeps=(CRAMPS,)),))
    problem = shop(glue, work(10, 1, uses=((CRAMPS, 1),), lags=(Lag(0, END),)))
    # In cramps from 8:30 to 12:30, off at 13:00; the second at 11:50 is too early.
    assert moved(problem, 1, 710, 10)


def test_touching_is_not_overlapping() -> None:
    problem = shop(work(60, 0), work(60, 1), work(0, 1))
    assert moved(problem, 2, 540, 0) == []


def test_a_task_is_placed_or_refused_and_never_both() -> None:
    problem = shop(work(10))
    placed = best(problem).schedule.placed
    assert verify(problem, Schedule((None,)))
    assert verify(problem, Schedule(placed, {0: Refusal(Cause.HORIZON)}))
    assert verify(problem, Schedule(()))


def test_nothing_follows_a_task_without_a_place() -> None:
    problem = shop(work(10), work(10, lags=(Lag(0),)))
    late = best(problem).schedule.placed[1]
    assert verify(problem, Schedule((None, late), {0: Refusal(Cause.HORIZON)}))


def test_totals_and_bounds_are_checked() -> None:
    problem = shop(work(10))
    result = best(problem)
    assert verify_result(problem, result._replace(finish=9))
    assert verify_result(problem, result._replace(finish_bound=11))
    assert verify_result(problem, result._replace(late_bound=1))
    assert verify_result(problem, result._replace(floors=(491,)))


@pytest.mark.slow
@given(problems(clocks=False), st.data())
@settings(max_examples=150)
def test_work_moved_or_staffed_otherwise_is_found_out_or_still_right(
    problem: Problem, data: st.DataObject
) -> None:
    result = first(problem)
    movable = [
        i
        for i, place in enumerate(result.schedule.placed)
        if place and not problem.tasks[i].starts_immediately
    ]
    assume(movable)
    i = data.draw(st.sampled_from(movable))
    place, task = result.schedule.placed[i], problem.tasks[i]
    assert place is not None
    by = data.draw(st.sampled_from([-1, 1, -30, 30, -700, 700]))
    other = _shifted(place, by)
    schedule = Schedule(
        tuple(other if k == i else p for k, p in enumerate(result.schedule.placed)), result.schedule.unplaced
    )
    faults = verify(problem, schedule)
    if task.fixed is not None or task.at is not None:
        assert faults
    if not faults:
        assert _nothing_waits_in_vain(problem, schedule)
        assert totals(problem, schedule)[1] >= 0


def _shifted(place: Placed, by: int) -> Placed:
    return place._replace(
        start=place.start + by,
        end=place.end + by,
        complete=place.complete + by,
        ends=tuple(e + by for e in place.ends),
        frees=tuple(f + by for f in place.frees),
    )


def _nothing_waits_in_vain(problem: Problem, schedule: Schedule) -> bool:
    """What a schedule that passes must keep in any case, said in another way: minute by minute."""
    busy: set[tuple[int, int]] = set()
    for task, place in zip(problem.tasks, schedule.placed, strict=True):
        if place is None or task.fixed is not None or task.starts_immediately:
            continue
        for lag in () if task.going else task.lags:
            before = schedule.placed[lag.task]
            assert before is not None
            if lag.milestone == START:
                assert place.start >= before.start + lag.offset
        for person in task.crews[place.crew].people:
            minutes = {(person, minute) for minute in range(place.start, place.end)}
            assert not busy & minutes
            busy |= minutes
    return True
