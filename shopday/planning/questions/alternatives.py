"""What could be started now instead of the step that comes first, and why each does not come first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.encoding.problem_encoder import EncodedProblem
from shopday.planning.plan import Plan, PlannedStep, State, elapsed
from shopday.planning.plan_text import day, sentence, span, when
from shopday.planning.questions.dashboard_types import Alternative
from shopday.planning.step_names import brief
from shopday.scheduler import COMPLETE, END, Lag, Task

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


def alternatives(workshop: OpenShop, plan: Plan, take_up: PlannedStep) -> tuple[Alternative, ...]:
    """Every other step that nothing but the order of the plan keeps from starting when `take_up` does."""
    built = workshop.built(plan)
    minute = max(built.problem.now, built.zone.of(take_up.next_work(plan.now)))
    ready = _Ready(built, plan, minute)
    steps = [s for s in plan.steps if s.kind == "work" and s.waits_for_hands and s.key != take_up.key]
    found = [s for s in steps if ready.could_start(built.index[s.key])]
    return tuple(Alternative(step, _why(workshop, plan, take_up, step)) for step in found)


class _Ready:
    """What is free at one minute when only that goes on which goes on already."""

    def __init__(self, built: EncodedProblem, plan: Plan, minute: int) -> None:
        self.built, self.minute = built, minute
        self.rows = {row.key: row for row in plan.steps}
        self.used = [0] * len(built.problem.capacities)
        self.dusty: set[int] = set()
        self.still: set[int] = set()
        for i, p in enumerate(built.passes):
            if p.log is not None and p.key in self.rows and not p.step.absent:
                self._occupy(i, self.rows[p.key])

    def _occupy(self, i: int, row: PlannedStep) -> None:
        """Stations and gear of work under way, of waits that keep them; the air they want or spoil."""
        task, p = self.built.problem.tasks[i], self.built.passes[i]
        going = row.in_hand
        kept: set[str] = set()
        for wait in row.waits:
            if wait.free is not None and self.built.zone.of(wait.free) > self.minute:
                kept |= set(wait.keeps)
            if (
                wait.still_air
                and not wait.informs
                and self.built.zone.of(wait.end) > self.minute
                and not going
            ):
                self.still.add(task.room)
        for r, n in task.uses:
            if going or self.built.resources[r] in kept:
                self.used[r] += n
        settled = self.built.zone.of(row.end) + self.built.problem.dust_minutes
        if p.dusty and settled > self.minute:
            self.dusty.add(task.room)

    def could_start(self, i: int) -> bool:
        task = self.built.problem.tasks[i]
        if (
            task.at is not None
            or task.release > self.minute
            or task.starts_immediately
            or task.fixed is not None
        ):
            return False
        return self._over(task) and self._free(task) and self._somebody(task)

    def _over(self, task: Task) -> bool:
        return all(self._moment(lag) <= self.minute for lag in task.lags)

    def _moment(self, lag: Lag) -> int:
        p = self.built.passes[lag.task]
        row = self.rows.get(p.key)
        if row is None or row.state in (State.PLANNED, State.UNDER_WAY):
            return 1 << 40
        if lag.milestone == COMPLETE or p.step.absent:
            return self.built.zone.of(row.complete)
        return self.built.zone.of(row.end if lag.milestone == END else row.waits[lag.milestone].end)

    def _free(self, task: Task) -> bool:
        capacities = self.built.problem.capacities
        if any(self.used[r] + n > capacities[r] for r, n in task.uses):
            return False
        return not (task.dusty and task.room in self.still) and not (
            task.needs_still_air and task.room in self.dusty
        )

    def _somebody(self, task: Task) -> bool:
        problem = self.built.problem
        if task.starts_in is not None and problem.calendars[task.starts_in].span_at(self.minute) is None:
            return False
        need = max(1, task.stretch, task.work if task.unbroken else 0)
        spans = [problem.calendars[crew.calendar].span_at(self.minute) for crew in task.crews]
        return any(span is not None and span[1] - self.minute >= need for span in spans)


def _why(workshop: OpenShop, plan: Plan, first: PlannedStep, other: PlannedStep) -> str:
    """The most telling difference between two steps that could both start now."""
    folder = workshop.folder
    name = brief(folder, first, other)
    begins = when(other.next_work(plan.now), plan.now)
    if first.in_hand:
        return sentence(f"{name} is under way; this is planned for {begins}")
    reason = (
        _window(plan, first)
        or _promise(plan, first, other)
        or _tail(plan, first, other)
        or _slack(plan, other)
        or f"this can begin {begins} and hold nothing up"
    )
    return sentence(f"{name} comes first: {reason}")


def _window(plan: Plan, first: PlannedStep) -> str:
    if first.window_ends is None or elapsed(plan.now, first.window_ends) > 1440:
        return ""
    return f"its window closes {when(first.window_ends, plan.now)}"


def _promise(plan: Plan, first: PlannedStep, other: PlannedStep) -> str:
    mine, theirs = plan.job(first.job), plan.job(other.job)
    if first.job == other.job or mine is None or theirs is None or mine.promise is None:
        return ""
    if mine.late_minutes:
        return f"{mine.title} is going to be late as it is"
    if theirs.promise is None:
        return f"{mine.title} is promised for {day(mine.promise, plan.now.date())}, {theirs.title} is not"
    if mine.promise < theirs.promise:
        days = (theirs.promise - mine.promise).days
        return f"{mine.title} is promised {days} day{'s' if days > 1 else ''} earlier than {theirs.title}"
    return ""


def _tail(plan: Plan, first: PlannedStep, other: PlannedStep) -> str:
    def unattended(step: PlannedStep) -> int:
        return elapsed(step.end, step.complete)

    if unattended(first) > unattended(other) + 30:
        wait = next(wait for wait in first.waits if not wait.informs)
        return f"after it comes {span(unattended(first))} without you ({wait.name}), so the sooner it is done the better"
    return ""


def _slack(plan: Plan, other: PlannedStep) -> str:
    """What follows the other step is planned much later than it needs."""
    after = [
        s for s in plan.steps if s.job == other.job and s.part == other.part and s.start > other.complete
    ]
    following = min(after, key=lambda s: s.start, default=None)
    if following is None or elapsed(other.complete, following.start) < 60:
        return ""
    return f"what follows this one, {following.label}, is planned for {when(following.start, plan.now)} only"
