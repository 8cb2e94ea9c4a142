"""Take over lessons into the files: what would change, and the change itself."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain
from pathlib import Path

from shopday.journal.state import ShopState
from shopday.planning.lessons.learned_lessons import Lesson, kind_of
from shopday.planning.step_names import full_name
from shopday.shop.editing.file_edits import set_material, set_step_fields
from shopday.shop.folder import JOBS_FOLDER, MATERIALS_FILE, ShopFolder
from shopday.shop.models import Wait
from shopday.shop.step_graph import StepRef, refs
from shopday.text.durations import length_text, minutes_text, work_text

ROUNDED_TO = 5
"""Minutes to which new estimates are rounded."""


@dataclass(frozen=True, slots=True)
class LessonAmount:
    """An amount as it stands in a file, and as the lesson would have it."""

    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class LessonEdit:
    """Amounts in one file; `write` changes them, or raises ShopdayError."""

    path: Path
    amounts: tuple[LessonAmount, ...]
    write: Callable[[], None]


def lesson_edits(folder: ShopFolder, state: ShopState, lesson: Lesson) -> tuple[LessonEdit, ...]:
    """What a lesson would change: for work and passes, the steps in live jobs that were not begun; for a cure, the
    material's own waits."""
    if lesson.of == "cure":
        return tuple(_cures(folder, lesson))
    to_come = [ref for ref in _live(folder) if (ref.address, 1) not in state.passes]
    return tuple((_work if lesson.of == "work" else _passes)(folder, to_come, lesson))


def apply_lesson(taken: Sequence[LessonEdit]) -> None:
    """Write the edits. Raises ShopdayError if one cannot be written."""
    for change in taken:
        change.write()


def _live(folder: ShopFolder) -> Iterator[StepRef]:
    live = ((id, job) for id, job in folder.jobs.items() if job.status == "live")
    return chain.from_iterable(refs(id, job) for id, job in live)


def _work(folder: ShopFolder, to_come: Sequence[StepRef], lesson: Lesson) -> Iterator[LessonEdit]:
    for ref in to_come:
        before = ref.step.hands_on
        after = _rounded(before * lesson.factor)
        if not ref.step.absent and before and kind_of(ref) == lesson.kind and after != before:
            yield _of_step(
                folder, ref, work_text(before), work_text(after), {"hands_on": minutes_text(after)}
            )


def _passes(folder: ShopFolder, to_come: Sequence[StepRef], lesson: Lesson) -> Iterator[LessonEdit]:
    for ref in to_come:
        before = ref.step.passes
        after = max(1, round(before * lesson.factor))
        if ref.step.material == lesson.kind and after != before:
            yield _of_step(folder, ref, str(before), str(after), {"passes": after})


def _of_step(
    folder: ShopFolder, ref: StepRef, before: str, after: str, fields: dict[str, object]
) -> LessonEdit:
    path = folder.path / JOBS_FOLDER / f"{ref.job}.toml"
    amount = LessonAmount(full_name(folder, ref), before, after)
    return LessonEdit(path, (amount,), partial(set_step_fields, path, ref.part, ref.step.id, fields))


def _cures(folder: ShopFolder, lesson: Lesson) -> Iterator[LessonEdit]:
    material = folder.materials.get(lesson.kind)
    waits = material.waits if material is not None else ()
    new = [wait if wait.informs else _longer(wait, lesson.factor) for wait in waits]
    amounts = tuple(
        LessonAmount(f"{old.name}, {lesson.name}", length_text(old.takes), length_text(wait.takes))
        for old, wait in zip(waits, new, strict=True)
        if wait != old
    )
    if amounts:
        path = folder.path / MATERIALS_FILE
        yield LessonEdit(path, amounts, partial(set_material, path, lesson.kind, {"waits": new}))


def _longer(wait: Wait, factor: float) -> Wait:
    """The wait and its spread times a factor."""
    spread = wait.spread and tuple(_rounded(minutes * factor) for minutes in wait.spread)
    return wait.model_copy(update={"takes": _rounded(wait.takes * factor), "spread": spread})


def _rounded(minutes: float) -> int:
    return max(ROUNDED_TO, round(minutes / ROUNDED_TO) * ROUNDED_TO)
