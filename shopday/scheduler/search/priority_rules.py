"""Priority rules: starting orders, each suited to a different kind of shop."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from shopday.scheduler.placing.builder import Builder

PriorityRule = Callable[[int], tuple[float, ...]]


def rule_orders(builder: Builder) -> Iterator[list[int]]:
    """One order of tasks per rule: slack, due date by weight, job after job, shortest job, longest tail."""
    compiled, problem = builder.compiled, builder.problem
    jobs = range(len(problem.jobs))
    work = [0] * len(problem.jobs)
    for prepared in compiled.prepared:
        work[prepared.task.job] += prepared.work
    far = problem.now + 1_000_000
    due = [far if (d := problem.jobs[j].wanted) is None else d for j in jobs]
    weight = [problem.jobs[j].weight for j in jobs]
    appointed = _before_appointments(builder)

    def slack(i: int) -> tuple[float, ...]:
        prepared = compiled.prepared[i]
        return (due[prepared.task.job] - builder.costs.tails[i] - prepared.work,)

    def by_job(value: list[float]) -> PriorityRule:
        return lambda i: (value[compiled.prepared[i].task.job], compiled.rank[i])

    def tail(i: int) -> tuple[float, ...]:
        return (-builder.costs.tails[i], compiled.rank[i])

    rules: list[PriorityRule] = [
        slack,
        by_job([(due[j] - problem.now) / weight[j] for j in jobs]),
        by_job([float(due[j]) for j in jobs]),
        by_job([work[j] / weight[j] for j in jobs]),
        tail,
        lambda i: (compiled.rank[i],),
    ]
    tasks = range(len(compiled.prepared))
    for rule in rules:
        order = sorted(tasks, key=lambda i: (appointed.get(i, 1 << 60), *rule(i)))
        yield _followed_at_once(builder, order)


def _followed_at_once(builder: Builder, order: list[int]) -> list[int]:
    """The order with every task right before what must start within a window after it, so that nothing comes
    between."""
    followers = builder.compiled.followers
    out: dict[int, None] = {}
    for i in order:
        stack = [i]
        while stack:
            k = stack.pop()
            if k not in out:
                out[k] = None
                stack += [after for after, *_ in reversed(followers.get(k, ()))]
    return list(out)


def _before_appointments(builder: Builder) -> dict[int, int]:
    """The tasks that an appointment waits for, with its minute; they go first in every rule."""
    compiled = builder.compiled
    out: dict[int, int] = {}
    stack = [(i, compiled.prepared[i].task.at or 0) for i in builder.appointments.reserved]
    while stack:
        i, at = stack.pop()
        if out.get(i, 1 << 61) > at:
            out[i] = at
            stack += [(j, at) for j, _, _ in compiled.prepared[i].lags]
    return out
