"""A planner without a process of its own."""

from __future__ import annotations

from dataclasses import replace

from shopday.app.planner_worker import planner_answers
from shopday.app.protocol import FIRST, Deliver, PlannerQuestion
from shopday.planning.open_shop import OpenShop
from shopday.planning.solving.search_memory import SearchMemory


class LocalPlanner:
    """Answers where it is asked."""

    def __init__(self, open_shop: OpenShop, effort: float | None = None) -> None:
        self._open_shop, self._effort = open_shop, effort
        self._deliver: Deliver = lambda _: None
        self._memory = SearchMemory()

    def listen(self, deliver: Deliver) -> None:
        self._deliver = deliver
        self.ask(FIRST)

    def ask(self, ask: PlannerQuestion) -> None:
        effort = ask.effort if self._effort is None else self._effort
        question = replace(ask, effort=effort)
        for answer in filter(None, planner_answers(self._open_shop, question, self._memory)):
            self._deliver(answer)

    def start_again(self) -> None:
        """It cannot stop."""

    def close(self) -> None:
        """Nothing to end."""
