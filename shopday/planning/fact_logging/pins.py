"""Fixing a step to now, as a fact in the journal: it holds until the step is begun or let go, and undo takes
it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.encoding.pinned_first import foremost
from shopday.planning.plan import PlannedStep

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.open_shop import OpenShop


def pin(workshop: OpenShop, step: PlannedStep) -> Fact:
    """Write down that a step is to start as soon as it can. Raises ShopdayError."""
    return workshop.write("pin", step.address, step.pass_no, workshop.minute())


def unpin(workshop: OpenShop, step: PlannedStep) -> Fact:
    """Write down that it need not any more. Raises ShopdayError."""
    return workshop.write("unpin", step.address, step.pass_no, workshop.minute())


def pinned(workshop: OpenShop, step: PlannedStep) -> bool:
    """Whether it is pinned in the journal, and that holds."""
    return step.key in foremost(workshop.state())
