"""Taking what the journal teaches into the estimates: which steps to come would change, and the writing of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

from shopday.journal.state import ShopState
from shopday.planning.learning import Lesson, kind_of
from shopday.shop.addresses import StepRef, refs
from shopday.shop.folder import JOBS_FOLDER, ShopFolder
from shopday.shop.quantities import minutes_text
from shopday.shop.writing import set_step_fields

ROUND = 5
"""Minutes to which a new estimate is rounded: nobody estimates finer."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """The hands-on minutes of one step to come, as written and with the lesson."""

    of: StepRef
    before: int
    after: int


def estimates(folder: ShopFolder, state: ShopState, lesson: Lesson) -> tuple[Estimate, ...]:
    """What a lesson of hands-on work would change: the steps of its kind in live jobs that were not begun.

    Cures and passes change nothing here: the label rules, and passes are the piece's own.
    """
    if lesson.of != "work":
        return ()
    live = ((id, job) for id, job in folder.jobs.items() if job.status == "live")
    return tuple(
        Estimate(ref, ref.step.hands_on, after)
        for ref in chain.from_iterable(refs(id, job) for id, job in live)
        if not ref.step.absent and ref.step.hands_on and kind_of(ref.step) == lesson.kind
        and (ref.address, 1) not in state.passes
        and (after := _rounded(ref.step.hands_on * lesson.factor)) != ref.step.hands_on
    )  # fmt: skip


def take(folder: ShopFolder, changes: Sequence[Estimate]) -> None:
    """Write the new estimates into the job files. Raises ShopdayError where one cannot be written."""
    for change in changes:
        fields = {"hands_on": minutes_text(change.after)}
        set_step_fields(job_file(folder, change), change.of.part, change.of.step.id, fields)


def job_file(folder: ShopFolder, change: Estimate) -> Path:
    return folder.path / JOBS_FOLDER / f"{change.of.job}.toml"


def _rounded(minutes: float) -> int:
    return max(ROUND, round(minutes / ROUND) * ROUND)
