"""What searches have found out about a shop, kept while nothing changes but the time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.plan import Plan
from shopday.planning.solving.better_plans import KnownPlan, with_floors, worth_it
from shopday.planning.solving.kept_plan import KeptPlan
from shopday.scheduler import Steps

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


class SearchMemory:
    """searched: a long search ended without a proof, and would again a little later.

    As time passes less is possible, since nothing may start before now: the earliest possible deliveries stay valid
    bounds. The bounds of the totals are not kept: reserves change by the minute, and with them which plans count as
    equal in the first total.
    """

    def __init__(self) -> None:
        self.searched = False
        self._mark = ""
        self._plan: Plan | None = None
        self._offer: KeptPlan | None = None

    def note(self, mark: str, known: KnownPlan) -> None:
        """Remember what is known of a plan that was made for this mark."""
        self.searched = self.searched and mark == self._mark
        self._mark, (self._plan, offer) = mark, known
        self._offer = None if offer is None else KeptPlan.of(offer, mark)

    def recall(self, open_shop: OpenShop, mark: str, plan: Plan) -> Steps[KnownPlan]:
        """What is known of the kept plan at this minute; nothing if facts or files have changed."""
        if self._plan is None or mark != self._mark:
            self.searched = False
            return plan, None
        offer = None if self._offer is None else (yield from open_shop.as_of_now(self._offer))
        return with_floors(plan, self._plan), offer if offer is not None and worth_it(plan, offer) else None
