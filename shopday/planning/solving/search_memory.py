"""What searching has found out about a shop, kept from one question to the next while nothing changes but the time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.plan import Plan
from shopday.planning.solving.better_plans import KnownPlan, with_floors, worth_it
from shopday.planning.solving.kept_plan import KeptPlan
from shopday.scheduler import Steps

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


class SearchMemory:
    """searched: a long search came to its end without a proof; it would not come to one a little later either.

    When only time goes on less and less is possible, for nothing may start before now: no job can be delivered before
    what was its earliest. The bounds of the totals are not kept. The reserves change by the minute, and with them which
    plans are as good in what comes first.
    """

    def __init__(self) -> None:
        self.searched = False
        self._mark = ""
        self._plan: Plan | None = None
        self._offer: KeptPlan | None = None

    def note(self, mark: str, known: KnownPlan) -> None:
        """Keep in mind what is known of a plan that was made for this mark."""
        self.searched = self.searched and mark == self._mark
        self._mark, (self._plan, offer) = mark, known
        self._offer = None if offer is None else KeptPlan.of(offer, mark)

    def recall(self, open_shop: OpenShop, mark: str, plan: Plan) -> Steps[KnownPlan]:
        """What is known of a plan on the wall, as it is this minute; nothing where facts or files have changed."""
        if self._plan is None or mark != self._mark:
            self.searched = False
            return plan, None
        offer = None if self._offer is None else (yield from open_shop.as_of_now(self._offer))
        return with_floors(plan, self._plan), offer if offer is not None and worth_it(plan, offer) else None
