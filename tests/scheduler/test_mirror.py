"""Placing backwards, held against looking at every minute, and against what is proven of justification."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from shopday.scheduler import (
    Builder,
    Delivery,
    Lag,
    PreparedProblem,
    Problem,
    Result,
    Task,
    first,
    verify_result,
)
from shopday.scheduler.placing.backward_placement import last_below, last_free
from shopday.scheduler.placing.resource_profiles import NO_LEVELS, raise_level, take_capacity
from shopday.scheduler.search.backward_pass import BackwardPass

spans = st.lists(st.tuples(st.integers(0, 40), st.integers(1, 8)), max_size=6)
asked = st.tuples(st.integers(0, 40), st.integers(1, 10))


@given(spans, asked, st.integers(0, 5))
def test_the_last_free_minute_is_the_one_a_look_at_each_finds(
    busy: list[tuple[int, int]], span: tuple[int, int], need: int
) -> None:
    profile: list[int] = []
    for start, length in busy:
        profile = take_capacity(profile, start, start + length)
    used = {minute for start, length in busy for minute in range(start, start + length)}
    start, end = span[0], span[0] + span[1]
    found = last_free(profile, start, end, need)
    hits = [minute for minute in range(start, end) if minute in used]
    if not hits:
        assert found is None
        return
    least = min(used)
    wanted = min(hits)
    while wanted > least and (wanted - 1 in used or set(range(wanted - need, wanted)) & used):
        wanted -= 1
    assert found == wanted


@given(spans, asked, st.integers(0, 3))
def test_the_last_minute_below_a_level_is_the_one_a_look_at_each_finds(
    busy: list[tuple[int, int]], span: tuple[int, int], room: int
) -> None:
    profile = NO_LEVELS
    for start, length in busy:
        profile = raise_level(profile, start, start + length, 1)

    def level(minute: int) -> int:
        return sum(start <= minute < start + length for start, length in busy)

    start, end = span[0], span[0] + span[1]
    above = next((minute for minute in range(start, end) if level(minute) > room), None)
    if above is not None:
        while level(above - 1) > room:
            above -= 1
    assert last_below(profile, start, end, room) == above


@st.composite
def projects(draw: st.DrawFn) -> Problem:
    """One job without calendars: work, lags from end to start, and two resources."""
    count = draw(st.integers(2, 12))
    tasks = []
    for i in range(count):
        after = draw(st.sets(st.integers(0, i - 1), max_size=2)) if i else set()
        uses = tuple((r, n) for r in range(2) if (n := draw(st.integers(0, 3))))
        tasks.append(
            Task(0, work=draw(st.integers(1, 9)), uses=uses, lags=tuple(Lag(j) for j in sorted(after)))
        )
    return Problem(0, (Delivery(),), tuple(tasks), (3, 4))


@given(projects())
def test_justifying_never_makes_a_project_longer(problem: Problem) -> None:
    """Valls, Ballestin, Quintanilla 2005: laid to the right by descending ends and then to the left by
    ascending starts, an active schedule keeps its length or loses some."""
    builder = Builder(PreparedProblem(problem))
    movable = list(range(len(problem.tasks)))
    built = builder.build(list(first(problem).order))
    assert built is not None
    *_, before = builder.costs.totals(built)
    order = BackwardPass(builder, movable).justified(built, {0: before})
    again = builder.build(order)
    assert again is not None
    late, _, after = builder.costs.totals(again)
    assert after <= before
    result = Result(builder.schedule(again), late, after, tuple(again.order))
    assert verify_result(problem, result) == []
