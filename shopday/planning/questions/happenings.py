"""Events between two minutes: a wait ends, a window is about to close, something should arrive."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopday.planning.plan import Moment, Plan, PlannedStep, State, later
from shopday.planning.step_names import errand
from shopday.shop.folder import ShopFolder
from shopday.text.times import time_of


@dataclass(frozen=True, slots=True)
class Happening:
    """An event.

    at:   when to tell it.
    text: what happens, in a sentence.
    """

    at: Moment
    text: str


def happenings(folder: ShopFolder, plan: Plan, after: int, until: int, before: int) -> tuple[Happening, ...]:
    """The events after one minute and up to another (both since the epoch), in order; `before`: how many minutes
    before it closes a window is told."""
    found = (row for step in plan.steps for row in _of_step(folder, step, before))
    told = [row for row in found if after < row.at.timestamp() // 60 <= until]
    return tuple(sorted(told, key=lambda row: row.at.timestamp()))


def _of_step(folder: ShopFolder, step: PlannedStep, before: int) -> Iterator[Happening]:
    said = step.full
    if step.state is State.PLANNED and step.window_ends is not None and not step.missed:
        text = f"{said}: start by {time_of(step.window_ends)}, then its window closes."
        yield Happening(later(step.window_ends, -before), text)
    if step.kind == "work" and step.state in (State.WAITING, State.DONE):
        waits = (wait for wait in step.waits if not wait.informs and wait.end > wait.start)
        yield from (Happening(wait.end, f"Over: {wait.name}, {said}.") for wait in waits)
    elif step.kind != "work" and step.state is State.WAITING:
        yield Happening(step.end, f"Due: {errand(folder, step)}, for {said}.")
