"""What stands in the way of a plan: each reason once, and what only waits for others that cannot be planned."""

from __future__ import annotations

from itertools import groupby
from operator import attrgetter
from typing import NamedTuple

from shopday.planning.plan import Plan, Unplaced


class Obstacle(NamedTuple):
    """Steps that cannot be planned for the same reason; at least one."""

    rows: tuple[Unplaced, ...]

    @property
    def why(self) -> str:
        return self.rows[0].why

    @property
    def others(self) -> str:
        """What follows the name of the first step: " and 2 more"; empty if there are no others."""
        return f" and {len(self.rows) - 1} more" if len(self.rows) > 1 else ""

    @property
    def told(self) -> str:
        """The first step, how many others, and the reason."""
        return f"{self.rows[0].name or self.rows[0].address}{self.others}: {self.why}"


class Obstacles(NamedTuple):
    """by_reason: what cannot be planned of its own. waiting: what cannot be planned for that."""

    by_reason: tuple[Obstacle, ...]
    waiting: tuple[Unplaced, ...]

    @property
    def rest(self) -> str:
        """How many wait: "3 more steps wait for that."; empty if none does."""
        if len(self.waiting) == 1:
            return "One more step waits for that."
        return f"{len(self.waiting)} more steps wait for that." if self.waiting else ""


def obstacles(plan: Plan, job: str | None = None) -> Obstacles:
    """Of one job, or of the whole shop. If all steps of a job wait for another job, the first of them is told."""
    lost = [row for row in plan.unplaced if job is None or row.address.split("/")[0] == job]
    roots = [row for row in lost if not row.waits] or lost[:1]
    alike = [
        Obstacle(tuple(rows)) for _, rows in groupby(sorted(roots, key=attrgetter("why")), attrgetter("why"))
    ]
    alike.sort(key=lambda each: roots.index(each.rows[0]))
    return Obstacles(tuple(alike), tuple(row for row in lost if row not in roots))
