"""What a job that is not in the shop yet would do: its earliest delivery, and what it moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopday.planning.changes import Move
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


def quote(workshop: Workshop, job_id: str, job: Job, effort: float = 1.0) -> Quote:
    """Plan the shop with the job among the others, and with it alone; nothing is written."""
    raise NotImplementedError
