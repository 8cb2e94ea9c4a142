"""Pin a step to now. The pin is a fact in the journal: it holds until the step is begun or unpinned, and can be
undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.encoding.pinned_first import foremost
from shopday.planning.plan import PlannedStep

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.open_shop import OpenShop


def pin(open_shop: OpenShop, step: PlannedStep) -> Fact:
    """Log that a step is to start as soon as it can. Raises ShopdayError."""
    return open_shop.write("pin", step.address, step.pass_no, open_shop.minute())


def unpin(open_shop: OpenShop, step: PlannedStep) -> Fact:
    """Log that a step need no longer start as soon as it can. Raises ShopdayError."""
    return open_shop.write("unpin", step.address, step.pass_no, open_shop.minute())


def pinned(open_shop: OpenShop, step: PlannedStep) -> bool:
    """True if the step is pinned and was not begun since."""
    return step.key in foremost(open_shop.state())
