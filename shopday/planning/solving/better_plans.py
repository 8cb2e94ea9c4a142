"""Better plans than the one on the wall, and whether one is worth the change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopday.planning.plan import JobRow, Plan
from shopday.planning.questions.plan_changes import delivery_moves

KnownPlan = tuple[Plan, Plan | None]
"""The plan on the wall with what is known of how good it is, and the best one worth offering."""

HALF_A_DAY = 720
"""Minutes that deliveries must come sooner in all for a plan to be offered that saves no promise."""


def worth_it(plan: Plan, other: Plan) -> bool:
    """The other saves a promise, or brings deliveries forward by half a day or more in all and none later."""
    if len(other.unplaced) != len(plan.unplaced):
        return len(other.unplaced) < len(plan.unplaced)
    if other.late != plan.late:
        return other.late < plan.late
    return not any_later(plan, other) and minutes_won(plan, other) >= HALF_A_DAY


def any_later(before: Plan, after: Plan) -> bool:
    """A job is delivered later, or no longer."""
    rows = ((old.delivery, after.job(old.job)) for old in before.jobs if old.delivery is not None)
    return any(new is None or new.delivery is None or new.delivery > delivery for delivery, new in rows)


def minutes_won(before: Plan, after: Plan) -> int:
    """By how much deliveries come sooner, added up over the jobs; minutes."""
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
    """The greater of two bounds of a total; None where none is known."""
    bounds = [bound for bound in (known, found) if bound is not None]
    return min(total, max(bounds)) if bounds else None


def with_floors(plan: Plan, other: Plan) -> Plan:
    """A plan with what is known besides of the earliest delivery of each job."""
    return plan._replace(jobs=tuple(_with_floor(row, other.job(row.job)) for row in plan.jobs))


def _with_floor(row: JobRow, other: JobRow | None) -> JobRow:
    """A job with the earliest delivery there could be, as it is known now."""
    known = other.floor if other is not None else None
    if known is None or (row.floor is not None and row.floor.timestamp() >= known.timestamp()):
        return row
    return row._replace(floor=known)
