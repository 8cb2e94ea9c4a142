"""What would help: each change a maker could make, planned, with the days it wins."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopday.planning.plan import JobRow, Plan, elapsed
from shopday.planning.solving import plan_solver
from shopday.planning.whatif.shop_changes import ShopChange, possible_changes

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

EFFORT = 0.2
GLANCE = 0.1
"""Share of the effort after which a change that has changed nothing is left."""
LEAST_WON = 60
"""Minutes: a change that wins less is not told."""


@dataclass(frozen=True, slots=True)
class HelpfulChange:
    """What one change wins, in minutes, against the plan without it.

    job:       how much earlier the job asked about is delivered (None: none was asked about).
    promises:  how much less late all promises are together, the one it moves aside.
    earlier:   how much earlier the jobs are delivered, added up.
    """

    text: str
    job: int | None
    promises: int
    earlier: int

    @property
    def key(self) -> tuple[int, int]:
        """What counts most first: the job where one was asked about, else the promises."""
        return (self.promises if self.job is None else self.job), self.earlier

    @property
    def helps(self) -> bool:
        """Worth telling. One that makes promises later is not: the plan would not be kept once better is found."""
        first, second = self.key
        won = first >= LEAST_WON or (self.job is None and second >= LEAST_WON)
        return won and self.promises >= 0


def helpful_changes(
    open_shop: OpenShop, plan: Plan, job: str | None = None, effort: float = EFFORT
) -> Iterator[HelpfulChange | None]:
    """Every change that would help, as soon as it is planned; nothing is written. None is a heartbeat.

    job: ask for one job's delivery rather than for all promises.
    """
    folder, state, now = open_shop.folder, open_shop.state(), open_shop.zone.of(plan.now)
    before = yield from plan_solver.work_out_plan(folder, state, now, effort, near=plan)
    for change in possible_changes(folder, plan):
        if job is not None and change.gives_way == job:
            continue
        after = yield from plan_solver.work_out_plan(change.folder, state, now, GLANCE * effort, near=before)
        if after.aim == before.aim:  # it makes no difference
            continue
        after = yield from plan_solver.work_out_plan(change.folder, state, now, effort, near=after)
        if _won(change, before, after, job).helps:
            # what the search would have found without the change is no merit of it
            before = min(
                before, plan_solver.new_plan(folder, state, now, 0, near=after), key=lambda plan: plan.aim
            )
        found = _won(change, before, after, job)
        if found.helps:
            yield found


def best_first(found: Iterable[HelpfulChange]) -> tuple[HelpfulChange, ...]:
    return tuple(sorted(found, key=lambda help: help.key, reverse=True))


def _won(change: ShopChange, before: Plan, after: Plan, job: str | None) -> HelpfulChange:
    rows = [(row, other) for row in before.jobs if (other := after.job(row.job)) is not None]
    won = {row.job: _earlier(row, other) for row, other in rows}
    late = [
        (row.late_minutes or 0) - (other.late_minutes or 0)
        for row, other in rows
        if row.job != change.gives_way and other.delivery is not None
    ]
    return HelpfulChange(change.text, None if job is None else won.get(job, 0), sum(late), sum(won.values()))


def _earlier(before: JobRow, after: JobRow) -> int:
    if before.delivery is None or after.delivery is None:
        return 0
    return elapsed(after.delivery, before.delivery)
