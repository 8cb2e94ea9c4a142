"""What the app asks its planner, and what the planner answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.plan import Plan
    from shopday.planning.questions.dashboard_types import Dashboard
    from shopday.planning.questions.quote import Quote
    from shopday.planning.whatif.ranking import HelpfulChange
    from shopday.shop.models import Job


@dataclass(frozen=True)
class PlannerQuestion:
    """A question to the planner: for the kept plan, for a quote, or for reasons.

    serial:      a number that the answers carry too.
    near:        the plan on the screen.
    day_begins:  it is the first question of the day, so a better plan may be used without asking.
    job_id, job: quote this job.
    why:         explain this step, given as address and pass, and find what would help its job.
    """

    serial: int
    near: Plan | None = None
    day_begins: bool = False
    effort: float = 1.0
    job_id: str = ""
    job: Job | None = None
    why: tuple[str, int] | None = None


@dataclass(frozen=True)
class PlannerAnswer:
    """One answer of the planner.

    offer:   a better plan than the kept one.
    taken:   the better plan is the kept one now.
    odds:    they come after the plans.
    reasons: of a step; they come before `helps`.
    helps:   every helpful change found so far, best first.
    last:    no further answer will come.
    trouble: one line, instead of a plan.
    """

    serial: int
    dashboard: Dashboard | None = None
    offer: Dashboard | None = None
    taken: bool = False
    quote: Quote | None = None
    odds: Odds | None = None
    reasons: tuple[str, ...] = ()
    helps: tuple[HelpfulChange, ...] = ()
    last: bool = False
    trouble: str = ""


FIRST = PlannerQuestion(1, day_begins=True)
"""The question for a plan that the planner asks itself, so that it works before there is a screen."""

Deliver = Callable[[PlannerAnswer | None], Any]
"""Receives answers. None: the planner's process has died."""


class Planner(Protocol):
    """A planner. `listen` is called once; the answers to FIRST come unasked."""

    def listen(self, deliver: Deliver) -> None: ...
    def ask(self, ask: PlannerQuestion) -> None: ...
    def start_again(self) -> None: ...
    def close(self) -> None: ...
