"""Fixing a step to now, as a fact in the journal: it holds until the step is begun or let go, and undo takes
it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning import asking
from shopday.planning.foremost import foremost
from shopday.planning.plan import Moment, Plan, PlannedStep
from shopday.shop.faults import ShopdayError

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.workshop import Workshop


def soonest(workshop: Workshop, plan: Plan, step: PlannedStep) -> Moment:
    """The first moment at which a step could start if it went before all others. Raises ShopdayError where it
    has no place."""
    order = [step.key, *(key for key in plan.order if key != step.key)]
    built, result = next(asking.answers(workshop.folder, workshop.state(), workshop.minute(), 0, order=order))
    placed = result.schedule.placed[built.index[step.key]] if step.key in built.index else None
    if placed is None:
        raise ShopdayError(f"{step.name} has no place in the plan; see Why")
    return built.zone.moment(placed.start)


def pin(workshop: Workshop, step: PlannedStep, start: Moment) -> Fact:
    """Write down that a step is to start at a moment to come, or now. Raises ShopdayError."""
    return workshop.write("pin", step.address, step.pass_no, workshop.minute(), start=workshop.zone.of(start))


def unpin(workshop: Workshop, step: PlannedStep) -> Fact:
    """Write down that it need not any more. Raises ShopdayError."""
    return workshop.write("unpin", step.address, step.pass_no, workshop.minute())


def pinned(workshop: Workshop, step: PlannedStep) -> bool:
    """Whether it is pinned in the journal, and that holds."""
    return step.key in foremost(workshop.state())
