"""Find a schedule: one at once, or better and better ones until nothing improves any more."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING

from shopday.scheduler.bounds.lower_bounds import LowerBounds
from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.model.problem import Problem
from shopday.scheduler.model.result import Result
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.search.priority_rules import rule_orders
from shopday.scheduler.search.rescue import complete_order, rescued

if TYPE_CHECKING:
    from shopday.scheduler.search.annealing import Search
    from shopday.scheduler.search.freeing import FreeingFirst

SEARCH_BUDGET = 250_000
"""What a search of effort 1 may spend (see `Builder.spent`): two to three seconds on a busy shop."""

FIRST_BUDGET = 600
"""After this much is spent on the first schedule no other rule is tried, as the largest shops want an answer too."""

STALL_SHARE = 0.5
"""The share of the budget without an improvement after which a search stops."""


def first(problem: Problem, order: Sequence[int] | None = None) -> Result:
    """The best schedule of several priority rules; or that of `order`, unless it leaves something out and a rule
    does not."""
    return next(filter(None, improve(problem, 0, order, bounded=False)))


def solve(problem: Problem, effort: float = 1.0, order: Sequence[int] | None = None, seed: int = 0) -> Result:
    """The last and best result of `improve`."""
    return deque(filter(None, improve(problem, effort, order, seed)), maxlen=1).pop()


def improve(
    problem: Problem,
    effort: float = 1.0,
    order: Sequence[int] | None = None,
    seed: int = 0,
    bounded: bool = True,
    freeing: float = 0.0,
    polishes: bool = False,
) -> Iterator[Result | None]:
    """Yield a schedule at once, then every better one found; the last carries the final count and bounds. None before and
    between them is a heartbeat: nothing new, but here the search can be given up.

    effort:  multiple of the usual budget; 0 asks for the first schedule only.
    order:   tasks in the order of an earlier result, to start from and stay close to; with effort 0 it is
             built as it is, and rules are asked only if it leaves out something.
    seed:    of the random choices; the same call always yields the same schedules.
    bounded: look for the best bounds of the totals, which takes longer than a first schedule.
    freeing: the share of the budget to be spent on freeing whole jobs (`FreeingFirst`), if the problem suits that.
    polishes: the order is that of a good schedule already.
    """
    compiled = PreparedProblem(problem)
    yield None
    start, builder = yield from best_start(Builder(compiled), order, alone=order is not None and effort <= 0)
    bounds = LowerBounds(builder)
    if bounded and effort <= 0:
        bounds.compare_orders()
    yield None
    yield to_result(builder, start, bounds, 1)
    if effort <= 0 or bounds.reached(start):
        return
    if bounded:
        bounds.compare_orders()
        if bounds.reached(start):
            yield to_result(builder, start, bounds, 1)
            return
    builder.look_ahead()
    search = _search(builder, start, seed, bounds, freeing, polishes)
    budget = int(effort * SEARCH_BUDGET)
    for built in search.run(budget, max(50, int(budget * STALL_SHARE))):
        yield None if built is None else to_result(builder, built, bounds, search.iterations)
        if built is not None and bounds.reached(built):
            return
    yield to_result(builder, search.best, bounds, search.iterations)


def _search(
    builder: Builder, start: BuiltSchedule, seed: int, bounds: LowerBounds, freeing: float, polishes: bool
) -> Search | FreeingFirst:
    from shopday.scheduler.search.annealing import Search

    anneal = partial(Search, builder, seed=seed, floor=bounds.cost, floors=bounds.floors)
    if freeing:
        from shopday.scheduler.search.appended_tasks import UnfitForAppending
        from shopday.scheduler.search.freeing import FreeingFirst, FreeingSearch

        try:
            freed = FreeingSearch(builder, start, seed)
            return FreeingFirst(freed, freeing, partial(anneal, polishes=True))
        except UnfitForAppending:
            pass
    return anneal(start, polishes=polishes)


def can_be_freed(problem: Problem) -> bool:
    """Whether searching by freeing whole jobs suits a problem."""
    from shopday.scheduler.search.appended_tasks import UnfitForAppending
    from shopday.scheduler.search.freeing import FreeingSearch

    builder = Builder(PreparedProblem(problem))
    builder.look_ahead()
    try:
        FreeingSearch(builder, builder.start, 0)
    except UnfitForAppending:
        return False
    return True


def best_start(
    builder: Builder, order: Sequence[int] | None, alone: bool = False
) -> Steps[tuple[BuiltSchedule, Builder]]:
    """The best of the starting orders, the first among equals. alone: only the given order, if it places all tasks.

    Tasks for which no place is found are refused for good, and the rest is placed again.
    """
    while True:
        best = yield from _best_of(builder, _orders(builder, order), alone)
        if len(best.refused) > len(builder.refused):
            best = yield from rescued(builder, best)
        if len(best.refused) == len(builder.refused):
            return best, builder
        builder = Builder(
            builder.compiled.refusing(best.refused), builder.costs.late_weight, builder.costs.short_weight
        )


def _orders(builder: Builder, order: Sequence[int] | None) -> Iterator[list[int]]:
    if order is not None:
        yield complete_order(builder, order)
    yield from rule_orders(builder)


def _best_of(builder: Builder, orders: Iterable[list[int]], alone: bool) -> Steps[BuiltSchedule]:
    """The best schedule of these orders; each build is given up when it must be worse than an earlier one."""
    best: BuiltSchedule | None = None
    for order in orders:
        if best is not None:
            all_placed = len(best.refused) == len(builder.refused)
            if builder.spent > FIRST_BUDGET or (alone and all_placed):
                break
        built = builder.build(order, limit=None if best is None else best.cost)
        yield
        if built is not None and (best is None or built.aim < best.aim):
            best = built
    assert best is not None  # a build without a limit is never given up
    return best


def to_result(builder: Builder, built: BuiltSchedule, bounds: LowerBounds | None, iterations: int) -> Result:
    """The result for a schedule. Without bounds they are 0, and the floors empty."""
    late, short, finish = builder.costs.totals(built)
    late_bound, short_bound, finish_bound = bounds.totals(late, short, finish) if bounds else (0, 0, 0)
    return Result(
        schedule=builder.schedule(built),
        late=late,
        finish=finish,
        order=tuple(built.order),
        short=short,
        short_bound=short_bound,
        late_bound=late_bound,
        finish_bound=finish_bound,
        floors=bounds.floors if bounds else (),
        iterations=iterations,
    )
