"""Better plans than the kept one, and whether one is worth the change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopday.planning.plan import JobRow, Plan
from shopday.planning.questions.plan_changes import delivery_moves

KnownPlan = tuple[Plan, Plan | None]
"""The kept plan with its best known bounds, and the best plan worth offering."""

HALF_A_DAY = 720
"""Minutes that a plan must win in all to be offered, unless it saves a promise."""

TWO_DAYS = 2880
"""The same for a plan in which a job comes later."""


def worth_it(plan: Plan, other: Plan) -> bool:
    """Is the other plan worth offering? It keeps every word (`keeps_every_word`), and saves a promise or wins half a
    day or more in all (two days if a job comes later for it): deliveries come sooner, or reserves are left whole."""
    if len(other.unplaced) != len(plan.unplaced):
        return len(other.unplaced) < len(plan.unplaced)
    if other.aim >= plan.aim or not keeps_every_word(plan, other):
        return False
    won = max(minutes_won(plan, other), plan.short - other.short)
    return other.late < plan.late or won >= (TWO_DAYS if any_later(plan, other) else HALF_A_DAY)


def worth_it_unasked(plan: Plan, other: Plan) -> bool:
    """Is the other plan worth using without a question: nobody has to be told a later date, unless that saves a
    promise?"""
    saves = len(other.unplaced) < len(plan.unplaced) or other.late < plan.late
    return worth_it(plan, other) and (saves or not any_later(plan, other))


def keeps_every_word(before: Plan, after: Plan) -> bool:
    """Does every job that is delivered later have a promise and keep it, with its reserve unless a promise is saved?"""
    saved = after.late < before.late
    return all(
        new is not None
        and new.promise is not None
        and new.late_minutes == 0
        and (saved or not new.short_minutes)
        for new in later_jobs(before, after)
    )


def any_later(before: Plan, after: Plan) -> bool:
    """True if some job is delivered later, or can no longer be planned."""
    return any(True for _ in later_jobs(before, after))


def later_jobs(before: Plan, after: Plan) -> Iterator[JobRow | None]:
    """The rows of jobs that are delivered later than before; None for a job that no longer has a delivery."""
    for old in before.jobs:
        new = after.job(old.job)
        if old.delivery is None or (new and new.delivery and new.delivery <= old.delivery):
            continue
        yield new if new and new.delivery else None


def minutes_won(before: Plan, after: Plan) -> int:
    """Minutes by which deliveries are earlier, added up over the jobs."""
    return -sum(move.minutes for move in delivery_moves(before, after))


def offers(plan: Plan, found: Iterable[Plan | None], best: Plan | None = None) -> Iterator[KnownPlan | None]:
    """What is known after each plan found. None is a heartbeat."""
    for other in found:
        if other is None:
            yield None
            continue
        if worth_it(plan, other) and (best is None or other.aim <= best.aim):
            best = other
        plan = plan._replace(
            late_bound=_raised(plan.late, plan.late_bound, other.late_bound),
            short_bound=_raised(plan.short, plan.short_bound, other.short_bound),
            finish_bound=_raised(plan.finish, plan.finish_bound, other.finish_bound),
            without_exact=other.without_exact,
        )
        plan = with_floors(plan, other)
        yield plan, best


def _raised(total: int, known: int | None, found: int | None) -> int | None:
    """The greater of two lower bounds of a total, at most the total; None if neither is known."""
    bounds = [bound for bound in (known, found) if bound is not None]
    return min(total, max(bounds)) if bounds else None


def with_floors(plan: Plan, other: Plan) -> Plan:
    """The plan with the earliest possible deliveries that are known of `other`."""
    return plan._replace(jobs=tuple(_with_floor(row, other.job(row.job)) for row in plan.jobs))


def _with_floor(row: JobRow, other: JobRow | None) -> JobRow:
    """The job with the later of its two known earliest possible deliveries."""
    known = other.floor if other is not None else None
    if known is None or (row.floor is not None and row.floor.timestamp() >= known.timestamp()):
        return row
    return row._replace(floor=known)
