"""Nothing can be started now: why, what that holds up, and the ways out, in whole sentences."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from shopday.planning.plan import Awaited, Moment, Plan, PlannedStep, State, later
from shopday.planning.questions.conflicts import Conflict, Conflicts
from shopday.planning.questions.free_at import FreeAt
from shopday.planning.step_names import errand, things
from shopday.text.sentences import both, sentence
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

MOST = 3
"""The most causes told, and the most steps named for each."""


class Hindering(NamedTuple):
    """One thing that keeps a step from starting now. way_out: how to free the step, if nothing else keeps it."""

    why: str
    way_out: str = ""


def standstill(open_shop: OpenShop, plan: Plan) -> tuple[str, ...]:
    """The causes, those that hold up most first, then the ways out. Empty while the shop is closed, somebody has
    work in hand, or something could be started."""
    if not open_shop.days().is_open(plan.now) or any(step.in_hand for step in plan.steps):
        return ()
    reader = _Reader(open_shop, plan)
    held: list[list[Hindering]] = []
    causes: dict[str, list[str]] = {}
    for step in filter(reader.is_next, plan.steps):
        held.append(list(reader.holds(step)))
        if not held[-1]:
            return ()
        for hold in held[-1]:
            causes.setdefault(hold.why, []).append(step.full)
    worst = sorted(causes.items(), key=lambda cause: -len(cause[1]))[:MOST]
    ways = dict.fromkeys(holds[0].way_out for holds in held if len(holds) == 1)
    return (*(_told(why, names) for why, names in worst), *(way for way in ways if way))


def _told(why: str, names: list[str]) -> str:
    more = [f"{len(names) - MOST} more"] if len(names) > MOST else []
    return f"{sentence(why)} It holds up {both([*names[:MOST], *more])}."


class _Reader:
    def __init__(self, open_shop: OpenShop, plan: Plan) -> None:
        self.folder, self.plan = open_shop.folder, plan
        self.scheduler = open_shop.scheduler(plan)
        self.free = FreeAt(open_shop.folder.shop, plan, plan.now)
        self.conflicts = Conflicts(open_shop.folder, filter(self._holds_on, plan.steps))
        self.rows = {row.key: row for row in plan.steps}

    def is_next(self, step: PlannedStep) -> bool:
        """True if it is work not yet in hand, with no unbegun work before it."""
        before = (self.rows.get(awaited.key) for awaited in step.awaits)
        begun = all(row is None or row.state is not State.PLANNED or row.kind != "work" for row in before)
        return step.kind == "work" and step.waits_for_hands and begun

    def holds(self, step: PlannedStep) -> Iterator[Hindering]:
        """Everything that keeps the step from starting now."""
        now = self.plan.now
        yield from (Hindering(self._awaited(a)) for a in step.awaits if a.over > now)
        limits = step.limits
        if limits is not None and (step.start if limits.appointment else limits.not_before) > now:
            yield Hindering(f"{step.full} is not to begin before {self._when(step.start)}")
            return
        lacking = self.free.lacks(step)
        in_the_way = (c for c in self.conflicts.of(step) if c.since <= now < c.free)
        yield from dict.fromkeys(
            self._conflict(c) for c in in_the_way if c.air or not lacking.isdisjoint(c.kept)
        )
        if not self.scheduler.somebody_could_begin(step, now):
            yield Hindering("too little time is left now, or nobody is in who can do it")

    def _holds_on(self, row: PlannedStep) -> bool:
        """True if it was begun and its dust or one of its waits is not over."""
        settled = later(row.end, self.folder.shop.rules.dust_settles)
        over = (settled, *(moment for wait in row.waits for moment in (wait.end, wait.free) if moment))
        return not row.waits_for_hands and self.plan.now < max(over)

    def _awaited(self, awaited: Awaited) -> str:
        row = self.rows[awaited.key]
        until = f"until {self._when(awaited.over)}"
        if row.kind != "work":
            return f"{errand(self.folder, row)}{' has it' if row.kind == 'away' else ': not here'} {until}"
        running = [w for w in row.waits if not w.informs and w.end > self.plan.now]
        wait = next((w for w in running if w.end == awaited.over), next(iter(running), None))
        return f"{row.full}: {wait.name if wait else 'work'} {until}"

    def _conflict(self, conflict: Conflict) -> Hindering:
        why = f"{conflict.said} until {self._when(conflict.free)}"
        if conflict.air:
            return Hindering(why, "A way out: do dusty work outside or in another room meanwhile.")
        named = things(self.folder, conflict.kept, conflict.row.gear)
        return Hindering(why, f"A way out: find something to stand in for {named}.")

    def _when(self, moment: Moment) -> str:
        return moment_text(moment, self.plan.now)
