"""What stands in the way of a plan: each reason once, and what only waits for others that cannot be planned."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
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

    def lines(self, lead: str) -> Iterator[str]:
        """Each reason with its steps after `lead`, then how many wait."""
        yield from (f"{lead}{each.told}" for each in self.by_reason)
        if self.rest:
            yield self.rest


def obstacles(plan: Plan, job: str | None = None) -> Obstacles:
    """Of one job, or of the whole shop. If all steps of a job wait for another job, the first of them is told."""
    lost = [row for row in plan.unplaced if job is None or row.address.split("/")[0] == job]
    roots = [row for row in lost if not row.waits] or lost[:1]
    alike: dict[str, list[Unplaced]] = defaultdict(list)
    for row in roots:
        alike[row.why].append(row)
    by_reason = tuple(Obstacle(tuple(rows)) for rows in alike.values())
    return Obstacles(by_reason, tuple(row for row in lost if row not in roots))
