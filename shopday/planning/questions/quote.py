"""A quote for a job that is not in the shop yet: its earliest delivery, and what it moves.

The new job goes into the kept plan as early as it can without making any other job later than its promise, or later
than now planned if it is late already. More work is never quoted earlier: the job without its last part, and with a
pass less, is planned too, and if one of these comes later, the job is held back as long.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeVar

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.plan import Moment, Plan
from shopday.planning.questions.job_costs import JobCosts, job_costs
from shopday.planning.questions.plan_changes import DeliveryMove, delivery_moves
from shopday.planning.solving import plan_solver
from shopday.planning.solving.kept_plan import KeptPlan, KeptStep
from shopday.planning.solving.plan_decoder import decode_plan
from shopday.scheduler import Delivery as ScheduledJob
from shopday.scheduler import Problem, Result, Steps, finished, improve_in_parallel, kept_of, repair
from shopday.shop.faults import ShopdayError
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Job, Step
from shopday.shop.step_graph import expand

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

SEARCH = 0.15
"""The share of the effort spent on each job planned on the way."""

MOST_LESSER = 12
"""The most lesser jobs that are planned."""

T = TypeVar("T")

NEW_JOB_WEIGHT = 50
"""The weight of a minute of the new job, against a minute of the others' reserves."""


@dataclass(frozen=True, slots=True)
class Quote:
    """A quote.

    earliest: the delivery in the joint plan.
    alone:    the delivery with no other job in the shop.
    moves:    the deliveries of other jobs that move.
    costs:    by the estimate.
    """

    job: str
    earliest: Moment | None
    alone: Moment | None
    moves: tuple[DeliveryMove, ...]
    plan: Plan
    costs: JobCosts


def quote_job(
    open_shop: OpenShop, job_id: str, job: Job, effort: float = 1.0, before: Plan | None = None
) -> Quote:
    """Plan the shop with the job among the others, and with it alone. No file of the shop is written, but the plan
    is remembered in case the job is accepted unchanged.

    before: the kept plan, if it is known already.
    """
    return finished(work_out_quote(open_shop, job_id, job, effort, before))


def work_out_quote(
    open_shop: OpenShop, job_id: str, job: Job, effort: float, before: Plan | None
) -> Steps[Quote]:
    """As `quote_job`, with heartbeats."""
    asked = job.model_copy(update={"status": "live"})
    before = before or open_shop.plan(effort)
    quoting = _Quoting(open_shop, job_id, before, effort)
    joint = yield from quoting.plan(asked)
    folder = quoting.with_job(asked)
    open_shop.remember(joint, folder)
    set_aside = {id: _aside(other) for id, other in folder.jobs.items() if id != job_id}
    alone = yield from plan_solver.work_out_plan(
        replace(folder, jobs={**set_aside, job_id: asked}), quoting.state, quoting.now, SEARCH * effort
    )
    changed = tuple(move for move in delivery_moves(before, joint) if move.job != job_id)
    costs = job_costs(folder, quoting.state, quoting.now)[job_id]
    return Quote(job_id, _delivery(joint, job_id), _delivery(alone, job_id), changed, joint, costs)


def _best(start: Result, others: Iterator[Result | None]) -> Steps[Result]:
    """The best result; the earliest found among equals."""
    best = start
    for found in others:
        if found is not None and found.aim < best.aim:
            best = found
        yield
    return best


def _aside(job: Job) -> Job:
    return job.model_copy(update={"status": "shelved"})


def _delivery(plan: Plan, job: str) -> Moment | None:
    row = plan.job(job)
    return None if row is None else row.delivery


@dataclass
class _Quoting:
    """The plans of a job and of its lesser jobs, each made once."""

    open_shop: OpenShop
    job_id: str
    before: Plan
    effort: float
    known: dict[str, Plan] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.state = self.open_shop.state()
        self.now = self.open_shop.zone.of(self.before.now)
        self.kept = KeptPlan.of(self.before, "")

    def with_job(self, job: Job) -> ShopFolder:
        return self.open_shop.folder.with_job(self.job_id, job)

    def plan(self, job: Job) -> Steps[Plan]:
        """The plan with this job; it delivers the job no earlier than any lesser one."""
        name = job.model_dump_json()
        if name not in self.known:
            found = yield from self._inserted(job)
            less = []
            for lesser in self._less(job):
                less.append((yield from self.plan(lesser)))
            latest = max(less, key=self._minute, default=None)
            if latest is not None and self._minute(found) < self._minute(latest):
                found = yield from self._held_back(job, found, latest)
            self.known[name] = found
        return self.known[name]

    def _less(self, job: Job) -> Iterator[Job]:
        """The job without its last part, and the job with a pass less of each step that has several."""
        for lesser in _lesser_jobs(job):
            if len(self.known) < MOST_LESSER and self._is_whole(lesser):
                yield lesser

    def _is_whole(self, job: Job) -> bool:
        """True if no step in it waits for one that was left out."""
        try:
            expand(self.with_job(job))
        except (ShopdayError, KeyError):
            return False
        return True

    def _minute(self, plan: Plan) -> float:
        delivery = _delivery(plan, self.job_id)
        return float("inf") if delivery is None else delivery.timestamp()

    def _held_back(self, job: Job, plan: Plan, lesser: Plan) -> Steps[Plan]:
        """The plan in which the job's last step of the lesser plan starts no earlier than there. Returns `plan`
        unchanged if that makes another job miss its promise, or still delivers earlier."""
        last = max((row for row in lesser.steps if row.job == self.job_id), key=lambda row: row.complete)
        kept = KeptPlan.of(plan, "")
        step = KeptStep(self.open_shop.zone.of(last.start), last.people)
        held = kept._replace(steps={**kept.steps, last.key: step})
        answer = yield from plan_solver.repaired_plan(self.with_job(job), self.state, self.now, held)
        found = decode_plan(*answer, bounded=False)
        late = any(move.slips and move.job != self.job_id for move in delivery_moves(self.before, found))
        return plan if late or self._minute(found) < self._minute(lesser) else found

    def _inserted(self, job: Job) -> Steps[Plan]:
        """The plan with the job in the earliest place found."""
        answer = yield from plan_solver.repaired_plan(self.with_job(job), self.state, self.now, self.kept)
        built, result = answer
        if self.job_id not in built.jobs or result.schedule.unplaced:
            return decode_plan(built, result, bounded=False)
        asked = self._asked(built)
        yield
        best = yield from repair(asked, kept_of(asked, result))
        looked = self.effort > 0
        if looked:
            best = yield from _best(best, self._earlier(built, asked))
            best = yield from _best(
                best, improve_in_parallel(asked, SEARCH * self.effort, best.order, bounded=False)
            )
        told = yield from repair(built.problem, kept_of(asked, best), bounded=looked)
        return decode_plan(built, told, looked)

    def _earlier(self, built: EncodedProblem, asked: Problem) -> Iterator[Result | None]:
        """Insert the job before the work from some minute on; a binary search finds the first minute at which no job
        is late."""
        kept = plan_solver.standing_schedule(built, self.kept)
        minutes = sorted({at.start for at in kept.values()})
        low, high = 0, len(minutes)
        while low < high:
            middle = (low + high) // 2
            found = yield from repair(asked, kept, new_from=minutes[middle])
            yield found
            low, high = (low, middle) if not found.late else (middle + 1, high)

    def _asked(self, built: EncodedProblem) -> Problem:
        """The problem that wants the new job as early as possible, with no other job later than it may be."""
        problem = built.problem
        planned = {row.job: row.delivery for row in self.before.jobs}

        def other(id: str, job: ScheduledJob) -> ScheduledJob:
            delivery = planned.get(id)
            if job.due is None or delivery is None:
                return job
            return job._replace(due=max(job.due, built.zone.of(delivery)))

        new = ScheduledJob(weight=NEW_JOB_WEIGHT, safe_by=problem.now)
        jobs = (
            new if id == self.job_id else other(id, job)
            for id, job in zip(built.jobs, problem.jobs, strict=True)
        )
        return problem._replace(jobs=tuple(jobs))


def _lesser_jobs(job: Job) -> Iterator[Job]:
    if len(job.parts) > 1:
        yield _without_last_part(job)
    for n, part in enumerate(job.parts):
        for steps in _pass_less(part.steps):
            lesser = part.model_copy(update={"steps": steps})
            yield job.model_copy(update={"parts": _with(job.parts, n, lesser)})
    for steps in _pass_less(job.steps):
        yield job.model_copy(update={"steps": steps})


def _without_last_part(job: Job) -> Job:
    """The job without its last part; nothing waits for that part any more."""
    *parts, last = job.parts

    def kept(step: Step) -> Step:
        if not step.after:
            return step
        after = tuple(entry for entry in step.after if not entry.step.startswith(f"{last.id}/"))
        return step.model_copy(update={"after": after or None})

    left = tuple(p.model_copy(update={"steps": tuple(map(kept, p.steps))}) for p in parts)
    return job.model_copy(update={"parts": left, "steps": tuple(map(kept, job.steps))})


def _pass_less(steps: tuple[Step, ...]) -> Iterator[tuple[Step, ...]]:
    for n, step in enumerate(steps):
        if step.passes > 1:
            yield _with(steps, n, step.model_copy(update={"passes": step.passes - 1}))


def _with(items: Sequence[T], place: int, item: T) -> tuple[T, ...]:
    return (*items[:place], item, *items[place + 1 :])
