"""Asks the scheduler: builds the problem, starts the search from what is known, and extends the calendars if needed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from shopday.journal.state import ShopState
from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.pinned_first import brought_forward
from shopday.planning.encoding.problem_encoder import encode_problem
from shopday.planning.plan import Plan
from shopday.planning.solving.kept_plan import KeptPlan
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.scheduler import Cause, KeptPlace, Result, Steps, repair
from shopday.shop.folder import ShopFolder
from shopday.shop.installing import install

PassOrder = Sequence[tuple[str, int]]
"""Passes in the order of an earlier plan."""

HORIZON_FACTOR = 4
"""How many times farther the calendars reach after something ran over their end."""


def prover_missing(plan: Plan | None = None) -> str:
    """Says that plans are, or that this plan was, searched without the exact engine, and why; "" if it took part."""
    from shopday.scheduler import exact_engine_trouble

    if trouble := exact_engine_trouble():
        return f"searched without the exact engine: {trouble}; {install('exact')}"
    if plan is not None and plan.without_exact:
        return f"searched without the exact engine: {plan.without_exact}"
    return ""


def work_out_plan(
    folder: ShopFolder, state: ShopState, now: int, effort: float = 1.0, near: Plan | None = None
) -> Steps[Plan]:
    """The best plan found with this effort (0: the first one)."""
    last: tuple[EncodedProblem, Result] | None = None
    for found in improved_plans(folder, state, now, effort, near):
        last = found or last
        yield
    assert last is not None  # the first result always comes
    return decode_plan(*last, bounded=effort > 0)


def improved_plans(
    folder: ShopFolder,
    state: ShopState,
    now: int,
    effort: float = 1.0,
    near: Plan | None = None,
) -> Iterator[tuple[EncodedProblem, Result] | None]:
    """The problem with a result at once, then with every better one; the last one is polished. None is a heartbeat."""
    from shopday.scheduler import improve_thoroughly, polished

    def ask(built: EncodedProblem) -> Iterator[Result | None]:
        order = None if near is None else _order(built, near.order)
        return improve_thoroughly(built.problem, effort, order, bounded=effort > 0)

    built, result, results = yield from _far_enough(folder, state, now, ask)
    yield built, result
    for found in results:
        result = found or result
        yield None if found is None else (built, found)
    if effort > 0:
        better = yield from polished(built.problem, result, effort)
        if better is not result:
            yield built, better


def repaired_plan(
    folder: ShopFolder,
    state: ShopState,
    now: int,
    kept: KeptPlan,
    changed: bool = False,
    bounded: bool | None = False,
) -> Steps[tuple[EncodedProblem, Result]]:
    """The problem, and the result nearest to a kept plan.

    changed: something happened besides the passing of time. Work of today and the next open day, and work of the jobs
    it happened to, may then move forward into what has become free, and so may a job whose promise would otherwise
    break.
    """

    def ask(built: EncodedProblem) -> Iterator[Result | None]:
        until = _next_day_ends(built, now) if changed else None
        promised = [n for n, id in enumerate(built.jobs) if id not in kept.late] if changed else []
        yield (
            yield from repair(
                built.problem, standing_schedule(built, kept), until, _touched(built, kept), promised, bounded
            )
        )

    built, result, _ = yield from _far_enough(folder, state, now, ask)
    return built, result


def _next_day_ends(built: EncodedProblem, now: int) -> int:
    """The end of the next open day: work done ahead, or logged after hours, leaves its morning free."""
    tonight = built.zone.minute(built.zone.date(now), 1440)
    opens = built.hours.next_hours(tonight - 1)
    return tonight if opens is None else built.zone.minute(built.zone.date(opens), 1440)


def _far_enough(
    folder: ShopFolder, state: ShopState, now: int, ask: Callable[[EncodedProblem], Iterator[Result | None]]
) -> Steps[tuple[EncodedProblem, Result, Iterator[Result | None]]]:
    """The problem with long enough calendars, its first result, and the iterator of the results to come."""
    state, longer = brought_forward(folder, state, now), 1
    while True:
        built = encode_problem(folder, state, now, longer)
        yield
        results = ask(built)
        while (first := next(results)) is None:  # the first result always comes
            yield
        if not (built.could_be_longer and _ran_over(first)):
            return built, first, results
        longer *= HORIZON_FACTOR


def _ran_over(result: Result) -> bool:
    return any(refusal.cause is Cause.HORIZON for refusal in result.schedule.unplaced.values())


def _order(built: EncodedProblem, order: PassOrder) -> list[int] | None:
    """The order of an earlier plan, for the passes that still exist; None if there are none."""
    return [built.index[key] for key in order if key in built.index] or None


def _touched(built: EncodedProblem, kept: KeptPlan) -> set[int]:
    """The jobs in which something was begun since the plan was kept."""
    tasks = (built.problem.tasks[i] for key in kept.steps if (i := built.index.get(key)) is not None)
    return {task.job for task in tasks if task.fixed is not None or task.going}


def standing_schedule(built: EncodedProblem, plan: KeptPlan) -> dict[int, KeptPlace]:
    """Where the kept plan puts the passes that are still to begin."""
    found: dict[int, KeptPlace] = {}
    for place, (key, step) in enumerate(plan.steps.items()):
        i = built.index.get(key)
        task = None if i is None else built.problem.tasks[i]
        if i is not None and task is not None and task.fixed is None and not task.going:
            crews = (c for c in range(len(task.crews)) if built.crew(task, c) == step.people)
            found[i] = KeptPlace(step.start, next(crews, None), place)
    return found
