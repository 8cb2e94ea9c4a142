"""Every schedule of random problems is right: the first one, those of a search, and those of any order."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_problems import problems

from shopday.scheduler import Builder, PreparedProblem, Problem, first, improve, verify_result

pytestmark = pytest.mark.slow


@given(problems())
@settings(max_examples=300)
def test_first_schedules_keep_every_rule(problem: Problem) -> None:
    assert verify_result(problem, first(problem)) == []


@given(problems(), st.integers(0, 9))
@settings(max_examples=40)
def test_every_schedule_of_a_search_keeps_every_rule_and_is_no_worse(problem: Problem, seed: int) -> None:
    before = None
    for result in filter(None, improve(problem, 0.03, seed=seed)):
        assert verify_result(problem, result) == []
        assert before is None or result.aim <= before
        before = result.aim


@given(problems(), st.data())
@settings(max_examples=100)
def test_any_order_builds_a_schedule_that_keeps_every_rule(problem: Problem, data: st.DataObject) -> None:
    order = data.draw(st.permutations(range(len(problem.tasks))))
    assert verify_result(problem, first(problem, order)) == []


@given(problems())
@settings(max_examples=20)
def test_the_same_question_has_the_same_answer(problem: Problem) -> None:
    once, again = (list(filter(None, improve(problem, 0.02, seed=3)))[-1] for _ in range(2))
    assert once == again


@given(problems())
@settings(max_examples=60)
def test_the_order_of_a_schedule_builds_it_again(problem: Problem) -> None:
    result = first(problem)
    again = first(problem, result.order)
    assert again.totals == result.totals


@given(problems(), st.data())
@settings(max_examples=60)
def test_a_schedule_built_before_looking_ahead_can_be_built_on(problem: Problem, data: st.DataObject) -> None:
    builder = Builder(PreparedProblem(problem))
    base = builder.build(data.draw(st.permutations(range(len(problem.tasks)))))
    assert base is not None
    builder.look_ahead()
    keep = data.draw(st.integers(0, len(base.order)))
    again = builder.build(base.order[keep:], base, keep)
    assert again is not None
    late, short, finish = builder.costs.totals(again)
    if not again.refused:
        cost = builder.costs.late_weight * late + builder.costs.short_weight * short + finish
        assert (again.late, again.short, again.cost) == (late, short, cost)
