"""Fixing a step to now, as a fact in the journal: it holds until the step is begun or let go, and undo takes
it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.encoding.pinned_first import foremost
from shopday.planning.plan import PlannedStep

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.open_shop import OpenShop


def pin(open_shop: OpenShop, step: PlannedStep) -> Fact:
    """Write down that a step is to start as soon as it can. Raises ShopdayError."""
    return open_shop.write("pin", step.address, step.pass_no, open_shop.minute())


def unpin(open_shop: OpenShop, step: PlannedStep) -> Fact:
    """Write down that it need not any more. Raises ShopdayError."""
    return open_shop.write("unpin", step.address, step.pass_no, open_shop.minute())


def pinned(open_shop: OpenShop, step: PlannedStep) -> bool:
    """Whether it is pinned in the journal, and that holds."""
    return step.key in foremost(open_shop.state())
