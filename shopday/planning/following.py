"""Better plans than one whose dates were told: those that bring no job later."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from shopday.planning.plan import Plan


def harmless(plan: Plan, found: Iterable[Plan], slips: bool) -> Iterator[Plan]:
    """The plan with every plan found, or what stays of it: one is taken up where it is better and brings no job
    later, or where promises slip (`slips`) and it saves some of that. All tell what is known of their bounds."""
    for other in found:
        saves = slips and other.late < plan.late
        better = (other.late, other.finish) < (plan.late, plan.finish)
        if saves or (better and not any_later(plan, other)):
            plan = other
        else:
            plan = replace(plan, late_bound=other.late_bound, finish_bound=other.finish_bound)
        yield plan


def any_later(before: Plan, after: Plan) -> bool:
    """A job is delivered later, or no longer."""
    rows = ((old.delivery, after.job(old.job)) for old in before.jobs if old.delivery is not None)
    return any(new is None or new.delivery is None or new.delivery > delivery for delivery, new in rows)
