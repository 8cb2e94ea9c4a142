"""Works out everything that the screens show of a plan today."""

from __future__ import annotations

from collections.abc import Generator
from typing import TYPE_CHECKING

from shopday.planning.encoding.pinned_first import foremost
from shopday.planning.questions.dashboard_types import Dashboard
from shopday.planning.questions.day import day_view
from shopday.planning.questions.job_costs import job_costs
from shopday.planning.questions.material_needs import material_needs
from shopday.planning.questions.purchasing import purchases
from shopday.planning.questions.step_cautions import day_end
from shopday.planning.questions.waiting import waiting_items

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan


def dashboard(open_shop: OpenShop, plan: Plan, mark: str | None = None) -> Generator[None, None, Dashboard]:
    """The dashboard of the shop's newest plan, or of one on offer, made for `mark`; yields heartbeats."""
    day = day_view(open_shop, plan)
    yield
    waiting, closing = waiting_items(open_shop, plan), day_end(open_shop, plan)
    yield
    to_buy = purchases(open_shop, plan)
    yield
    needs, pins = material_needs(open_shop, plan), foremost(open_shop.state())
    yield
    costs = job_costs(open_shop.folder, open_shop.state(), open_shop.minute())
    return Dashboard(plan, day, waiting, closing, to_buy, needs, pins, costs, mark)
