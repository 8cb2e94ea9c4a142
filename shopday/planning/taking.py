"""Taking what the journal teaches into the estimates: which steps to come would change, and the writing of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from shopday.journal.state import ShopState
from shopday.planning.learning import Lesson, kind_of
from shopday.shop.folder import JOBS_FOLDER, ShopFolder
from shopday.shop.models import Job, Step
from shopday.shop.quantities import minutes_text
from shopday.shop.writing import set_step_fields

ROUND = 5
"""Minutes to which a new estimate is rounded: nobody estimates finer."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """The hands-on minutes of one step to come, as written and with the lesson."""

    job: str
    part: str | None
    step: str
    name: str
    before: int
    after: int


def estimates(folder: ShopFolder, state: ShopState, lesson: Lesson) -> tuple[Estimate, ...]:
    """What a lesson of hands-on work would change: the steps of its kind in live jobs that were not begun.

    Cures and passes change nothing here: the label rules, and passes are the piece's own.
    """
    if lesson.of != "work":
        return ()
    found = (
        Estimate(id, part, step.id, step.name, step.hands_on, after)
        for id, job in folder.jobs.items()
        if job.status == "live"
        for part, step in _steps(job)
        if not step.absent and step.hands_on and kind_of(step) == lesson.kind
        and (_address(id, part, step), 1) not in state.passes
        and (after := _rounded(step.hands_on * lesson.factor)) != step.hands_on
    )  # fmt: skip
    return tuple(found)


def take(folder: ShopFolder, changes: Sequence[Estimate]) -> None:
    """Write the new estimates into the job files. Raises ShopdayError where one cannot be written."""
    for change in changes:
        fields = {"hands_on": minutes_text(change.after)}
        set_step_fields(job_file(folder, change), change.part, change.step, fields)


def job_file(folder: ShopFolder, change: Estimate) -> Path:
    return folder.path / JOBS_FOLDER / f"{change.job}.toml"


def _steps(job: Job) -> Iterator[tuple[str | None, Step]]:
    for part in job.parts:
        yield from ((part.id, step) for step in part.steps)
    yield from ((None, step) for step in job.steps)


def _address(job: str, part: str | None, step: Step) -> str:
    return "/".join(piece for piece in (job, part, step.id) if piece is not None)


def _rounded(minutes: float) -> int:
    return max(ROUND, round(minutes / ROUND) * ROUND)
