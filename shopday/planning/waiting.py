"""What is being waited on: cures, clamps, deliveries, work outside; until when, and what it sets free."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from shopday.planning.plan import Moment, Plan, PlannedStep

if TYPE_CHECKING:
    from shopday.planning.workshop import Workshop

WaitKind = Literal["wait", "away", "arrives", "informs"]


@dataclass(frozen=True, slots=True)
class Waiting:
    """One thing that takes its time.

    what:    in words: "in clamps", "at the powder coater", "hinges from the supplier".
    share:   how much of it is over, 0 to 1.
    frees:   what it sets free when over ("bench, 6 long-clamps"), "" for nothing.
    next:    what it holds up, in words, "" for nothing.
    closing: a window that opens with its end, or runs already, closes within the day.
    overdue: it should have been here.
    """

    what: str
    step: PlannedStep
    kind: WaitKind
    since: Moment
    until: Moment | None
    share: float
    frees: str
    next: str
    closing: bool = False
    overdue: bool = False
    closes: Moment | None = None


def waiting(workshop: Workshop, plan: Plan) -> tuple[Waiting, ...]:
    """Everything that runs unattended at the plan's now: windows about to close on top, then soonest first."""
    return ()
