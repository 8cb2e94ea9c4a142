"""What a job that is not in the shop yet would do: its earliest delivery, and what it moves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopday.planning import asking
from shopday.planning.changes import Move, moves
from shopday.planning.plan import Moment, Plan
from shopday.shop.models import Job

if TYPE_CHECKING:
    from shopday.planning.workshop import Workshop


@dataclass(frozen=True, slots=True)
class Quote:
    """`earliest`: delivery in the joint plan; `alone`: with the shop empty of other jobs."""

    job: str
    earliest: Moment | None
    alone: Moment | None
    moves: tuple[Move, ...]
    plan: Plan


def quote(
    workshop: Workshop, job_id: str, job: Job, effort: float = 1.0, before: Plan | None = None
) -> Quote:
    """Plan the shop with the job among the others, and with it alone; nothing is written.

    before: the plan of the shop as it is, where it is known already.
    """
    asked = job.model_copy(update={"status": "live"})
    folder, state, now = workshop.folder, workshop.state(), workshop.minute()
    before = before or asking.plan(folder, state, now, effort)
    others = {id: other for id, other in folder.jobs.items() if id != job_id}
    joint = asking.plan(replace(folder, jobs={**others, job_id: asked}), state, now, effort, near=before)
    set_aside = {id: _aside(other) for id, other in others.items()}
    alone = asking.plan(replace(folder, jobs={**set_aside, job_id: asked}), state, now, effort)
    changed = tuple(move for move in moves(before, joint) if move.job != job_id)
    return Quote(job_id, _delivery(joint, job_id), _delivery(alone, job_id), changed, joint)


def _aside(job: Job) -> Job:
    return job.model_copy(update={"status": "shelved"})


def _delivery(plan: Plan, job: str) -> Moment | None:
    row = plan.job(job)
    return None if row is None else row.delivery
