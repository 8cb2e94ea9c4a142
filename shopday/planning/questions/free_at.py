"""What is free at one moment, and which steps could start then."""

from __future__ import annotations

from collections import Counter

from shopday.planning.plan import Awaited, Moment, Plan, PlannedStep, State, later
from shopday.shop.models import Shop


class FreeAt:
    """What is free at a moment if only the work and waits already begun go on."""

    def __init__(self, shop: Shop, plan: Plan, at: Moment) -> None:
        self.at, self.dust_minutes = at, shop.rules.dust_settles
        self.rows = {row.key: row for row in plan.steps}
        self.left = Counter({station.id: station.count for station in shop.stations})
        self.left.update({kind.id: kind.count for kind in shop.gear})
        self.dusty: set[str] = set()
        self.still: set[str] = set()
        for row in plan.steps:
            if row.kind == "work" and row.state is not State.PLANNED:
                self._occupy(row)

    def _occupy(self, row: PlannedStep) -> None:
        """Take the stations and gear of begun work and its waits, and note the rooms that are dusty or need still
        air."""
        waits = [wait for wait in row.waits if not wait.informs]
        kept = {id for wait in waits if wait.free is not None and wait.free > self.at for id in wait.keeps}
        self.left.subtract({id: n for id, n in _uses(row).items() if row.in_hand or id in kept})
        if not row.in_hand and any(wait.still_air and wait.end > self.at for wait in waits):
            self.still.add(row.room)
        if row.dusty and later(row.end, self.dust_minutes) > self.at:
            self.dusty.add(row.room)

    def could_start(self, step: PlannedStep) -> bool:
        limits = step.limits
        if limits is not None and (limits.appointment or limits.not_before > self.at):
            return False
        return all(map(self._is_over, step.awaits)) and self._has_room(step)

    def _is_over(self, awaited: Awaited) -> bool:
        row = self.rows.get(awaited.key)
        begun = row is not None and row.state not in (State.PLANNED, State.UNDER_WAY)
        return begun and awaited.over <= self.at

    def lacks(self, step: PlannedStep) -> frozenset[str]:
        """The ids of stations and gear of which too few are free for the step."""
        return frozenset(id for id, n in _uses(step).items() if self.left[id] < n)

    def _has_room(self, step: PlannedStep) -> bool:
        if self.lacks(step):
            return False
        return not (step.dusty and step.room in self.still) and not (
            step.still_air and step.room in self.dusty
        )


def _uses(step: PlannedStep) -> dict[str, int]:
    return {**dict.fromkeys(step.stations, 1), **step.gear}
