"""What the app asks its planner, and what that answers."""

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
    """A question: the plan on the wall, or, of the plan `near`, what `job` would do to it, or why a step of it
    (address and pass) is when it is and what would help its job. `day_begins`: the first question of a day, whose
    better plan may be taken up without asking. Answers carry `serial`."""

    serial: int
    near: Plan | None = None
    day_begins: bool = False
    effort: float = 1.0
    job_id: str = ""
    job: Job | None = None
    why: tuple[str, int] | None = None


@dataclass(frozen=True)
class PlannerAnswer:
    """`offer`: a better plan than the one on the wall; `taken`: it is that one now. `last`: nothing better will come.
    `odds` come after the plans. `reasons` of a step come before what helps;
    `helps`: all found so far, best first.
    `trouble`: one line, instead of a plan."""

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
"""Plan the shop: asked by the planner itself, so that it is at work before there is a screen."""

Deliver = Callable[[PlannerAnswer | None], Any]
"""Takes answers; None: the planner is gone."""


class Planner(Protocol):
    """`listen` is called once; the answers to FIRST come unasked."""

    def listen(self, deliver: Deliver) -> None: ...
    def ask(self, ask: PlannerQuestion) -> None: ...
    def start_again(self) -> None: ...
    def close(self) -> None: ...
