"""What else could be started now, and why another step comes first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.plan import Plan, PlannedStep, elapsed
from shopday.planning.questions.dashboard_types import Alternative
from shopday.planning.questions.free_at import FreeAt
from shopday.planning.step_names import brief
from shopday.text.durations import length_text
from shopday.text.sentences import sentence
from shopday.text.times import date_text, moment_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


def alternatives(open_shop: OpenShop, plan: Plan, take_up: PlannedStep) -> tuple[Alternative, ...]:
    """Every other step that could start when `take_up` does, if only the order of the plan allowed it."""
    at = max(plan.now, take_up.next_work(plan.now))
    free, scheduler = FreeAt(open_shop.folder.shop, plan, at), open_shop.scheduler(plan)
    steps = [s for s in plan.steps if s.kind == "work" and s.waits_for_hands and s.key != take_up.key]
    found = [s for s in steps if free.could_start(s) and scheduler.somebody_could_begin(s, at)]
    return tuple(Alternative(step, _why(plan, take_up, step)) for step in found)


def _why(plan: Plan, first: PlannedStep, other: PlannedStep) -> str:
    """The most telling difference between two steps that could both start now."""
    begins = moment_text(other.next_work(plan.now), plan.now)
    if first.in_hand:
        return f"It is planned for {begins}, after what is under way."
    reason = (
        _window(plan, first)
        or _promise(plan, first, other)
        or _tail(plan, first, other)
        or _slack(plan, other)
        or f"this can begin {begins} and hold nothing up"
    )
    return sentence(f"{brief(first, other)} comes first: {reason}")


def _window(plan: Plan, first: PlannedStep) -> str:
    if first.window_ends is None or elapsed(plan.now, first.window_ends) > 1440:
        return ""
    return f"its window closes {moment_text(first.window_ends, plan.now)}"


def _promise(plan: Plan, first: PlannedStep, other: PlannedStep) -> str:
    mine, theirs = plan.job(first.job), plan.job(other.job)
    if first.job == other.job or mine is None or theirs is None or mine.promise is None:
        return ""
    if mine.late_minutes:
        return f"{mine.title} is going to be late as it is"
    if theirs.promise is None:
        return (
            f"{mine.title} is promised for {date_text(mine.promise, plan.now.date())}, {theirs.title} is not"
        )
    if mine.promise < theirs.promise:
        days = (theirs.promise - mine.promise).days
        return f"{mine.title} is promised {days} day{'s' if days > 1 else ''} earlier than {theirs.title}"
    return ""


def _tail(plan: Plan, first: PlannedStep, other: PlannedStep) -> str:
    def unattended(step: PlannedStep) -> int:
        return elapsed(step.end, step.complete)

    if unattended(first) > unattended(other) + 30:
        wait = next(wait for wait in first.waits if not wait.informs)
        return f"after it comes {length_text(unattended(first))} without you ({wait.name}), so the sooner it is done the better"
    return ""


def _slack(plan: Plan, other: PlannedStep) -> str:
    """The reason, if what follows the other step is planned much later than it could be; else ""."""
    after = [
        s for s in plan.steps if s.job == other.job and s.part == other.part and s.start > other.complete
    ]
    following = min(after, key=lambda s: s.start, default=None)
    if following is None or elapsed(other.complete, following.start) < 60:
        return ""
    return f"what follows this one, {following.label}, is planned for {moment_text(following.start, plan.now)} only"
