"""What would help: each change that a maker could make, planned, with the time it wins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopday.planning.plan import JobRow, Plan, elapsed
from shopday.planning.solving import plan_solver
from shopday.planning.whatif.shop_changes import ShopChange, possible_changes
from shopday.scheduler import Steps

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

GLANCE, EFFORT = 0.02, 0.1
"""The shares of the effort for a first look at a change, and for a search."""
MOST = 6
"""How many of the most promising changes are searched, at the usual effort."""
LEAST_WON = 60
"""Minutes: a change that wins less is not told."""


@dataclass(frozen=True, slots=True)
class HelpfulChange:
    """What a change wins over the plan without it, in minutes.

    job:      how much earlier the job asked about is delivered (None: none was asked about).
    promises: how much less late all promises are together, without the one that the change moves.
    earlier:  how much earlier jobs are delivered, added up.
    """

    text: str
    job: int | None
    promises: int
    earlier: int

    @property
    def key(self) -> tuple[int, int]:
        """What counts most first: the delivery of the job asked about, or the promises."""
        return (self.promises if self.job is None else self.job), self.earlier

    @property
    def helps(self) -> bool:
        """True if it is worth telling. It must not make promises later: such a plan would give way to any better
        one."""
        first, second = self.key
        won = first >= LEAST_WON or (self.job is None and second >= LEAST_WON)
        return won and self.promises >= 0


@dataclass(frozen=True, slots=True)
class HelpsSoFar:
    """The helpful changes found so far, the best first; `done` of `steps` units of the work are over."""

    found: tuple[HelpfulChange, ...]
    done: int
    steps: int


@dataclass(frozen=True, slots=True)
class _Tried:
    change: ShopChange
    plan: Plan
    won: HelpfulChange


def helpful_changes(
    open_shop: OpenShop, plan: Plan, job: str | None = None, effort: float = 1.0
) -> Iterator[HelpsSoFar | None]:
    """Try every change briefly, then search the most promising; nothing is written. None is a heartbeat.

    job:    ask for the delivery of this job rather than for all promises.
    effort: 0 for the brief look alone.
    """
    return _HelpSearch(open_shop, plan, job, effort).run()


class _HelpSearch:
    """before: the best known plan without any change."""

    def __init__(self, open_shop: OpenShop, plan: Plan, job: str | None, effort: float) -> None:
        self._folder, self._job = open_shop.folder, job
        self._state, self._now = open_shop.state(), open_shop.zone.of(plan.now)
        self._glance, self._effort, self._most = GLANCE * effort, EFFORT * effort, round(MOST * effort)
        self.before = plan
        self._tried: dict[str, _Tried] = {}

    def run(self) -> Iterator[HelpsSoFar | None]:
        plan = self.before
        self.before = yield from plan_solver.work_out_plan(
            self._folder, self._state, self._now, self._effort, plan
        )
        changes = [
            c for c in possible_changes(self._folder, plan) if self._job is None or c.gives_way != self._job
        ]
        steps = len(changes) + min(self._most, len(changes))
        for done, change in enumerate(changes):
            yield self._so_far(done, steps)
            yield from self._try(change, self._glance, self.before)
        best = sorted(self._tried.values(), key=lambda tried: tried.won.key, reverse=True)[: self._most]
        for done, tried in enumerate(best, len(changes)):
            yield self._so_far(done, steps)
            yield from self._try(tried.change, self._effort, tried.plan)
        yield self._so_far(steps, steps)

    def _try(self, change: ShopChange, effort: float, near: Plan) -> Steps[None]:
        folder, state, now = self._folder, self._state, self._now
        after = yield from plan_solver.work_out_plan(change.folder, state, now, effort, near)
        if after.aim == self.before.aim:  # the change makes no difference
            return
        if self._won(change, after).helps:  # the order found may be better without the change too
            without = yield from plan_solver.work_out_plan(folder, state, now, 0, near=after)
            self.before = min(self.before, without, key=lambda plan: plan.aim)
        self._tried[change.text] = _Tried(change, after, self._won(change, after))

    def _so_far(self, done: int, steps: int) -> HelpsSoFar:
        helpful = (tried.won for tried in self._tried.values() if tried.won.helps)
        return HelpsSoFar(tuple(sorted(helpful, key=lambda won: won.key, reverse=True)), done, steps)

    def _won(self, change: ShopChange, after: Plan) -> HelpfulChange:
        rows = [(row, other) for row in self.before.jobs if (other := after.job(row.job)) is not None]
        won = {row.job: _earlier(row, other) for row, other in rows}
        late = [
            (row.late_minutes or 0) - (other.late_minutes or 0)
            for row, other in rows
            if row.job != change.gives_way and other.delivery is not None
        ]
        job = None if self._job is None else won.get(self._job, 0)
        return HelpfulChange(change.text, job, sum(late), sum(won.values()))


def _earlier(before: JobRow, after: JobRow) -> int:
    if before.delivery is None or after.delivery is None:
        return 0
    return elapsed(after.delivery, before.delivery)
