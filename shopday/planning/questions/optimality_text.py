"""How good a plan is, in plain sentences: that none is better, or how much a better one could win at most."""

from __future__ import annotations

import math

from shopday.planning.plan import JobRow, Moment, Plan
from shopday.text.times import moment_text

LONGEST_IN_HOURS = 48
"""Hours from which a length is told in days."""


def settled_optimality(plan: Plan) -> str:
    """What is certain: that no plan is better, or less late; "" if neither is."""
    if all(row.delivered for row in plan.jobs):
        return ""
    if plan.proven:
        return "This is the best plan there is."
    return "No plan is less late." if plan.late and plan.late == plan.late_bound else ""


def plan_optimality(plan: Plan) -> str:
    """What is certain, and how much a better plan could win at most; "" if nothing is known about it, or nothing is
    left to deliver."""
    open_jobs = [row for row in plan.jobs if not row.delivered]
    settled = settled_optimality(plan)
    if plan.proven or not open_jobs:
        return settled
    if plan.late_bound is None or plan.finish_bound is None:
        return ""
    whole = " over all jobs" if len(open_jobs) > 1 else ""
    if any(row.weight > 1 for row in open_jobs):
        whole += ", each counted by its weight"
    if plan.late > plan.late_bound:
        return f"If there is a better plan, it is at most {most_to_gain(plan.late - plan.late_bound)} less late{whole}."
    if plan.short_bound is not None and plan.short > plan.short_bound:
        left = most_to_gain(plan.short - plan.short_bound)
        return f"If there is a better plan, it leaves at most {left} more of the reserves{whole}."
    won = most_to_gain(plan.finish - plan.finish_bound)
    return f"{settled} If there is a better plan, it delivers at most {won} sooner{whole}.".lstrip()


def job_optimality(row: JobRow, now: Moment) -> str:
    """The earliest delivery that any plan could reach; "" if it is not known."""
    if row.delivered or row.delivery is None or row.floor is None:
        return ""
    if row.delivery <= row.floor:
        return "No plan could deliver it earlier."
    return f"No plan could deliver it before {moment_text(row.floor, now)}."


def most_to_gain(minutes: int) -> str:
    """The minutes in whole hours or days, rounded up."""
    hours = math.ceil(minutes / 60)
    if hours < LONGEST_IN_HOURS:
        return "1 hour" if hours == 1 else f"{hours} hours"
    return f"{math.ceil(minutes / 1440)} days"
