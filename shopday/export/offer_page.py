"""A better plan than the kept one: what it moves, and how to use it."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.text import Text

from shopday.export.changes_page import sentences
from shopday.export.rich_parts import DIM, GOOD, goodness_line, heading
from shopday.planning.plan import Plan
from shopday.planning.questions.plan_changes import delivery_moves


def offer_page(plan: Plan, offer: Plan | None, taken: bool) -> Group:
    """The page. offer: None if no plan was found that is worth the change."""
    if offer is None:
        return Group(Text("No plan was found that is worth the change.", GOOD), *goodness_line(plan))
    lead = "The better plan is used from now on." if taken else "There is a better plan."
    parts: list[RenderableType] = [heading(lead), *sentences(delivery_moves(plan, offer), plan.now)]
    if not taken:
        parts.append(Text("\nThe plan stays as it is; `shopday better --take` uses the better one.", DIM))
    return Group(*parts)
